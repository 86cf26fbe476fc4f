"""How far a scale of an accuracy class may be off at a load.

The load is counted in verification intervals e; a load that lies on a bound belongs to the lower
error. In service twice the error of the first verification is allowed.

Source: the table of OIML R 76-1 as UK SI 1995/1907, schedule 2, and Directive 2014/31/EU carry it.
"""

from dataclasses import dataclass

from benchmate.quantities import quote
from benchmate.quantities.worded import Worded, grams
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

_UP_TO_E: dict[str, tuple[float, ...]] = {
    "I": (50_000.0, 200_000.0),
    "II": (5_000.0, 20_000.0, 100_000.0),
    "III": (500.0, 2_000.0, 10_000.0),
    "IIII": (50.0, 200.0, 1_000.0),
}
_ERRORS_E = (0.5, 1.0, 1.5)
_HAIR = 1e-9


@dataclass(frozen=True)
class Permissible:
    """The maximum permissible errors in g, at verification and in service."""

    mpe_g: float

    @property
    def in_service_g(self) -> float:
        """Twice as much."""
        return 2.0 * self.mpe_g


def permissible(accuracy: str, e_g: float, load_g: float) -> Permissible:
    """Return the permissible error of a class ("I" to "IIII") at a load; raises Refused."""
    bounds = _UP_TO_E.get(accuracy)
    if bounds is None:
        raise Refused(f"class must be I, II, III or IIII; {quote(accuracy)} is not")
    if load_g < 0.0:
        raise Refused(Worded("load_g is {load}; a load can't be below zero", load=grams(load_g)))
    load_e = load_g / e_g
    for bound, error in zip(bounds, _ERRORS_E, strict=False):
        # A hair above, so that 499.9/0.1 in binary stays what it is in decimals.
        if load_e <= bound * (1.0 + _HAIR):
            return Permissible(error * e_g)
    if len(bounds) < len(_ERRORS_E):
        return Permissible(_ERRORS_E[-1] * e_g)
    raise Refused(
        Worded(
            "{load} is {count} e, over the largest load of class {accuracy}, {most} e or {largest}",
            load=grams(load_g),
            count=f"{load_e:.10g}",
            accuracy=accuracy,
            most=f"{bounds[-1]:.0f}",
            largest=grams(bounds[-1] * e_g),
        )
    )


def _work(given: Given) -> Worked:
    found = permissible(given.word("class").upper(), given.number("e_g"), given.number("load_g"))
    return Worked(
        {"mpe_g": found.mpe_g, "in_service_g": found.in_service_g},
        (
            "A kitchen scale has no class: its maker's ± figure is the honest one.",
            "The errors hold for net weights too.",
        ),
    )


RECKONER = Reckoner(
    name="scale-class",
    title="How far a scale of a class may be off",
    inputs=(
        Input("class", "I, II, III or IIII, from its plate", takes="word"),
        Input("e_g", "verification interval e, from its plate", above=0.0, high=1e6),
        Input("load_g", "what lies on it", low=0.0, high=1e9),
    ),
    results=(
        Result("mpe_g", "permissible error at verification, plus or minus"),
        Result("in_service_g", "permissible error in service, plus or minus"),
    ),
    formula="0.5 e, 1 e or 1.5 e by the load in e: class I up to 50000 and 200000, II 5000, "
    "20000 and 100000, III 500, 2000 and 10000, IIII 50, 200 and 1000",
    sources=("OIML R 76-1, as in UK SI 1995/1907 schedule 2 and Directive 2014/31/EU",),
    limits=("A bound belongs to the lower error. Class I has no largest load in e.",),
    example={"class": "III", "e_g": "1", "load_g": "850"},
    work=_work,
    curve=("load_g", "mpe_g"),
)
