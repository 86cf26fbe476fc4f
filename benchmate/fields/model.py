"""Tables as pydantic models, and the one collector of everything that is wrong with one.

pydantic finds all mistakes of a table at once; here each becomes a `Fault` in our words: where,
what is wrong, what to write instead. A table that has none is asked what its keys together make
impossible (`Table.clashes`), so that a wrong value isn't followed by what follows from it.
"""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from benchmate.fields.problem import MISSING, NO_SUCH_KEY, Fault, Where
from benchmate.fields.types import EXAMPLE, UNKNOWN, Reads
from benchmate.fields.wording import kind_of_value, like, shown, toml_of
from benchmate.nearest import advice, nearest
from benchmate.quantities.worded import Worded

MOST = 200
"""Tables in one list; a procedure is a few pages."""
UNSET: Any = ...


class Table(BaseModel):
    """A table of key = value, each key once, none but its own."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    also: ClassVar[tuple[str, ...]] = ()
    """Words that may be meant by a misspelt key, though they aren't read here."""

    def clashes(self) -> Iterator[Fault]:
        """What its keys together make impossible; places are from this table on."""
        return iter(())


Model = TypeVar("Model", bound=Table)


def key(example: Any, default: Any = None, **more: Any) -> Any:
    """A field with the example that a message tells people to write."""
    return Field(default, examples=[example], **more)


def needed(example: Any, **more: Any) -> Any:
    """A field that must be given."""
    return Field(UNSET, examples=[example], **more)


def keys_of(model: type[Table]) -> list[str]:
    """The keys that a table of this kind may hold, as they stand in a file."""
    return [info.alias or name for name, info in model.model_fields.items()]


def validated(
    model: type[Model], data: Mapping[str, Any], where: Where, faults: list[Fault]
) -> Model | None:
    """The data as this table; what is wrong goes into `faults`, and then the answer is None."""
    try:
        read = model.model_validate(data)
    except ValidationError as error:
        errors = error.errors(include_url=False)
        faults.extend(_without_echoes([_fault(model, e, where) for e in errors]))
        return None
    clashing = [Fault((*where, *f.where), f.wrong, f.instead) for f in _clashes(read)]
    faults.extend(clashing)
    return None if clashing else read


def _without_echoes(faults: list[Fault]) -> list[Fault]:
    """Faults less those of a missing key that only stands there misspelt."""
    strange = {f.where for f in faults if f.wrong == NO_SUCH_KEY}

    def is_echo(fault: Fault) -> bool:
        above, word = fault.where[:-1], str(fault.where[-1])
        beside = [str(place[-1]) for place in strange if place[:-1] == above]
        return fault.wrong == MISSING and nearest(word, beside) is not None

    return [fault for fault in faults if not is_echo(fault)]


def _clashes(read: Table, where: Where = ()) -> Iterator[Fault]:
    for fault in read.clashes():
        yield Fault((*where, *fault.where), fault.wrong, fault.instead)
    for name, info in type(read).model_fields.items():
        here = (*where, info.alias or name)
        value = getattr(read, name)
        if isinstance(value, Table):
            yield from _clashes(value, here)
        elif isinstance(value, (tuple, dict)):
            several = value.items() if isinstance(value, dict) else enumerate(value)
            for place, item in several:
                if isinstance(item, Table):
                    yield from _clashes(item, (*here, place))


def _fault(model: type[Table], error: ErrorDetails, where: Where) -> Fault:
    """One of pydantic's errors in our words."""
    place: Where = (*where, *error["loc"])
    table, info, rest = _field(model, error["loc"])
    value, context = error["input"], error.get("ctx", {})
    example = _example(info, rest)
    match error["type"]:
        case "extra_forbidden":
            word = str(error["loc"][-1])
            return Fault(place, NO_SUCH_KEY, advice(word, [*keys_of(table), *table.also]))
        case "missing":
            return Fault(place, MISSING, like(place, example))
        case "model_type" | "model_attributes_type" | "dict_type":
            wrong = f"{shown(value)} is not a table of key = value"
            heading = f"write a heading [{place[-1]}]" if example == UNKNOWN else ""
            return Fault(place, wrong, heading or like(place, example))
        case "tuple_type" | "list_type":
            what = kind_of_value(value) if isinstance(value, dict) else shown(value)
            return Fault(place, f"{what} is not a list in [ ]", like(place, example))
        case "too_long":
            wrong = f"lists {context['actual_length']}"
            return Fault(place, wrong, f"write at most {context['max_length']}")
        case "literal_error":
            return Fault(place, f"{shown(value)} is none of its words", _nearest_word(info, value))
    raised = context.get("error")
    said = raised.args[0] if isinstance(raised, ValueError) and raised.args else "can't be read"
    if isinstance(said, Worded):
        return Fault(place, said)  # Taken apart it would lose its quantities.
    wrong, _, instead = str(said).partition("; ")
    if not instead and example != UNKNOWN:
        instead = like(place, example)
    return Fault(place, wrong, instead.replace(EXAMPLE, toml_of(example)))


def _field(
    model: type[Table], loc: tuple[int | str, ...]
) -> tuple[type[Table], FieldInfo | None, tuple[int | str, ...]]:
    """The table and the field that a place is in, and what of the place lies within the field."""
    table, info, rest = model, None, loc
    for number, step in enumerate(loc):
        fields = {f.alias or name: f for name, f in table.model_fields.items()}
        if step not in fields:
            continue
        info, rest = fields[str(step)], loc[number + 1 :]
        inner = _table_in(info.annotation)
        if inner is None or not rest:
            break
        table = inner
    return table, info, rest


def _table_in(annotation: Any) -> type[Table] | None:
    """The table that an annotation speaks of, alone, in a list or behind names."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    found = (_table_in(inner) for inner in get_args(annotation))
    return next((table for table in found if table is not None), None)


def _example(info: FieldInfo | None, rest: tuple[int | str, ...]) -> Any:
    """A field's example; what of it stands at this place within the field."""
    example = _own_example(info)
    for _ in rest:
        if isinstance(example, dict) and example:
            example = next(iter(example.values()))
        elif isinstance(example, (list, tuple)) and example:
            example = example[0]
    return example


def _own_example(info: FieldInfo | None) -> Any:
    if info is None:
        return UNKNOWN
    if info.examples:
        return info.examples[0]
    reads = (m for m in info.metadata if isinstance(m, Reads))
    return next((r.example for r in reads), UNKNOWN)


def _nearest_word(info: FieldInfo | None, value: object) -> str:
    words = [w for w in _words(info.annotation if info else None) if w]
    return advice(value if isinstance(value, str) else "", words)


def _words(annotation: Any) -> list[str]:
    inner = get_args(annotation)
    flat = [w for a in inner for w in ([a] if isinstance(a, str) else _words(a))]
    return list(dict.fromkeys(flat))
