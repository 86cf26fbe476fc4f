"""Photos: copied into the shop's own folder under a name made of what they show.

The record then keeps that name, so that a photo is found on another laptop too, and a second copy
of the same photo takes no room.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

from benchmate.job.deciding import commands as cmd
from benchmate.journal.files import make_folder, write_durably
from benchmate.papers.sheet import Photo
from benchmate.refusal import Refused
from benchmate.settings import Folders

FOLDER = "photos"
MIMES = {".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".webp": "image/webp"}
LARGEST_BYTES = 40 * 1024 * 1024


def keep_photo(folders: Folders, text: str) -> str:
    """Copy a photo into the shop's folder; returns the name it is recorded by.

    A path that isn't there, or no picture, is left as it was typed: it may be on another disk.
    Raises Refused for one that is too large to keep.
    """
    path = Path(text.strip()).expanduser()
    if not text.strip() or path.suffix.lower() not in MIMES or not path.is_file():
        return text
    if path.stat().st_size > LARGEST_BYTES:
        raise Refused(f"{path.name} is larger than 40 MB; give a smaller copy of the photo.")
    data = path.read_bytes()
    name = f"{FOLDER}/{hashlib.sha256(data).hexdigest()[:20]}{path.suffix.lower()}"
    target = folders.data / name
    if not target.exists():
        make_folder(target.parent)
        write_durably(target, data)
    return name


def beside(backup: Path) -> Path:
    """The folder that a backup's photos lie in: beside it, under its name."""
    return backup.with_name(f"{backup.name}.{FOLDER}")


def copy_photos(source: Path, target: Path) -> int:
    """Copy the photos that the target lacks; returns how many. Each is whole or not there at all.
    Raises Refused where the disk won't take them."""
    copied = 0
    try:
        for path in sorted(source.iterdir()) if source.is_dir() else ():
            if path.suffix.lower() in MIMES and not (target / path.name).exists():
                make_folder(target)
                write_durably(target / path.name, path.read_bytes())
                copied += 1
    except OSError as error:
        raise Refused(
            f"{copied} photos are copied, then: {error.strerror or error}. Make room for "
            f"{target}, or copy the rest of {source} there by hand."
        ) from error
    return copied


def with_photo_kept(folders: Folders, command: cmd.Command) -> cmd.Command:
    """The command with its photo in the shop's folder. Raises Refused for one too large to keep."""
    match command:
        case cmd.Note() | cmd.Finish():
            return replace(command, photo=keep_photo(folders, command.photo))
    return command


def photo_of(folders: Folders, name: str, alternative: str) -> Photo | None:
    """A recorded photo; None where it isn't there or is damaged (its name tells)."""
    kept = name.startswith(f"{FOLDER}/")
    path = folders.data / name if kept else Path(name).expanduser()
    mime = MIMES.get(path.suffix.lower())
    try:
        data = path.read_bytes() if mime and path.is_file() else b""
    except OSError:
        return None
    if not data or mime is None or len(data) > LARGEST_BYTES:
        return None
    if kept and not hashlib.sha256(data).hexdigest().startswith(path.stem):
        return None
    return Photo(data, mime, alternative)
