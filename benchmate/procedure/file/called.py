"""The parts of a file, each checked by itself; equal ones are called one by one."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from functools import partial
from typing import Any

from benchmate.fields.model import validated
from benchmate.fields.problem import Fault, Where
from benchmate.procedure.bodies.bodies import voids_of
from benchmate.procedure.bodies.shapes import ShapeError, sizes_of
from benchmate.procedure.file.part_schema import Form, Part


def parts_of(
    raw_parts: Mapping[str, Any], bodies: Collection[str], faults: list[Fault]
) -> dict[str, Part]:
    """The parts by their own names, so that a mistake in one doesn't hide another's."""
    parts: dict[str, Part] = {}
    for name, raw in raw_parts.items():
        where = ("parts", name)
        if not isinstance(raw, dict):
            faults.append(Fault(where, "is not a table", f"write a heading [parts.{name}]"))
            continue
        part = validated(Part, raw, where, faults)
        if part is None:
            continue
        _check_shape(part, where, faults)
        names = part.called or (name,)
        taken = next((n for i, n in enumerate(names) if n in (*parts, *bodies, *names[:i])), None)
        if taken is not None:
            key = (*where, "called") if part.called else where
            faults.append(Fault(key, f"two parts are called “{taken[:40]}”", "name one anew"))
        one = part.model_copy(update={"called": ()})
        parts.update(dict.fromkeys(names, one))
    return parts


def called_of(name: str, raw: Any) -> list[str]:
    """The parts that a heading stands for: itself, or equal ones by their own names."""
    called = raw.get("called") if isinstance(raw, dict) else None
    called = [called] if isinstance(called, str) else called
    good = isinstance(called, list) and called and all(isinstance(c, str) and c for c in called)
    return list(called) if good and called else [name]


def one_by_one(raw: Any, called: Mapping[str, list[str]]) -> Any:
    """A raw step in which a name for equal parts stands for each of them."""
    if not isinstance(raw, dict):
        return raw
    put = {}
    for key in ("part", "of"):
        names = raw.get(key)
        names = [names] if isinstance(names, str) else names
        if isinstance(names, list) and any(called.get(str(n), [n]) != [n] for n in names):
            put[key] = [one for n in names for one in called.get(str(n), [n])]
    return {**raw, **put}


def unit_of(raw: Any) -> str:
    """The unit that a part's size is written in: what it is shown in again."""
    texts = [raw.get("size"), *_listed(raw.get("profile"))] if isinstance(raw, dict) else []
    written = next((t for t in texts if isinstance(t, str)), "")
    found = re.search(r"(cm|mm|in|\"|″)\s*$", written)
    return {"cm": "cm", "in": "in", '"': "in", "″": "in"}.get(found[1], "mm") if found else "mm"


def _listed(raw: Any) -> list[Any]:
    return raw if isinstance(raw, list) else []


def _check_shape(part: Part, where: Where, faults: list[Fault]) -> None:
    """Sizes that are too few or too many for their shape."""
    shapes: list[tuple[Form, Where]] = []
    shapes += [(part, where)] if part.size is not None or part.shape != "block" else []
    shapes += [(part.void, (*where, "void"))] if part.void is not None else []
    shapes += [(void, (*where, "voids", name)) for name, void in part.voids.items()]
    checks: list[tuple[Where, Callable[[], object]]] = [(where, partial(voids_of, part))]
    checks += [(here, partial(sizes_of, shape)) for shape, here in shapes]
    for here, check in checks:
        try:
            check()
        except ShapeError as error:
            faults.append(Fault.said((*here, *error.key), error))
