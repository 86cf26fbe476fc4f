"""What a reminder says, on a screen and aloud."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.quantities.show import show_duration
from benchmate.remind.edges import EdgeAhead, Stage

LATE_S = 60.0
"""A stage that began longer ago than this is said with its time."""

Show = Callable[[float], str]

_COUNTS = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]
_PLAIN = {Stage.OPENS: "open now", Stage.FULL: "at full strength", Stage.WEIGH: "time to weigh"}


def text_of(edge: EdgeAhead, stage: Stage, now_s: float, *, again: bool = False) -> str:
    """One or two sentences for a screen: what is the matter, how long, what to do."""
    return _whole(edge, _sentence(edge, stage, now_s, show_duration), again=again)


def speech_of(edge: EdgeAhead, stage: Stage, now_s: float, *, again: bool = False) -> str:
    """The same for the ear: "Bookend B, mix 2, pot life: eight minutes left"."""
    return _whole(edge, _sentence(edge, stage, now_s, spoken_duration), again=again)


def spoken_duration(seconds: float) -> str:
    """A duration aloud, in its two largest units: "eight minutes", "one hour 20 minutes"."""
    total = round(seconds)
    if total < 60:
        return _counted(total, "second")
    minutes = round(seconds / 60)
    if minutes < 60:
        return _counted(minutes, "minute")
    if minutes < 24 * 60:
        return _pair(*divmod(minutes, 60), "hour", "minute")
    return _pair(*divmod(round(seconds / 3600), 24), "day", "hour")


def _counted(number: int, unit: str) -> str:
    word = _COUNTS[number] if number < len(_COUNTS) else str(number)
    return f"{word} {unit}" if number == 1 else f"{word} {unit}s"


def _pair(large: int, small: int, large_unit: str, small_unit: str) -> str:
    first = _counted(large, large_unit)
    return f"{first} {_counted(small, small_unit)}" if small else first


def _whole(edge: EdgeAhead, sentence: str, *, again: bool) -> str:
    head = f"Again: {sentence}" if again else sentence[:1].upper() + sentence[1:]
    action = edge.action.strip()
    # A window without a step to do brings its own words as the action: once is enough.
    return head if not action or action == edge.words.strip() else f"{head} {action}"


def _sentence(edge: EdgeAhead, stage: Stage, now_s: float, show: Show) -> str:
    left_s = max(0.0, edge.at_s - now_s)
    ago_s = max(0.0, now_s - edge.at_s)
    if edge.edge == "chills":
        when = f"in {show(left_s)}" if left_s >= LATE_S else "by now"
        return f"{edge.label}: the shop is cooling; it may drop below {edge.words} {when}."
    if edge.edge == "chilled":
        since = f" for {show(ago_s)}" if ago_s >= LATE_S else ""
        return f"{edge.label}: below {edge.words}{since}. It can't be trusted."
    if stage is Stage.SOON and edge.edge == "opens":
        not_yet = "" if edge.anew_s is None else "not yet after all: "
        return f"{edge.label}: {not_yet}in {show(left_s)} {edge.words or 'it opens'}."
    if stage in (Stage.SOON, Stage.CLOSING):
        return f"{edge.label}: {show(left_s)} left{_or_else(edge)}."
    if stage is Stage.MISSED:
        ago = f"{show(ago_s)} ago" if ago_s >= 1 else "just now"
        loss = _loss(edge.consequence)
        return f"{edge.label}: missed {ago}{'; ' if loss else ''}{loss}."
    since = f" (for {show(ago_s)})" if ago_s >= LATE_S else ""
    return f"{edge.label}: {edge.words or _PLAIN[stage]}{since}."


def _or_else(edge: EdgeAhead) -> str:
    loss = _loss(edge.consequence)
    if edge.words:
        return f", then {edge.words}"
    return f", or {loss}" if loss else ""


def _loss(consequence: str) -> str:
    """The consequence as the end of a sentence; empty where nothing is lost."""
    word = consequence.strip()
    if word in ("", "nothing"):
        return ""
    kind, _, thing = word.partition(" ")
    if kind == "spoils" and thing:
        return f"it spoils {thing if thing.startswith('the ') else f'the {thing}'}"
    return f"that means {word}"
