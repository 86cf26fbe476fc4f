"""A reckoner's curve: one result against one input, all others as given."""

from collections.abc import Mapping
from typing import NamedTuple

from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.frame import Input, Reckoner, Refused
from benchmate.reckon.asking.reading import read_input


class Curve(NamedTuple):
    """Points (x, y) in the units of the keys, x rising; `at` is where the given input stands."""

    x_key: str
    y_key: str
    points: tuple[tuple[float, float], ...]
    at: tuple[float, float] | None


def curve(reckoner: Reckoner, typed: Mapping[str, object], count: int = 40) -> Curve | None:
    """Return the curve that says most about a reckoner, None where it has none to show.

    Runs from the input's least to twice what is given. Inputs that are refused leave a gap in the
    points; with fewer than two points there is no curve.
    """
    if reckoner.curve is None:
        return None
    x_key, y_key = reckoner.curve
    item = reckoner.input(x_key)
    assert item is not None, f"{reckoner.name} plots against an input it doesn't have"
    now = _x_now(item, typed)
    low, high = _range(item, now)
    steps = [low + (high - low) * n / (count - 1) for n in range(count)]
    points = [(x, y) for x in steps if (y := _y_at(reckoner, typed, x_key, y_key, x)) is not None]
    if len(points) < 2:
        return None
    y_now = None if now is None else _y_at(reckoner, typed, x_key, y_key, now)
    at = None if now is None or y_now is None else (now, y_now)
    return Curve(x_key, y_key, tuple(points), at)


def _x_now(item: Input, typed: Mapping[str, object]) -> float | None:
    raw = typed.get(item.key) or item.default
    try:
        return None if raw is None else float(read_input(item, raw))
    except Refused:
        return None


def _range(item: Input, now: float | None) -> tuple[float, float]:
    low = max(item.low if item.low is not None else 0.0, item.source_low or 0.0)
    high = item.high if item.high is not None else 100.0
    if item.source_high is not None:
        high = min(high, item.source_high)
    if now is not None:
        low, high = min(low, now), max(now, min(high, max(2.0 * now, low)))
    return low, high


def _y_at(
    reckoner: Reckoner, typed: Mapping[str, object], x_key: str, y_key: str, x: float
) -> float | None:
    try:
        return answer_with(reckoner, {**typed, x_key: x}).number(y_key)
    except (Refused, TypeError):
        return None
