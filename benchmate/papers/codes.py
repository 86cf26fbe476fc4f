"""Short codes for labels: seven letters that every keyboard layout types alike.

Letters only from keys that stand in the same place on QWERTY, QWERTZ and AZERTY, without vowels, so
that no word comes up: 24 bits of a hash of the address, and a check letter. A scanner that types,
or a hand, puts `FIND` in front: at the bench that letter means *find this label* until Enter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import blake2b

LETTERS = "BCDFGHJKLNPRSTVX"
FIND = "V"
"""Begins every code; the bench has no other use for this key."""
LENGTH = 7


def code_of(address: str) -> str:
    """The code of a piece's or part's address, `FIND` in front."""
    digest = blake2b(address.encode("utf-8"), digest_size=3).digest()
    nibbles = [n for byte in digest for n in (byte >> 4, byte & 15)]
    return FIND + "".join(LETTERS[n] for n in [*nibbles, _check(nibbles)])


def _check(nibbles: Iterable[int]) -> int:
    """Weighted so that one wrong letter, or two neighbours swapped, shows."""
    return sum((2 * place + 1) * n for place, n in enumerate(nibbles)) % 16


def is_code(text: str) -> bool:
    """Whether these letters are a code and were typed right."""
    letters = plain(text)
    if len(letters) != LENGTH + 1 or not letters.startswith(FIND):
        return False
    if any(letter not in LETTERS for letter in letters[1:]):
        return False
    nibbles = [LETTERS.index(letter) for letter in letters[1:]]
    return _check(nibbles[:-1]) == nibbles[-1]


def plain(text: str) -> str:
    """A code as it was printed or typed, without its gaps and in capitals."""
    return "".join(text.split()).upper()


def shown(code: str) -> str:
    """In two groups, as people read it: "VLKR RKXB"."""
    return f"{code[:4]} {code[4:]}"


def found(text: str, addresses: Iterable[str]) -> str:
    """The address whose code this is; empty where there is none."""
    wanted = plain(text)
    return next((a for a in addresses if code_of(a) == wanted), "") if is_code(text) else ""


def clashes(addresses: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """Codes that two addresses share: with 24 bits, once in many thousand labels."""
    by_code: dict[str, list[str]] = {}
    for one in dict.fromkeys(addresses):
        by_code.setdefault(code_of(one), []).append(one)
    return {code: tuple(many) for code, many in by_code.items() if len(many) > 1}
