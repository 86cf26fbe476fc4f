"""Text to data: the limits of a file, and TOML with a sentence for its first syntax error."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from benchmate.fields.problem import Problem, ProcedureError

LARGEST_BYTES = 1 << 20
DEEPEST = 20
_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")
_BARE = re.compile(r"\s*[\w.-]+\s*=\s*[-+]?\d[\d.,/ ]*\s*[^\W\d]")
_DIGITS = re.compile(r"\d{400}")
_CURLY = re.compile("=\\s*[\u201c\u201d\u201e\u2018\u2019]")
_HEADING = re.compile(r"\s*(\[[^\[\]=]+\]\]|\[\[[^\[\]=]+\]|\[\[?[^\[\]=]+)\s*(#.*)?$")
_NESTED = re.compile(r"[\[{]")

_PLAIN = (
    ("Cannot overwrite a value", "this key stands twice in its table", "keep one of the two"),
    ("Cannot declare", "this heading stands twice", "keep one, or write [[steps]] for a list"),
    ("Expected '=' after a key", "a key without a value", 'write it like name = "value"'),
    ("Invalid value", "a value that can't be read", 'put text and quantities in "quotes"'),
    ("Unterminated string", "a text whose quotes don't close", 'end it with a "'),
    ("Illegal character '\\n'", "a text that doesn't end on its line", 'end it with a "'),
    ("Illegal character", "a character that can't stand here", "type it again by hand"),
    ("Expected newline", "more than one thing on a line", "write one key = value on each line"),
    ("Unclosed array", "a list that doesn't close", "end it with a ]"),
    ("Unclosed inline table", "a table that doesn't close", "end it with a }"),
    ("Expected ']'", "a heading that doesn't close", "write it like [parts.block]"),
)


def decode(data: bytes, name: str) -> str:
    """The text of a file's bytes; raises ProcedureError when too large or not UTF-8."""
    if len(data) > LARGEST_BYTES:
        raise _refused(name, 1, "the file is larger than 1 MiB", "a procedure is a few pages")
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _refused(name, line, "the file is not UTF-8 text", "save it as UTF-8") from None


def read(text: str, name: str) -> dict[str, Any]:
    """The data of a TOML text; raises ProcedureError for what can't be read."""
    if len(text.encode("utf-8", "replace")) > LARGEST_BYTES:
        raise _refused(name, 1, "the file is larger than 1 MiB", "a procedure is a few pages")
    for number, line in enumerate(text.split("\n"), start=1):
        if len(_NESTED.findall(line)) > DEEPEST * 4 or line.count(".") > 2000:
            raise _refused(name, number, "too much nested on one line", "write plain tables")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax(name, text, str(error)) from None
    except RecursionError:
        raise _refused(name, 1, "the file is nested too deep", "write plain tables") from None
    except (ValueError, OverflowError):
        raise _refused(
            name,
            _line_of_digits(text),
            "a number with too many digits",
            "write it shorter, with its unit and in quotes",
        ) from None
    if _depth(data) > DEEPEST:
        raise _refused(name, 1, "the file is nested too deep", "write plain tables")
    return data


def _line_of_digits(text: str) -> int:
    found = _DIGITS.search(text)
    return text.count("\n", 0, found.start()) + 1 if found else 1


def _depth(data: object) -> int:
    """How deep the data is nested, without recursion: it may be deeper than Python's stack."""
    level, deep = [data], 0
    while level and deep <= DEEPEST:
        deep += 1
        inner = [x.values() if isinstance(x, dict) else x for x in level]
        level = [
            v
            for x in inner
            if not isinstance(x, (str, int, float)) and hasattr(x, "__iter__")
            for v in x
            if isinstance(v, (dict, list))
        ]
    return deep


def _syntax(name: str, text: str, said: str) -> ProcedureError:
    found = _AT_LINE.search(said)
    at = found.group(1) if found else None
    line = int(at) if at else max(1, text.rstrip().count("\n") + 1)
    lines = text.split("\n")
    if line <= len(lines) and _BARE.match(lines[line - 1]):
        return _refused(name, line, "a quantity without quotes", 'write it like hands = "20 min"')
    if line <= len(lines) and _CURLY.search(lines[line - 1]):
        return _refused(
            name,
            line,
            "curly quotes, which stand for nothing here",
            'type straight ones: name = "value"',
        )
    if line <= len(lines) and _HEADING.match(lines[line - 1]):
        return _refused(
            name,
            line,
            "a heading whose brackets don't match",
            "write it like [parts.block], or [[steps]] for each step",
        )
    for start, wrong, instead in _PLAIN:
        if said.startswith(start):
            return _refused(name, line, wrong, instead)
    plain = "".join(c if c.isprintable() else "?" for c in _AT_LINE.sub("", said)[:120])
    return _refused(name, line, plain, 'write one key = "value" per line')


def _refused(name: str, line: int, wrong: str, instead: str) -> ProcedureError:
    return ProcedureError([Problem(name, line, "", wrong, instead)])
