"""The shelf as a list, and one material's label with what no label gave marked as such."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from benchmate.quantities.show import Units
from benchmate.shelf import (
    COMMON_PRACTICE,
    FAMILIES,
    Material,
    acts_of,
    clashes,
    filled,
    rough_edges,
)
from benchmate.shelf.clocks import edges_text
from benchmate.shelf.material import EDGES
from benchmate.shelf.stock import keeps_until, left_words, too_old
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, heading, paragraph

NAME, KIND = 30, 16
EMPTY: Mapping[str, Material] = MappingProxyType({})


def shelf_items(
    materials: Mapping[str, Material],
    used: Mapping[str, float],
    cells: int,
    units: Units = "metric",
    today: date | None = None,
    gone: Mapping[str, Material] = EMPTY,
) -> list[Item]:
    """The materials, the families that have clocks, and what was used up. They stand for
    ("material", name), ("family", name) and ("gone", name)."""
    out: list[Item] = [heading("── on the shelf")] if materials else []
    for n, material in enumerate(materials.values(), 1):
        old = today is not None and too_old(material, today) != ""
        text = left_text(material, used.get(material.name, 0.0), units)
        left = Span(f"too old, {text}" if old else text, "caution" if old else "dim")
        out.append(Item((_line(n, material, cells, left),), ("material", material.name)))
    clear = "any other kind" if materials else "nothing on the shelf yet: pick a kind"
    out.append(heading(f"── {clear}; times are {COMMON_PRACTICE}"))
    families = [t for t in FAMILIES.values() if acts_of(t)]
    for n, family in enumerate(families, len(materials) + 1):
        out.append(Item((_line(n, family, cells, Span("")),), ("family", family.name)))
    if gone:
        out.append(heading("── used up; enter opens a fresh one with the same label"))
    for material in gone.values():
        out.append(Item((_line(10, material, cells, Span("")),), ("gone", material.name)))
    return out


def _line(n: int, material: Material, cells: int, tail: Span) -> Line:
    digit = str(n) if n < 10 else " "
    broad = min(NAME, max(10, cells // 2 - 4))
    kind = f"{fit(material.kind or material.family, KIND)}  " if cells >= 100 else ""
    acts = ", ".join(acts_of(material)) or "no clocks"
    return line(
        Span(f" {digit} ", "key"),
        " ",
        fit(material.name, broad),
        "  ",
        Span(kind, "dim"),
        acts,
        "  ",
        tail,
    )


def left_text(material: Material, used: float, units: Units = "metric") -> str:
    """ "820 g of 1000 g left, opened 2026-03-14"; what isn't known is left out."""
    until = keeps_until(material)
    kept = f", keeps until {until}" if until else ""
    opened = f"opened {material.opened_on}{kept}" if material.opened_on else ""
    return ", ".join(t for t in (left_words(material, used, units), opened) if t)


def label_lines(
    material: Material, used: float, cells: int, units: Units = "metric", today: date | None = None
) -> list[Line]:
    """A material's label as it counts: what it says, then what common practice fills in."""
    full = filled(material)
    name = (
        material.name
        if not material.family or material.family == material.name
        else f"{material.name} ({material.family})"
    )
    sheet = f"data sheet: {material.data_sheet}" if material.data_sheet else "no data sheet noted"
    said = [t for t in (left_text(material, used, units), sheet) if t]
    rough: list[str] = []
    for window in full.windows:
        given = [e for e in EDGES if e not in rough_edges(window)]
        for edges, out_ in ((given, said), (rough_edges(window), rough)):
            if text := edges_text(window, edges, units):
                out_.append(f"{window.act}: {window.name}, {text}")
    for text, is_rough in _values(full, units):
        (rough if is_rough else said).append(text)
    out = paragraph(name, cells, 1, "strong")
    if full.cautions:
        out += paragraph(f"Caution: {', '.join(full.cautions)}", cells, 2, "caution", " ! ")
    old = too_old(material, today) if today is not None else ""
    for text in (*([old] if old else []), *clashes(material)):
        out += paragraph(text, cells, 4, "caution", " ! ")
    for text in said:
        out += paragraph(text, cells, 3)
    if rough:
        out += paragraph(
            f"{COMMON_PRACTICE[:1].upper()}{COMMON_PRACTICE[1:]}:", cells, 1, "caution"
        )
    for text in rough:
        out += paragraph(text, cells, 3, "dim", "   ")
    return out


def _values(full: Material, units: Units) -> list[tuple[str, bool]]:
    """The label's other values, and whether they are only the family's."""
    from benchmate.shelf.clocks import WORDS
    from benchmate.shelf.questions import shown

    keys = (
        "ratio",
        "lowest_c",
        "label_mass_g",
        "largest_mix_g",
        "density_g_cm3",
        "spread_g_m2",
        "size_mm",
    )
    texts = [(key, shown(full, key, units)) for key in keys]
    return [(f"{WORDS.get(key, key)} {text}", key in full.rough) for key, text in texts if text]


def act_options(material: Material, units: Units = "metric") -> list[str]:
    """Each act with the windows it starts, in the order of `acts_of`."""
    full = filled(material)
    out: list[str] = []
    for act in acts_of(material):
        texts = (f"{w.name} {edges_text(w, EDGES, units)}" for w in full.windows if w.act == act)
        out.append(f"{act}: {'; '.join(texts)}")
    return out


def rough_note(material: Material, act: str = "") -> str:
    """Which of an act's times (of all where none is named) no label gave; empty for none."""
    rough = [w.name for w in filled(material).windows if rough_edges(w) and act in ("", w.act)]
    names = ", ".join(rough)
    names = names[:1].upper() + names[1:]
    return f"{names}: {COMMON_PRACTICE}. Go by your label." if rough else ""
