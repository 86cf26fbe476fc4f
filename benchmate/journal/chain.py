"""The hash chain: what makes a changed, lost or reordered event visible.

Each row's hash covers the hash before it, so one damaged byte anywhere shows at that row. A chain
can't show that its *end* was cut off; that is what `head` is for.
"""

from __future__ import annotations

import hashlib
import struct

GENESIS = bytes(32)
"""The hash that stands before the first row."""

_LENGTHS = struct.Struct(">IQ")


def link(previous: bytes, stream: str, version: int, data: bytes) -> bytes:
    """SHA-256 over the hash before, then stream, version and data, as 32 bytes.

    The stream's length goes in first: without it ("job:1", version 2...) and a longer name could
    give the same bytes. SHA-256 is FIPS 180-4's; the layout is our own.
    """
    name = stream.encode()
    lengths = _LENGTHS.pack(len(name), version)
    return hashlib.sha256(b"".join((previous, lengths, name, data))).digest()


def stream_check(stream: str, version: int, *, is_open: bool) -> bytes:
    """Eight bytes that guard one row of the unchained `streams` table.

    A single flipped bit in the open flag would make a live job vanish from the bench while every
    event is still there; this is what notices.
    """
    return link(GENESIS, stream, version, b"open" if is_open else b"shut")[:8]
