"""A text file that a maker names in place of typing what a reckoner asks for."""

from __future__ import annotations

from pathlib import Path

from benchmate.quantities import quote
from benchmate.reckon import Refused

LARGEST_FILE = 1 << 20


def read_file(key: str, name: str) -> str:
    """Return the text of a file of at most 1 MiB; raises Refused with the reason."""
    path = Path(name).expanduser()
    try:
        if not path.is_file():
            raise Refused(f"{key}: there is no file {quote(name)}")
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "its name can't be used"
        if isinstance(error, Refused):
            raise
        raise Refused(f"{key}: {quote(name)} can't be read: {reason}") from error
    if len(content) > LARGEST_FILE:
        raise Refused(f"{key}: {quote(name)} is larger than 1 MiB; give the sizes and nothing else")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refused(f"{key}: {quote(name)} is not UTF-8 text at byte {error.start}") from error
