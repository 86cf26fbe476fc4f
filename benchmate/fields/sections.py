"""Sections whose values stand in a plain struct with annotated fields: read without a validating
library where all is well, and by a model made from the same annotations where it isn't.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeVar, get_type_hints

from msgspec import Struct, structs

from benchmate.fields.types import Reads

if TYPE_CHECKING:
    from benchmate.fields.model import Table

Kind = TypeVar("Kind")


class Surprise(Exception):  # noqa: N818 - nobody reads it: the model says what is wrong
    """Something in a table isn't as it should be."""


def _readers(kind: type[Any]) -> dict[str, Any]:
    """Each field's reader, or the struct that its section is."""
    hints = get_type_hints(kind, include_extras=True)
    return {name: next(iter(_reads(hint)), hint) for name, hint in hints.items()}


def _reads(hint: Any) -> list[Reads]:
    return [m for m in getattr(hint, "__metadata__", ()) if isinstance(m, Reads)]


def read_plainly(kind: type[Kind], table: Mapping[str, Any]) -> Kind:
    """The table as this struct, with its defaults where it is silent; raises `Surprise`."""
    readers, values = _readers(kind), {}
    for name, value in table.items():
        reader = readers.get(name)
        if isinstance(reader, Reads):
            try:
                values[name] = reader(value)
            except ValueError as error:
                raise Surprise from error
        elif reader is not None and isinstance(value, Mapping):
            values[name] = read_plainly(reader, value)
        else:
            raise Surprise(name)
    return kind(**values)


def names_of(kind: type[Any], prefix: str = "") -> list[str]:
    """Every name that may be set, "units" or "reminders.volume", sections too."""
    found: list[str] = []
    for name, reader in _readers(kind).items():
        found.append(prefix + name)
        if isinstance(reader, type):
            found += names_of(reader, f"{prefix}{name}.")
    return found


def table_of(kind: type[Any]) -> type[Table]:
    """The model of a struct and its sections, for what is to be said of a wrong value."""
    from pydantic import create_model

    from benchmate.fields.model import Table

    made: dict[str, Any] = {}
    hints = get_type_hints(kind, include_extras=True)
    for field in structs.fields(kind):
        hint = hints[field.name]
        is_section = isinstance(hint, type) and issubclass(hint, Struct)
        made[field.name] = (table_of(hint) if is_section else hint, field.default)
    return create_model(kind.__name__, __base__=Table, **made)
