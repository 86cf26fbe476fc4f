"""A reckoner's answer, its description and its form's fields."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchmate.quantities import Units
from benchmate.quantities.worded import in_units
from benchmate.reckon.asking.answering import Answer, Value
from benchmate.reckon.asking.frame import Input, Plain, Reckoner
from benchmate.reckon.asking.labels import in_labels, labels_of
from benchmate.reckon.asking.render import (
    answer_text,
    plain_text,
    value_text,
    what_is_given,
    what_is_taken,
)
from benchmate.reckon.asking.suffixes import unit_of
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import paragraph
from benchmate.tui.widgets.form import Field

BROADEST = 24


def answer_lines(
    answer: Answer,
    plot: Sequence[Line],
    units: Units,
    cells: int,
    labels: Mapping[str, str],
) -> list[Line]:
    """The results by their labels, the plot, the notes, and where it all comes from."""
    longest = max((len(labels[k]) for k in answer.results), default=0)
    broad = min(BROADEST, cells // 2, longest)
    tables = {k: v for k, v in answer.results.items() if _is_table(v)}
    out: list[Line] = []
    for key, value in answer.results.items():
        if key not in tables:
            text = value_text(value, units, key)
            out += paragraph(text, cells, 12, "strong", f" {fit(labels[key], broad)}  ")
    out += [(), *plot] if plot else []
    for key, value in tables.items():
        out += [line(" ", Span(labels[key], "dim")), *_table(key, value, units, cells)]
    for note in answer.notes:
        out += paragraph(
            in_labels(in_units(note, units), labels), cells, 8, "caution", " ! ", "   "
        )
    for source in answer.sources:
        out += paragraph(source, cells, 4, "dim", " source: ", "   ")
    return out


def _is_table(value: Value) -> bool:
    rows = value.value
    return isinstance(rows, list) and bool(rows) and isinstance(rows[0], dict)


def _table(key: str, value: Value, units: Units, cells: int) -> list[Line]:
    """A list of records in columns; each record as a sentence where they are too broad."""
    alone = Answer("", {}, {key: value}, (), ())
    rows = answer_text(alone, cells, units).splitlines()[1:]
    if all(len(row) < cells for row in rows):
        return [line(row) for row in rows]
    out: list[Line] = []
    for record in value.value if isinstance(value.value, list) else []:
        text = value_text(Value(record, ""), units)
        out += paragraph(text, cells, 6, "plain", " · ", "   ")
    return out


def about_lines(reckoner: Reckoner, cells: int) -> list[Line]:
    """What it takes, what it gives, how, and where that ends."""
    out = paragraph(reckoner.title, cells, 3, "strong")
    labels = labels_of(reckoner)
    needed = [labels[i.key] for i in reckoner.inputs if i.must_be_given]
    free = [labels[i.key] for i in reckoner.inputs if not i.must_be_given]
    known = f"if known {', '.join(free)}" if free else ""
    takes = "; ".join(t for t in (", ".join(needed), known) if t)
    out += paragraph(takes, cells, 4, "plain", " from   ")
    gives = ", ".join(f"{labels[r.key]}{_unit(what_is_given(r))}" for r in reckoner.results)
    out += paragraph(gives, cells, 4, "plain", " gives  ")
    out += paragraph(reckoner.formula, cells, 6, "plain", " by     ")
    for limit in reckoner.limits:
        out += paragraph(limit, cells, 4, "dim", " limit  ")
    return out


def _unit(text: str) -> str:
    return f" ({text})" if text else ""


def field_of(item: Input, label: str, example: str) -> Field:
    """One input as a field of the form."""
    default = "" if item.default is None else plain_text(item.default)
    choices: tuple[str, ...] = ()
    if item.takes == "choice":
        choices = item.choices if default in item.choices else ("", *item.choices)
    elif item.takes == "flag":
        choices = ("", "yes", "no")
    need = "needed" if item.must_be_given else "optional"
    blank = f"{default} if empty" if default else f"such as {example}" if example else need
    hint = f"{_capital(item.meaning)}. {_capital(what_is_taken(item))}."
    return Field(item.key, label, default if choices else "", blank, hint, choices)


def as_note(answer: Answer, units: Units, labels: Mapping[str, str]) -> str:
    """An answer in one sentence, to be kept in a job or sent on."""
    given = ", ".join(
        f"{labels[k]} {_short(v)} {unit_of(k).shown}".rstrip() for k, v in answer.inputs.items()
    )
    found = ", ".join(f"{labels[k]} {value_text(v, units, k)}" for k, v in answer.results.items())
    return f"Reckoned ({answer.name}) from {given}: {found}."


def _short(value: Plain) -> str:
    text = plain_text(list(value) if isinstance(value, tuple) else value)
    return text if len(text) <= 60 else text[:59] + "…"


def sentence(refusal: str, labels: Mapping[str, str]) -> str:
    """A reckoner's refusal as a sentence of its own, its inputs named as the form names them."""
    text = _capital(in_labels(refusal.strip(), labels))
    return text if text.endswith((".", "?", "!", "…")) else f"{text}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
