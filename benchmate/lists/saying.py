"""The lists as text, in the maker's units: one line a row, what matters first."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.lists.records import Buying, BuyRow, CutRow, Cutting, HandRow, MakeRow, Strip
from benchmate.quantities import (
    Units,
    show_area,
    show_mass,
    show_number,
    show_size,
    show_volume,
)
from benchmate.reckon.asking.inches import inch_text


def cutting_lines(cutting: Cutting, units: Units = "metric") -> Iterator[str]:
    """The cutting list, what it comes from, and what to make first."""
    yield f"To cut: {cutting.title}, {_pieces(cutting.pieces)}"
    for row in cutting.cut:
        yield from _cut(row, units)
    yield "Boards"
    for strip in cutting.strips:
        yield from _strip(strip, units)
    if cutting.first:
        yield "To make first"
        for made in cutting.first:
            yield _make(made, units)
    yield from cutting.notes


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _cut(row: CutRow, units: Units) -> Iterator[str]:
    sizes: Units = "inch" if row.unit == "in" else units
    spare = f" ({row.spare} spare)" if row.spare else ""
    shape = ", squared for turning" if row.round else ""
    grain = f", grain {row.grain}" if row.grain else ""
    yield (
        f"  {row.count} x {row.part}{spare}, {row.wood}: {show_size(row.rough_mm, sizes)} rough"
        f"{shape}{grain}"
    )
    marks = f"; mark {', '.join(row.marks)}" if row.marks else ""
    yield (
        f"      done {show_size(row.finished_mm, sizes)}; ~{_roughly(row.rough_g, units)} rough, "
        f"~{_roughly(row.blank_g, units)} as the blank{marks}"
    )


def _roughly(grams: float, units: Units) -> str:
    return show_mass(round(grams), units)


def _strip(strip: Strip, units: Units) -> Iterator[str]:
    size = show_size((strip.length_mm, strip.width_mm, strip.thickness_mm), units)
    volume = show_volume(strip.volume_ml, units)
    yield f"  {strip.wood}: {size} ({volume}), sawn in turn: {'; '.join(strip.parts)}"


def sizes_said(row: MakeRow, units: Units) -> str:
    """Sizes to make something to: in thousandths of an inch, not sixteenths, since it must fit."""
    if units == "metric":
        return row.sizes
    return ", ".join(f"{name} {inch_text(mm, 'mm')}" for name, mm in row.numbers_mm.items())


def _make(row: MakeRow, units: Units) -> str:
    note = f"; {row.note}" if row.note else ""
    return f"  {row.count} x {row.what}, {row.where}: {sizes_said(row, units)}{note}"


def buying_lines(buying: Buying, units: Units = "metric") -> Iterator[str]:
    """The buying list, and what to have to hand."""
    yield f"To buy: {buying.title}, {_pieces(buying.pieces)}"
    for row in buying.buy:
        yield _buy(row, units)
    yield "To have to hand"
    for thing in buying.hand:
        yield _hand(thing)
    yield from buying.notes


def _buy(row: BuyRow, units: Units) -> str:
    parts = ", ".join(f"{_amount(g, row.unit, units)} {name}" for name, g in row.parts.items())
    text = f"  {row.what}: {_amount(row.need, row.unit, units)}"
    text += f" ({parts})" if parts else ""
    if row.by != "plan":
        text += f", by a {row.by}"
    if row.short is None:
        text += "; look what you have" if row.held is None else ""
    elif row.short > 0.0:
        text += f"; short by {_amount(row.short, row.unit, units)}" + _packs(row, units)
    else:
        text += f"; the shelf holds {_amount(row.held or 0.0, row.unit, units)}"
    return text + (f". {row.keeps}" if row.keeps else "")


def _packs(row: BuyRow, units: Units) -> str:
    if not row.packs or row.pack is None:
        return ""
    return f": {row.packs} of {_amount(row.pack, row.unit, units)}"


def _amount(value: float, unit: str, units: Units) -> str:
    match unit:
        case "g":
            return show_mass(value, units)
        case "cm²":
            return show_area(value * 100.0, units)
    number = show_number(value, 1)
    return f"{number} {unit[:-1]}" if number == "1" and unit.endswith("s") else f"{number} {unit}"


def _hand(row: HandRow) -> str:
    count = f"{show_number(row.count, 0)} x " if row.count != 1 and row.kind != "drill" else ""
    size = f", {row.size}" if row.size else ""
    note = f" ({row.note})" if row.note else ""
    return f"  {count}{row.what}{size}{note}"
