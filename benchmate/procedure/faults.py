"""pydantic's findings as sentences for a woodworker."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from benchmate.procedure.nearest import advice
from benchmate.procedure.problem import Fault, Where

Model = TypeVar("Model", bound=BaseModel)
SHOWN = 40
_KINDS = {
    "string_type": "a text in quotes", "bool_type": "true or false",
    "bool_parsing": "true or false",
    "dict_type": "a table of key = value", "model_type": "a table of key = value",
    "tuple_type": "a list in [ ]", "list_type": "a list in [ ]", "int_type": "a whole number",
    "model_attributes_type": "a table of key = value",
}  # fmt: skip


def validated(
    model: type[Model], data: Mapping[str, Any], where: Where, faults: list[Fault]
) -> Model | None:
    """The data as this model; what is wrong goes into `faults`, and then the answer is None."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        for found in error.errors(include_url=False):
            faults.append(_fault(model, found, where))
        return None


def _fault(model: type[BaseModel], found: Any, where: Where) -> Fault:
    place, kind = tuple(found["loc"]), found["type"]
    here = (*where, *place)
    holder, field = _field(model, place)
    if kind == "extra_forbidden":
        return Fault(here, "there is no such key", advice(str(place[-1]), keys_of(holder)))
    example = f"write it like {_example(place, field)}" if field is not None else ""
    if kind == "missing":
        return Fault(here, "is missing", example)
    if kind == "value_error":
        wrong, _, instead = str(found["ctx"]["error"]).partition("; ")
        return Fault(here, wrong, instead or example)
    if kind == "literal_error":
        choices = [str(c) for c in found["ctx"]["expected"].replace("'", "").split(", ")]
        choices = [c for part in choices for c in part.split(" or ")]
        return Fault(
            here, f"{_shown(found['input'])} is none of its words", _choose(found, choices)
        )
    if kind in _KINDS:
        return Fault(here, f"{_shown(found['input'])} is not {_KINDS[kind]}", example)
    message = str(found["msg"]).replace("String", "the text").replace("Input", "it")
    return Fault(here, f"{_shown(found['input'])}: {message[0].lower()}{message[1:]}", example)


def _choose(found: Any, choices: list[str]) -> str:
    given = found["input"]
    return advice(given if isinstance(given, str) else "", [c for c in choices if c])


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else json.dumps(value, default=str, ensure_ascii=False)
    text = " ".join(str(text).split())
    text = "".join(c if c.isprintable() else "?" for c in text)
    return f"“{text[: SHOWN - 1]}…”" if len(text) > SHOWN else f"“{text}”"


shown = _shown


def keys_of(model: type[BaseModel]) -> list[str]:
    """The keys that a table of this model may hold, as they stand in a file."""
    return [info.alias or name for name, info in model.model_fields.items()]


def _field(model: type[BaseModel], place: Where) -> tuple[type[BaseModel], FieldInfo | None]:
    """The model that holds a place, and the place's field."""
    holder, field, named = model, None, False
    for key in (k for k in place if isinstance(k, str)):
        if field is not None:
            if not named and get_origin(field.annotation) is dict:
                named = True
                continue
            inner = _model_in(field.annotation)
            if inner is None:
                return holder, field
            holder = inner
        field, named = _by_key(holder, key), False
        if field is None:
            return holder, None
    return holder, field


def _by_key(model: type[BaseModel], key: str) -> FieldInfo | None:
    return next((i for n, i in model.model_fields.items() if key in (n, i.alias)), None)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((m for a in get_args(annotation) if (m := _model_in(a)) is not None), None)


def _example(place: Where, field: FieldInfo) -> str:
    key = next((k for k in reversed(place) if isinstance(k, str)), "")
    example = (field.examples or ["text"])[0]
    if get_origin(field.annotation) is dict and isinstance(example, dict) and len(place) > 1:
        example = next(iter(example.values()))
    return f"{key} = {_toml(example)}"


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False)
