"""The weigh prompt with a scale on a cable: what it reads stands under the field, live.

Nothing is taken but a steady weight, and that by a key (or by itself, where that is switched on).
A final weight then stands in the field as if typed; Enter or the key once more records it. A
reading of a pour is recorded at once, and the next material is up. What a hand typed is never
touched. Loaded only where a scale is set.
"""

from __future__ import annotations

from contextlib import suppress

from benchmate.bench.weights.live_scale import LiveScale, ring
from benchmate.job.deciding.weights import split_of
from benchmate.landing.words import places_for
from benchmate.scales.reading import GONE, Live
from benchmate.scales.watch import Left, Watch, is_below, is_empty, is_fresh
from benchmate.tui.present.bench.weights.live_scale import (
    BELOW,
    NOTHING,
    UNSTEADY,
    live_line,
    question_of,
    to_go_text,
)
from benchmate.tui.present.font import big, cells_of
from benchmate.tui.present.lines import Role, Span, line
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.weigh import FINAL, MODES, WeighPrompt
from benchmate.tui.prompts.weigh_free import FreeWeigh
from benchmate.tui.widgets.lines import Lines

LOOK_S = 0.2


class LiveWeighPrompt(WeighPrompt):
    """Looks at the scale five times a second while the field is empty."""

    _painted = GONE
    follow: Watch

    @property
    def scale(self) -> LiveScale | None:
        """The bench's scale; None where it can't be had."""
        return self.host.scale

    def on_mount(self) -> None:
        """The line for what is live; why there is none is said, and typing goes on as ever."""
        last = self._readings[-1].reading_g if self._readings and self._is_pour else None
        alone = self.bench.settings.scale.by_itself and not self._is_pour
        self.follow = Watch(pours=last is not None, alone=alone, before_g=last)
        self._left = Left()
        self._asking = False
        self.query_one("#ask").mount(Lines(id="scale"), after="#typed")
        self.call_after_refresh(self.look)
        self.set_interval(LOOK_S, self.look)

    # Looking ---------------------------------------------------------------------------------

    def look(self) -> None:
        """Follow the scale, and paint what is live; beside a typed figure nothing is."""
        if not self.is_mounted or self._asking:
            return
        scale = self.scale
        if scale is None:
            self.put("scale", [line(" ", Span(self.host.scale_trouble, "caution"))])
            return
        live, was_armed = scale.look(), self.follow.is_armed
        if self.box.value.strip():
            self.follow.look(live, scale.now_s())
            self.put("scale", [])
            return
        taken = self.follow.look(live, scale.now_s())
        if taken is not None:
            self._take(taken, by_itself=not was_armed)
            return
        self._paint(live)
        if was_armed and not self.follow.is_armed:
            self.tell(UNSTEADY)
        if self.follow.question and self.is_current:
            self._ask_zero(live)

    def _paint(self, live: Live) -> None:
        self._painted = shown = self.follow.in_full(live)
        may = "" if self.follow.is_off else "take it" if self.mode == FINAL else "take the reading"
        rows = [live_line(shown, self.host.glove_key, armed=self.follow.is_armed, may_take=may)]
        left = self._left_g(shown)
        if left is not None:
            what = "" if self.mode == FINAL else f"  {self._adding}"
            text = to_go_text(left, self.bench.settings.units, places_for(live.division_g))
            rows.insert(0, line(" ", Span(text, "strong"), what))
            self._sound(left)
        self.put("scale", rows)
        self._show_afar("")

    def _show_afar(self, text: str) -> None:
        """Large: what is typed, or what is live."""
        live = self._painted
        if text or live.grams is None or not self.host.hand.far:
            super()._show_afar(text)
            return
        left = self._left_g(live)
        shown = live.text
        if left is not None:
            places = places_for(live.division_g)
            shown = to_go_text(left, self.bench.settings.units, places).removesuffix(" to go")
        rows = big(shown) if cells_of(shown) <= self.size.width - 4 else []
        role: Role = "strong" if live.state == "steady" else "dim"
        self.query_one("#afar").display = True
        self.put("big", [line("  ", Span(r, role)) for r in rows])

    # A pour ----------------------------------------------------------------------------------

    @property
    def _adding(self) -> str:
        return self._typed("").adding

    def _left_g(self, live: Live) -> float | None:
        """What is to go while pouring: of the material in hand, else of all that goes in."""
        readings, point = self._readings, self.step.weigh if self.step else None
        if live.grams is None or not readings or point is None or not self._is_pour:
            return None
        planned = self._planned_of(self._adding)
        if planned:
            done = split_of(tuple(readings)).get(self._adding, 0.0)
            return planned - done - (live.grams - readings[-1].reading_g)
        return None if point.plan_g is None else point.plan_g - (live.grams - readings[0].reading_g)

    def _planned_of(self, what: str) -> float:
        amounts = self.step.amounts if self.step else ()
        return sum(a.amount for a in amounts if a.what == what and a.unit == "g")

    def _sound(self, left_g: float) -> None:
        tone = self._left.tone(self._adding, left_g, self._planned_of(self._adding))
        if tone and self._adding:
            self.ring(tone)

    def ring(self, tone: int) -> None:
        """A tone; the terminal's bell where there is none."""
        app = self.app

        def bell() -> None:
            with suppress(RuntimeError):  # the app has ended meanwhile
                app.call_from_thread(app.bell)

        ring(self.bench, tone, bell)

    def _go_on(self, said: str) -> None:
        """A reading is in: the next material is up, and after the last what all weighs."""
        was = self.mode
        super()._go_on(said)
        self.follow.pours = True
        split = split_of(tuple(self._readings))
        self.mode = next(
            (m for m in MODES[2:] if m != was and self._is_due(m, split)),
            FINAL if was in MODES[2:] else self.mode,
        )
        self.put("asked-keys", [line(" ", Span(self._keys, "dim"))])
        self.answer_live("")  # what is to go falls live above it
        self.call_after_refresh(self.look)

    def _is_due(self, mode: str, split: dict[str, float]) -> bool:
        what = mode.removeprefix("reading: ")
        return what not in split and self._planned_of(what) > 0.0

    # Taking ----------------------------------------------------------------------------------

    def takes_key(self, key: str) -> bool:
        """The glove key on an empty field takes a steady weight, or the next; where nothing is on
        the line, it offers to weigh later, as without a scale."""
        scale = self.scale
        if scale is None or key != self.host.glove_key or self.box.value or self.follow.is_off:
            return super().takes_key(key)
        shown, live = self._painted, scale.look()
        if live.state in ("gone", "silent", "fault"):
            self.look()
            return super().takes_key(key)
        if not self.host.hand.presses.counts(self.bench.now_s()) or self.came_at_once():
            return True
        # Nobody can have read a figure that came after the last picture: that one is only armed.
        if live.state == "steady" and is_below(live):
            self.tell(BELOW)
        elif live.state == "steady" and is_empty(live) and not self._takes_empty:
            self.tell(NOTHING)
        elif (
            is_fresh(live, scale.now_s())
            and _is_same(shown, self.follow.in_full(live))
            and self.follow.may_take(live)
        ):
            self._take(shown, by_itself=False)
        elif not self.follow.question:
            self.follow.arm(scale.now_s())
            self.answer_live("")
            self.look()
        return True

    @property
    def _takes_empty(self) -> bool:
        """Whether nothing on the scale is a reading, too: as the start of a pour it is."""
        return self.mode != FINAL or bool(self._is_pour and self._readings)

    def _take(self, live: Live, *, by_itself: bool) -> None:
        """A steady weight: into the field, or recorded at once where it is a pour's reading."""
        if self.mode != FINAL:
            self.do_typed(live.text)
            return
        self.prefill = self.asked_of = live.text
        self.box.value = live.text
        self.box.cursor_position = len(live.text)
        self.put("scale", [])
        if by_itself:
            self.ring(2)
            self.do_typed(live.text)

    # A new zero ------------------------------------------------------------------------------

    def _ask_zero(self, live: Live) -> None:
        """Tared or lifted off, or gone for a while: only the maker knows what lies there."""
        follow, self._asking = self.follow, True
        before = self._as_shown(follow.before_g, live.division_g)
        question, answers = question_of(follow.question, before, follow.in_full(live).text)

        def answered(n: int | None) -> None:
            self._asking = False
            match "type it" if n is None else list(answers.values())[n]:
                case "tared":
                    follow.go_on(live)
                case "as it reads":
                    follow.as_it_reads(live)
                case _:
                    follow.type_it()
            self.look()

        self.app.push_screen(Choose(question, list(answers)), answered)


class LiveFreeWeigh(LiveWeighPrompt, FreeWeigh):
    """The same, of a job without a plan."""


def _is_same(shown: Live, live: Live) -> bool:
    """Whether what stood on the screen is what is live: steady too, one step beside it at most."""
    if (shown.state, live.state) != ("steady", "steady") or shown.grams is None:
        return False
    if live.grams is None:
        return False
    return abs(shown.grams - live.grams) <= 1.5 * live.division_g
