"""Cutting list and buying list as papers."""

from __future__ import annotations

from benchmate.lists.records import Buying, BuyRow, Cutting, Strip
from benchmate.lists.saying import sizes_said
from benchmate.papers.figures import Figures
from benchmate.papers.sheet import Block, PaperSheet, Paragraph, SheetTable, pieces_of, table
from benchmate.quantities import show_number


def cutting_sheet(cutting: Cutting, figures: Figures) -> PaperSheet:
    """Per wood a table: what to saw to large, boxes for sawn and for the rest."""
    blocks: list[Block] = []
    for wood in dict.fromkeys(row.wood for row in cutting.cut):
        blocks.append(_cut_table(cutting, wood, figures))
        blocks += [_strip(strip, figures) for strip in cutting.strips if strip.wood == wood]
    if cutting.first:
        made = [
            ("", m.what, str(m.count), sizes_said(m, figures.units), m.where, m.note)
            for m in cutting.first
        ]
        heads = "made ☐ | what*2 | how many > | sizes*3 | for*2 | note*2"
        blocks.append(table("To make first", heads, made, "make-first"))
    blocks += [Paragraph(note) for note in cutting.notes]
    return PaperSheet("cutting", f"To cut: {cutting.title}", pieces_of(cutting.pieces), blocks)


def _cut_table(cutting: Cutting, wood: str, figures: Figures) -> SheetTable:
    rows = [
        (
            "",
            f"{row.count}" + (f" ({row.spare} spare)" if row.spare else ""),
            row.part,
            figures.size(row.rough_mm),
            figures.size(row.finished_mm) + (", round" if row.round else ""),
            row.grain,
            ", ".join(row.marks),
            figures.bare(row.rough_g),
            "",
        )
        for row in cutting.cut
        if row.wood == wood
    ]
    heads = (
        "sawn ☐ | how many !*0.8 | part*1.2 | saw to !*3.1 | finished >*2.2 | grain | marks*1.3 "
        f"| each, as sawn, {figures.unit} > | to size ☐"
    )
    return table(wood[:1].upper() + wood[1:] or "Other", heads, rows, f"cut-{wood}")


def _strip(strip: Strip, figures: Figures) -> Paragraph:
    thick, wide, long = map(figures.length, (strip.thickness_mm, strip.width_mm, strip.length_mm))
    volume = show_number(strip.volume_ml / 1000.0, 2)
    order = "; ".join(strip.parts)
    return Paragraph(
        f"Stock {thick} thick, {wide} wide: {long} long ({volume} l), in this order: {order}."
    )


def buying_sheet(buying: Buying, figures: Figures) -> PaperSheet:
    """What the plan takes against the shelf, and what to have to hand."""
    heads = (
        "bought ☐ | what*2.5 | for*1.3 | need > | unit*0.7 | on the shelf > | short by > "
        "| packs >*0.7 | note*2"
    )
    hand = [("", h.what, show_number(h.count, 0), h.size, h.note) for h in buying.hand]
    return PaperSheet(
        "buying",
        f"To buy: {buying.title}",
        pieces_of(buying.pieces),
        [
            table("To buy", heads, [_buy(row, figures) for row in buying.buy], "buy"),
            table("To hand", "there ☐ | what*3 | how many > | size*2 | note*3", hand, "to-hand"),
            *map(Paragraph, buying.notes),
        ],
    )


def _buy(row: BuyRow, figures: Figures) -> tuple[str, ...]:
    def said(value: float | None) -> str:
        if value is None:
            return "?"
        return figures.bare(value) if row.unit == "g" else show_number(value, 0)

    unit = figures.unit if row.unit == "g" else row.unit
    packs = "" if row.packs is None else str(row.packs)
    note = row.keeps or ("" if row.by == "plan" else row.by)
    amounts = (said(row.need), unit, said(row.held), said(row.short))
    return ("", row.what, row.role, *amounts, packs, note)
