"""The check-up: try everything that reminders rest on, and say in plain lines what works."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from benchmate.clock import steady_s
from benchmate.remind.channels.base import Availability, Channel
from benchmate.remind.rules.edges import EdgeAhead, Reminder, Stage
from benchmate.remind.rules.said import kind_of

EARLIEST_SANE_YEAR = 2025
SMALLEST = (80, 24)
AUDIBLE = ("sound", "speech", "desktop", "message", "command")
ALL_WELL, TO_MEND, NOT_REACHED = 0, 1, 2
NOT_SET_UP = {
    "message": (
        "Messages: no address is set, so no phone, mail or chat hears of anything.",
        'Write addresses = ["…"] under [reminders] in {file}; docs/minding.md shows some.',
    ),
    "command": (
        "Command: none of your own is set.",
        'Write command = ["/path/to/program"] under [reminders] in {file}.',
    ),
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the check-up."""

    subject: str
    ok: bool
    sentence: str
    mend: str = ""
    vital: bool = False
    """Without it nothing can be relied on."""


def checkup(
    channels: Iterable[Channel],
    folders: Mapping[str, Path],
    terminal: Sequence[Finding] = (),
    clock: Sequence[Finding] = (),
    *,
    switched_off: Collection[str] = (),
    set_where: str = "the settings file",
    aloud: bool = False,
) -> list[Finding]:
    """All findings. `aloud`: send a real trial reminder by each channel that seems to work.

    Kinds that the maker has switched off are named, not tried, and no fault; nor is it one that
    no bench is open to show anything, or that the maker has set no address (`set_where`) to.
    """
    channels = tuple(channels)
    found = [check_folder(name, path) for name, path in folders.items()]
    found += [*clock, *terminal]
    for channel in channels:
        if kind_of(channel.name) in switched_off:
            sentence = f"{channel.name.capitalize()}: switched off in the settings."
            found.append(Finding(f"off:{channel.name}", True, sentence))
        else:
            found.append(check_channel(channel, aloud=aloud))
    kinds = {kind_of(channel.name) for channel in channels} | set(switched_off)
    return found + [
        Finding(f"unset:{kind}", True, sentence, hint.format(file=set_where))
        for kind, (sentence, hint) in NOT_SET_UP.items()
        if kind not in kinds
    ]


def exit_code(findings: Iterable[Finding]) -> int:
    """0: all that was set up works. 1: something needs mending. 2: no reminder can be relied on.

    2 also where nothing but the screen can reach the maker: a screen is only seen by who looks.
    """
    known = list(findings)
    reached = any(f.ok and kind_of(f.subject) in AUDIBLE for f in known)
    if not reached or any(f.vital and not f.ok for f in known):
        return NOT_REACHED
    return ALL_WELL if all(f.ok for f in known) else TO_MEND


def verdict(findings: Iterable[Finding]) -> str:
    """What it all comes to, in a sentence."""
    known = list(findings)
    code, wrong = exit_code(known), [f for f in known if not f.ok]
    if code == ALL_WELL:
        return "All that is set up works."
    if code == NOT_REACHED:
        vital = [f.subject for f in wrong if f.vital]
        if vital:
            return f"No reminder can be relied on before this is mended: {', '.join(vital)}."
        return "No reminder reaches you away from an open bench: mend one of the ways above."
    ways = [kind for kind in AUDIBLE if any(f.ok and kind_of(f.subject) == kind for f in known)]
    things = "1 thing is" if len(wrong) == 1 else f"{len(wrong)} things are"
    return f"Reminders reach you by {', '.join(ways)}; {things} to mend."


def lines_of(findings: Iterable[Finding]) -> list[str]:
    """The findings as text, mending hints on lines of their own."""
    lines: list[str] = []
    for finding in findings:
        lines.append(f"{_sign(finding)}  {finding.sentence}")
        if finding.mend:
            lines.append(f"         {'hint' if finding.ok else 'mend'}: {finding.mend}")
    return lines


def _sign(finding: Finding) -> str:
    if not finding.ok:
        return "MISSING"
    return "not set" if kind_of(finding.subject) in ("unset", "off") else "works  "


def check_channel(channel: Channel, *, aloud: bool) -> Finding:
    """Whether a channel can be used, or, aloud, whether it took a trial reminder."""
    try:
        found = channel.available()
    except Exception as error:  # a check-up reports breakage, it doesn't break
        found = Availability(ok=False, sentence=f"{channel.name}: broke ({type(error).__name__}).")
    if channel.name == "terminal" and not found.ok:
        return Finding(channel.name, True, "Screen: reminders are shown while a bench is open.")
    if not found.ok or not aloud:
        return Finding(channel.name, found.ok, found.sentence, found.mend)
    outcome = channel.send(trial_reminder())
    if outcome.ok:
        note = f" ({outcome.note})" if outcome.note else ""
        return Finding(channel.name, True, f"{found.sentence} Trial sent{note}.", found.mend)
    return Finding(channel.name, False, f"{found.sentence} But the trial failed: {outcome.note}.")


def trial_reminder() -> Reminder:
    """A reminder that reminds of nothing."""
    edge = EdgeAhead(
        key="check-up",
        job="check-up",
        address="check-up",
        label="check-up",
        edge="opens",
        at_s=0.0,
    )
    text = "This is only a trial of benchmate's reminders."
    return Reminder(
        key=edge.key,
        stage=Stage.OPENS,
        round=0,
        text=text,
        speech_text=text,
        title="Only a trial",
        channels=(),
        insistence="once",
        again=False,
        edge=edge,
        due_s=0.0,
    )


def check_folder(name: str, path: Path) -> Finding:
    """Whether files can be written there and be kept from other people's eyes."""
    try:
        path.mkdir(parents=True, exist_ok=True, mode=0o700)
        with tempfile.NamedTemporaryFile(dir=path, prefix=".check-up-") as file:
            file.write(b"trial")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        return Finding(
            name,
            False,
            f"Folder for {name}: {path} can't be written ({error.strerror}).",
            "Make the folder yours, free some space, or set BENCHMATE_HOME to another one.",
            vital=True,
        )
    open_to_others = os.name == "posix" and bool(path.stat().st_mode & 0o077)
    hint = f"Others can look into it; close it with: chmod 700 {path}" if open_to_others else ""
    return Finding(name, True, f"Folder for {name}: {path} can be written.", hint, vital=True)


def check_terminal(
    environment: Mapping[str, str], size: tuple[int, int], encoding: str, *, is_terminal: bool
) -> list[Finding]:
    """What the terminal can do: size, colours, characters. Pure: the facts are handed in."""
    if not is_terminal:
        sentence = "Terminal: the output goes to a file or a pipe, so nothing can be said of it."
        return [Finding("terminal", True, sentence)]
    columns, rows = size
    big = columns >= SMALLEST[0] and rows >= SMALLEST[1]
    return [
        Finding(
            "size",
            big,
            f"Terminal: {columns} × {rows} characters.",
            "" if big else f"Make it at least {SMALLEST[0]} × {SMALLEST[1]}.",
        ),
        _colours(environment),
        _characters(encoding),
    ]


def _colours(environment: Mapping[str, str]) -> Finding:
    term = environment.get("TERM", "")
    if term in ("", "dumb"):
        mend = "Use a terminal that says what it can do in the variable TERM."
        return Finding("colours", False, f"Terminal: TERM is “{term}”, no screen to draw on.", mend)
    if "NO_COLOR" in environment:
        return Finding("colours", True, "Terminal: colours are switched off by NO_COLOR.")
    if environment.get("COLORTERM") in ("truecolor", "24bit"):
        return Finding("colours", True, "Terminal: all colours.")
    many = "256 colours" if "256" in term else "a few colours"
    return Finding("colours", True, f"Terminal: {many}.")


def _characters(encoding: str) -> Finding:
    if encoding.lower().replace("-", "") == "utf8":
        return Finding("characters", True, "Terminal: lines and signs can be shown (UTF-8).")
    mend = "Set the language variables to UTF-8, for example LANG=C.UTF-8."
    sentence = f"Terminal: its encoding {encoding} lacks lines and signs."
    return Finding("characters", False, sentence, mend)


def check_clock(
    year: int,
    zone: str | None,
    shown: str = "",
    *,
    through_sleep: bool,
    monotonic: Callable[[], float] = steady_s,
) -> list[Finding]:
    """Whether the clocks can be trusted.

    `year` and `zone` of the wall clock as the program reads it, and how people are `shown` it;
    `through_sleep`: whether there is a clock that counts on while the machine sleeps.
    """
    sane = year >= EARLIEST_SANE_YEAR
    first, second = monotonic(), monotonic()
    found = [
        Finding(
            "wall clock",
            sane,
            f"Clock: it is {shown or year} by the wall clock; compare it with your watch.",
            "" if sane else "Set the date; a dead clock battery is the usual reason.",
            vital=True,
        ),
        Finding(
            "time zone",
            zone is not None,
            f"Clock: the time zone is {zone or 'not known by name'}.",
            "" if zone else "Set the system's time zone, so that quiet hours follow it.",
        ),
        Finding(
            "running clock",
            through_sleep and second >= first,
            "Clock: time is counted through the machine's sleep."
            if through_sleep
            else "Clock: no clock counts through sleep here; the wall clock is used after one.",
            "" if through_sleep else "Keep the wall clock set by the network.",
        ),
    ]
    return [replace(f, mend="") if f.ok else f for f in found]
