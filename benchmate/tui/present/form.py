"""A form as lines: labels, what stands in the fields, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from benchmate.tui.present.lines import Line, Role, Span, fit, line
from benchmate.tui.present.listing import Item, paragraph

NARROWEST = 14
"""Fewer cells than this are too few to type in beside a label."""


@dataclass(frozen=True)
class Field:
    """One thing to type or to pick. `blank` says what stands where it is left empty."""

    key: str
    label: str
    value: str = ""
    blank: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()


@dataclass
class Row:
    """A field with what stands in it now and what is wrong with that."""

    field: Field
    value: str
    fault: str = ""

    def turn(self, by: int) -> None:
        """Another of its choices."""
        choices = self.field.choices
        at = choices.index(self.value) if self.value in choices else 0
        self.value = choices[(at + by) % len(choices)]

    def jump(self, letter: str) -> bool:
        """The next choice that begins with this letter; whether there is one."""
        choices = self.field.choices
        at = choices.index(self.value) if self.value in choices else 0
        after = (*choices[at + 1 :], *choices[: at + 1])
        found = next((c for c in after if c.casefold().startswith(letter.casefold())), None)
        self.value = self.value if found is None else found
        return found is not None


class Place(NamedTuple):
    """Where a field's box begins: the line within its entry, and the cell."""

    line: int
    cell: int


def label_cells(rows: Sequence[Row], cells: int, widest: int) -> int:
    """How many cells the labels take beside their boxes; 0 where they stand above them."""
    longest = max((len(row.field.label) for row in rows), default=0) + 2
    return longest if longest <= min(widest, cells - NARROWEST) else 0


def form_items(
    rows: Sequence[Row], press: str, at: int, label: int, cells: int
) -> tuple[list[Item], list[Place]]:
    """The entries, the last of which is the line to press, and where each one's box begins."""
    items: list[Item] = []
    places: list[Place] = []
    for n, row in enumerate(rows):
        lines, place = _row(row, label, cells, marked=n == at)
        items.append(Item(tuple(lines), n))
        places.append(place)
    role: Role = "strong" if at == len(rows) else "dim"
    words = f"[ {press} ]  enter" if at == len(rows) else f"[ {press} ]"
    items.append(Item((line(Span(words, role)),), len(rows)))
    return items, places


def _row(row: Row, label: int, cells: int, *, marked: bool) -> tuple[list[Line], Place]:
    role: Role = "strong" if marked else "plain"
    value = _value(row, marked=marked)
    fault = paragraph(row.fault, cells, 2, "caution", "  ") if row.fault else []
    sign = Span("✗", "spoil") if row.fault else Span(" ")
    if label:
        first = line(Span(fit(row.field.label, label), role), sign, value)
        return [first, *fault], Place(0, label + 1)
    above = paragraph(row.field.label, cells, 2, role, "")
    return [*above, line(sign, "  ", value), *fault], Place(len(above), 3)


def _value(row: Row, *, marked: bool) -> Span:
    if row.field.choices:
        choices = row.field.choices
        word = row.value or "not given"
        if not marked:
            return Span(word)
        at = choices.index(row.value) + 1 if row.value in choices else 0
        return Span(f"◂ {word} ▸   {at} of {len(choices)}", "strong")
    return Span(row.value) if row.value else Span(row.field.blank, "dim")
