"""What went to whom, when, and whether it was heard; and which phone takes nothing."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from benchmate.bench.reminding.leaving import AWAY, KEY
from benchmate.bench.reminding.reminding import edges_now, log_of
from benchmate.bench.service import Bench
from benchmate.localtime import show_when
from benchmate.remind.rules.said import Delivery, kind_of
from benchmate.remind.rules.settings import PHONE

DAY_S = 86_400.0
_ANSWERS = {"acknowledged": "OK’d", "call again at": "put off"}


def told_lines(bench: Bench, since_s: float) -> list[str]:
    """One line for each round since then, oldest first: when, what, by which ways, if heard."""
    labels = {KEY: AWAY, **{edge.key: edge.label for edge in edges_now(bench)}}
    wall_s = bench.now().wall_s
    lines = sorted(_lines(bench, since_s), key=lambda one: (one.key, one.stage, one.round))
    rounds = [list(of) for _, of in groupby(lines, lambda one: (one.key, one.stage, one.round))]
    texts = []
    for ways in sorted(rounds, key=lambda of: min(one.at_s for one in of)):
        first = ways[0]
        when = show_when(bench.wall_at(min(one.at_s for one in ways)), wall_s)
        what = labels.get(first.key) or first.key.partition("/")[2]
        told = ", ".join(_way(one) for one in sorted(ways, key=lambda one: one.at_s))
        texts.append(f"{when}  {what}, {first.stage}: {told}")
    return texts


def _lines(bench: Bench, since_s: float) -> Iterable[Delivery]:
    return (one for one in log_of(bench).since(0.0)[1] if one.at_s >= since_s)


def _way(line: Delivery) -> str:
    if line.state in _ANSWERS:
        return f"{_ANSWERS[line.state]} ({line.channel})"
    name = line.channel.replace(f"{PHONE}:", "phone ")
    again = " again" if line.again else ""
    why = f": {line.note}" if line.note and line.state == "failed" else ""
    return f"{name}{again}{'' if line.state == 'sent' else f' {line.state}'}{why}"


def silent_phones(bench: Bench) -> list[str]:
    """Of each phone that took nothing at its last call of the day, a sentence."""
    latest: dict[str, Delivery] = {}
    for line in _lines(bench, bench.now_s() - DAY_S):
        known = latest.get(line.channel)
        spoke = kind_of(line.channel) == PHONE and line.state in ("sent", "failed")
        if spoke and (known is None or line.at_s > known.at_s):
            latest[line.channel] = line
    wall_s = bench.now().wall_s
    return [
        f"Phone {name.removeprefix(f'{PHONE}:')} took no message at "
        f"{show_when(bench.wall_at(line.at_s), wall_s)}: {line.note or 'it gave no reason'}."
        for name, line in sorted(latest.items())
        if line.state == "failed"
    ]
