"""From the sentence of a step to its act: "Sand the outer faces" is done when it is "sanded"."""

from __future__ import annotations

import re

_IRREGULAR = {
    "cut": "cut", "set": "set", "saw": "sawn", "grind": "ground", "let": "left", "leave": "left",
    "put": "put", "take": "taken", "lay": "laid", "bring": "brought", "make": "made",
    "spread": "spread", "draw": "drawn", "write": "written", "stick": "stuck", "drive": "driven",
    "weigh": "weighed", "bore": "bored", "wipe": "wiped", "mix": "mixed", "rub": "rubbed",
    "pour": "poured", "trim": "trimmed", "fit": "fitted", "clamp": "clamped", "turn": "turned",
    "buff": "buffed", "split": "split", "hang": "hung", "ream": "reamed", "cap": "capped",
    "chop": "chopped", "strop": "stropped", "mop": "mopped", "tap": "tapped", "press": "pressed",
    "wax": "waxed", "dry": "dried", "apply": "applied", "shut": "shut", "find": "found",
    "read": "read", "keep": "kept", "try": "tried", "plan": "planned", "pare": "pared",
}  # fmt: skip
_FIRST_WORD = re.compile(r"[A-Za-z]+")


def act_of(do: str) -> str:
    """The past participle of the sentence's first word; "done" where it starts with none."""
    found = _FIRST_WORD.match(do.strip())
    if found is None:
        return "done"
    verb = found.group(0).lower()
    if verb in _IRREGULAR:
        return _IRREGULAR[verb]
    if len(verb) < 3 or verb.endswith(("ed", "ing", "ly")):
        return "done"
    return verb + ("d" if verb.endswith("e") else "ed")
