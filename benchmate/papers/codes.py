"""Short codes for labels: seven letters that every keyboard layout types alike.

Letters only from keys that stand in the same place on QWERTY, QWERTZ and AZERTY, without vowels, so
that no word comes up: 24 bits of a hash of the address, and a check letter. A scanner that types,
or a hand, puts `FIND` in front: at the bench that letter means *find this label* until Enter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from hashlib import blake2b

from benchmate.refusal import Refused

LETTERS = "BCDFGHJKLNPRSTVX"
FIND = "V"
"""Begins every code; the bench has no other use for this key."""
LENGTH = 7
NO_SEGNO = "Labels need segno, which isn't installed: pip install 'benchmate[papers]'."


def code_of(address: str) -> str:
    """The code of a piece's or part's address, `FIND` in front."""
    digest = blake2b(address.encode("utf-8"), digest_size=3).hexdigest()
    nibbles = [int(digit, 16) for digit in digest]
    return FIND + "".join(LETTERS[n] for n in [*nibbles, _check(nibbles)])


def _check(nibbles: Iterable[int]) -> int:
    """Weighted so that one wrong letter, or two neighbours swapped, shows."""
    return sum((2 * place + 1) * n for place, n in enumerate(nibbles)) % 16


def is_code(text: str) -> bool:
    """Whether these letters are a code and were typed right."""
    letters = plain(text)
    if len(letters) != LENGTH + 1 or letters[0] != FIND or not set(letters) <= set(LETTERS):
        return False
    *nibbles, check = (LETTERS.index(letter) for letter in letters[1:])
    return _check(nibbles) == check


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


def rows_of_qr(code: str) -> Sequence[Sequence[int]]:
    """The code as QR, 1 for a dark module: always version 1 at level Q. Raises Refused without
    segno."""
    try:
        import segno
    except ImportError as missing:
        raise Refused(NO_SEGNO) from missing
    return list(segno.make(code, version=1, error="q", micro=False).matrix)
