"""A note put into a procedure's file, at its step; every other line stays as its writer wrote it.

A line editor and not a TOML writer, which would lose comments and order. There are several ways in
which a file may write a step: each is tried, and what comes out is read back. Unless the one note
was added and nothing else changed, the file is left alone.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from difflib import unified_diff
from typing import Any

from benchmate.fields.positions import Heading, headings_of
from benchmate.fields.problem import Where
from benchmate.plan.address import slug
from benchmate.procedure.file.document import Document
from benchmate.procedure.file.flat import FlatStep

NOTE = "note"


class NoPlace(ValueError):  # noqa: N818 - a maker's wish is refused; nothing went wrong
    """The note can't be put into the file; the text is one sentence that says what to do."""


@dataclass(frozen=True)
class Noted:
    """The file with the note in it, and the lines that are new or changed, as one reads them."""

    text: str
    change: tuple[str, ...]


def with_note(document: Document, step: str, note: str) -> Noted:
    """The file's text with a note at a step, by its name in the plan. Raises NoPlace."""
    said = plain_note(note)
    flat = _step(document, step)
    where = (*flat.where, "change", flat.spec.id) if flat.block else flat.where
    if flat.block and not flat.spec.id:
        raise NoPlace(f"The block “{flat.block}” gives this step no id; write it into the block.")
    notes = [*_held(tomllib.loads(document.text), where), said]
    value = json.dumps(notes[0] if len(notes) == 1 else notes, ensure_ascii=False)
    wanted = _wanted(tomllib.loads(document.text), where, notes)
    for text in _ways(document.text, where, value, wanted):
        if _reads(text) == wanted:
            return Noted(text, _change(document.text, text))
    raise NoPlace(
        f"The way this file writes the step “{step}” is beyond this editor; write "
        f"{NOTE} = {json.dumps(said, ensure_ascii=False)} there by hand."
    )


def plain_note(note: str) -> str:
    """The words on one line, with no braces: those would name a parameter. Raises NoPlace."""
    words = note.replace("{", "(").replace("}", ")")
    said = " ".join("".join(c if c.isprintable() else " " for c in words).split())
    if not said:
        raise NoPlace("There is nothing in this note to write.")
    return said


def _step(document: Document, step: str) -> FlatStep:
    flats = document.standard.steps
    found = next((f for f in flats if f.key == step), None)
    found = found or next((f for f in flats if f.group == slug(step)), None)
    if found is None:
        raise NoPlace(f"{document.name} no longer has a step “{step}”.")
    return found


def _held(data: Any, where: Where) -> list[str]:
    """The notes that stand there already."""
    here = data
    for key in where:
        here = here.get(key, {}) if isinstance(here, dict) else here[key]
    held = here.get(NOTE, []) if isinstance(here, dict) else []
    return [held] if isinstance(held, str) else list(held)


def _wanted(data: dict[str, Any], where: Where, notes: list[str]) -> dict[str, Any]:
    """The file's data as it should read afterwards."""
    wanted = deepcopy(data)
    here: Any = wanted
    for key in where:
        here = here.setdefault(key, {}) if isinstance(here, dict) else here[key]
    here[NOTE] = notes[0] if len(notes) == 1 else notes
    return wanted


def _reads(text: str) -> Any:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


# The ways a file may write it --------------------------------------------------------------------


def _ways(text: str, where: Where, value: str, wanted: Mapping[str, Any]) -> Iterator[str]:
    """Texts to try, the plainest first."""
    headings = headings_of(text)
    own = next((h for h in headings if h.where == where), None)
    step = next((h for h in headings if h.where == where[:2]), None)
    if own is not None:
        yield from _under(text, own, (NOTE,), value)
    if step is None or len(where) == 2:
        return
    ids = where[2:]
    yield from _under(text, step, (*ids, NOTE), value)
    last = [h for h in headings if h.where[:2] == where[:2]][-1]
    heading = ".".join(_key(k) for k in (where[0], *ids))
    yield _after(text, last.end, f"\n[{heading}]\n{NOTE} = {value}\n")
    if ("change",) in step.pairs:
        table = wanted["steps"][where[1]]["change"]
        yield from _under(text, step, ("change",), _inline(table))


def _under(text: str, heading: Heading, key: Where, value: str) -> Iterator[str]:
    """The key under a heading: its value replaced, or a line for it after the last one."""
    data = text.encode()
    if key in heading.pairs:
        first, last = heading.pairs[key]
        yield (data[:first] + value.encode() + data[last:]).decode()
        return
    name = ".".join(_key(k) for k in key).ljust(heading.broad if len(key) == 1 else 0)
    yield _after(text, heading.end, f"{name} = {value}\n")


def _after(text: str, end: int, lines: str) -> str:
    """The lines put in after the line in which byte `end` stands."""
    data = text.encode()
    at = data.find(b"\n", end)
    if at < 0:
        return text + "\n" + lines
    return (data[: at + 1] + lines.encode() + data[at + 1 :]).decode()


def _key(key: object) -> str:
    word = str(key)
    bare = word.isascii() and word.replace("-", "").replace("_", "").isalnum()
    return word if bare else json.dumps(word, ensure_ascii=False)


def _inline(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_inline(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_inline(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False, default=str)


def _change(old: str, new: str) -> tuple[str, ...]:
    """The lines that go and come, with the line before them to know the place by."""
    rows = list(unified_diff(old.splitlines(), new.splitlines(), n=2, lineterm=""))[3:]
    last = max((n for n, r in enumerate(rows) if r[:1] in "+-"), default=-1)
    return tuple(r for r in rows[: last + 1] if not r.startswith("@@"))
