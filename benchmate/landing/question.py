"""Readings asked about before they count: what can't be, and the slip that would explain it.

A reading is only questioned when it is impossible, when it is far from what was expected *and* a
common slip brings it right back there, or when it is so far off that no work on the piece explains
it. A piece that simply came out light is not questioned; that is what verdicts are for.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from benchmate.landing.words import Say, grams, step_for
from benchmate.quantities.units import G_PER_OZ

_FAR = 5.0
"""Standard deviations from the expected reading within which nothing is asked: a sound reading
falls outside once in a million, and what is expected may itself be reckoned a little wrong."""
_OUT_OF_REACH = 10.0
"""Standard deviations beyond which a reading is asked about though no slip explains it: twice as
far as any sound reading lies, so that a badly reckoned plan isn't questioned at every layer."""
_BACK = 2.0
"""Standard deviations within which a slip, undone, must land to be named."""
_BELOW_ZERO = 3.0
"""Standard uncertainties of the reading by which a gain must be below zero to be asked about."""

_DIGIT_G = (100.0, 1000.0)
"""What a digit of a reading that was lost or misread can stand for; tens explain too much."""
_TELLING, _DIGIT_NEARER = 10.0, 2.0
"""How many times the spread a digit must be worth, and how much nearer than other slips it must
come, so that of ten odd readings no more than two seem to be a slip of a digit."""

Slip = Literal[
    "ounces for grams",
    "grams for ounces",
    "decimal point",
    "one digit",
    "before and after swapped",
    "tare forgotten",
    "tare taken off twice",
    "whole for gain",
    "gain for whole",
    "other piece",
    "unknown",
]


@dataclass(frozen=True, slots=True)
class Twin:
    """Another piece of the set at the same weigh point: what it should read, what it did read."""

    piece: str
    expected_g: float
    expected_u_g: float
    read_g: float | None = None
    address: str = ""
    """Of the step that weighs it."""


@dataclass(frozen=True, slots=True)
class DoubtAsked:
    """What was asked for when the reading was typed; all in g, None where unknown.

    `expected_g` with `expected_u_g` is what the reading should be (see `outlook.expected`), `u_g`
    the reading's own standard uncertainty. `before_g` is the piece as last weighed; `tare_g` what
    holds it on the scale. For a gain, `void_ml` and `metal_g_cm3` bound what can go in at all.
    `unit` is the unit in which it was typed.
    """

    kind: Literal["gain", "whole"]
    piece: str
    expected_g: float
    expected_u_g: float
    u_g: float
    before_g: float | None = None
    tare_g: float | None = None
    void_ml: float | None = None
    void_u: float = 0.015
    metal_g_cm3: float | None = None
    twins: tuple[Twin, ...] = ()
    unit: Literal["g", "oz"] = "g"

    @property
    def spread_g(self) -> float:
        """Standard deviation of a sound reading about the expected one."""
        return max(math.hypot(self.expected_u_g, self.u_g), 1e-9)

    @property
    def solid_metal_g(self) -> float | None:
        """The void of solid metal, with three standard deviations of its volume to spare."""
        if self.void_ml is None or self.metal_g_cm3 is None:
            return None
        return self.void_ml * (1.0 + 3.0 * self.void_u) * self.metal_g_cm3


@dataclass(frozen=True, slots=True)
class WeightQuestion:
    """What to ask before a reading counts. `suggested_g` is the likely true reading, if any.

    For "other piece" the reading is sound but belongs to the step `other`; `suggested_g` is then
    what that piece read, which may belong here, or None when it hasn't been weighed.
    """

    sentence: str
    slip: Slip
    suggested_g: float | None
    impossible: bool
    other: str = ""


def question(value_g: float, asked: DoubtAsked, say: Say = grams) -> WeightQuestion | None:
    """The question a reading raises; None when it may count as it is.

    `value_g` is the reading in g (typed ounces already converted). Raises ValueError when it isn't
    a finite number.
    """
    if not math.isfinite(value_g):
        raise ValueError(f"The reading is {value_g}; it must be a number.")
    why = _impossible(value_g, asked, say)
    off_g = value_g - asked.expected_g
    if not why and abs(off_g) <= _FAR * asked.spread_g:
        return None
    found = _likeliest(value_g, asked, say)
    if found is not None:
        slip, suggested, words, other = found
        return WeightQuestion(f"{why} {words}".strip(), slip, suggested, bool(why), other)
    said = f"{why} {_what_to_look_for(off_g, asked)}" if why else ""
    if not why and abs(off_g) > _OUT_OF_REACH * asked.spread_g:
        said = _out_of_reach(off_g, asked, say)
    again = "Weigh again, or confirm it."
    return WeightQuestion(f"{said} {again}", "unknown", None, bool(why)) if said else None


def _shown(u_g: float) -> float:
    """The step that a question shows: a slip is seen without hundredths."""
    return max(0.1, step_for(u_g))


def _out_of_reach(off_g: float, asked: DoubtAsked, say: Say) -> str:
    step = _shown(asked.spread_g)
    more = "more" if off_g > 0.0 else "less"
    return (
        f"That is {say(abs(off_g), step)} {more} than expected: "
        f"{say(asked.expected_g, step)} ± {say(2.0 * asked.spread_g, step)}. "
        + _what_to_look_for(off_g, asked)
    )


def _what_to_look_for(off_g: float, asked: DoubtAsked) -> str:
    if off_g > 0.0:
        return "Is something else on the scale, a cup or a tool, or its tare not taken off?"
    if asked.kind == "gain" and off_g < -asked.expected_g:
        return "Was less on the scale than before, or was it set to zero in between?"
    if asked.kind == "gain":
        return "Is all of it in, and was the scale at zero before?"
    return "Is a part of it off the scale, or was the scale not at zero?"


def _impossible(value_g: float, asked: DoubtAsked, say: Say) -> str:
    """Why the reading can't be; empty when it can."""
    step = _shown(asked.u_g)
    doubt = _BELOW_ZERO * asked.u_g
    if asked.kind == "whole":
        return "" if value_g > 0.0 else f"{asked.piece} can't weigh {say(value_g, step)}."
    if value_g < -doubt and value_g < 0.0:
        return f"A layer that takes {say(-value_g, step)} away can't be."
    most = asked.solid_metal_g
    if most is not None and value_g > most + doubt:
        return (
            f"{say(value_g, step)} is more than the void holds of solid metal ({say(most, 1.0)})."
        )
    return ""


Found = tuple[Slip, float | None, str, str]


def _likeliest(value_g: float, asked: DoubtAsked, say: Say) -> Found | None:
    """The slip that, undone, comes nearest to what was expected."""
    best: Found | None = None
    nearest = _BACK
    for off, found in (*_other_pieces(value_g, asked, say), *_own_slips(value_g, asked, say)):
        if off < nearest:
            best, nearest = found, off
    return best


def _own_slips(value_g: float, asked: DoubtAsked, say: Say) -> Iterator[tuple[float, Found]]:
    step, rough = _shown(asked.u_g), _shown(asked.spread_g)
    for slip, undone_g, words in _undone(value_g, asked):
        off = abs(undone_g - asked.expected_g) / asked.spread_g
        off *= _DIGIT_NEARER if slip == "one digit" else 1.0
        ask = f"{words} That would be {say(undone_g, step)}, where "
        ask += f"{say(asked.expected_g, rough)} was expected."
        yield off, (slip, undone_g, ask, "")


def _undone(value_g: float, asked: DoubtAsked) -> Iterator[tuple[Slip, float, str]]:
    """Each common slip, with the reading as it would be without it."""
    if asked.unit == "g":
        yield "ounces for grams", value_g * G_PER_OZ, "Does the scale show ounces?"
    else:
        yield "grams for ounces", value_g / G_PER_OZ, "Does the scale show grams?"
    for factor in (10.0, 0.1, 100.0, 0.01):
        yield "decimal point", value_g * factor, "Has the decimal point slipped?"
    for sign in (1.0, -1.0):
        for worth_g in _DIGIT_G:
            count = round((asked.expected_g - value_g) * sign / worth_g)
            if worth_g >= _TELLING * asked.spread_g and 1 <= count <= 9 and value_g > 0.0:
                yield "one digit", value_g + sign * count * worth_g, "Is a digit missing or wrong?"
    if asked.kind == "gain" and value_g < 0.0:
        yield "before and after swapped", -value_g, "Are before and after the wrong way round?"
    if asked.tare_g:
        yield "tare forgotten", value_g - asked.tare_g, "Is the tare still in it?"
        yield "tare taken off twice", value_g + asked.tare_g, "Was the tare taken off twice?"
    if asked.before_g:
        if asked.kind == "gain":
            yield "whole for gain", value_g - asked.before_g, "Is this the whole piece?"
        else:
            yield "gain for whole", value_g + asked.before_g, "Is this only what was added?"


def _other_pieces(value_g: float, asked: DoubtAsked, say: Say) -> Iterator[tuple[float, Found]]:
    """Readings that belong to another piece of the set.

    Only where that piece is clearly the better owner: it must explain the reading within its own
    spread, and if it has been weighed already, its reading must belong here in turn.
    """
    step = _shown(asked.spread_g)
    for twin in asked.twins:
        spread = max(math.hypot(twin.expected_u_g, asked.u_g), 1e-9)
        off = abs(value_g - twin.expected_g) / spread
        if twin.read_g is not None:
            off = max(off, abs(twin.read_g - asked.expected_g) / asked.spread_g)
        words = (
            f"Is this {twin.piece}? {say(twin.expected_g, step)} is expected of it, and "
            f"{say(asked.expected_g, step)} of {asked.piece}."
        )
        yield off, ("other piece", twin.read_g, words, twin.address or twin.piece)
