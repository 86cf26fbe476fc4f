"""What to ask about a material, by its family, and what the answers mean.

An answer left empty is a label that is silent: the family's common practice then stands in,
marked so wherever it is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec

from benchmate.fields.label import LABEL, Content, Ratio, read_answer
from benchmate.fields.types import TIMED
from benchmate.quantities import (
    QuantityError,
    TimedAt,
    quote,
    show_duration,
    show_mass,
    show_number,
    show_temperature,
    show_volume,
)
from benchmate.quantities.show import Units
from benchmate.reckon.heat.kinetics import activation_between
from benchmate.shelf.families import FAMILIES
from benchmate.shelf.material import EDGES, LabelWindow, Material
from benchmate.shelf.values import FIELDS, show_keeps

LABEL_C = (-10.0, 60.0)
"""No label gives a time for other air than this (common practice, no source)."""


LONGEST_NAME = 60
_SILENT: dict[str, dict[str, Any]] = {
    "data_sheet": {"data_sheet": ""},
    "grit": {"grit": ""},
    "opened_on": {"opened_on": ""},
    "ratio": {"ratio": None, "ratio_by": None},
}
"""What stands for no answer, where it isn't None alone."""


@dataclass(frozen=True)
class Question:
    """One thing a label may say."""

    key: str
    ask: str
    example: str
    common: str = ""
    """What common practice says where the label is silent; empty where it says nothing."""


def questions(family: str, units: Units = "metric") -> tuple[Question, ...]:
    """What to ask about a material of this family, in the order of a label; all may be left
    empty."""
    like = FAMILIES.get(family)
    asked = [Question("data_sheet", "Data sheet, and its date?", LABEL["data_sheet"].example)]
    if like is not None:
        asked += [
            _of_window(w, edge, units) for w in like.windows for edge in EDGES if _has(w, edge)
        ]
        if like.ratio is not None:
            asked.append(
                Question("ratio", "Mix ratio?", LABEL["ratio"].example, shown(like, "ratio", units))
            )
        asked += [
            Question(key, field.ask, LABEL[key].example, shown(like, key, units))
            for key, field in FIELDS.items()
            if getattr(like, key) is not None
        ]
        if like.kind == "abrasive":
            asked.append(Question("grit", "Which grit?", LABEL["grit"].example))
    asked.append(Question("amount", "How much is in it?", LABEL["amount"].example))
    asked.append(Question("opened_on", "When was it opened?", LABEL["opened_on"].example))
    asked.append(
        Question("keeps_d", "How long does it keep once it is opened?", LABEL["keeps_d"].example)
    )
    return tuple(asked)


def _has(window: LabelWindow, edge: str) -> bool:
    return getattr(window, f"{edge}_s") is not None


def _of_window(window: LabelWindow, edge: str, units: Units) -> Question:
    plain = {"opens": "ready", "full": "full strength", "closes": "too late"}
    means = getattr(window, f"{edge}_text") or plain[edge]
    return Question(
        f"{window.act}/{window.name}/{edge}",
        f"{window.name[:1].upper()}{window.name[1:]}: how long until {means}?",
        TIMED.example,
        _shown_edge(window, edge, units),
    )


def new_material(name: str, family: str) -> Material:
    """A material whose label hasn't been read yet. Raises QuantityError for an unknown family."""
    like = FAMILIES.get(family)
    if like is None:
        raise QuantityError(f"there is no kind {quote(family)}; see the list of kinds")
    if not name.strip():
        raise QuantityError("a material needs a name; write what you call it")
    words = " ".join(name.split())
    if len(words) > LONGEST_NAME:
        raise QuantityError(
            f"a material's name is a few words, not {len(words)} letters; write what is on it"
        )
    return Material(name=words, family=family, kind=like.kind)


def unread(material: Material) -> Material:
    """The material without the times that are asked about: what is typed anew mustn't be held
    against what it replaces."""
    asked = {tuple(q.key.split("/")[:2]) for q in questions(material.family) if "/" in q.key}
    return _put(
        material, windows=tuple(w for w in material.windows if (w.act, w.name) not in asked)
    )


def carried(material: Material, old: Material, key: str) -> Material:
    """The material with an answer of the old one as it is kept: showing and reading it again would
    round it."""
    if "/" not in key:
        keys = {"ratio": ("ratio", "ratio_by"), "amount": ("amount", "unit")}.get(key, (key,))
        return _put(material, **{k: getattr(old, k) for k in keys})
    act, name, edge = key.split("/")
    was = next((w for w in old.windows if (w.act, w.name) == (act, name)), None)
    if was is None or getattr(was, f"{edge}_s") is None:
        return material
    now = next((w for w in material.windows if (w.act, w.name) == (act, name)), None)
    own = {k: getattr(was, k) for k in (f"{edge}_s", f"{edge}_c", _other_end(edge))}
    if now is not None and own[f"{edge}_c"] is None and was.at_c != now.at_c:
        own[f"{edge}_c"] = was.at_c
    silent = {f"{e}_s": None for e in EDGES} | {_other_end(e): None for e in EDGES}
    bare = msgspec.structs.replace(was, **silent)
    made = msgspec.structs.replace(now or bare, **own)
    return _put(material, windows=(*(w for w in material.windows if w is not now), made))


def answered(material: Material, key: str, text: str) -> Material:
    """The material with one answer put in; an empty text takes it out again.

    Raises QuantityError with one sentence for an answer that can't be read.
    """
    text = text.strip()
    if "/" in key:
        return _with_edge(material, key, text)
    if not text:
        return _put(material, **_SILENT.get(key, {key: None}))
    read = read_answer(key, text)
    match read:
        case Ratio():
            return _put(material, ratio=read.parts, ratio_by=read.by)
        case Content():
            return _put(material, amount=read.value, unit=read.unit)
    return _put(material, **{key: read})


def shown(material: Material, key: str, units: Units = "metric") -> str:
    """A material's answer as text, empty where its label is silent."""
    if "/" in key:
        act, name, edge = key.split("/")
        found = next((w for w in material.windows if (w.act, w.name) == (act, name)), None)
        return "" if found is None else _shown_edge(found, edge, units)
    value = getattr(material, key)
    if value is None or value == "":
        return ""
    if key == "ratio":
        a, b = value
        return f"{show_number(a, 3)}:{show_number(b, 3)} by {material.ratio_by or 'weight'}"
    if key == "keeps_d":
        return show_keeps(value)
    if key == "amount":
        return show_volume(value, units) if material.unit == "ml" else show_mass(value, units)
    return FIELDS[key].show(value, units) if key in FIELDS else str(value)


def _shown_edge(window: LabelWindow, edge: str, units: Units = "metric") -> str:
    value = getattr(window, f"{edge}_s")
    if value is None:
        return ""
    own_c = getattr(window, f"{edge}_c")
    celsius = window.at_c if own_c is None else own_c
    at = f" at {show_temperature(celsius, units)}" if celsius is not None else ""
    other = getattr(window, _other_end(edge))
    text = show_duration(value)
    if other is not None:
        text = " to ".join(show_duration(t) for t in sorted((value, other)))
    return text + at


def _put(material: Material, **values: Any) -> Material:
    return msgspec.structs.replace(material, **values)


def _with_edge(material: Material, key: str, text: str) -> Material:
    act, name, edge = key.split("/")
    old = next((w for w in material.windows if (w.act, w.name) == (act, name)), None)
    window = old or LabelWindow(name=name, act=act)
    timed = TIMED(text) if text else None
    if timed is not None:
        _check_timed(timed, edge)
    window = msgspec.structs.replace(window, **_edge_values(window, edge, timed))
    rest = tuple(w for w in material.windows if w is not old)
    is_silent = all(getattr(window, f"{e}_s") is None for e in EDGES)
    return _put(material, windows=rest if is_silent else (*rest, window))


def _other_end(edge: str) -> str:
    return "closes_most_s" if edge == "closes" else f"{edge}_least_s"


def _edge_values(window: LabelWindow, edge: str, timed: TimedAt | None) -> dict[str, Any]:
    """One edge's own values: of a range the safe end, with the other beside it; its temperature
    where it is another than the window's; of two points the activation energy."""
    other = _other_end(edge)
    if timed is None:
        return {f"{edge}_s": None, f"{edge}_c": None, other: None}
    values: dict[str, Any] = {f"{edge}_s": timed.duration_s, other: timed.least_s}
    if edge == "closes" and timed.least_s is not None:
        values = {"closes_s": timed.least_s, other: timed.duration_s}
    celsius = timed.temperature_c
    is_first = not any(getattr(window, f"{e}_s") is not None for e in EDGES if e != edge)
    if celsius is not None and (window.at_c is None or is_first):
        values |= {"at_c": celsius, f"{edge}_c": None}
    elif celsius is not None:
        values[f"{edge}_c"] = None if abs(celsius - (window.at_c or celsius)) < 0.05 else celsius
    if timed.second is not None and celsius is not None:
        values["activation_j_mol"] = _energy(timed.duration_s, celsius, *timed.second)
    elif timed.energy_j_mol is not None:
        values["activation_j_mol"] = timed.energy_j_mol
    return values


def _energy(first_s: float, first_c: float, second_s: float, second_c: float) -> float:
    try:
        return activation_between(first_s, first_c, second_s, second_c)
    except ValueError as error:
        raise QuantityError(f"{error}; read the label again") from error


def _check_timed(timed: TimedAt, edge: str) -> None:
    """A label's time for one edge can be meant."""
    if edge == "closes" and timed.duration_s <= 0.0:
        raise QuantityError("a window that closes at once can't be met; read the label again")
    celsius = timed.temperature_c
    if celsius is None:
        return
    low, high = LABEL_C
    if not low <= celsius <= high:
        raise QuantityError(
            f"{show_temperature(celsius)} is no shop's air; a label's times hold between "
            f"{show_temperature(low)} and {show_temperature(high)}"
        )
