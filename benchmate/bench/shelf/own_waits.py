"""What a material's waits really took in this shop, beside its label: said, taken, left."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.bench.service import Bench
from benchmate.job.deciding.streams.commands import Learn, LearnedValue
from benchmate.job.windows.own_waits import OwnWait, wait_key
from benchmate.refusal import Refused
from benchmate.shelf import Material, filled
from benchmate.shelf.clocks import label_time

_MEANS = {"opens": "ready", "full": "full strength"}


def _waits(bench: Bench, material: Material) -> Iterator[tuple[str, OwnWait, str, float]]:
    """Key, what counts now, its meaning in words and the label's seconds, of each wait seen."""
    shop = bench.shop
    for window in filled(material).windows:
        for edge, plain in _MEANS.items():
            key, label_s = wait_key(material.name, window.name, edge), getattr(window, f"{edge}_s")
            wait = shop.lessons.own_waits.get(key)
            if wait is not None and label_s is not None:
                means = getattr(window, f"{edge}_text") or plain
                known = wait.known_at(shop.timeline, bench.now_s())
                yield key, known, f"{window.name}: {means}", label_s


def own_waits(bench: Bench, material: Material) -> list[str]:
    """A sentence on each wait that differs from its label: taken, or on offer."""
    return [
        text
        for _, known, means, label_s in _waits(bench, material)
        if (text := _said(known, means, label_s))
    ]


def _said(known: OwnWait, means: str, label_s: float) -> str:
    wait, label = known.wait, f"label {label_time(label_s)}"
    seen = f"{wait.n}× seen here"
    if known.share != 1.0:
        return f"{means} after about {_time(known.share * label_s)} ({seen}; {label})"
    if wait.sooner < 1.0:
        short = _time(wait.sooner * label_s)
        return f"{means} by {short} ({seen}); clocks go by the {label} until you take it"
    return ""


def _time(seconds: float) -> str:
    """To the nearest twentieth or so of it: nobody knows it better."""
    grain = next(g for g in (3600.0, 900.0, 300.0, 60.0, 1.0) if seconds >= 15 * g or g == 1.0)
    return label_time(round(seconds / grain) * grain)


def sooner(bench: Bench, material: Material) -> list[LearnedValue]:
    """Shorter times on offer, as shares of the label's."""
    return [
        LearnedValue(key=key, value=round(known.wait.sooner, 2), old=1.0, n=known.wait.n)
        for key, known, _, _ in _waits(bench, material)
        if known.share == 1.0 and known.wait.sooner < 1.0
    ]


def take_waits(bench: Bench, material: Material) -> list[str]:
    """Take the shorter times on offer: later clocks go by them. What counts then, in words.

    Raises Refused where none is on offer.
    """
    offered = sooner(bench, material)
    if not offered:
        raise Refused(f"{material.name}: no shorter time is on offer.")
    bench.settle(Learn(procedure="", values=tuple(offered)))
    return own_waits(bench, material)


def leave_waits(bench: Bench, material: Material) -> list[str]:
    """Back to the label's times; only what is seen from now on counts. Raises Refused where the
    label's hold already."""
    held = [(k, means) for k, known, means, _ in _waits(bench, material) if known.share != 1.0]
    if not held:
        raise Refused(f"{material.name}: the label's times hold already.")
    back = tuple(LearnedValue(key=key, value=None, old=1.0) for key, _ in held)
    bench.settle(Learn(procedure="", values=back))
    return [f"{means}: as on the label." for _, means in held]
