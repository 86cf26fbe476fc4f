"""What a reminder says, on a screen, in a message and aloud.

What is read begins with the time by the clock, as it is when it is said: a message may lie on a
phone for an hour. What is heard begins with the thing.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.quantities.show import show_duration
from benchmate.remind.rules.edges import EdgeAhead, Now, Stage

LATE_S = 60.0
"""A stage that began longer ago than this is said with its time."""

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_PLAIN = {Stage.OPENS: "open now", Stage.FULL: "at full strength", Stage.WEIGH: "time to weigh"}


def text_of(edge: EdgeAhead, stage: Stage, now: Now, *, again: bool = False) -> str:
    """To be read: "Until 20:33 (12 min): bookend A, cup 2, then the mix gels. Pour layer 3." """
    return _whole(edge, f"{_when(edge, stage, now)}: {_what(edge, stage)}", again=again)


def speech_of(edge: EdgeAhead, stage: Stage, now_s: float, *, again: bool = False) -> str:
    """The same for the ear: "Bookend B, mix 2, pot life: eight minutes left"."""
    return _whole(edge, _spoken(edge, stage, now_s), again=again)


def title_of(edge: EdgeAhead, stage: Stage) -> str:
    """What to do, as the head of a message: "Take off the clamps: lamp A"."""
    if edge.edge in ("chills", "chilled"):
        return f"{'Warm it' if edge.edge == 'chills' else 'Got too cold'}: {edge.label}"
    if stage is Stage.MISSED:
        return f"What happened? {_capital(edge.label)}"
    if stage is Stage.WEIGH:
        return f"Weigh it: {edge.label}"
    if edge.do:
        return _capital(f"soon: {edge.do}" if stage is Stage.SOON else edge.do)
    if edge.edge == "closes":
        return f"{'Last call' if stage is Stage.CLOSING else 'Running out'}: {edge.label}"
    place = edge.label.rpartition(", ")[0] or edge.label
    return _capital(f"{edge.words or _PLAIN.get(stage, 'soon')}: {place}")


def joined(labels: Iterable[str]) -> str:
    """Several clocks of one name: "bookend A and bookend B, cure"."""
    parts = [label.rpartition(", ") for label in dict.fromkeys(labels)]
    tails = {mark + tail for _, mark, tail in parts}
    if len(tails) > 1:
        return " and ".join(dict.fromkeys(labels))
    return " and ".join(head for head, _, _ in parts if head) + tails.pop()


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


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _whole(edge: EdgeAhead, sentence: str, *, again: bool) -> str:
    head = f"Again: {sentence}" if again else _capital(sentence)
    action = edge.action.strip()
    # A window without a step to do brings its own words as the action: once is enough.
    return head if not action or action == edge.words.strip() else f"{head} {action}"


def _when(edge: EdgeAhead, stage: Stage, now: Now) -> str:
    left_s, at = edge.at_s - now.now_s, now.clock(edge.at_s)
    span = "now" if abs(left_s) < LATE_S else show_duration(abs(left_s))
    if edge.edge == "chills":
        return f"by {at} ({span})" if left_s >= LATE_S else "by now"
    if stage in (Stage.SOON, Stage.CLOSING):
        if edge.edge == "opens":
            return f"from {at} ({span if span == 'now' else f'in {span}'})"
        return f"until {at} ({show_duration(max(0.0, left_s))})"
    if stage is Stage.MISSED and edge.edge != "chilled":
        return f"{at} ({'just now' if span == 'now' else f'{span} ago'})"
    if edge.until_s is not None and edge.until_s > now.now_s:
        return f"until {now.clock(edge.until_s)} ({show_duration(edge.until_s - now.now_s)})"
    return f"{at} (now)" if span == "now" else f"since {at} ({span})"


def _what(edge: EdgeAhead, stage: Stage, left: str = "", ago: str = "") -> str:
    """What is the matter. Read, its time has been said before; aloud, `left` or `ago` says it."""
    label = edge.label
    if edge.edge == "chills":
        return f"{label}: the shop is cooling; it may drop below {edge.words}{left and f' {left}'}."
    if edge.edge == "chilled":
        return f"{label}: below {edge.words}{ago and f' for {ago}'}. It can't be trusted."
    if stage is Stage.SOON and edge.edge == "opens":
        return f"{label}: {_not_yet(edge)}{left and f'{left} '}{edge.words or 'it opens'}."
    if stage in (Stage.SOON, Stage.CLOSING):
        return f"{label}{left and f': {left} left'}{_or_else(edge)}."
    if stage is Stage.MISSED:
        loss = _loss(edge.consequence)
        return f"{label}: missed{ago and f' {ago}'}{'; ' if loss else ''}{loss}."
    # The step that waits says itself what may be done now.
    words = "" if edge.step and edge.action else f": {edge.words or _PLAIN[stage]}"
    return f"{label}{words}{ago and f' (for {ago})'}."


def _spoken(edge: EdgeAhead, stage: Stage, now_s: float) -> str:
    ahead_s = max(0.0, edge.at_s - now_s)
    past_s = max(0.0, now_s - edge.at_s)
    left, ago = spoken_duration(ahead_s), spoken_duration(past_s) if past_s >= LATE_S else ""
    if edge.edge == "chills":
        left = f"in {left}" if ahead_s >= LATE_S else "by now"
    elif edge.edge == "opens":
        left = f"in {left}"
    elif stage is Stage.MISSED and edge.edge != "chilled":
        ago = f"{spoken_duration(past_s)} ago" if past_s >= 1 else "just now"
    return _what(edge, stage, left, ago)


def _not_yet(edge: EdgeAhead) -> str:
    return "" if edge.anew_s is None else "not yet after all: "


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
