"""The emulator's made-up forms, each with the settings that read it."""

from __future__ import annotations

from benchmate.scales.cable import Cable

UNIT = r"(?P<unit>g|kg|oz|lb)"
WEIGHT = r"(?P<weight>-?\d{1,5}\.\d{1,4})"
MARKS = r"\[(?:(?P<stable>S)|M) [BN]\] (?P<sign>[+-]) *(?:(?P<weight>\d+\.\d+)|over)  " + UNIT
PLAIN = rf" *{WEIGHT} (?:(?P<stable>{UNIT}) *| *)| *-{{6}} *"
BARE = r"(?P<weight>-?\d{1,5}\.\d)|Err"
THREE = rf"W (?:{WEIGHT}|over) {UNIT}(?: \?|(?P<stable>))"
FRAMED = r'(?:(?:(?P<stable> )|!)1(?P<weight>\d{7})|["#]1\d{7})(?P<sign>[ -])[@-~]'


def cable(form: str, port: str = "", ask: str = "") -> Cable:
    """What a maker would have set for one of the emulator's forms."""
    match form:
        case "marks":
            return Cable(port, line=MARKS, ask=ask)
        case "plain":
            return Cable(port, line=PLAIN, ask=ask)
        case "comma":
            return Cable(port, line=PLAIN.replace(r"\.", ","), comma=True, ask=ask)
        case "bare":
            return Cable(port, line=BARE, unit="g", ask=ask)
        case "three":
            return Cable(port, line=THREE, ask=ask)
        case _:
            return Cable(port, line=FRAMED, unit="g", divide=10, ask=ask)
