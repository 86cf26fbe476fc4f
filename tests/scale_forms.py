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


DESCRIPTOR = bytes.fromhex(
    "05 8D 09 20 A1 01"  # usage page weighing device, usage weighing device, application
    "09 22 A1 00 85 03 75 08 95 01 09 70 81 02 C0"  # another report, 3, before it
    "09 32 A1 02 85 04"  # scale data report, its ID 4
    "75 08 95 01 09 70 A1 02 09 71 81 00 C0"  # status
    "75 10 09 40 81 02 C0 C0"  # weight
)
"""Put together by the items of HID 1.11, 6.2.2.2, and the usages of page 0x8D."""
