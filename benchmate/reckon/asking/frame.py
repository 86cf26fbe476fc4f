"""What describes a ready reckoner: its inputs, results, formula, sources, limits and example.

How to add one
--------------
1. Write the arithmetic as a typed pure function that takes numbers in the units inside and returns
   a small frozen dataclass; raise `Refused` with one sentence for an impossible wish (a target that
   can't be reached), never clip. `fill.py` is the pattern.
2. Beside it write `work(given: Given) -> Worked`, which fetches the inputs, calls the function and
   puts its results under their keys, with a note where the trade or a source wants one.
3. Describe it in a `Reckoner`, the module's `RECKONER`.
4. Name the module in `registry.WHERE`: one line.

The command, the form, the docs and the tests' random inputs all come from that description.

Inputs and units
----------------
The suffix of a key is its unit (`_mm`, `_ml`, `_g`, `_g_cm3`, `_pct`, `_c`, `_min`, …; see
`suffixes`). A typed bare number is in that unit; a quantity with a unit is converted ("3/4 in",
"1 h 30", "64 °F"). Keys that end in `_fraction` or `_share` run from 0 to 1 and take "60 %" too.
Set `unit` where a key has no suffix but a unit all the same.

`takes` says what may be typed: "number", "count" (whole), "choice", "word", "ratio" ("100:30",
which becomes A per B), "numbers" (one or a JSON list), "data" (JSON), "flag" (yes or no). An input
is needed unless `needed=False` or it has a `default`; one that is not given and has no default is
None in `given.maybe(key)`.

Beyond `low`/`high` is refused (ends included; `above` excludes its end). `source_low`/`source_high`
are the range of the source: beyond it the answer carries a note made from `beyond`.

Results
-------
`Worked(values, notes)`: a value is a number, a text, a yes/no, a list or a dict of these, or None
for unknown; `WithU(value, u)` carries a standard uncertainty u of one standard deviation. Numbers
must be finite: an infinite one is refused by the frame, so give None and a note.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Literal, NamedTuple, TypeAlias

import msgspec

Takes = Literal["number", "count", "choice", "word", "ratio", "numbers", "data", "flag"]
Plain: TypeAlias = "float | int | str | bool | list[Plain] | dict[str, Plain] | None"


class Refused(ValueError):  # noqa: N818 - a maker's wish is refused; nothing went wrong
    """The inputs can't be answered; the text is one sentence that says why and what to do."""


@contextmanager
def refusing(key: str = "") -> Iterator[None]:
    """Turn a ValueError whose text is a sentence into `Refused`, led by the input's key."""
    try:
        yield
    except Refused:
        raise
    except ValueError as error:
        raise Refused(f"{key}: {error}" if key else str(error)) from error


class WithU(NamedTuple):
    """A result with its standard uncertainty, in the result's unit."""

    value: float
    u: float


class Input(msgspec.Struct, frozen=True):
    """One input of a reckoner."""

    key: str
    meaning: str
    takes: Takes = "number"
    unit: str | None = None
    """As in `suffixes`; None: found from the key."""
    needed: bool = True
    default: Plain = None
    low: float | None = None
    high: float | None = None
    above: float | None = None
    source_low: float | None = None
    source_high: float | None = None
    beyond: str = ""
    choices: tuple[str, ...] = ()

    @property
    def must_be_given(self) -> bool:
        """Whether there is no answer without it."""
        return self.needed and self.default is None


class Result(msgspec.Struct, frozen=True):
    """One result of a reckoner; `unit` None: found from the key."""

    key: str
    meaning: str
    unit: str | None = None
    has_u: bool = False
    if_none: str = "not known"
    """What it says where there is no value."""
    decimals: int | None = None
    """How many a person can use; None: as usual for its unit."""


class Worked(msgspec.Struct, frozen=True):
    """What a reckoner found: values by key, and notes as sentences."""

    values: Mapping[str, "Plain | WithU"]
    notes: tuple[str, ...] = ()


class Given(msgspec.Struct, frozen=True):
    """The inputs as read: numbers in the unit of their suffix, in range."""

    values: Mapping[str, Any] = msgspec.field(default_factory=dict)

    def has(self, key: str) -> bool:
        """Whether there is a value, given or by default."""
        return self.values.get(key) is not None

    def number(self, key: str) -> float:
        """Return a number that must be there; raises Refused when it isn't."""
        value = self.maybe(key)
        if value is None:
            raise Refused(f"{key} is missing; give it as {key}=…")
        return value

    def maybe(self, key: str) -> float | None:
        """Return a number, or None when it was not given."""
        value = self.values.get(key)
        return None if value is None else float(value)

    def count(self, key: str) -> int:
        """Return a whole number that must be there."""
        return int(self.number(key))

    def word(self, key: str) -> str:
        """Return a text or choice, "" when it was not given."""
        value = self.values.get(key)
        return "" if value is None else str(value)

    def flag(self, key: str) -> bool:
        """Return a yes or no; not given is no."""
        return bool(self.values.get(key))

    def numbers(self, key: str) -> tuple[float, ...]:
        """Return the numbers of a list, () when it was not given."""
        return tuple(self.values.get(key) or ())

    def data(self, key: str) -> Any:
        """Return what was given as JSON; read it with `fields.Fields`."""
        return self.values.get(key)


class Reckoner(msgspec.Struct, frozen=True, kw_only=True):
    """A ready reckoner, described once."""

    name: str
    title: str
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    formula: str
    sources: tuple[str, ...]
    limits: tuple[str, ...]
    example: Mapping[str, str]
    work: Callable[[Given], Worked]
    curve: tuple[str, str] | None = None
    """(input, result): what a plot shows best; None where a curve says no more than the number."""

    def input(self, key: str) -> Input | None:
        """Return the input of that key."""
        return next((item for item in self.inputs if item.key == key), None)
