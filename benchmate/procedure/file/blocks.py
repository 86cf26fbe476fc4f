"""Building blocks: a step that says `use = "shot pour"` becomes the block's own steps."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from benchmate.fields.model import keys_of, validated
from benchmate.fields.problem import Fault, ProcedureError, Where
from benchmate.nearest import advice, nearest
from benchmate.plan.address import slug
from benchmate.procedure.expanding.placeholders import resolved
from benchmate.procedure.file.parameters import defaults_of, parameters_of, refusal
from benchmate.procedure.file.reading import read
from benchmate.procedure.file.schema import STEP_KEYS_OF_A_USE, BlockHead, Parameter, Step

MOST_STEPS = 120


@dataclass(frozen=True)
class Library:
    """The building blocks at hand: their names, and how to get at a block's text by its slug."""

    names: Sequence[str] = ()
    text_of: Callable[[str], str | None] = lambda _: None
    """Slug to text, None where there is no such block."""


@dataclass(frozen=True)
class Block:
    """A building block as its file has it."""

    head: BlockHead
    parameters: Mapping[str, Parameter]
    steps: tuple[dict[str, Any], ...]
    needs: tuple[dict[str, Any], ...]
    text: str


@dataclass(frozen=True)
class Used:
    """A block with its parameters put in: raw steps still to be validated."""

    name: str
    steps: tuple[dict[str, Any], ...] = ()
    needs: tuple[dict[str, Any], ...] = ()
    text: str = field(default="", repr=False)


@lru_cache(maxsize=64)
def load_block(text: str, name: str) -> Block:
    """A block from its file's text; raises ProcedureError with everything wrong in its frame.

    Its steps are only checked where it is used, when its parameters have values.
    """
    from benchmate.fields.located import located

    faults: list[Fault] = []
    data = read(text, name)
    parameters = parameters_of(data.pop("parameters", {}), ("parameters",), faults)
    steps, needs = data.pop("steps", None), data.pop("needs", [])
    head = validated(BlockHead, data, (), faults)
    if not (isinstance(steps, list) and steps and all(isinstance(s, dict) for s in steps)):
        faults.append(Fault(("steps",), "has no steps", "write at least one [[steps]]"))
    if not (isinstance(needs, list) and all(isinstance(n, dict) for n in needs)):
        faults.append(Fault(("needs",), "is not a list of tables", "write [[needs]]"))
    if faults or head is None:
        raise ProcedureError(located(faults, text, name))
    return Block(head, parameters, tuple(steps or ()), tuple(needs), text)


def use(
    raw: Mapping[str, Any],
    where: Where,
    library: Library,
    cache: dict[str, Block | None],
    faults: list[Fault],
) -> Used | None:
    """The block that a step uses, with the step's keys as its parameters."""
    name = raw["use"]
    if not isinstance(name, str):
        faults.append(Fault((*where, "use"), "is not a text", 'write use = "shot pour"'))
        return None
    block = _block(name, where, library, cache, faults)
    if block is None:
        return None
    values = _values(block, raw, where, faults)
    _check_only(block, where, faults)
    inner: list[Fault] = []
    steps = resolved(_kept(list(block.steps), values), values, (), inner)
    needs = resolved([dict(n) for n in block.needs], values, (), inner)
    faults.extend(Fault(where, f"in the block “{name}”: {f.wrong}", f.instead) for f in inner)
    return Used(
        block.head.name, tuple(_changed(steps, raw, where, faults)), tuple(needs), block.text
    )


def _block(
    name: str, where: Where, library: Library, cache: dict[str, Block | None], faults: list[Fault]
) -> Block | None:
    key = slug(name)
    if key not in cache:
        text = library.text_of(key)
        try:
            cache[key] = None if text is None else load_block(text, f"block “{name}”")
        except ProcedureError as error:
            said = "; ".join(str(p) for p in error.problems[:3])
            faults.append(Fault((*where, "use"), f"this block can't be used ({said})", ""))
            cache[key] = None
            return None
    if cache[key] is None:
        wrong = f"there is no building block “{name[:60]}”"
        faults.append(Fault((*where, "use"), wrong, advice(name, library.names)))
    return cache[key]


def _may_be_none(block: Block, key: str, value: Any) -> bool:
    """Whether an empty text says that what the block does anyway is left out here."""
    asked = (step.get("only", {}) for step in block.steps)
    return value == "" and any(isinstance(o, dict) and o.get(key) == "given" for o in asked)


def _values(
    block: Block, raw: Mapping[str, Any], where: Where, faults: list[Fault]
) -> dict[str, Any]:
    values = defaults_of(block.parameters)
    for key, value in raw.items():
        if key in STEP_KEYS_OF_A_USE:
            continue
        if key not in block.parameters:
            wrong = f"the block “{block.head.name}” has no such key"
            faults.append(Fault((*where, key), wrong, _instead_of(key, block)))
            continue
        problem = None if _may_be_none(block, key, value) else refusal(block.parameters[key], value)
        if problem is not None:
            faults.append(Fault((*where, key), *problem))
            continue
        values[key] = value
    for key, parameter in block.parameters.items():
        if parameter.default is None and key not in raw:
            ask = parameter.ask or key
            wrong = f"the block “{block.head.name}” needs it: {ask}"
            faults.append(Fault((*where, key), wrong, f'write {key} = "…"'))
    return values


def _instead_of(key: str, block: Block) -> str:
    """What to write for a key that a block hasn't: one of a step of its own is changed there."""
    known = [*block.parameters, *STEP_KEYS_OF_A_USE]
    ids = [str(s["id"]) for s in block.steps if s.get("id")]
    if key not in keys_of(Step) or not ids or nearest(key, known) is not None:
        return advice(key, known)
    return (
        f"to change it in one of its steps ({', '.join(dict.fromkeys(ids))}), write a heading "
        f"[steps.change.{ids[0] if ' ' not in ids[0] else chr(34) + ids[0] + chr(34)}]"
    )


def _check_only(block: Block, where: Where, faults: list[Fault]) -> None:
    for step in block.steps:
        only = step.get("only", {})
        if not isinstance(only, dict):
            wrong = f"in the block “{block.head.name}”, only is not a table"
            faults.append(Fault(where, wrong, 'write only = { way = "staged" }'))
            continue
        for name in only:
            if name not in block.parameters:
                wrong = f"in the block “{block.head.name}”, only names no parameter: “{name[:40]}”"
                faults.append(Fault(where, wrong, advice(name, block.parameters)))


def _kept(steps: list[dict[str, Any]], values: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The steps whose `only` holds: `only = { way = "staged" }`; "given" means not empty."""
    kept = []
    for step in steps:
        rest = {k: v for k, v in step.items() if k != "only"}
        only = step.get("only", {})
        if isinstance(only, dict) and all(_holds(values.get(k), v) for k, v in only.items()):
            kept.append(rest)
    return kept


def _holds(value: Any, wanted: Any) -> bool:
    if wanted == "given":
        return value not in (None, "", [])
    return bool(value == wanted)


def _changed(
    steps: list[dict[str, Any]], raw: Mapping[str, Any], where: Where, faults: list[Fault]
) -> list[dict[str, Any]]:
    """The steps with what the using step changes in them: `change.pour.hands = "4 min"`."""
    changes = raw.get("change", {})
    if not isinstance(changes, dict):
        faults.append(Fault((*where, "change"), "is not a table", "write [steps.change.pour]"))
        return steps
    ids = [str(s.get("id", "")) for s in steps]
    for name, change in changes.items():
        if name not in ids or not isinstance(change, dict):
            wrong = f"the block has no step “{name[:60]}” to change"
            faults.append(Fault((*where, "change", name), wrong, advice(name, ids)))
    return [
        {**s, **c} if isinstance(c := changes.get(str(s.get("id", ""))), dict) else s for s in steps
    ]
