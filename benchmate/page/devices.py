"""Which devices may look: paired by eight letters, known by a key of which only a hash is kept."""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""Without those that are taken for each other (I and 1, O and 0): 32, so five bits each."""
CODE_LENGTH = 8
CODE_S = 600.0
"""How long a code may be typed."""
WRONG_A_MINUTE = 5
MOST_DEVICES = 20


@dataclass
class Devices:
    """The devices in a file of the shop's folder, and the code that is open just now."""

    file: Path
    now: Callable[[], float]
    _code: str = ""
    _until: float = 0.0
    _wrong: list[float] = field(default_factory=list)

    def open_code(self) -> str:
        """A new code, good once and for ten minutes."""
        self._code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
        self._until = self.now() + CODE_S
        return self._code

    @property
    def is_held_off(self) -> bool:
        """Whether too many wrong codes came within a minute."""
        recent = [at for at in self._wrong if self.now() - at < 60.0]
        self._wrong = recent
        return len(recent) >= WRONG_A_MINUTE

    def pair(self, typed: str) -> str | None:
        """A new device's key for the right code; None, and counted, for a wrong one."""
        given = "".join(typed.split()).upper()
        right = bool(self._code) and hmac.compare_digest(given.encode(), self._code.encode())
        if not right or self.now() > self._until or self.is_held_off:
            self._wrong.append(self.now())
            return None
        self._code = ""
        key = secrets.token_urlsafe(32)
        self._write([*self._read(), _hash(key)][-MOST_DEVICES:])
        return key

    def knows(self, key: str) -> bool:
        """Whether a key belongs to a device that was paired."""
        return any(hmac.compare_digest(_hash(key), kept) for kept in self._read())

    def count(self) -> int:
        """How many devices are paired."""
        return len(self._read())

    def forget(self) -> int:
        """Forget them all; how many there were."""
        known = self.count()
        self._write([])
        return known

    def _read(self) -> list[str]:
        try:
            kept = json.loads(self.file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return []
        return [text for text in kept if isinstance(text, str)] if isinstance(kept, list) else []

    def _write(self, hashes: list[str]) -> None:
        part = self.file.with_suffix(".part")
        part.touch(mode=0o600, exist_ok=True)
        part.chmod(0o600)
        part.write_text(json.dumps(hashes), encoding="utf-8")
        part.replace(self.file)


def _hash(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
