"""How a value that can't be is shown, and what to write in its place."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.fields.problem import Where

SHOWN = 40


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
    return f"write it like {key} = {toml_of(example)}"


def toml_of(value: object) -> str:
    """A value as a file writes it."""
    import json

    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {toml_of(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_of(v) for v in value) + "]"
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


def words_of(choices: Sequence[str]) -> str:
    """Words to choose from, as a sentence lists them: "a, b or c"."""
    *others, last = choices
    return f"{', '.join(others)} or {last}" if others else last
