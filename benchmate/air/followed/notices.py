"""What is to be said of a followed file, as facts; and the sentence that is made of them."""

from __future__ import annotations

from typing import Literal, NamedTuple

from benchmate.air.readings import JUMP_WITHIN_S, Reading, absurd
from benchmate.quantities import show_duration
from benchmate.quantities.worded import Worded, celsius

What = Literal["silent", "left out", "again", "believed"]


class Notice(NamedTuple):
    """What happened to a source: nothing comes from it, a reading was left out, or it is back."""

    source: str
    what: What
    why: str = ""
    """What the file gave instead of a reading, in a few words."""
    quiet_s: float | None = None
    """For how long nothing has come."""
    last: Reading | None = None
    """The reading before it; None: there never was one."""
    reading: Reading | None = None
    """The one that was left out, or that it speaks again with."""


def notice_text(it: Notice) -> str:
    """The sentence, in the units of whoever asks (`in_units`)."""
    if it.what == "left out" and it.reading is not None:
        strange = absurd(it.last, it.reading) or ""
        may_be = absurd(None, it.reading) is None
        unless = f" unless it stays so for {show_duration(JUMP_WITHIN_S)}" if may_be else ""
        return Worded(
            "{source}: {strange} It is left out{unless}.",
            source=it.source,
            strange=strange,
            unless=unless,
        )
    if it.reading is not None:
        word = "gives readings again" if it.what == "again" else "is believed again"
        air = celsius(it.reading.temperature_c)
        return Worded("{source} {word}: {air}.", source=it.source, word=word, air=air)
    if it.last is None:
        return f"No temperature from {it.source}: {it.why}."
    return Worded(
        "No temperature from {source} for {quiet}: {why}. The last, {air}, is held, with growing"
        " doubt.",
        source=it.source,
        quiet=show_duration(it.quiet_s or 0.0, rounding="down"),
        why=it.why,
        air=celsius(it.last.temperature_c),
    )
