"""The reckoner `weight`: what one weighing on a shop scale is worth."""

import math
from collections.abc import Sequence
from statistics import fmean, stdev

from benchmate.quantities import show_number
from benchmate.quantities.worded import Worded, grams
from benchmate.reckon.asking.frame import (
    Given,
    Input,
    Reckoner,
    Refused,
    Result,
    WithU,
    Worked,
    refusing,
)
from benchmate.reckon.weight.conformity import (
    Verdict,
    guard_zones,
    largest_guard,
    probability_inside,
)
from benchmate.reckon.weight.weighing import Net, Scale, net_weight

_FEW_DOF = 10.0
_SPREAD_FACTOR = 3.0
"""Readings that spread this many times the stated repeatability are worth a word: with a few
readings a factor of two is still chance."""


def _scale(given: Given) -> Scale:
    n = given.maybe("repeatability_n")
    if n is not None and not given.has("repeatability_g"):
        raise Refused(
            "repeatability_n alone says nothing; give repeatability_g, the standard deviation too"
        )
    with refusing():
        return Scale(
            given.number("division_g"),
            given.maybe("repeatability_g"),
            None if n is None else int(n),
            given.maybe("linearity_g"),
        )


def _limits(given: Given) -> tuple[float, float] | None:
    target, tolerance = given.maybe("target_g"), given.maybe("tolerance_g")
    if (target is None) != (tolerance is None):
        missing = "tolerance_g" if tolerance is None else "target_g"
        raise Refused(f"{missing} is missing; a target and a tolerance only answer together")
    return None if target is None or tolerance is None else (target - tolerance, target + tolerance)


def _refuse_less_than_nothing(net: Net) -> None:
    if net.net_g + max(net.U_g, 3.0 * net.u_g) < 0.0:
        raise Refused(
            f"gross is {show_number(-net.net_g, 3)} g less than tare, and a net weight can't be "
            "below zero; are the two exchanged?"
        )


def _scale_notes(scale: Scale, groups: Sequence[Sequence[float]], net: Net) -> list[str]:
    notes = []
    if scale.repeatability_g is None:
        notes.append("The repeatability isn't known and not counted; weigh one load ten times.")
    elif any(_spreads(readings, scale) for readings in groups):
        notes.append(
            "The readings spread much more than this repeatability allows: a draught, a load that "
            "moves, or a scale that wasn't settled."
        )
    odd = next((r for readings in groups for r in readings if not _is_shown(r, scale)), None)
    if odd is not None:
        notes.append(
            f"A scale that shows steps of {scale.division_g:g} g doesn't show {odd:g} g: check the"
            " reading and the division (a mean of several readings is better given as a list)."
        )
    if scale.linearity_g is None:
        notes.append("The linearity isn't known and not counted; the maker's data gives it.")
    if math.isinf(net.dof):
        notes.append("dof is without limit: every term is a bound or taken as known.")
    return notes


def _is_shown(reading_g: float, scale: Scale) -> bool:
    """Whether it is a whole number of divisions, but for what binary fractions leave over."""
    steps = reading_g / scale.division_g
    return abs(steps - round(steps)) < 1e-6 * max(1.0, abs(steps))


def _spreads(readings: Sequence[float], scale: Scale) -> bool:
    expected = math.hypot(scale.repeatability_g or 0.0, scale.rounding_g)
    return len(readings) > 1 and stdev(readings) > _SPREAD_FACTOR * expected


def _verdict_notes(net: Net, low: float, high: float) -> list[str]:
    limits = Worded("{low} to {high}", low=grams(low), high=grams(high))
    verdict = guard_zones(low, high, net.U_g).verdict(net.net_g)
    said = {
        Verdict.ACCEPT: "Inside {limits}, and proved by this weighing.",
        Verdict.REJECT: "Outside {limits}, and proved by this weighing.",
        Verdict.INCONCLUSIVE: "This weighing can't tell whether it is inside {limits}.",
        Verdict.NO_ACCEPTANCE_ZONE: (
            "No reading of this scale can prove {limits}: U would have to be at most {most}."
        ),
    }
    most = grams(largest_guard(low, high))
    notes: list[str] = [Worded(said[verdict], limits=limits, most=most)]
    if net.dof < _FEW_DOF:
        cautious = probability_inside(net.net_g, net.u_g, low, high, net.dof)
        notes.append(
            f"With so few degrees of freedom Student's t makes it {show_number(cautious, 3)} "
            "instead of probability_inside."
        )
    return notes


def _work(given: Given) -> Worked:
    scale, limits = _scale(given), _limits(given)
    gross, tare = given.numbers("gross_g"), given.numbers("tare_g")
    with refusing():
        net = net_weight(gross, tare, scale, given.number("coverage_pct") / 100.0)
    _refuse_less_than_nothing(net)
    notes = _scale_notes(scale, (gross, tare), net)
    inside = None
    if limits is not None:
        inside = probability_inside(net.net_g, net.u_g, *limits)
        notes.extend(_verdict_notes(net, *limits))
    if 0.0 < fmean(gross) < 20.0 * scale.division_g:
        notes.append(
            "The load is under 20 divisions, where a scale's rounding weighs most; use a finer one."
        )
    return Worked(
        {
            "net_g": WithU(net.net_g, net.u_g),
            "u_g": net.u_g,
            "k": net.k,
            "U_g": net.U_g,
            "dof": None if math.isinf(net.dof) else net.dof,
            "probability_inside": inside,
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="weight",
    title="How sure a weighing is",
    inputs=(
        Input(
            "gross_g",
            "the piece on the scale with its dish; one reading or a list",
            takes="numbers",
            low=-1e6,
            high=1e6,
        ),
        Input(
            "tare_g",
            "the dish alone; one reading or a list, 0 for a zeroed scale",
            takes="numbers",
            low=-1e6,
            high=1e6,
            default=[0.0],
        ),
        Input("division_g", "the smallest step the scale shows", low=1e-6, high=1e4),
        Input(
            "repeatability_g",
            "standard deviation of one reading of the same load",
            needed=False,
            low=0.0,
            high=1e4,
        ),
        Input(
            "repeatability_n",
            "how many weighings that standard deviation comes from; none: known surely",
            takes="count",
            unit="",
            needed=False,
            low=2,
            high=1e6,
        ),
        Input(
            "linearity_g",
            "the bound, plus or minus, on the error of a net weight; counted once",
            needed=False,
            low=0.0,
            high=1e4,
        ),
        Input("target_g", "the weight wanted", needed=False, low=0.0, high=1e6),
        Input(
            "tolerance_g",
            "how far from the target it may be, to either side",
            needed=False,
            low=0.0,
            high=1e6,
        ),
        Input(
            "coverage_pct",
            "the share of cases that U is to cover",
            default=95.45,
            low=50.0,
            high=99.99,
        ),
    ),
    results=(
        Result("net_g", "gross less tare, means of their readings", has_u=True),
        Result("u_g", "standard uncertainty of the net weight"),
        Result("k", "coverage factor, the t quantile", unit=""),
        Result("U_g", "expanded uncertainty, k times u"),
        Result(
            "dof",
            "effective degrees of freedom, not cut to a whole number",
            if_none="without limit",
        ),
        Result(
            "probability_inside",
            "that the true weight is inside target ± tolerance (normal distribution)",
            if_none="not asked: no target given",
        ),
    ),
    formula=(
        "u² = 2 (d/(2√3))² + s² (1/r_gross + 1/r_tare) + a²/3; "
        "dof = u⁴ / Σ u_i⁴/dof_i; U = k u, k = t((1 + p)/2, dof); "
        "p_inside = Φ((T + tol − net)/u) − Φ((T − tol − net)/u)"
    ),
    sources=(
        "GUM (JCGM 100) F.2.2.1, 5.1.2, G.4.1, G.3.2",
        "JCGM 106 clause 7 for the probability; ISO 14253-1 for U as guard band",
    ),
    limits=(
        "Rounding isn't lessened by reading twice; repeatability is.",
        "The linearity bounds the net error; for a bound on each reading give √2 times it.",
        "Air buoyancy is left out: bare wood on a scale set with steel reads about 0.15 % light.",
    ),
    example={
        "gross_g": "[1012.4, 1012.6, 1012.5]",
        "tare_g": "162.3",
        "division_g": "0.1",
        "repeatability_g": "0.1",
        "repeatability_n": "10",
        "linearity_g": "0.2",
        "target_g": "850",
        "tolerance_g": "8",
    },
    work=_work,
)
