"""A label with its gaps filled in: its own values win, edge by edge, and the rest is marked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec

from benchmate.quantities import show_duration
from benchmate.shelf.families import FAMILIES
from benchmate.shelf.material import COMMON_PRACTICE, EDGES, LabelWindow, Material

_FILLED = (
    "air",
    "carrier",
    "label_mass_g",
    "largest_mix_g",
    "lowest_c",
    "heat_j_g",
    "specific_heat_j_gk",
    "ratio",
    "ratio_by",
    "density_g_cm3",
    "density_a_g_cm3",
    "density_b_g_cm3",
    "size_mm",
    "spread_g_m2",
    "stays",
    "keeps_d",
)
_WORDS = {"opens": "opens", "full": "is full", "closes": "closes"}
_TEXTS = ("opens_text", "full_text", "closes_text", "missed_text")


def from_family(family: str) -> Material:
    """A nameless material of a family, for a job whose shelf has none: everything in it is
    rough."""
    return filled(Material(name=family, family=family))


def filled(material: Material) -> Material:
    """The material with its family's common practice where its label is silent; `rough` says where.

    The mix ratio is filled in too, because a plan needs amounts; whoever mixes is told to read
    the material first.
    """
    family = FAMILIES.get(material.family)
    if family is None:
        return material
    values = {f: getattr(material, f) for f in material.__struct_fields__}
    rough = [f for f in _FILLED if values[f] is None and getattr(family, f) is not None]
    values.update({f: getattr(family, f) for f in rough})
    own = {(w.name, w.act) for w in material.windows}
    added = tuple(w for w in family.windows if (w.name, w.act) not in own)
    order = {(w.act, w.name): n for n, w in enumerate(family.windows)}
    every = (*(_completed(w, family) for w in material.windows), *added)
    values["windows"] = tuple(sorted(every, key=lambda w: order.get((w.act, w.name), len(order))))
    found = (*material.rough, *rough, *(f"{w.name} ({w.act})" for w in added))
    values["rough"] = tuple(dict.fromkeys(found))
    values["kind"] = material.kind or family.kind
    values["rags"] = material.rags or family.rags
    values["cautions"] = tuple(dict.fromkeys((*material.cautions, *family.cautions)))
    return Material(**values)


def _completed(window: LabelWindow, family: Material) -> LabelWindow:
    """A label gives times; what they mean, what missing them costs, and the edges that it leaves
    out are the family's. An edge of the family that can't stand beside the label's is left out."""
    like = _like(window, family)
    if like is None:
        return window
    values: dict[str, Any] = {t: getattr(window, t) or getattr(like, t) for t in _TEXTS}
    borrowed = {e: getattr(like, f"{e}_s") for e in EDGES if _is_lent(window, like, e)}
    if _opens_when_full(window, like):
        borrowed["opens"] = window.full_s
    values |= {f"{e}_s": seconds for e, seconds in borrowed.items()}
    # A time that is lent brings the temperature that it is for: the label's is of its own times.
    lent = (e for e in borrowed if borrowed[e] == getattr(like, f"{e}_s"))
    values |= {f"{e}_c": like.at_c for e in lent if like.at_c != window.at_c}
    values["missed"] = like.missed if window.missed == "nothing" else window.missed
    values["rough"] = tuple(e for e in EDGES if e in window.rough or e in borrowed)
    values["shut"] = window.opens_s is None and like.opens_s is not None and "opens" not in borrowed
    return msgspec.structs.replace(window, **values)


def _like(window: LabelWindow, family: Material) -> LabelWindow | None:
    return next((w for w in family.windows if (w.name, w.act) == (window.name, window.act)), None)


def _is_lent(window: LabelWindow, like: LabelWindow, edge: str) -> bool:
    if getattr(window, f"{edge}_s") is not None or getattr(like, f"{edge}_s") is None:
        return False
    return _against(window, like, edge) is None


def _opens_when_full(window: LabelWindow, like: LabelWindow) -> bool:
    """A label that is sooner at full strength than its family opens: then is when it opens."""
    full, closes = window.full_s, window.closes_s
    lent = like.opens_s
    if window.opens_s is not None or lent is None or full is None:
        return False
    return lent > full and (closes is None or full < closes)


def _against(window: LabelWindow, like: LabelWindow, edge: str) -> str | None:
    """The label's edge beside which the family's can't stand; None where it can."""
    lent = getattr(like, f"{edge}_s")
    mixed = msgspec.structs.replace(window, **{f"{edge}_s": lent})
    wrong = disorder(mixed)
    return next((e for e in wrong if e != edge), None) if wrong else None


def disorder(window: LabelWindow) -> tuple[str, str] | None:
    """Two edges that stand the wrong way round ("opens", "closes"); None where none do."""
    opens, full, closes = window.opens_s, window.full_s, window.closes_s
    if opens is not None and closes is not None and opens >= closes:
        return "opens", "closes"
    if opens is not None and full is not None and opens > full:
        return "opens", "full"
    return None


def impossible(material: Material) -> Iterator[tuple[str, str]]:
    """What a label says that can't be: the window's key ("act/name/edge") and a sentence."""
    for window in material.windows:
        wrong = disorder(window)
        if wrong is not None:
            said = [f"{_WORDS[e]} after {_time(window, e)}" for e in wrong]
            text = f"{window.name} {said[0]}, but {said[1]}; read the label again"
            yield f"{window.act}/{window.name}/{wrong[1]}", text


def clashes(material: Material, act: str = "", name: str = "") -> tuple[str, ...]:
    """Sentences on edges that the label leaves out and whose common practice can't be beside it;
    of one act's windows, or of one of them, where they are named."""
    family = FAMILIES.get(material.family)
    if family is None:
        return ()
    asked = [w for w in material.windows if act in ("", w.act) and name in ("", w.name)]
    pairs = ((w, like) for w in asked if (like := _like(w, family)) is not None)
    return tuple(text for w, like in pairs for text in _clashes(material, w, like))


def _clashes(material: Material, window: LabelWindow, like: LabelWindow) -> Iterator[str]:
    for edge in EDGES:
        if getattr(window, f"{edge}_s") is not None or getattr(like, f"{edge}_s") is None:
            continue
        beside = _against(window, like, edge)
        if beside is not None:
            counts = (
                "it is taken to open when it is full"
                if (edge == "opens" and _opens_when_full(window, like))
                else "only the label's counts"
            )
            yield (
                f"{material.name}: {window.name} {_WORDS[beside]} after {_time(window, beside)} "
                f"by its label, and by common practice it {_WORDS[edge]} after "
                f"{_time(like, edge)}. Both can't be: {counts}. Look for the "
                "other in its data sheet."
            )


def _time(window: LabelWindow, edge: str) -> str:
    return show_duration(getattr(window, f"{edge}_s"))


def source_of(material: Material, window: LabelWindow) -> str:
    """Where a filled material's window comes from, edge by edge where it is from both."""
    if window.source:
        return window.source
    if not window.rough:
        return material.source
    return f"{material.source}; {' and '.join(window.rough)}: {COMMON_PRACTICE}"


def rough_edges(window: LabelWindow) -> tuple[str, ...]:
    """The edges of a filled material's window that no label gave."""
    every = tuple(e for e in EDGES if getattr(window, f"{e}_s") is not None)
    return every if COMMON_PRACTICE in window.source else window.rough
