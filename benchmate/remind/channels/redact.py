"""Keeping secrets out of whatever is said about an address that messages go to."""

from __future__ import annotations

import re
from urllib.parse import unquote, unquote_plus

HIDDEN = "***"
SHORTEST_SECRET = 3
SHORTEST_ANYWHERE = 4
"""Parts this long are hidden inside other words too; shorter ones only as a word."""
_SPLIT = re.compile(r"[/@:?&=;,#+]+")
_TOKEN = re.compile(r"\b(?=\w*\d)(?=\w*[A-Za-z])\w{12,}\b")
"""What looks like a key, whoever's it is."""
_ADDRESS = re.compile(r"[a-z][a-z0-9+.-]*://\S+", re.IGNORECASE)


def kind_of_address(address: str) -> str:
    """The part of an address that is no secret: its scheme ("mailtos")."""
    scheme, mark, _ = address.partition("://")
    return scheme if mark and scheme.isascii() and scheme.isalnum() else "message"


def redacted(text: str, addresses: tuple[str, ...]) -> str:
    """The text with every address, and every part of the given ones, hidden.

    Hides more than it must: a host or a user's name is nobody's business either.
    """
    hidden = _ADDRESS.sub(HIDDEN, text)
    secrets = {part for address in addresses for part in _parts(address)}
    for secret in sorted(secrets, key=len, reverse=True):
        pattern = re.escape(secret)
        if len(secret) < SHORTEST_ANYWHERE:
            pattern = rf"(?<!\w){pattern}(?!\w)"
        hidden = re.sub(pattern, HIDDEN, hidden, flags=re.IGNORECASE)
    return _TOKEN.sub(HIDDEN, hidden)


def _parts(address: str) -> set[str]:
    _, _, rest = address.partition("://")
    pieces = {address, rest, *_SPLIT.split(rest or address)}
    pieces |= {unquote(piece) for piece in pieces} | {unquote_plus(piece) for piece in pieces}
    return {piece for piece in pieces if len(piece) >= SHORTEST_SECRET}
