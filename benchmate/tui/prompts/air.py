"""The air prompt: a reading is asked about where it looks like a slip, and the last one that was
typed can be put right or taken back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Input

from benchmate.air.slips import DoubtfulAir
from benchmate.bench import Bench
from benchmate.bench.air.recording import (
    bare_unit,
    correct_air,
    in_short,
    last_typed,
    record_air,
    take_back_air,
)
from benchmate.job.windows.windows import SHOP
from benchmate.localtime import show_when
from benchmate.quantities import show_percent, show_temperature
from benchmate.refusal import Refused
from benchmate.tui.present.air import read_air
from benchmate.tui.present.lines import Line, line
from benchmate.tui.prompts.ask import FAULTS, Ask
from benchmate.tui.prompts.choose import ask_slip


class AirPrompt(Ask):
    """Records a reading. Tab turns to the last one that was typed: another value puts it right,
    an empty line takes it back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "tab",
            "mode",
            "correct",
            id="air-mode",
            priority=True,
            tooltip="A new reading, or the last one that was typed",
        ),
    ]

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.puts_right = False
        example = "64 50" if bench.settings.units == "inch" else "17.5 62"
        super().__init__(
            f"Shop temperature in {bare_unit(bench.settings.units)}, and humidity if you have it "
            f"({example})",
            self._record,
            live=self._live,
            hint="enter  record    tab  correct the last one    escape  cancel",
        )

    def _read(self, text: str) -> tuple[float, float | None]:
        return read_air(text, bare_unit(self.bench.settings.units))

    def _live(self, text: str) -> Line:
        if self.puts_right:
            return line(" ", self._old(empty=not text.strip()))
        if not text.strip():
            return line(" ")
        return line(" ", self._shown(*self._read(text)))

    def _shown(self, celsius: float, damp: float | None) -> str:
        shown = show_temperature(celsius, self.bench.settings.units)
        return shown if damp is None else f"{shown}, {show_percent(damp)}"

    def _old(self, *, empty: bool) -> str:
        """Which reading is put right, in words; raises Refused where there is none."""
        _, old = last_typed(self.bench, SHOP)
        when = show_when(old.happened.wall_s, self.bench.now().wall_s)
        shown = self._shown(old.temperature_c, old.humidity_pct)
        return f"{'undo' if empty else 'instead of'} {shown} of {when}"

    def _record(self, text: str) -> str:
        if self.puts_right and not text.strip():
            return in_short(take_back_air(self.bench, SHOP))
        celsius, damp = self._read(text)
        try:
            return self._kept(celsius, damp)
        except DoubtfulAir as asked:
            self._ask_slip(asked, celsius, damp)
            raise

    def _kept(self, celsius: float, damp: float | None, *, stands: bool = False) -> str:
        keep = correct_air if self.puts_right else record_air
        return in_short(keep(self.bench, SHOP, celsius, damp, stands=stands))

    def _ask_slip(self, asked: DoubtfulAir, celsius: float, damp: float | None) -> None:
        """What was likely meant, or it stands, or it is typed again."""
        answers: list[tuple[str, Callable[[], str]]] = []
        meant = asked.doubt.meant
        if meant is not None:
            shown = self._shown(meant.temperature_c, meant.humidity_pct)
            keep = partial(self._kept, meant.temperature_c, meant.humidity_pct)
            answers.append((f"Record {shown} instead", keep))
        if not asked.is_impossible:
            stands = partial(self._kept, celsius, damp, stands=True)
            answers.append(("Keep it: that is what the thermometer shows", stands))
        ask_slip(self, str(asked), answers, self.dismiss)

    def action_mode(self) -> None:
        """A new reading, or the last one that was typed."""
        if not self.puts_right:
            try:
                last_typed(self.bench, SHOP)
            except Refused as fault:
                self.tell(str(fault))
                return
        self.puts_right = not self.puts_right
        self.answer_live(self.query_one(Input).value)

    def answer_live(self, text: str) -> None:
        """Nothing typed yet is nothing to say, but for what would be taken back."""
        try:
            super().answer_live(text)
        except FAULTS as fault:
            self.tell(str(fault), "dim")
