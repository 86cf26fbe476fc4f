"""How a quantity is refused: one sentence that quotes what was typed, made safe to print."""

import unicodedata

SHOWN_CHARACTERS = 40


class QuantityError(ValueError):
    """What was typed can't be read as the quantity that was asked for; the text is one sentence."""


def quote(text: str) -> str:
    """Return what was typed, shortened, on one line and without control characters, in quotes.

    Escape sequences and direction overrides would otherwise reach the terminal as commands.
    """
    head = text[: SHOWN_CHARACTERS * 4]
    printable = "".join(c if unicodedata.category(c)[0] not in "CZ" else " " for c in head)
    shown = " ".join(printable.split())
    if len(shown) > SHOWN_CHARACTERS or len(text) > len(head):
        shown = shown[: SHOWN_CHARACTERS - 1].rstrip() + "…"
    return f"“{shown}”"
