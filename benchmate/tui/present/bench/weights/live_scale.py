"""What is live on the scale, in one line under the field that is typed."""

from __future__ import annotations

from benchmate.scales.reading import Live
from benchmate.tui.present.lines import Line, Span, line


def live_line(live: Live, key: str) -> Line:
    """Digits with their state; without a weight only the state."""
    match live.state:
        case "steady":
            return line(" on the scale  ", Span(live.text, "strong"), f"  steady    {key}  take it")
        case "moving":
            return line(" on the scale  ", Span(f"{live.text}  moving".strip(), "dim"))
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
