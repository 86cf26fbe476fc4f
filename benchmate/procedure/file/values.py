"""What may stand behind a key: texts, quantities with their units, counts, one name or several.

Each reader makes the `Key` of one field: what reads its value, and the example that an error
message tells people to write.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from benchmate.procedure.file.nearest import advice
from benchmate.procedure.file.problem import Fault, Where
from benchmate.quantities import (
    parse,
    parse_duration_s,
    parse_size_mm,
    parse_timed,
    parse_toleranced,
)

SHOWN = 40
WRONG: Any = object()
"""Read in place of a value that can't be; what is wrong with it is among the faults."""

Read = Callable[[Any, Where, list[Fault]], Any]


class Key(NamedTuple):
    """What reads the value of a key, and an example of one."""

    read: Read
    example: Any


# What is said of a value -------------------------------------------------------------------------


def shown(value: object) -> str:
    """A value as its writer knows it, in one line and not too long."""
    import json

    if isinstance(value, float):
        return f"“{value:g}”"
    text = value if isinstance(value, str) else json.dumps(value, default=str, ensure_ascii=False)
    text = " ".join(text.split())
    text = "".join(c if c.isprintable() else "?" for c in text)
    return f"“{text[: SHOWN - 1]}…”" if len(text) > SHOWN else f"“{text}”"


def like(where: Where, example: object) -> str:
    """What to write instead: the key, and an example of what may stand behind it."""
    key = next((k for k in reversed(where) if isinstance(k, str)), "")
    return f"write it like {key} = {_toml(example)}"


def _toml(value: object) -> str:
    import json

    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def kind_of_value(value: object) -> str:
    """What a value is, in words: "a number", "a list", "a date"."""
    names = {
        "bool": "true or false",
        "list": "a list",
        "dict": "a table",
        "int": "a number",
        "float": "a number",
        "str": "a text",
        "date": "a date",
        "datetime": "a date",
        "time": "a time of day",
    }
    return names.get(type(value).__name__, "something else")


# Making keys -------------------------------------------------------------------------------------


def _key(convert: Callable[[Any], Any], example: object) -> Key:
    """A key whose value `convert` reads; it raises ValueError with "what is wrong; what to write"
    (without the second, the example is shown)."""

    def read(value: Any, where: Where, faults: list[Fault]) -> Any:
        try:
            return convert(value)
        except ValueError as error:
            wrong, _, instead = str(error).partition("; ")
            faults.append(Fault(where, wrong, instead or like(where, example)))
            return WRONG

    return Key(read, example)


def anything(example: object) -> Key:
    """Whatever stands there; it is looked at later."""
    return Key(lambda value, where, faults: value, example)


def text(example: str, *, least: int = 0, most: int | None = None) -> Key:
    """A text of at least and at most so many characters."""

    def convert(value: Any) -> str:
        if not isinstance(value, str):
            plain = isinstance(value, (bool, int, float))
            what = shown(value) if plain else kind_of_value(value)
            raise ValueError(f"{what} is not a text in quotes")
        if least and not value.strip():
            raise ValueError("is empty")
        if most is not None and len(value) > most:
            raise ValueError(f"is {len(value)} characters long; write at most {most}")
        return value

    return _key(convert, example)


def texts(example: dict[str, str]) -> Key:
    """A table of names and texts."""
    one = text(next(iter(example.values())))
    return named(one, example)


def named(one: Key, example: dict[str, Any]) -> Key:
    """A table of names, each with a value that `one` reads."""

    def read(value: Any, where: Where, faults: list[Fault]) -> Any:
        if not isinstance(value, dict):
            wrong = f"{shown(value)} is not a table of key = value"
            faults.append(Fault(where, wrong, like(where, example)))
            return WRONG
        found = {k: one.read(v, (*where, k), faults) for k, v in value.items()}
        return WRONG if WRONG in found.values() else found

    return Key(read, example)


def flag(*, example: bool) -> Key:
    """True or false."""

    def convert(value: Any) -> bool:
        if not isinstance(value, bool):
            raise ValueError(f"{shown(value)} is not true or false, without quotes")
        return value

    return _key(convert, example)


def word(choices: Sequence[str], example: str) -> Key:
    """One of some words."""

    def convert(value: Any) -> str:
        if not isinstance(value, str) or value not in choices:
            near = advice(value if isinstance(value, str) else "", [c for c in choices if c])
            raise ValueError(f"{shown(value)} is none of its words; {near}")
        return value

    return _key(convert, example)


def names(example: object) -> Key:
    """One name or a list of names; an empty one is none."""

    def convert(value: Any) -> tuple[str, ...]:
        found = [value] if isinstance(value, str) else value
        if not (isinstance(found, list) and all(isinstance(v, str) for v in found)):
            raise ValueError(
                f'{kind_of_value(value)}, not a name; write "one name" or ["one name", "another"]'
            )
        return tuple(v for v in found if v)

    return _key(convert, example)


def count(example: int, *, least: int, most: int) -> Key:
    """A whole number within limits."""

    def convert(value: Any) -> int:
        if isinstance(value, str) and value.strip().isdecimal() and len(value) < 7:
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"{shown(value)} is not a whole number")
        return int(_within(value, least, most, str))

    return _key(convert, example)


def counts(example: dict[str, int], *, most: int) -> Key:
    """How many of what: a table of names and whole numbers, or a name or several for one each."""
    one = count(1, least=1, most=most)
    table = named(one, example)

    def read(value: Any, where: Where, faults: list[Fault]) -> Any:
        each = [value] if isinstance(value, str) else value
        if isinstance(each, list) and all(isinstance(v, str) for v in each):
            return {v: each.count(v) for v in each if v}
        return table.read(value, where, faults)

    return Key(read, example)


def _within(value: float, least: float, most: float, say: Callable[[float], str]) -> float:
    if value < least:
        raise ValueError(f"{shown(say(value))} is too little; write {say(least)} or more")
    if value > most:
        raise ValueError(f"{shown(say(value))} is too much; write {say(most)} or less")
    return value


# Quantities --------------------------------------------------------------------------------------


def _quantity(read: Callable[[str], Any], example: str) -> Key:
    def convert(value: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            raise ValueError(f"{kind_of_value(value)} where a quantity was expected")
        if not isinstance(value, str):
            raise ValueError(
                f"{str(value)[:SHOWN]} has no unit; write it with its unit and in quotes, like "
                f'"{example}"'
            )
        if not value.strip():
            raise ValueError("is empty")
        return read(value)

    return _key(convert, example)


def mass(example: str) -> Key:
    """A weight, in g."""
    return _quantity(lambda t: parse("mass", t), example)


def length(example: str) -> Key:
    """A length, in mm."""
    return _quantity(lambda t: parse("length", t), example)


def area(example: str) -> Key:
    """An area, in mm²."""
    return _quantity(lambda t: parse("area", t), example)


def density(example: str) -> Key:
    """A density, in g/cm³."""
    return _quantity(lambda t: parse("density", t), example)


def percent(example: str, *, least: float = 0.0, most: float = 100.0) -> Key:
    """A share of a hundred, within limits."""
    return _quantity(
        lambda t: _within(parse("percent", t), least, most, lambda v: f"{v:g} %"), example
    )


def temperature(example: str) -> Key:
    """A temperature, in °C."""
    return _quantity(lambda t: parse("temperature", t), example)


def duration(example: str) -> Key:
    """A time, in s."""
    return _quantity(parse_duration_s, example)


def timed(example: str) -> Key:
    """A time, with the temperature it holds for."""
    return _quantity(parse_timed, example)


def toleranced(example: str) -> Key:
    """A weight with its tolerance, in g."""
    return _quantity(lambda t: parse_toleranced("mass", t), example)


def size(example: str) -> Key:
    """Lengths with x between them, in mm."""
    return _quantity(lambda t: parse_size_mm(t, count=None), example)


def each_of(one: Key, example: object, *, most: int) -> Key:
    """A list of at most so many, each read by `one`."""

    def read(value: Any, where: Where, faults: list[Fault]) -> Any:
        if not isinstance(value, list):
            what = kind_of_value(value) if isinstance(value, dict) else shown(value)
            wrong = f"{what} is not a list in [ ]"
            faults.append(Fault(where, wrong, like(where, example)))
            return WRONG
        if len(value) > most:
            faults.append(Fault(where, f"lists {len(value)}", f"write at most {most}"))
            return WRONG
        found = tuple(one.read(v, (*where, n), faults) for n, v in enumerate(value))
        return WRONG if WRONG in found else found

    return Key(read, example)
