"""A whole job of the demo weighed by the emulated scale at the bench, with faults all along.

The maker here knows what lies there, answers honestly, and types where the scale can't tell.
"""

from __future__ import annotations

from collections import Counter
from operator import attrgetter
from pathlib import Path
from random import Random

import pytest

from benchmate.bench.trying.rehearsal import Rehearsal
from benchmate.job.windows.agenda import Act
from benchmate.quantities import parse_reading
from benchmate.tui.prompts.weigh_live import LOOK_S
from tests.scale_driven import DrivenScale
from tests.tui.benches import Shop
from tests.tui.scale_bench import AtTheScale, at_the_scale
from tests.tui.test_bench_keys import press, shows

ENOUGH_G = 0.25
"""Start and end are each shown to the nearest 0.1 g, with the scale's noise."""
LONGEST_S = 60.0
PASSES_S, LOOKS_S = 1.8, 0.9
VERSION = attrgetter("version")


class WeighedJob:
    """One job; `counts` and `wrong` are what came of it."""

    def __init__(self, folder: Path, form: str, faults: tuple[str, ...], seed: int) -> None:
        self.shop, self.form, self.faults = Shop(folder).bookends(), form, faults
        self.chance = Random(f"{form} {faults} {seed}")
        self.scale = DrivenScale(form, seed=seed)
        self.counts: Counter[str] = Counter()
        self.wrong: list[str] = []
        self.look_s = LOOK_S
        self._on_g = self._began_g = 0.0
        self._since_g = self._poured_s = 0.0
        """What was on it when it was last heard to stand still."""

    async def run(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """Every act in turn: those without a weight as in the demo, the others at the scale."""
        hands = Rehearsal(self.shop.bench, self.shop.clock)
        self.scale.advance(2.0)
        async with at_the_scale(self.shop, monkeypatch, self.scale, key="") as at:
            at.look_s = self.look_s
            while (act := self._next()) is not None:
                if act.step is None or act.step.weigh is None or act.kind == "check":
                    hands.do(act)
                else:
                    await self._weigh(at, act)
        self.shop.bench.close()

    def _next(self) -> Act | None:
        for _ in range(400):
            found = self.shop.bench.agenda()
            if found.next is not None or not found.later:
                return found.next
            self.shop.clock.tick(found.later[0].ready_at - self.shop.bench.now_s() + 1.0)
        raise AssertionError("nothing is ever ready")

    # One weighing ----------------------------------------------------------------------------

    async def _weigh(self, at: AtTheScale, act: Act) -> None:
        assert act.step is not None
        assert act.step.weigh is not None
        self._put(-self._on_g)
        await at.passes(3.0)
        self.shop.clock.tick(20.0)
        at.app.tick()
        await press(at.pilot, "w")
        assert at.prompt is not None, shows(at.app)
        before = len(self._recorded())
        if act.step.weigh.kind == "whole":
            true_g = self._near(act.step.weigh.plan_g or 0.0)
            await self._take(at, true_g)
        else:
            true_g = await self._pour(at, act)
        if at.prompt is not None:
            await at.passes(2.0)
            await press(at.pilot, "enter")
        await self._keep_or_type(at, true_g)
        recorded = self._recorded()
        self.counts["weighings"] += 1
        if len(recorded) != before + 1:
            self.wrong.append(f"{act.address}: not recorded: {shows(at.app)}")
            raise AssertionError(self.wrong[-1])
        if abs(recorded[-1] - true_g) > ENOUGH_G:
            self.wrong.append(f"{act.address}: {recorded[-1]:.1f} for {true_g:.2f} g")

    async def _keep_or_type(self, at: AtTheScale, true_g: float) -> None:
        """A doubt is answered by what truly lies there."""
        if not at.asked or at.prompt is None:
            return
        began = next(iter(self._running(at)), 0.0)
        if abs(parse_reading(at.prompt.box.value).value_g - began - true_g) < ENOUGH_G:
            await at.answer("Keep it")
            return
        self.counts["doubts that held"] += 1
        await at.answer("Type it again")
        await press(at.pilot, "ctrl+u")
        await self._type(at)

    async def _pour(self, at: AtTheScale, act: Act) -> float:
        """The piece's reading, then shot and resin in their turn, then what all weighs."""
        assert act.step is not None
        await press(at.pilot, "tab")
        self._began_g = self._near(700.0)
        await self._take(at, self._began_g)
        true_g = 0.0
        for amount in act.step.amounts:
            grams = self._near(amount.amount)
            true_g += grams
            await self._take(at, grams, seconds=self.chance.uniform(2.0, 8.0))
        await self._take(at, 0.0)
        return true_g

    async def _take(self, at: AtTheScale, grams: float, seconds: float = 0.001) -> None:
        """Put on or pour, with a fault somewhere, then space until it is taken."""
        self._since_g = self._on_g
        fault, after_s = self.chance.choice(self.faults), self.chance.uniform(0.0, 5.0)
        self._put(grams, seconds)
        await self._passes(at, after_s)
        if fault:
            self.scale.fault(fault, self.chance.uniform(0.5, 5.0))
            self.counts["faults"] += 1
        passed_s, was = after_s, self._state(at)
        was_g = at.prompt.follow.offset_g if at.prompt is not None else 0.0
        while self._state(at) == was:
            assert passed_s < LONGEST_S, shows(at.app)
            await self._passes(at, PASSES_S)
            passed_s += PASSES_S
            if at.prompt is not None and at.prompt.follow.is_off:
                await self._type(at)
            elif self._state(at) == was and at.live.strip() and passed_s > seconds + 1.0:
                await press(at.pilot, "space")
                self.counts["presses"] += 1
                if "put it on again" in " ".join(shows(at.app).split()):
                    await self._put_on_again(at)
            await self._answer(at)
        self._judge(at, was_g)

    async def _put_on_again(self, at: AtTheScale) -> None:
        """As the prompt says."""
        grams = self._on_g
        self._put(-grams)
        await at.passes(3.0)
        self.scale.emulator.tare()
        self._put(grams)
        self.counts["put on again"] += 1

    async def _passes(self, at: AtTheScale, seconds: float) -> None:
        for _ in range(round(seconds / LOOKS_S)):
            await at.passes(LOOKS_S)
            await self._answer(at)
        if "steady" in at.live and self.scale.at_s > self._poured_s + 2.0:
            self._since_g = self._on_g

    async def _answer(self, at: AtTheScale) -> None:
        """What the maker knows: whether anything came on the scale since it was last heard."""
        if not at.asked:
            return
        if at.asked.startswith("Nothing is typed"):
            await at.answer("Now")
            return
        self.counts["questions"] += 1
        assert "before" in at.asked, at.asked
        since_g = self._on_g - self._since_g
        if abs(since_g) < 0.05 and "Nothing went in" in shows(at.app):
            await at.answer("Nothing went in")
        elif abs((self.scale.emulator.shown_g or 0.0) - self._on_g) < 0.2:
            await at.answer("reads right")
        else:
            await at.answer("I’ll type it")

    async def _type(self, at: AtTheScale) -> None:
        """By another scale, from the start that was read here."""
        began = next(iter(self._running(at)), None)
        grams = self._on_g - self._began_g + (began if began is not None else self._began_g)
        await press(at.pilot, *(c if c != "." else "full_stop" for c in f"{grams:.1f}"))
        await press(at.pilot, "enter")
        if at.asked:
            await at.answer("Keep it")
        self.counts["typed"] += 1

    def _judge(self, at: AtTheScale, was: float) -> None:
        """What was taken stood on the display at rest, just then, but for what it no longer shows.
        `was`: what it no longer showed before the last question."""
        prompt = at.prompt
        if prompt is None or prompt.follow.is_off:
            return
        self.counts["taken"] += 1
        text = prompt.box.value
        taken_g = parse_reading(text).value_g if text else self._read_last()
        shown = [
            it
            for offset_g in (prompt.follow.offset_g, was)
            for it in self.scale.shown_then(self.scale.at_s, taken_g - offset_g, 2 * PASSES_S)
        ]
        if not shown:
            self.wrong.append(f"{taken_g} g was never shown")
        elif not any(it.stable for it in shown):
            self.wrong.append(f"{taken_g} g was taken while it moved")

    def _running(self, at: AtTheScale) -> list[float]:
        return [r.reading_g for r in at.prompt._readings] if at.prompt is not None else []

    def _read_last(self) -> float:
        job = self.shop.bench.shop.jobs[self.shop.job]
        return max((r for many in job.running.values() for r in many), key=VERSION).reading_g

    # What lies there -------------------------------------------------------------------------

    def _near(self, grams: float) -> float:
        return round(grams * self.chance.uniform(0.99, 1.01), 2)

    def _put(self, grams: float, seconds: float = 0.001) -> None:
        self.scale.emulator.put(grams, seconds)
        self._on_g += grams
        self._poured_s = self.scale.at_s + seconds

    def _recorded(self) -> list[float]:
        job = self.shop.bench.shop.jobs[self.shop.job]
        return [w.net_g for w in job.weighings.values()]

    def _state(self, at: AtTheScale) -> object:
        job = self.shop.bench.shop.jobs[self.shop.job]
        typed = at.prompt.box.value if at.prompt is not None else None
        return typed, {k: len(v) for k, v in job.running.items()}, len(job.weighings)
