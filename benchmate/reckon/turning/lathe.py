"""How fast a turned piece runs at its rim, and what pulls at the lathe.

The turners' guide takes 6000 to 9000 for diameter in inches times rpm, which is a rim speed of 8
to 12 m/s. Weight that sits off the axis pulls at it with m e ω².

Source: v = π d n, a = ω² r; the guide from turners' forums, a turning blog ascribes 9000/diameter
to a turners' association: a starting point, no promise of safety.
"""

from dataclasses import dataclass
from math import pi

from benchmate.quantities.units import MM_PER_IN
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

STANDARD_GRAVITY = 9.80665
GUIDE_IN_RPM = (6000.0, 9000.0)
LOUD_PULL_N = 5.0
"""A lathe begins to shake at about this: common practice, no source."""
_MM_PER_M = 1000.0


@dataclass(frozen=True)
class Spin:
    """A diameter in mm at a speed in rpm."""

    diameter_mm: float
    rpm: float

    @property
    def omega(self) -> float:
        """In radians a second."""
        return 2.0 * pi * self.rpm / 60.0

    @property
    def speed_m_s(self) -> float:
        """At the rim."""
        return pi * self.diameter_mm / _MM_PER_M * self.rpm / 60.0

    @property
    def acceleration_gn(self) -> float:
        """At the rim, in multiples of standard gravity."""
        return self.omega**2 * self.diameter_mm / 2.0 / _MM_PER_M / STANDARD_GRAVITY

    def pull_n(self, off_axis_g: float, off_axis_mm: float) -> float:
        """What a weight off the axis pulls with."""
        return off_axis_g / 1000.0 * off_axis_mm / _MM_PER_M * self.omega**2


def rpm_for(diameter_mm: float, speed_m_s: float) -> float:
    """Return the speed at which a diameter's rim runs that fast."""
    return speed_m_s / (pi * diameter_mm / _MM_PER_M) * 60.0


def guide_rpm(diameter_mm: float) -> tuple[float, float]:
    """Return the turners' band of speeds for a diameter."""
    low, high = GUIDE_IN_RPM
    return low * MM_PER_IN / diameter_mm, high * MM_PER_IN / diameter_mm


def _spin(given: Given) -> Spin | None:
    rpm, speed_m_s = given.maybe("rpm"), given.maybe("speed_m_s")
    if rpm is not None and speed_m_s is not None:
        raise Refused("rpm and speed_m_s are both given; give one of them")
    diameter_mm = given.number("diameter_mm")
    if speed_m_s is not None:
        rpm = rpm_for(diameter_mm, speed_m_s)
    return None if rpm is None else Spin(diameter_mm, rpm)


def _pull(given: Given, spin: Spin | None) -> float | None:
    grams, off_mm = given.maybe("off_axis_g"), given.maybe("off_axis_mm")
    if (grams is None) != (off_mm is None):
        raise Refused("off_axis_g and off_axis_mm belong together; give both or neither")
    return None if spin is None or grams is None else spin.pull_n(grams, off_mm or 0.0)


def _caution(spin: Spin | None, band: tuple[float, float], pull_n: float | None) -> str:
    texts = ["Start below the band for a blank that is raw, cracked, glued up or out of round"]
    if spin is not None and spin.rpm > band[1] * (1.0 + 1e-9):
        texts = ["Above the turners' band: slow down"]
    if pull_n is not None and pull_n > LOUD_PULL_N:
        texts.append("what sits off the axis pulls hard, so balance the piece or go slower")
    texts.append("never above the limit of lathe or chuck")
    texts.append("stand aside when it starts, face shield on")
    return "; ".join(texts) + "."


def _work(given: Given) -> Worked:
    spin = _spin(given)
    band, pull_n = guide_rpm(given.number("diameter_mm")), _pull(given, spin)
    return Worked(
        {
            "speed_m_s": None if spin is None else spin.speed_m_s,
            "speed_m_min": None if spin is None else spin.speed_m_s * 60.0,
            "rpm": None if spin is None else spin.rpm,
            "band_rpm": list(band),
            "acceleration_gn": None if spin is None else spin.acceleration_gn,
            "pull_n": pull_n,
            "caution": _caution(spin, band, pull_n),
        }
    )


RECKONER = Reckoner(
    name="lathe",
    title="Speed of a turned piece, and what pulls at the lathe",
    inputs=(
        Input("diameter_mm", "largest diameter", above=0.0, high=2000.0),
        Input("rpm", "speed of the lathe", needed=False, above=0.0, high=20_000.0),
        Input("speed_m_s", "speed at the rim, instead of rpm", needed=False, above=0.0, high=200.0),
        Input("off_axis_g", "weight that sits off the axis", needed=False, low=0.0, high=1e5),
        Input("off_axis_mm", "how far off the axis it sits", needed=False, low=0.0, high=1000.0),
    ),
    results=(
        Result("speed_m_s", "at the rim", if_none="no speed given"),
        Result("speed_m_min", "at the rim", if_none="no speed given"),
        Result("rpm", "speed of the lathe", if_none="no speed given"),
        Result("band_rpm", "turners' guide, slowest and fastest", decimals=0),
        Result("acceleration_gn", "at the rim, in multiples of gravity", if_none="no speed given"),
        Result(
            "pull_n",
            "of what sits off the axis",
            if_none="needs a speed, off_axis_g and off_axis_mm",
            decimals=2,
        ),
        Result("caution", "what to mind"),
    ),
    formula="v = π d n; band = 6000 and 9000 over the diameter in inches; a = ω² d/2; "
    "pull = m e ω²",
    sources=(
        "mechanics of rotation",
        "6000 to 9000 for inches x rpm: turners' forums and a turning blog (second hand)",
    ),
    limits=("The band is where to start from, never a promise of safety.",),
    example={"diameter_mm": "90", "rpm": "1500", "off_axis_g": "20", "off_axis_mm": "10"},
    work=_work,
    curve=("rpm", "pull_n"),
)
