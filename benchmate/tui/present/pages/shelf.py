"""The shelf as a list, and one tin's label with what no label gave marked as such."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from benchmate.quantities.show import Units
from benchmate.stores import (
    COMMON_PRACTICE,
    FAMILIES,
    Tin,
    acts_of,
    clashes,
    filled,
    rough_edges,
)
from benchmate.stores.clocks import edges_text
from benchmate.stores.stock import keeps_until, left_words, too_old
from benchmate.stores.tin import EDGES
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, heading, paragraph

NAME, KIND = 30, 16
EMPTY: Mapping[str, Tin] = MappingProxyType({})


def shelf_items(
    tins: Mapping[str, Tin],
    used: Mapping[str, float],
    cells: int,
    units: Units = "metric",
    today: date | None = None,
    gone: Mapping[str, Tin] = EMPTY,
) -> list[Item]:
    """The tins, the families that have clocks, and what was used up. They stand for
    ("tin", name), ("family", name) and ("gone", name)."""
    out: list[Item] = [heading("── on the shelf")] if tins else []
    for n, tin in enumerate(tins.values(), 1):
        old = today is not None and too_old(tin, today) != ""
        text = left_text(tin, used.get(tin.name, 0.0), units)
        left = Span(f"too old, {text}" if old else text, "caution" if old else "dim")
        out.append(Item((_line(n, tin, cells, left),), ("tin", tin.name)))
    clear = "any other kind" if tins else "nothing on the shelf yet: pick a kind"
    out.append(heading(f"── {clear}; times are {COMMON_PRACTICE}"))
    families = [t for t in FAMILIES.values() if acts_of(t)]
    for n, family in enumerate(families, len(tins) + 1):
        out.append(Item((_line(n, family, cells, Span("")),), ("family", family.name)))
    if gone:
        out.append(heading("── used up; enter opens a fresh one with the same label"))
    for tin in gone.values():
        out.append(Item((_line(10, tin, cells, Span("")),), ("gone", tin.name)))
    return out


def _line(n: int, tin: Tin, cells: int, tail: Span) -> Line:
    digit = str(n) if n < 10 else " "
    broad = min(NAME, max(10, cells // 2 - 4))
    kind = f"{fit(tin.kind or tin.family, KIND)}  " if cells >= 100 else ""
    acts = ", ".join(acts_of(tin)) or "no clocks"
    return line(
        Span(f" {digit} ", "key"),
        " ",
        fit(tin.name, broad),
        "  ",
        Span(kind, "dim"),
        acts,
        "  ",
        tail,
    )


def left_text(tin: Tin, used: float, units: Units = "metric") -> str:
    """ "820 g of 1000 g left, opened 2026-03-14"; what isn't known is left out."""
    until = keeps_until(tin)
    kept = f", keeps until {until}" if until else ""
    opened = f"opened {tin.opened_on}{kept}" if tin.opened_on else ""
    return ", ".join(t for t in (left_words(tin, used, units), opened) if t)


def label_lines(
    tin: Tin, used: float, cells: int, units: Units = "metric", today: date | None = None
) -> list[Line]:
    """A tin's label as it counts: what it says, then what common practice fills in."""
    full = filled(tin)
    name = tin.name if not tin.family or tin.family == tin.name else f"{tin.name} ({tin.family})"
    sheet = f"data sheet: {tin.data_sheet}" if tin.data_sheet else "no data sheet noted"
    said = [t for t in (left_text(tin, used, units), sheet) if t]
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
    old = too_old(tin, today) if today is not None else ""
    for text in (*([old] if old else []), *clashes(tin)):
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


def _values(full: Tin, units: Units) -> list[tuple[str, bool]]:
    """The label's other values, and whether they are only the family's."""
    from benchmate.stores.clocks import WORDS
    from benchmate.stores.questions import shown

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


def act_options(tin: Tin, units: Units = "metric") -> list[str]:
    """Each act with the windows it starts, in the order of `acts_of`."""
    full = filled(tin)
    out: list[str] = []
    for act in acts_of(tin):
        texts = (f"{w.name} {edges_text(w, EDGES, units)}" for w in full.windows if w.act == act)
        out.append(f"{act}: {'; '.join(texts)}")
    return out


def rough_note(tin: Tin, act: str = "") -> str:
    """Which of an act's times (of all where none is named) no label gave; empty for none."""
    rough = [w.name for w in filled(tin).windows if rough_edges(w) and act in ("", w.act)]
    names = ", ".join(rough)
    names = names[:1].upper() + names[1:]
    return f"{names}: {COMMON_PRACTICE}. Go by your label." if rough else ""
