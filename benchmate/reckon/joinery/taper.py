"""A taper from two of its measures: the other end, its length, its ratio, its half angle.

The ratio "1 in N" is on the diameter: N mm of length for each mm of change in diameter. The half
angle lies between the axis and one side, the included angle between both sides.

Source: geometry; N = L/|d1 − d2|, half angle = atan(|d1 − d2|/(2 L)).
"""

from dataclasses import dataclass
from math import atan, degrees, isclose, radians, tan

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

_TWO_OF = ("d2_mm", "length_mm", "ratio_1_in", "half_angle_deg")


@dataclass(frozen=True)
class Taper:
    """A cone's frustum, mm: from d1 to d2 over its length."""

    d1: float
    d2: float
    length: float

    @property
    def ratio_1_in(self) -> float:
        """Length for each mm of change in diameter."""
        return self.length / abs(self.d1 - self.d2)

    @property
    def half_angle_deg(self) -> float:
        """Between the axis and a side."""
        return degrees(atan(abs(self.d1 - self.d2) / (2.0 * self.length)))

    def d_at(self, at_mm: float) -> float:
        """The diameter at a distance from d1; raises Refused beyond the taper."""
        if not (0.0 <= at_mm <= self.length or isclose(at_mm, self.length)):
            raise Refused(
                Worded(
                    "at_mm lies beyond the taper, which is {length} long; {at} is not on it",
                    length=millimetres(self.length),
                    at=millimetres(at_mm),
                )
            )
        return self.d1 + (self.d2 - self.d1) * at_mm / self.length


def change_per_mm(ratio_1_in: float | None, half_angle_deg: float | None) -> float | None:
    """Return the change in diameter per mm of length, by ratio or half angle, None without both."""
    if ratio_1_in is not None:
        return 1.0 / ratio_1_in
    return None if half_angle_deg is None else 2.0 * tan(radians(half_angle_deg))


def taper(
    d1_mm: float,
    d2_mm: float | None,
    length_mm: float | None,
    slope: float | None,
    *,
    widening: bool = False,
) -> Taper:
    """Return the taper from two of d2, length and slope (change in diameter per mm).

    Raises Refused where there is no taper, the end is below nothing, or it runs the other way
    than said.
    """
    sense = 1.0 if widening else -1.0
    if d2_mm is None and length_mm is not None and slope is not None:
        d2_mm = d1_mm + sense * slope * length_mm
        if d2_mm < 0.0:
            raise Refused(
                Worded(
                    "the taper comes to a point {short} before its end; shorten it or take a "
                    "gentler one",
                    short=millimetres(length_mm - d1_mm / slope),
                )
            )
    if d2_mm is None or (length_mm is None and slope is None):
        raise Refused("a taper needs two of d2_mm, length_mm, ratio_1_in and half_angle_deg")
    _refuse_wrong_way(d1_mm, d2_mm, widening=widening)
    if length_mm is None:
        length_mm = abs(d1_mm - d2_mm) / (slope or 1.0)
    return Taper(d1_mm, d2_mm, length_mm)


def _refuse_wrong_way(d1_mm: float, d2_mm: float, *, widening: bool) -> None:
    if isclose(d1_mm, d2_mm):
        raise Refused("both ends have the same diameter; that is a cylinder and no taper")
    if (d2_mm > d1_mm) != widening:
        larger, say = ("larger", "yes") if d2_mm > d1_mm else ("smaller", "no")
        raise Refused(
            Worded(
                "d2_mm, {d2}, is {larger} than d1_mm, {d1}; say widening={say} if that is meant",
                d1=millimetres(d1_mm),
                d2=millimetres(d2_mm),
                larger=larger,
                say=say,
            )
        )


def _work(given: Given) -> Worked:
    known = [key for key in _TWO_OF if given.has(key)]
    if len(known) != 2:
        raise Refused(
            "a taper needs two of d2_mm, length_mm, ratio_1_in and half_angle_deg; "
            f"{', '.join(known) or 'none'} {'is' if len(known) < 2 else 'are'} given"
        )
    if known == ["ratio_1_in", "half_angle_deg"]:
        raise Refused("ratio_1_in and half_angle_deg say the same; give d2_mm or length_mm too")
    slope = change_per_mm(given.maybe("ratio_1_in"), given.maybe("half_angle_deg"))
    found = taper(
        given.number("d1_mm"),
        given.maybe("d2_mm"),
        given.maybe("length_mm"),
        slope,
        widening=given.flag("widening"),
    )
    at_mm = given.maybe("at_mm")
    return Worked(
        {
            "d1_mm": found.d1,
            "d2_mm": found.d2,
            "length_mm": found.length,
            "ratio_1_in": found.ratio_1_in,
            "half_angle_deg": found.half_angle_deg,
            "included_deg": 2.0 * found.half_angle_deg,
            "d_at_mm": None if at_mm is None else found.d_at(at_mm),
        }
    )


RECKONER = Reckoner(
    name="taper",
    title="A taper from two of its measures",
    inputs=(
        Input("d1_mm", "diameter at its start", above=0.0, high=2000.0),
        Input("d2_mm", "diameter at its other end", needed=False, low=0.0, high=2000.0),
        Input("length_mm", "along the axis", needed=False, above=0.0, high=10_000.0),
        Input(
            "ratio_1_in",
            "N of “1 in N”: length for each mm of change in diameter",
            needed=False,
            above=0.0,
            high=10_000.0,
        ),
        Input("half_angle_deg", "between the axis and a side", needed=False, above=0.0, high=89.0),
        Input("widening", "yes where d2 is the larger end", takes="flag", default=False),
        Input(
            "at_mm",
            "a place on it, from d1, whose diameter is wanted",
            needed=False,
            low=0.0,
            high=10_000.0,
        ),
    ),
    results=(
        Result("d1_mm", "diameter at its start"),
        Result("d2_mm", "diameter at its other end"),
        Result("length_mm", "along the axis"),
        Result("ratio_1_in", "length for each mm of change in diameter"),
        Result("half_angle_deg", "between the axis and a side", decimals=2),
        Result("included_deg", "between both sides", decimals=2),
        Result("d_at_mm", "diameter at at_mm", if_none="no place given"),
    ),
    formula="N = L/|d1 − d2|; half angle = atan(|d1 − d2|/(2 L)); d at x = d1 + (d2 − d1) x/L",
    sources=("geometry",),
    limits=("Straight sides only.",),
    example={"d1_mm": "25", "d2_mm": "20", "length_mm": "30", "at_mm": "10"},
    work=_work,
    curve=("at_mm", "d_at_mm"),
)
