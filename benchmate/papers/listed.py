"""Cutting list, buying list and day sheet as papers."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.lists.records import Buying, BuyRow, CutRow, Cutting
from benchmate.papers.sheet import Block, Column, Paragraph, Sheet, Table
from benchmate.quantities import Units, show_length, show_mass, show_number


def cutting_sheet(cutting: Cutting, units: Units = "metric") -> Sheet:
    """Per wood a table: what to saw to large, boxes for sawn and for the rest."""
    blocks: list[Block] = []
    for wood in dict.fromkeys(row.wood for row in cutting.cut):
        rows = [row for row in cutting.cut if row.wood == wood]
        blocks.append(_cut_table(wood, rows, units))
        strips = [strip for strip in cutting.strips if strip.wood == wood]
        blocks += [
            Paragraph(
                f"Board {show_length(s.thickness_mm, units)} thick, "
                f"{show_length(s.width_mm, units)} wide: {show_length(s.length_mm, units)} long "
                f"({show_number(s.volume_ml / 1000.0, 2)} l), in this order: {'; '.join(s.parts)}."
            )
            for s in strips
        ]
    if cutting.first:
        columns = (
            Column("made", "tick"),
            Column("what", width=2.0),
            Column("how many", "number"),
            Column("sizes", width=3.0),
            Column("for", width=2.0),
            Column("note", width=2.0),
        )
        made = tuple(("", m.what, str(m.count), m.sizes, m.where, m.note) for m in cutting.first)
        blocks.append(Table("To make first", columns, made, "make-first"))
    blocks += [Paragraph(note) for note in cutting.notes]
    return Sheet("cutting", f"To cut: {cutting.title}", _pieces(cutting.pieces), blocks)


def _pieces(count: int) -> str:
    return f"{count} {'piece' if count == 1 else 'pieces'}"


def _cut_table(wood: str, rows: Sequence[CutRow], units: Units) -> Table:
    columns = (
        Column("how many", "number", 0.7),
        Column("part", width=1.5),
        Column("saw to", width=2.2),
        Column("finished", width=2.2),
        Column("grain", width=1.2),
        Column("marks", width=1.5),
        Column("each, as sawn", "number"),
        Column("sawn", "tick"),
        Column("to size", "tick"),
    )
    cells = tuple(
        (
            f"{row.count}" + (f" ({row.spare} spare)" if row.spare else ""),
            row.part,
            _size(row.rough_mm, units),
            _size(row.finished_mm, units) + (", round" if row.round else ""),
            row.grain,
            ", ".join(row.marks),
            show_mass(round(row.rough_g), units),
            "",
            "",
        )
        for row in rows
    )
    return Table(wood[:1].upper() + wood[1:] or "Other", columns, cells, f"cut-{wood}")


def _size(size: Sequence[float], units: Units) -> str:
    return " × ".join(show_length(mm, units) for mm in size)


def buying_sheet(buying: Buying, units: Units = "metric") -> Sheet:
    """What the plan takes against the shelf, and what to have to hand."""
    columns = (
        Column("bought", "tick"),
        Column("what", width=2.5),
        Column("for", width=1.5),
        Column("need", "number"),
        Column("on the shelf", "number"),
        Column("short by", "number"),
        Column("packs", "number", 0.7),
        Column("note", width=2.0),
    )
    rows = tuple(_buy(row, units) for row in buying.buy)
    hand = tuple(("", h.what, show_number(h.count, 0), h.size, h.note) for h in buying.hand)
    heads = (
        Column("there", "tick"),
        Column("what", width=3.0),
        Column("how many", "number"),
        Column("size", width=2.0),
        Column("note", width=3.0),
    )
    return Sheet(
        "buying",
        f"To buy: {buying.title}",
        _pieces(buying.pieces),
        [
            Table("To buy", columns, rows, "buy"),
            Table("To hand", heads, hand, "to-hand"),
            *(Paragraph(note) for note in buying.notes),
        ],
    )


def _buy(row: BuyRow, units: Units) -> tuple[str, ...]:
    def said(value: float | None) -> str:
        if value is None:
            return "?"
        return show_mass(value, units) if row.unit == "g" else f"{show_number(value, 0)} {row.unit}"

    packs = "" if row.packs is None else str(row.packs)
    note = row.keeps or ("" if row.by == "plan" else row.by)
    return ("", row.what, row.role, said(row.need), said(row.held), said(row.short), packs, note)
