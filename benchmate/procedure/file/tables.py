"""Tables of a procedure file as values: every key read by what its field says, and all that is
wrong with them said at once.

msgspec makes the values; it reports only the first mistake, so that each key is read here by its
own reader. A validating library that reports them all costs a third of a proofreading's time to
load, and its messages would all have to be put in other words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, NamedTuple, TypeVar

import msgspec

from benchmate.procedure.file.nearest import advice
from benchmate.procedure.file.problem import Fault, Where
from benchmate.procedure.file.values import WRONG, Key, each_of, like, shown


class Table(msgspec.Struct, frozen=True, kw_only=True):
    """A table whose fields are `Annotated` with the `Key` that reads them."""


Model = TypeVar("Model", bound=Table)
NO_SUCH_KEY = "there is no such key"
MOST = 200
"""Tables in one list; a procedure is a few pages."""


class _Field(NamedTuple):
    name: str
    key: Key
    required: bool


@cache
def fields_of(model: type[Table]) -> dict[str, _Field]:
    """A table's fields by their words in the file."""
    hints: dict[str, Any] = {}
    for base in reversed(model.__mro__):
        hints.update(getattr(base, "__annotations__", {}))
    infos = msgspec.structs.fields(model)
    return {f.encode_name: _Field(f.name, hints[f.name].__metadata__[0], f.required) for f in infos}


def keys_of(model: type[Table]) -> list[str]:
    """The keys that a table of this kind may hold, as they stand in a file."""
    return list(fields_of(model))


def validated(
    model: type[Model], data: Mapping[str, Any], where: Where, faults: list[Fault]
) -> Model | None:
    """The data as this table; what is wrong goes into `faults`, and then the answer is None."""
    fields = fields_of(model)
    found: dict[str, Any] = {}
    strange = [word for word in data if word not in fields]
    for word in strange:
        known = [*fields, "use"] if where[:1] == ("steps",) and len(where) == 2 else fields
        faults.append(Fault((*where, word), NO_SUCH_KEY, advice(word, known)))
    for word, field in fields.items():
        here = (*where, word)
        if word in data:
            found[field.name] = field.key.read(data[word], here, faults)
        elif field.required:
            faults.append(Fault(here, "is missing", like(here, field.key.example)))
            found[field.name] = WRONG
    return None if strange or WRONG in found.values() else model(**found)


def table(
    model: Callable[[], type[Table]],
    example: object,
    short: Callable[[str], Mapping[str, Any]] | None = None,
) -> Key:
    """A table within a table; `short` makes one of a text, where a text may stand for it."""

    def read(value: Any, where: Where, faults: list[Fault]) -> Any:
        data = short(value) if short is not None and isinstance(value, str) else value
        if not isinstance(data, dict):
            wrong = f"{shown(value)} is not a table of key = value"
            faults.append(Fault(where, wrong, like(where, example)))
            return WRONG
        found = validated(model(), data, where, faults)
        return WRONG if found is None else found

    return Key(read, example)


def tables(model: Callable[[], type[Table]], example: object, *, most: int = MOST) -> Key:
    """A list of tables."""
    return each_of(table(model, example), example, most=most)
