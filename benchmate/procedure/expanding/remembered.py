"""What is to be remembered at a step: the file's notes, and what earlier jobs wished for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchmate.plan.address import slug
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.schema import Head

Texts = dict[str, tuple[str, ...]]


def notes_of(flats: Sequence[FlatStep]) -> Texts:
    """Each step's own notes, by its name in the plan."""
    return {flat.key: flat.spec.note for flat in flats if flat.spec.note}


def next_time_of(
    flats: Sequence[FlatStep], head: Head, wishes: Mapping[str, tuple[str, ...]]
) -> Texts:
    """What the file's [next_time] says and what earlier jobs wished for, by the step's name."""
    out: Texts = {}
    for name, texts in head.next_time.items():
        key = _key(flats, slug(name))
        out[key] = (*out.get(key, ()), *texts)
    for step, said in wishes.items():
        out[step] = (*out.get(step, ()), *said)
    return {step: tuple(dict.fromkeys(texts)) for step, texts in out.items()}


def _key(flats: Sequence[FlatStep], name: str) -> str:
    """The step of that name, or the first that a building block of that name brings."""
    keys = [f.key for f in flats]
    return name if name in keys else next((f.key for f in flats if f.group == name), name)
