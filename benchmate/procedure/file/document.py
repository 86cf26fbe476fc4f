"""A procedure file, loaded: checked as far as one can without expanding it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import msgspec

from benchmate.fields.located import located
from benchmate.fields.model import validated
from benchmate.fields.problem import NO_SUCH_KEY, Fault, ProcedureError, Where
from benchmate.nearest import nearest
from benchmate.plan.address import slug
from benchmate.procedure.expanding.placeholders import NO_PARAMETER, NO_STEP, resolved
from benchmate.procedure.file.blocks import MOST_STEPS, Block, Library, Used, use
from benchmate.procedure.file.called import called_of, one_by_one, parts_of, unit_of
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.names import check_names
from benchmate.procedure.file.parameters import defaults_of, parameters_of
from benchmate.procedure.file.part_names import check_part_names
from benchmate.procedure.file.reading import read
from benchmate.procedure.file.schema import FileNeed, Head, Parameter, Step

MOST_INSTANCES = 4000
OF_THE_HEAD = ("about", "piece", "makes", "pieces", "match", "target")
"""Keys that people write below a heading when they think of them late."""


@dataclass(frozen=True)
class Sheet:
    """The procedure with one set of parameter values."""

    head: Head
    steps: tuple[FlatStep, ...]
    needs: tuple[FileNeed, ...]
    blocks: Mapping[str, str]
    """Name of each block used, and its text's hash."""
    units: Mapping[str, str] = field(default_factory=dict)
    """Name of each part to the unit its size is written in."""
    alike: Mapping[str, str] = field(default_factory=dict)
    """Name of each part that is one of several equal ones, to what the file calls them all."""


@dataclass(frozen=True)
class Document:
    """A procedure file as loaded. `sheet` with the defaults has been made once already."""

    file: str
    text: str
    raw: Mapping[str, Any]
    parameters: Mapping[str, Parameter]
    library: Library
    standard: Sheet
    cache: dict[str, Block | None] = field(default_factory=dict, repr=False)

    @property
    def title(self) -> str:
        """The procedure's name."""
        return self.standard.head.name

    @property
    def name(self) -> str:
        """The file's name without folder and ending."""
        return self.file.replace("\\", "/").rpartition("/")[2].removesuffix(".toml")

    @property
    def woods(self) -> dict[str, Parameter]:
        """The wood of each part that the file names outright, as "block.wood": another may be
        chosen for a job without a line being changed."""
        parts = self.raw.get("parts")
        named = ((n, p.get("wood")) for n, p in (parts or {}).items() if isinstance(p, dict))
        return {
            f"{name}.wood": Parameter(ask=f"Wood of the {name}", kind="text", default=wood)
            for name, wood in named
            if isinstance(wood, str) and wood and "{" not in wood
        }

    def sheet(self, values: Mapping[str, Any]) -> Sheet:
        """The procedure with these parameter values (the rest as by default).

        Raises ProcedureError where a step can't be read with them.
        """
        standard = defaults_of(self.parameters)
        every = {**standard, **values}
        if every == standard:
            return self.standard
        faults: list[Fault] = []
        made = _sheet(self.raw, every, self.library, self.cache, faults)
        if faults or made is None:
            raise ProcedureError(located(faults, self.text, self.file))
        return made


def hash_of(text: str) -> str:
    """A short name for exactly this text."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def load(text: str, file: str, library: Library | None = None) -> Document:
    """A procedure from its text; raises ProcedureError with everything that is wrong at once.

    `file` is the name that errors start with. What only shows when steps, windows and amounts
    are put together is found by `proofread`.
    """
    faults: list[Fault] = []
    library = library or Library()
    cache: dict[str, Block | None] = {}
    raw = read(text, file)
    parameters = parameters_of(raw.pop("parameters", {}), ("parameters",), faults)
    for name, parameter in parameters.items():
        if parameter.default is None:
            where = ("parameters", name)
            faults.append(Fault(where, "has no default", f"write default = {_like(parameter)}"))
    made = _sheet(raw, defaults_of(parameters), library, cache, faults)
    if faults or made is None:
        raise ProcedureError(located(without_echoes(faults), text, file))
    return Document(file, text, raw, parameters, library, made, cache)


def _like(parameter: Parameter) -> str:
    return '"120 mm"' if parameter.kind != "count" else "4"


def _sheet(
    raw: Mapping[str, Any],
    values: Mapping[str, Any],
    library: Library,
    cache: dict[str, Block | None],
    faults: list[Fault],
) -> Sheet | None:
    data = resolved(dict(raw), values, (), faults)
    raw_steps = data.pop("steps", None)
    if raw_steps is None and isinstance(data.get("step"), (list, dict)):
        faults.append(
            Fault(("step",), "there is no such heading", "write [[steps]] above each step")
        )
        return None
    raw_parts = data["parts"] if isinstance(data.get("parts"), dict) else {}
    for name, part in raw_parts.items():
        if isinstance(part, dict) and f"{name}.wood" in values:
            part["wood"] = values[f"{name}.wood"]
    called = {n: called_of(n, p) for n, p in raw_parts.items()}
    units = {one: unit_of(p) for n, p in raw_parts.items() for one in called[n]}
    alike = {one: n for n, ones in called.items() for one in ones if one != n}
    head = _head(data, faults)
    if not isinstance(raw_steps, list) or not raw_steps:
        wrong = "is a table, not a list" if isinstance(raw_steps, dict) else "has no steps"
        faults.append(Fault(("steps",), wrong, "write [[steps]] above each step"))
        return None
    if len(raw_steps) > MOST_STEPS:
        faults.append(Fault(("steps",), f"has more than {MOST_STEPS} steps", "split the procedure"))
        return None
    raw_steps = [one_by_one(raw, called) for raw in raw_steps]
    groups = _groups(raw_steps, library, cache, faults)
    steps = _flat(groups, faults)
    needs = [need for flat in steps for need in flat.needs]
    if head is None:
        return None
    named = [*units, *head.built]
    names = [_group_name(raw) for _, raw, _ in groups]
    check_names(head, named, steps, names, faults)
    check_part_names(head, alike, steps, names, faults)
    texts = {u.name: hash_of(u.text) for _, _, u in groups if u is not None}
    return Sheet(head, steps, (*head.needs, *needs), texts, units, alike)


_Group = tuple[int, dict[str, Any], Used | None]


def _groups(
    raw_steps: list[Any], library: Library, cache: dict[str, Block | None], faults: list[Fault]
) -> list[_Group]:
    groups: list[_Group] = []
    for number, raw in enumerate(raw_steps):
        where = ("steps", number)
        if not isinstance(raw, dict):
            faults.append(Fault(where, "is not a table", "write a heading [[steps]]"))
        elif "use" in raw:
            used = use(raw, where, library, cache, faults)
            if used is not None:
                groups.append((number, raw, used))
        elif "do" not in raw and (near := nearest("use", raw)) is not None:
            # Else every key of the block would be a mistake of its own.
            faults.append(Fault((*where, near), NO_SUCH_KEY, 'the nearest is "use"'))
        else:
            groups.append((number, raw, None))
    return groups


def _flat(groups: list[_Group], faults: list[Fault]) -> tuple[FlatStep, ...]:
    taken: dict[str, Where] = {}
    steps: list[FlatStep] = []
    for number, raw, used in groups:
        where: Where = ("steps", number)
        group = _group_name(raw)
        if group in {s.group for s in steps}:
            if raw.get("id"):
                faults.append(
                    Fault((*where, "id"), f"two steps are named “{group}”", "name it anew")
                )
            group = _free(group, {s.group for s in steps})
        for place, inner in enumerate(used.steps if used else (raw,)):
            found = _validated(inner, where, used, raw, faults, first=place == 0)
            if found is None:
                continue
            local = slug(found.id or _first_words(inner))
            key = local if local not in taken else _free(f"{group}-{local}", set(taken))
            taken[key] = where
            block = used.name if used else ""
            needs = _needs(used, faults) if used and place == 0 else ()
            steps.append(FlatStep(found, key, local, group, block, where, place == 0, needs))
    return tuple(steps)


def _needs(used: Used, faults: list[Fault]) -> tuple[FileNeed, ...]:
    read = (validated(FileNeed, need, ("needs",), faults) for need in used.needs)
    return tuple(need for need in read if need is not None)


def _validated(
    inner: dict[str, Any],
    where: Where,
    used: Used | None,
    raw: dict[str, Any],
    faults: list[Fault],
    *,
    first: bool,
) -> Step | None:
    if used is None:
        return validated(Step, inner, where, faults)
    here: list[Fault] = []
    found = validated(Step, inner, (), here)
    for fault in here:
        key = str(fault.where[0]) if fault.where else ""
        changes = raw.get("change")
        change = changes.get(str(inner.get("id"))) if isinstance(changes, dict) else None
        changed = isinstance(change, dict) and key in change
        place = (*where, "change", str(inner.get("id")), key) if changed else where
        said = f"in “{used.name}”, step “{inner.get('id', '')}”, {key}: {fault.wrong}"
        faults.append(Fault(place, said, fault.instead))
    keys = ("after", "sure")
    of_use: list[str] = [k for k in keys if k in raw and (first or k == "sure")]
    if found is not None and of_use:
        # What is wrong with them is said once, not at each of the block's steps.
        stand_in = {"do": "x", **{k: raw[k] for k in of_use}}
        own = validated(Step, stand_in, where, faults if first else [])
        found = found.model_copy(update={k: getattr(own, k) for k in of_use} if own else {})
    return found


def _group_name(raw: Mapping[str, Any]) -> str:
    return slug(str(raw.get("id") or raw.get("use") or _first_words(raw)))


def _head(data: dict[str, Any], faults: list[Fault]) -> Head | None:
    """The head, its parts one by one, so that a mistake in one doesn't hide another's."""
    raw_parts = data.pop("parts", {})
    head = validated(Head, data, (), faults)
    if not isinstance(raw_parts, dict):
        faults.append(Fault(("parts",), "is not a table", "write headings like [parts.block]"))
        return None
    parts = parts_of(raw_parts, head.built if head else (), faults)
    return None if head is None else head.model_copy(update={"parts": parts})


def without_echoes(faults: list[Fault]) -> list[Fault]:
    """Faults less those that only say again that a name in braces has no value."""
    faults = [_at_home(f) for f in faults]
    bare = {f.where for f in faults if _is_of_braces(f)}
    return [f for f in faults if f.where not in bare or _is_of_braces(f)]


def _is_of_braces(fault: Fault) -> bool:
    return fault.wrong.startswith(NO_PARAMETER) or fault.wrong.endswith(NO_STEP)


def _at_home(fault: Fault) -> Fault:
    """A key of the head under some heading: a key belongs to the heading above it."""
    key = fault.where[-1] if fault.where else ""
    if fault.wrong != NO_SUCH_KEY or len(fault.where) < 2 or key not in OF_THE_HEAD:
        return fault
    return msgspec.structs.replace(
        fault, instead="it is about the whole file: write it above the first heading"
    )


def _first_words(raw: Mapping[str, Any]) -> str:
    return " ".join(str(raw.get("do", "step")).replace(".", " ").split()[:3])


def _free(name: str, taken: set[str]) -> str:
    if name not in taken:
        return name
    number = 2
    while f"{name}-{number}" in taken:
        number += 1
    return f"{name}-{number}"
