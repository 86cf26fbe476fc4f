"""Lines of a scale on a serial port, read by an expression that fits its maker's form.

The expression comes from a settings file and may be an evil one: Python's own `re` would freeze
every clock with it, so `regex` reads it, with a time limit.
"""

from __future__ import annotations

from decimal import Decimal

import regex

from benchmate.quantities import QuantityError, parse_reading
from benchmate.refusal import Refused
from benchmate.scales.reading import Mark, Reading

LONGEST = 80
LIMIT_S = 0.02
UNITS = ("g", "kg", "oz", "lb")
_PRINTABLE = range(0x20, 0x7F)
_ENDS = b"\r\n"
_FRAME = b"\x02\x03"
_DIGITS = regex.compile(r"\d+(?:[.,]\d+)?")


class Lines:
    """Cuts a stream of bytes into whole lines; what begins in the middle is none."""

    def __init__(self) -> None:
        self._rest, self._skips = bytearray(), True

    def feed(self, data: bytes) -> list[str | None]:
        """The lines that end in `data`; None for each that was spoilt (unprintable, too long)."""
        whole: list[str | None] = []
        for byte in data:
            if byte in _ENDS:
                if self._skips or self._rest:
                    whole.append(None if self._skips else self._rest.decode("ascii"))
                self._rest.clear()
                self._skips = False
            elif byte in _FRAME and not self._rest:
                continue
            elif byte not in _PRINTABLE or len(self._rest) >= LONGEST:
                self._skips = True
            else:
                self._rest.append(byte)
        return whole


class LineForm:
    """How one scale writes. Named parts: `weight` (absent: out of range), and if it has them
    `unit`, `sign`, and `stable`, which takes part in the match where the weight stands still."""

    def __init__(self, line: str, *, unit: str = "", comma: bool = False, divide: int = 1) -> None:
        """Raises Refused for an expression that can't be used, or where the unit is unknown."""
        try:
            self._line = regex.compile(line)
        except regex.error as error:
            raise Refused(f"[scale] line is no expression: {error}. Try scale listen.") from error
        if "weight" not in self._line.groupindex:
            raise Refused("[scale] line has no part named weight. Try benchmate scale listen.")
        if "unit" not in self._line.groupindex and unit not in UNITS:
            raise Refused(
                'Its lines name no unit, so [scale] unit must: "g", "kg", "oz" or "lb". '
                "It is never guessed."
            )
        self.unit, self.comma, self.divide = unit, comma, divide

    def read(self, line: str) -> Reading | None:
        """What a whole line means; None where it is none of this form, or takes too long."""
        try:
            match = self._line.fullmatch(line, timeout=LIMIT_S)
        except TimeoutError:
            return None
        if match is None:
            return None
        parts = match.groupdict()
        if parts["weight"] is None:
            return Reading("over")
        stable = parts.get("stable") is not None
        mark: Mark = "" if "stable" not in parts else "stable" if stable else "moving"
        unit = (parts.get("unit") or "").strip().lower() or self.unit
        digits = self._digits(parts["weight"])
        if unit not in UNITS or digits is None:
            # Some leave the unit out while they move: there is a word to say, but no weight.
            return Reading("moving") if mark == "moving" and digits is not None else None
        minus = "-" in parts["weight"] or "-" in (parts.get("sign") or "")
        text = f"{'-' if minus and Decimal(digits) else ''}{digits} {unit}"
        return reading_of(text, mark)

    def _digits(self, weight: str) -> str | None:
        """ "  128,4" as 128.4; None for what is no number of this form."""
        digits = weight.strip().lstrip("+- ")
        if _DIGITS.fullmatch(digits) is None or ("," in digits and not self.comma):
            return None
        number = Decimal(digits.replace(",", "."))
        if self.divide > 1:
            number = (number / self.divide).quantize(Decimal(1) / self.divide)
        return f"{number:f}"


def reading_of(text: str, mark: Mark) -> Reading | None:
    """A reading from its text with the unit. A switched unit switches the division too: 0.001 oz
    is 0.028 g."""
    try:
        read = parse_reading(text)
    except QuantityError:
        return None
    return Reading(mark, text, read.value_g, read.division_g or 1.0)
