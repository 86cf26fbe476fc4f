"""A bench with a driven scale on its cable, for tests of the weigh prompt."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

import msgspec
import pytest
from textual.pilot import Pilot

from benchmate.settings import Settings
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.weigh_live import LOOK_S, LiveWeighPrompt
from benchmate.tui.widgets.lines import Lines
from tests.scale_driven import DrivenScale
from tests.scale_forms import cable
from tests.tui.benches import Shop
from tests.tui.test_bench_keys import press


def on_cable(
    settings: Settings, form: str = "marks", *, by_itself: bool = False, line: str = ""
) -> Settings:
    """Settings with a scale on a cable."""
    it = cable(form)
    scale = msgspec.structs.replace(
        settings.scale,
        port="/dev/of-tests",
        line=line or it.line,
        unit=it.unit,
        comma=it.comma,
        divide=it.divide,
        division="0.1 g",
        by_itself=by_itself,
        check=False,
    )
    return msgspec.structs.replace(settings, scale=scale)


class AtTheScale:
    """The app, its keys, and the scale; time passes for all of them together."""

    def __init__(self, app: BenchApp, pilot: Pilot[None], shop: Shop, scale: DrivenScale) -> None:
        self.app, self.pilot, self.shop, self.scale = app, pilot, shop, scale
        self.tones: list[int] = []
        self.look_s = LOOK_S

    async def passes(self, seconds: float) -> None:
        for _ in range(round(seconds / self.look_s)):
            self.scale.advance(self.look_s)
            self.shop.clock.tick(self.look_s)
            prompt = self.prompt
            if prompt is not None:
                prompt.ring = self.tones.append  # type: ignore[method-assign]
                prompt.look()
        await self.pilot.pause()

    async def until(self, what: Callable[[], bool], most_s: float = 30.0) -> None:
        for _ in range(round(most_s / LOOK_S)):
            if what():
                return
            await self.passes(LOOK_S)
        raise AssertionError(f"it never came to that: {self.live!r}")

    async def space(self) -> None:
        """A press that is no bounce."""
        await self.passes(2.0)
        await press(self.pilot, "space")

    async def steady(self) -> None:
        await self.passes(0.6)
        await self.until(lambda: "  steady" in self.live)

    async def answer(self, words: str) -> None:
        """Answer the question that stands there by a word of it."""
        asked = self.app.screen
        assert isinstance(asked, Choose), asked
        n = next(n for n, text in enumerate(asked.options) if words in text)
        await press(self.pilot, *["down"] * n, "enter")

    @property
    def prompt(self) -> LiveWeighPrompt | None:
        mine = (s for s in reversed(self.app.screen_stack) if isinstance(s, LiveWeighPrompt))
        return next(mine, None)

    @property
    def live(self) -> str:
        prompt = self.prompt
        return prompt.query_one("#scale", Lines).text if prompt is not None else ""

    @property
    def asked(self) -> str:
        screen = self.app.screen
        return screen.question if isinstance(screen, Choose) else ""


@asynccontextmanager
async def at_the_scale(
    shop: Shop,
    monkeypatch: pytest.MonkeyPatch,
    scale: DrivenScale,
    *,
    key: str = "space",
    size: tuple[int, int] = (80, 24),
    by_itself: bool = False,
) -> AsyncIterator[AtTheScale]:
    """The bench with a question open."""
    monkeypatch.setattr("benchmate.bench.weights.live_scale.LiveScale", lambda bench: scale)
    shop.bench.settings = on_cable(shop.bench.settings, scale.form, by_itself=by_itself)
    app = BenchApp(shop.bench)
    async with app.run_test(size=size) as pilot:
        there = AtTheScale(app, pilot, shop, scale)
        if key:
            await press(pilot, key)
        await there.passes(1.0)
        yield there
