"""Parameters of a procedure or a block: their values, read by kind and held to their limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchmate.fields import types as f
from benchmate.fields.model import validated
from benchmate.fields.problem import Fault, Where
from benchmate.fields.wording import shown, toml_of
from benchmate.nearest import advice
from benchmate.procedure.file.schema import Parameter
from benchmate.quantities import QuantityError

_QUANTITIES: dict[str, f.Reads] = {
    "length": f.LENGTH,
    "weight": f.MASS,
    "temperature": f.TEMPERATURE,
    "area": f.AREA,
    "percent": f.within(f.PERCENT),
    "time": f.DURATION,
    "timed": f.TIMED,
    "size": f.SIZE,
}
_GUESSES = ("weight", "length", "size", "time", "temperature", "area", "percent")
MOST = 60


def parameters_of(data: Any, where: Where, faults: list[Fault]) -> dict[str, Parameter]:
    """The [parameters] table, validated; kinds that aren't given are taken from the default."""
    if not isinstance(data, dict):
        faults.append(Fault(where, "is not a table", "write headings like [parameters.length]"))
        return {}
    found: dict[str, Parameter] = {}
    for name, raw in list(data.items())[:MOST]:
        here = (*where, name)
        if not isinstance(raw, dict):
            faults.append(Fault(here, "is not a table", f"write a heading [parameters.{name}]"))
            continue
        parameter = validated(Parameter, raw, here, faults)
        if parameter is not None:
            found[name] = parameter.model_copy(update={"kind": kind_of(parameter)})
            _check_limits(found[name], here, faults)
    return found


def kind_of(parameter: Parameter) -> str:
    """Its kind: as given, or as its default looks."""
    if parameter.kind is not None:
        return parameter.kind
    if parameter.choices:
        return "choice"
    default = parameter.default
    if isinstance(default, int) and not isinstance(default, bool):
        return "count"
    for kind in _GUESSES if isinstance(default, str) else ():
        try:
            size_of(kind, default)
        except ValueError:
            continue
        return kind
    return "names" if isinstance(default, list) else "text"


def size_of(kind: str, value: Any) -> float | None:
    """A value as a number to compare, None where its kind has none; raises ValueError."""
    if kind == "count":
        if isinstance(value, str) and value.strip().isdecimal() and len(value) < 7:
            return float(value)
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"{shown(value)} is not a whole number; write it like 4")
        return float(value)
    if kind in ("text", "choice", "part", "material"):
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is not a text; put it in quotes")
        return None
    if kind in ("parts", "names"):
        names = [value] if isinstance(value, str) else value
        if not (isinstance(names, list) and all(isinstance(n, str) for n in names)):
            raise ValueError(f'{shown(value)} is not a list of names; write ["one", "another"]')
        return None
    return _quantity_of(kind, value)


def _quantity_of(kind: str, value: Any) -> float:
    reads = _QUANTITIES[kind]
    try:
        read = reads(value)
    except ValueError as error:
        raise ValueError(str(error).replace(f.EXAMPLE, toml_of(reads.example))) from error
    return float(read[0] if isinstance(read, tuple) else read)


def _check_limits(parameter: Parameter, where: Where, faults: list[Fault]) -> None:
    for key in ("default", "at_least", "at_most"):
        value = getattr(parameter, key)
        if value is None or (key == "default" and value == ""):
            continue
        if key != "default" and parameter.kind in (
            "text",
            "choice",
            "part",
            "parts",
            "material",
            "names",
        ):
            faults.append(
                Fault(
                    (*where, key),
                    f"a parameter of kind {parameter.kind} has no limits",
                    "leave it out",
                )
            )
            continue
        problem = refusal(parameter, value) if key == "default" else _unreadable(parameter, value)
        if problem is not None:
            faults.append(Fault((*where, key), *problem))


def _unreadable(parameter: Parameter, value: Any) -> tuple[str, str] | None:
    try:
        size_of(str(parameter.kind), value)
    except (QuantityError, ValueError) as error:
        fault = Fault.said((), error)
        return fault.wrong, fault.instead
    return None


def refusal(parameter: Parameter, value: Any) -> tuple[str, str] | None:
    """What is wrong with a value and what to write instead; None where it is right."""
    unreadable = _unreadable(parameter, value)
    if unreadable is not None:
        return unreadable
    if parameter.choices and value not in parameter.choices:
        return f"{shown(value)} is not one of the choices", advice(str(value), parameter.choices)
    size = size_of(str(parameter.kind), value)
    for key, sign in (("at_least", 1), ("at_most", -1)):
        limit = getattr(parameter, key)
        if size is None or limit is None or _unreadable(parameter, limit) is not None:
            continue
        if sign * size < sign * (size_of(str(parameter.kind), limit) or 0.0):
            word = key.replace("_", " ")
            return f"{shown(value)} is out of its limits", f"it must be {word} {limit}"
    return None


def defaults_of(parameters: Mapping[str, Parameter]) -> dict[str, Any]:
    """The values that stand where nobody says otherwise."""
    return {n: p.default if p.default is not None else "" for n, p in parameters.items()}
