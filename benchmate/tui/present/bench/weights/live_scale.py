"""What is live on the scale, in the lines under the field that is typed."""

from __future__ import annotations

from typing import Literal

from benchmate.quantities import Units, show_mass
from benchmate.scales.reading import Live
from benchmate.scales.watch import Question
from benchmate.tui.present.lines import Line, Span, line

ARMED = "taken once it is steady"
UNSTEADY = "It did not stand still: nothing was taken."
NOTHING = "The scale shows nothing. If something lies on it: zero it empty, then put it on again."
BELOW = "The scale shows less than nothing: zero it empty, then put it on again."
TYPE_IT = "I’ll type it: no more from the scale"


def live_line(live: Live, key: str, *, armed: bool = False, may_take: str = "take it") -> Line:
    """Digits with their state; without a weight only the state."""
    match live.state:
        case "steady":
            offer = f"    {key}  {may_take}" if may_take else ""
            return line(" on the scale  ", Span(live.text, "strong"), f"  steady{offer}")
        case "moving":
            then = f"    {ARMED}    {key}  not now" if armed else f"    {key}  take it when steady"
            return line(
                " on the scale  ",
                Span(f"{live.text}  moving".strip(), "strong" if armed else "dim"),
                Span(then if may_take else "", "strong" if armed else "dim"),
            )
        case "over":
            return line(" ", Span("on the scale  out of range", "caution"))
        case "under":
            return line(" ", Span("on the scale  under zero", "caution"))
        case "gone":
            return line(" ", Span(live.why or "The scale is unplugged. Type what it reads.", "dim"))
        case "silent":
            return line(" ", Span("The scale is silent. Type what it reads.", "dim"))
        case _:
            return line(" ", Span(live.why or "The scale reports a fault.", "caution"))


def to_go_text(left_g: float, units: Units, decimals: int) -> str:
    """ "62 g to go", "3 g too much"."""
    left_g = round(left_g, decimals)
    word = "to go" if left_g >= 0.0 else "too much"
    return f"{show_mass(abs(left_g), units, decimals=decimals)} {word}"


Answer = Literal["tared", "as it reads", "type it"]


def question_of(question: Question, before: str, now: str) -> tuple[str, dict[str, Answer]]:
    """What is asked where the scale has a new zero, or has none. The first answer is the one that
    can do no harm: a key may be on its way."""
    reads = f"The scale reads right: {now}"
    match question:
        case "nothing on it":
            return f"{before} before, {now} now. Was the piece lifted off, or the scale tared?", {
                "Lifted off: it comes back": "as it reads",
                f"Tared: go on from {before}": "tared",
                TYPE_IT: "type it",
            }
        case "gap":
            return f"The scale was gone: {before} before, {now} now.", {
                TYPE_IT: "type it",
                f"Nothing went in meanwhile: go on from {before}": "tared",
                reads: "as it reads",
            }
        case _:
            return f"The scale was gone while you poured: over {before} before, {now} now.", {
                TYPE_IT: "type it",
                reads: "as it reads",
            }
