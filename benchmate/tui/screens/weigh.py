"""The weigh prompt: prefilled with the plan's value, it answers at once with the verdict."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.events import Key
from textual.widgets import Input

from benchmate.bench import Bench
from benchmate.bench.weighing import Typed, preview, record_weight, scale_of
from benchmate.job.plan import Step
from benchmate.landing.verdict import Verdict
from benchmate.quantities import QuantityError, parse_reading, show_mass
from benchmate.tui.present.lines import Line, Role, Span, line
from benchmate.tui.screens.ask import Ask

FINAL = "what went in"
MODES = (FINAL, "reading: start", "reading: shot", "reading: resin")
AGAIN_S = 5.0
_ROLES: dict[Verdict, Role] = {
    Verdict.ON_PLAN: "good",
    Verdict.NEAR_THE_EDGE: "caution",
    Verdict.OFF_PLAN: "spoil",
    Verdict.CANT_TELL: "caution",
}


class WeighPrompt(Ask):
    """Records a weight, or running readings with the piece standing on the scale.

    Tab says what is typed: what went in, or the scale's reading at the start and after shot or
    resin. The glove key on an untouched plan value asks once more: a weight is read, not assumed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "mode", "what is typed", id="weigh-mode", priority=True),
        Binding("plus,up", "nudge(1)", "a division more", priority=True),
        Binding("minus,down", "nudge(-1)", "a division less", priority=True),
    ]

    def __init__(self, bench: Bench, job: str, step: Step | None, title: str) -> None:
        self.bench, self.job, self.step = bench, job, step
        self.address = step.address if step else ""
        self.mode = FINAL
        self._pressed_s = float("-inf")
        plan = step.weigh.plan_g if step and step.weigh else None
        state = bench.shop.jobs[job]
        running = state.running.get(self.address, ())
        if running:
            self.mode, plan = MODES[2], None
        prefill = "" if plan is None else f"{plan:.0f} g"
        super().__init__(
            title, self._record, prefill=prefill, live=self._live,
            hint="enter  record    +/−  nudge    tab  what is typed    escape  leave it",
        )  # fmt: skip

    def _typed(self, text: str) -> Typed:
        adding = self.mode.removeprefix("reading: ") if self.mode != FINAL else ""
        return Typed(text, adding="" if adding == "start" else adding)

    def _live(self, text: str) -> Line:
        mode = Span(f" {self.mode}  ", "dim")
        if not text.strip():
            return line(mode)
        if self.mode == MODES[1]:
            return line(mode, show_mass(parse_reading(text).value_g, self.bench.settings.units))
        seen = preview(self.bench, self.job, self.address, self._typed(text))
        units = self.bench.settings.units
        spans: list[Span | str] = [mode]
        if self.mode != FINAL and seen.to_go_g is not None:
            word = "to go" if seen.to_go_g >= 0 else "too much"
            spans.append(Span(f"{show_mass(abs(seen.to_go_g), units)} {word}", "strong"))
            for what, grams in (seen.split or {}).items():
                spans.append(f"   {show_mass(grams, units)} {what}")
            return line(*spans)
        if seen.difference_g is not None:
            spans.append(Span(show_mass(seen.difference_g, units, sign=True), "strong"))
            spans.append(" against the plan   ")
        if seen.judgement is not None:
            spans.append(Span(seen.judgement.said(), _ROLES[seen.judgement.verdict]))
        return line(*spans)

    def _record(self, text: str) -> str:
        running = self.mode != FINAL
        return record_weight(self.bench, self.job, self.address, self._typed(text),
                             running=running)  # fmt: skip

    def finish(self, text: str) -> None:
        """A running reading keeps the prompt open for the next one."""
        if self.mode == FINAL:
            super().finish(text)
            return
        try:
            said = self._record(text)
        except (QuantityError, ValueError) as fault:
            self.tell(str(fault))
            return
        self.mode = MODES[2] if self.mode == MODES[1] else self.mode
        self.query_one(Input).value = ""
        self.tell(said)

    def action_mode(self) -> None:
        """What is typed next."""
        step = self.step
        pour = step is not None and step.weigh is not None and step.weigh.kind == "gain"
        if pour:
            self.mode = MODES[(MODES.index(self.mode) + 1) % len(MODES)]
        self.answer_live(self.query_one(Input).value)

    def action_nudge(self, steps: int) -> None:
        """One division of the scale more or less."""
        box = self.query_one(Input)
        try:
            reading = parse_reading(box.value)
        except QuantityError as fault:
            self.tell(str(fault))
            return
        _, described = scale_of(self.bench)
        division = described or reading.division_g or 1.0
        places = max(0, -round_exponent(division))
        box.value = f"{reading.value_g + steps * division:.{places}f} g"
        box.cursor_position = len(box.value)

    def on_key(self, event: Key) -> None:
        """The glove key on the untouched plan value: once asks, twice records."""
        box = self.query_one(Input)
        if event.key != self.bench.settings.glove_key or box.value != self.prefill or not box.value:
            return
        event.stop()
        event.prevent_default()
        now_s = self.bench.now_s()
        if now_s - self._pressed_s < AGAIN_S:
            self.finish(box.value)
            return
        self._pressed_s = now_s
        self.tell(f"Does the scale really read {box.value}? Press again to record that.")


def round_exponent(division_g: float) -> int:
    """The power of ten of a division: 0 for 1 g and 5 g, −1 for 0.5 g and 0.1 g."""
    exponent = 0
    while round(division_g * 10.0**-exponent, 6) < 1 and exponent > -4:
        exponent -= 1
    return exponent
