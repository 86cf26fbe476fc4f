"""What may stand behind a key: quantities with their units, counts, one name or several."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainValidator

from benchmate.quantities import (
    TimedAt,
    Toleranced,
    parse,
    parse_duration_s,
    parse_size_mm,
    parse_timed,
    parse_toleranced,
)


def _text(value: object, example: str) -> str:
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise ValueError(f"a {_kind(value)} where a quantity was expected; write it like {example}")
    if not isinstance(value, str):
        raise ValueError(
            f'{value} has no unit; write it with its unit and in quotes, like "{example}"'
        )
    return value


def _kind(value: object) -> str:
    names = {bool: "true or false", list: "list", dict: "table", int: "number", float: "number"}
    return names.get(type(value), type(value).__name__)


def _reads(read: Callable[[str], Any], example: str) -> PlainValidator:
    def convert(value: object) -> Any:
        return value if isinstance(value, tuple) else read(_text(value, example))

    return PlainValidator(convert)


def _quantity(kind: str, example: str) -> PlainValidator:
    def convert(value: object) -> float:
        return parse(kind, _text(value, example))

    return PlainValidator(convert)


def _names(value: object) -> Any:
    if isinstance(value, str):
        return (value,) if value else ()
    if isinstance(value, list) and all(isinstance(v, str) for v in value):
        return tuple(v for v in value if v)
    if isinstance(value, tuple):
        return value
    raise ValueError('not a name; write "one name" or ["one name", "another"]')


def _count(value: object) -> Any:
    if isinstance(value, str) and value.strip().isdecimal() and len(value) < 7:
        return int(value)
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError("not a whole number; write it like 4")
    return value


Mass = Annotated[float, _quantity("mass", "12 g")]
Length = Annotated[float, _quantity("length", "12 mm")]
AreaMm2 = Annotated[float, _quantity("area", "45 cm²")]
Density = Annotated[float, _quantity("density", "0.62 g/cm³")]
Percent = Annotated[float, _quantity("percent", "9 %")]
Temperature = Annotated[float, _quantity("temperature", "15 °C")]
Duration = Annotated[float, _reads(parse_duration_s, "20 min")]
Timed = Annotated[TimedAt, _reads(parse_timed, "45 min at 21 °C")]
TolerancedMass = Annotated[Toleranced, _reads(lambda t: parse_toleranced("mass", t), "850 g ± 8 g")]
Size = Annotated[
    tuple[float, ...], _reads(lambda t: parse_size_mm(t, count=None), "120 x 90 x 60 mm")
]
Names = Annotated[tuple[str, ...], PlainValidator(_names)]
Count = Annotated[int, BeforeValidator(_count)]
