"""Checking a computed value against one from outside the project, and keeping count.

Every reference test calls `check(name, got, want, rel=… or abs=…, source="…")`: it asserts, and
keeps the deviation so that `python -m tests.reference.table` can print, for each reckoner, how many
outside values were checked and the largest deviation found. `name` is the reckoner's (or another
subject's) name. Numbers in lists and dicts are checked one by one; texts and booleans are equal.
"""

from collections.abc import Mapping, Sequence
from math import isclose, isfinite
from typing import NamedTuple


class Checked(NamedTuple):
    """One outside value that was checked; `deviation` is relative, absolute where want is 0."""

    name: str
    deviation: float
    source: str


CHECKED: list[Checked] = []


def check(
    name: str, got: object, want: object, *, rel: float = 0.0, abs: float = 0.0, source: str
) -> None:
    """Assert that `got` equals `want` within the tolerance, and keep the deviation."""
    assert source, "an outside value has a source"
    if isinstance(want, Mapping):
        assert isinstance(got, Mapping), f"{name}: {got!r} is no mapping"
        for key, value in want.items():
            check(name, got[key], value, rel=rel, abs=abs, source=source)
    elif isinstance(want, Sequence) and not isinstance(want, str):
        assert isinstance(got, Sequence), f"{name}: {got!r} is no list"
        assert len(got) == len(want), f"{name}: {len(got)} values, {len(want)} wanted"
        for one, value in zip(got, want, strict=True):
            check(name, one, value, rel=rel, abs=abs, source=source)
    elif isinstance(want, bool | str) or want is None:
        assert got == want, f"{name}: {got!r}, outside value {want!r} ({source})"
        CHECKED.append(Checked(name, 0.0, source))
    else:
        _check_number(name, float(got), float(want), rel, abs, source)  # type: ignore[arg-type]


def _check_number(
    name: str, got: float, want: float, rel: float, absolute: float, source: str
) -> None:
    assert isfinite(got), f"{name}: {got} is not finite"
    assert isclose(got, want, rel_tol=rel, abs_tol=absolute), (
        f"{name}: {got:.9g}, outside value {want:.9g} ({source})"
    )
    CHECKED.append(Checked(name, _deviation(got, want), source))


def _deviation(got: float, want: float) -> float:
    return abs(got - want) / abs(want) if want else abs(got)
