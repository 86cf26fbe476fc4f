"""The weigh prompt: empty beside the plan's value, it answers at once with the verdict.

Nothing but what somebody typed or a scale sent is ever recorded: the plan is shown, not filled in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from benchmate.bench import Bench
from benchmate.bench.weights.weighing import (
    Doubtful,
    Instead,
    Preview,
    Typed,
    preview,
    record_instead,
    record_weight,
    scale_of,
)
from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import TakenBack
from benchmate.job.state.state import Running
from benchmate.landing.words import places_for
from benchmate.plan.plan import Step
from benchmate.quantities import QuantityError, parse_reading, show_mass
from benchmate.refusal import Refused
from benchmate.tui.present.bench.foot import VERDICT_ROLES
from benchmate.tui.present.bench.weights.weighing import against_plan, to_go
from benchmate.tui.present.font import big, cells_of
from benchmate.tui.present.lines import Line, Span, line, wrap
from benchmate.tui.prompts.ask import FAULTS, Ask
from benchmate.tui.prompts.choose import Choose, ask_slip

FINAL = "what went in"
NOT_TYPED = "Nothing is typed. What does the scale read?"
WHOLE = "what it weighs"
ALL_IN = "reading: all in"
"""What stands for a net weight once the scale was read at the start of the pour."""
MODES = (FINAL, "reading: start", "reading: shot", "reading: resin")


class WeighPrompt(Ask):
    """Records a weight, or running readings with the piece standing on the scale.

    Tab says what is typed: what went in, or the scale's reading at the start and after shot or
    resin. On an empty line Enter asks for the reading, and the glove key offers to weigh later. On
    what is typed the glove key asks once more: a weight is read, not assumed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "tab",
            "mode",
            "what is typed",
            id="weigh-mode",
            priority=True,
            tooltip="What went in, or readings while pouring",
        ),
        Binding(
            "up",
            "nudge(1)",
            "one step more",
            id="nudge-more",
            tooltip="One division of the scale more",
        ),
        Binding(
            "down",
            "nudge(-1)",
            "one step less",
            id="nudge-less",
            tooltip="One division of the scale less",
        ),
    ]

    def __init__(
        self,
        bench: Bench,
        job: str,
        step: Step | None,
        title: str,
        *,
        put_off: Callable[[], str] | None = None,
    ) -> None:
        self.bench, self.job, self.step, self.put_off = bench, job, step, put_off
        self.address = step.address if step else ""
        self.mode = FINAL
        self._unsettled = False
        """Whether nobody has said yet if readings from before an undo count."""
        self.asked_of = ""
        """What the glove key has asked about once."""
        if self._readings and self.address not in bench.shop.jobs[job].done:
            self.mode = MODES[2]
        super().__init__(
            title,
            self._record,
            live=self._live,
            hint=self._keys,
        )

    def compose(self) -> ComposeResult:
        """From afar the weight stands above the question in large letters."""
        from textual.containers import Vertical

        from benchmate.tui.widgets.lines import Lines

        yield from super().compose()
        with Vertical(id="afar"):
            yield Lines(id="big")

    def on_mount(self) -> None:
        """Readings from before something was undone count only where somebody says so."""
        undone = [
            r.version
            for r in self.bench.shop.jobs[self.job].records
            if isinstance(r.event, TakenBack)
        ]
        if self._readings and undone and undone[-1] > self._readings[-1].version:
            self._unsettled = True
            self.call_after_refresh(self._ask_old)

    def _ask_old(self) -> None:
        def answered(n: int | None) -> None:
            self._unsettled = n is None
            if n == 1:
                for old in reversed(self._readings):
                    self.bench.do(self.job, cmd.TakeBack(version=old.version, along=True))
                self.mode = FINAL
                self.put("asked-keys", [line(" ", Span(self._keys, "dim"))])
            self.answer_live(self.box.value)

        question = f"Read before the undo: {self._read_so_far}. Do these readings still count?"
        self.app.push_screen(Choose(question, ("They count", "No: undo them")), answered)

    @property
    def _read_so_far(self) -> str:
        units = self.bench.settings.units
        return ", ".join(
            f"{r.adding or 'start'} {show_mass(r.reading_g, units)}" for r in self._readings
        )

    @property
    def _readings(self) -> Sequence[Running]:
        return self.bench.shop.jobs[self.job].running.get(self.address, ())

    def _planned(self) -> str:
        """What the scale should show by the plan, with what it read at the start of the pour."""
        point = self.step.weigh if self.step else None
        if point is None or point.plan_g is None:
            return ""
        began = self._readings[0].reading_g if self._readings and self._is_pour else 0.0
        return self._as_shown(point.plan_g + began)

    @property
    def _modes(self) -> Sequence[str]:
        """What can be typed now: a pour's first reading is its start, whatever is added after."""
        return (FINAL, *MODES[2:]) if self._readings else MODES[:2]

    @property
    def _keys(self) -> str:
        tab = "tab  shot, resin, all in    "
        if not self._readings:
            again = "weigh as you pour" if self.mode == FINAL else "one weight at the end"
            tab = f"tab  {again}    "
        return f"enter  record    +/−  one step    {tab if self._is_pour else ''}escape  cancel"

    @property
    def _is_pour(self) -> bool:
        return (
            self.step is not None
            and self.step.weigh is not None
            and (self.step.weigh.kind == "gain")
        )

    @property
    def _division_g(self) -> float | None:
        return scale_of(self.bench)[1]

    def _as_shown(self, mass_g: float, division_g: float | None = None) -> str:
        """A weight with the digits that the scale shows."""
        division = division_g or self._division_g or 1.0
        units = self.bench.settings.units
        extra = 2 if units == "inch" else 0
        return show_mass(mass_g, units, decimals=places_for(division) + extra)

    # Answering as one types ------------------------------------------------------------------

    def _typed(self, text: str) -> Typed:
        adding = self.mode.removeprefix("reading: ") if self.mode != FINAL else ""
        return Typed(text, adding="" if adding == "start" else adding)

    def _live(self, text: str) -> Line:
        mode = Span(f" {self._mode_said}  ", "dim")
        if not text.strip():
            return line(mode, *self._beside())
        if self.mode == MODES[1]:
            return line(mode, show_mass(parse_reading(text).value_g, self.bench.settings.units))
        seen = preview(self.bench, self.job, self.address, self._typed(text))
        units, step_g = self.bench.settings.units, self._division_g or 1.0
        final = self.mode == FINAL
        said = against_plan(seen, units, step_g) if final else to_go(seen, units)
        return line(mode, *said)

    @property
    def _mode_said(self) -> str:
        if self.mode != FINAL:
            return self.mode
        if not self._is_pour:
            return WHOLE
        return ALL_IN if self._readings else FINAL

    def _beside(self) -> Iterable[Span | str]:
        """What stands beside an empty line: the plan, and the readings that will count."""
        plan = self._planned()
        if plan and self.mode == FINAL:
            yield Span(f"plan {plan}", "strong")
        if self._readings:
            yield f"   read so far: {self._read_so_far}"

    def answer_live(self, text: str) -> None:
        """Near and far."""
        super().answer_live(text)
        self._show_afar(text)

    def live_lines(self, text: str) -> list[Line]:
        """The verdict, and beneath it what it was judged by."""
        seen = self._seen(text)
        why = seen.judgement.lines[1] if seen is not None and seen.judgement is not None else ""
        cells = max(20, self.size.width - 4)
        return [self._live(text), *(line(" ", Span(r, "dim")) for r in wrap(why, cells, 2))]

    def _seen(self, text: str) -> Preview | None:
        """What a final weight would mean; None where it can't be told yet."""
        if self.mode != FINAL or not text.strip():
            return None
        try:
            return preview(self.bench, self.job, self.address, self._typed(text))
        except FAULTS:
            return None

    def _show_afar(self, text: str) -> None:
        far = self.host.hand.far
        cells = self.size.width - 2
        if not far or self.size.height < 12 or not text:
            self.query_one("#afar").display = False
            return
        self.query_one("#afar").display = True
        found = self._seen(text)
        seen = found.judgement if found is not None else None
        shown = text + (" ?" if self.asked_of == text else "")
        rows = [shown] if cells_of(shown) <= cells else []
        verdict = seen.verdict.value if seen is not None else ""
        rows += [verdict] if verdict and cells_of(verdict) <= cells else []
        role = VERDICT_ROLES[seen.verdict] if seen is not None else "strong"
        self.put("big", [line("  ", Span(r, role)) for t in rows for r in (*big(t), "")])

    # Recording -------------------------------------------------------------------------------

    def _record(self, text: str) -> str:
        try:
            return record_weight(
                self.bench, self.job, self.address, self._typed(text), running=self.mode != FINAL
            )
        except Doubtful as asked:
            if asked.question.impossible and text.strip().startswith(("-", "−")):
                said = asked.question.sentence.partition(". ")[0]
                raise Refused(f"{said}. Read the scale again.") from asked
            self._ask_slip(text, asked, asked.instead)
            raise

    def _ask_slip(self, text: str, asked: Doubtful, instead: Instead | None) -> None:
        """A weight that looks like a slip: what was likely meant, or it stands."""
        answers = [("Keep it: that is what the scale reads", partial(self._stands, text))]
        if instead is not None:
            fixed = (f"Record {instead.said} instead", partial(self._instead, instead))
            answers.insert(0, fixed)
        ask_slip(self, str(asked), answers, self.dismiss if self.mode == FINAL else self._go_on)

    def _stands(self, text: str) -> str:
        return record_weight(
            self.bench,
            self.job,
            self.address,
            self._typed(text),
            stands=True,
            running=self.mode != FINAL,
        )

    def _instead(self, instead: Instead) -> str:
        return record_instead(self.bench, self.job, self.address, instead).said

    def do_typed(self, text: str) -> None:
        """A running reading keeps the prompt open for the next one; nothing typed is asked for."""
        if not text.strip():
            self.tell(NOT_TYPED)
            return
        if self._unsettled:
            self._ask_old()
            return
        if self.mode == FINAL:
            super().do_typed(text)
            return
        said = self.attempt(self._record, text)
        if said is not None:
            self._go_on(said)

    def _go_on(self, said: str) -> None:
        """A running reading is in: ready for the next."""
        self.mode = MODES[2] if self.mode == MODES[1] else self.mode
        self.put("asked-keys", [line(" ", Span(self._keys, "dim"))])
        with self.prevent(Input.Changed):
            self.box.value = ""
        self.tell(said)

    def takes_key(self, key: str) -> bool:
        """Plus and minus nudge a number that stands there whole, and are typed elsewhere; the glove
        key on an empty line offers to weigh later, on a number it asks, then records."""
        if key in ("plus", "minus"):
            if not self._is_whole(self.box):
                return not self.box.value.strip()
            self.action_nudge(1 if key == "plus" else -1)
            return True
        text = self.box.value
        if key == self.host.glove_key and (text in ("", self.prefill) or self.is_locked):
            self._glove(text)
            return True
        return super().takes_key(key)

    def _is_whole(self, box: Input) -> bool:
        """Whether a complete weight stands there, and nothing is about to be typed before it."""
        marked = box.selection.start != box.selection.end
        if not box.value.strip() or (box.cursor_position == 0 and not marked):
            return False
        try:
            return parse_reading(box.value).value_g >= 0.0
        except QuantityError:
            return False

    def _glove(self, text: str) -> None:
        if not self.host.hand.presses.counts(self.bench.now_s()):
            return
        if not text:
            self._offer_later()
        elif self.asked_of == text and not self.came_at_once():
            self.finish(text)
        else:
            self.asked_of = text
            self._show_afar(text)
            self.tell(f"Does the scale really read {text}? Press again to record it.")

    def _offer_later(self) -> None:
        """Nothing is typed: it may be weighed later, but never taken as planned."""
        put_off = self.put_off
        if put_off is None:
            self.tell(NOT_TYPED)
            return

        def answered(n: int | None) -> None:
            if n == 1:
                self.dismiss(put_off())

        self.app.push_screen(
            Choose("Nothing is typed: weigh it now, or later?", ("Now", "Weigh later")), answered
        )

    def action_mode(self) -> None:
        """What is typed next."""
        box = self.box
        if self._is_pour:
            modes = self._modes
            self.mode = modes[(modes.index(self.mode) + 1) % len(modes)]
            self.put("asked-keys", [line(" ", Span(self._keys, "dim"))])
        self.answer_live(box.value)

    def action_nudge(self, steps: int) -> None:
        """One division of the scale more or less; nothing while there is no reading to nudge."""
        box = self.box
        if not box.value.strip():
            self.tell("Type what the scale reads first.")
            return
        try:
            reading = parse_reading(box.value)
        except QuantityError as fault:
            self.tell(str(fault))
            return
        division = self._division_g or reading.division_g or 1.0
        box.value = self._as_shown(max(0.0, reading.value_g + steps * division), division)
        box.cursor_position = len(box.value)
