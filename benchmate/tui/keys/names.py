"""Keys by name: which can be the glove key, and how a person calls them."""

from __future__ import annotations

from collections.abc import Mapping

from textual.keys import Keys

GLOVE_DEFAULT = "space"
_SHORT = {
    "question_mark": "?",
    "exclamation_mark": "!",
    "escape": "esc",
    "plus": "+",
    "minus": "−",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
}


def key_name(key: str) -> str:
    """A key as it is written on the screen: "?", "esc", "L"."""
    return _SHORT.get(key, key)


def is_key(name: str) -> bool:
    """Whether a terminal can send a key of that name."""
    last = name.rpartition("+")[2]
    return len(last) == 1 or name in {k.value for k in Keys} | {GLOVE_DEFAULT}


def glove_fault(name: str, taken: Mapping[str, str]) -> str:
    """Why a key can't be the glove key, in a sentence; empty where it can.

    `taken` says what the bench's other keys do.
    """
    hold = f"{GLOVE_DEFAULT} holds until the settings name another."
    if not is_key(name):
        return f"There is no key called “{name}”, so {hold}"
    if name in taken:
        return f"The key {name} is “{taken[name]}” already, so {hold}"
    return ""
