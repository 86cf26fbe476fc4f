"""Which devices may look: paired by eight letters, known by a key of which only a hash is kept."""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypedDict

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""Without those that are taken for each other (I and 1, O and 0): 32, so five bits each."""
CODE_LENGTH = 8
CODE_S = 600.0
"""How long a code may be typed."""
WRONG_A_MINUTE = 5
MOST_DEVICES = 20


class Kept(TypedDict):
    """What the file holds: hashes only."""

    devices: list[str]
    code: str
    until: float


NOBODY = Kept(devices=[], code="", until=0.0)


@dataclass
class Devices:
    """The devices in a file of the shop's folder, and the code that is open just now."""

    file: Path
    now: Callable[[], float]
    _wrong: list[float] = field(default_factory=list)

    def open_code(self) -> str:
        """A new code, good once and for ten minutes, in whatever process serves the page."""
        code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
        self._write({**self._read(), "code": _hash(code), "until": self.now() + CODE_S})
        return code

    @property
    def is_held_off(self) -> bool:
        """Whether too many wrong codes came within a minute."""
        recent = [at for at in self._wrong if self.now() - at < 60.0]
        self._wrong = recent
        return len(recent) >= WRONG_A_MINUTE

    def pair(self, typed: str) -> str | None:
        """A new device's key for the right code; None, and counted, for a wrong one."""
        kept = self._read()
        right = hmac.compare_digest(_hash("".join(typed.split()).upper()), kept["code"])
        if not right or self.now() > kept["until"] or self.is_held_off:
            self._wrong.append(self.now())
            return None
        key = secrets.token_urlsafe(32)
        self._write({**NOBODY, "devices": [*kept["devices"], _hash(key)][-MOST_DEVICES:]})
        return key

    def knows(self, key: str) -> bool:
        """Whether a key belongs to a device that was paired."""
        return any(hmac.compare_digest(_hash(key), kept) for kept in self._read()["devices"])

    def count(self) -> int:
        """How many devices are paired."""
        return len(self._read()["devices"])

    def forget(self) -> int:
        """Forget them all; how many there were."""
        known = self.count()
        self._write(NOBODY)
        return known

    def _read(self) -> Kept:
        try:
            kept = json.loads(self.file.read_text(encoding="utf-8"))
            return Kept(
                devices=[str(one) for one in kept["devices"]],
                code=str(kept["code"]),
                until=float(kept["until"]),
            )
        except (OSError, ValueError, TypeError, KeyError):
            return NOBODY

    def _write(self, kept: Kept) -> None:
        part = self.file.with_suffix(".part")
        part.touch(mode=0o600, exist_ok=True)
        part.chmod(0o600)
        part.write_text(json.dumps(kept), encoding="utf-8")
        part.replace(self.file)


def _hash(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
