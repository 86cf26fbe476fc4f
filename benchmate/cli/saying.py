"""What a command prints: names and notes are the maker's, and must not steer a terminal."""

from __future__ import annotations

import re

import click

_STEERS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Control characters but for tab and line end, and marks that turn the reading direction."""


def harmless(text: str) -> str:
    """The text with every character that would steer a terminal shown as "·"."""
    return _STEERS.sub("·", text)


def put(text: str, *, err: bool = False) -> None:
    """Print a text and a line end, whatever was pasted into the names and notes it holds."""
    click.echo(harmless(text), err=err)
