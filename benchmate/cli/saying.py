"""What a command prints: names and notes are the maker's, and must not steer a terminal."""

from __future__ import annotations

import re
from textwrap import fill

_STEERS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Control characters but for tab and line end, and marks that turn the reading direction."""


def harmless(text: str) -> str:
    """The text with every character that would steer a terminal shown as "·"."""
    return _STEERS.sub("·", text)


LONGEST_LINE = 400
"""A refusal's line is cut beyond this: it quotes what was typed, which may be a pasted page."""


def in_short(text: str) -> str:
    """The text with the middle of overlong lines left out."""
    return "\n".join(_cut(line) for line in text.split("\n"))


def _cut(line: str) -> str:
    if len(line) <= LONGEST_LINE:
        return line
    half = LONGEST_LINE // 2
    return f"{line[:half].rstrip()} … {line[-half // 2 :].lstrip()}"


class Unsaid(Exception):  # noqa: N818  (what happened to the words, not to the record)
    """What there was to say could not be written out. It is no matter of the journal's."""


def put(text: str, *, err: bool = False, wide: int | None = None) -> None:
    """Print a text and a line end, whatever was pasted into the names and notes it holds.

    Lines longer than `wide` are broken between words, and go on a little further in.

    Raises Unsaid where standard output can't take it.
    """
    if wide is not None:
        text = "\n".join(fill(line, wide, subsequent_indent="  ") for line in text.split("\n"))
    echo(harmless(text), err=err)


def echo(text: str, *, err: bool = False) -> None:
    """Print a text as it is, and a line end. Raises Unsaid, BrokenPipeError."""
    import click  # `next` takes `harmless` and needs none of it

    try:
        click.echo(text, err=err)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Unsaid(f"{error.strerror or error}") from error
