"""The weigh prompt with a scale on a cable: what it reads stands under the field, live.

Nothing is taken but a steady weight, and that by a key; it then stands in the field as if typed,
and Enter records it. What a hand typed is never touched. Loaded only where a scale is set.
"""

from __future__ import annotations

from benchmate.bench.weights.live_scale import LiveScale
from benchmate.refusal import Refused
from benchmate.scales.reading import Live
from benchmate.tui.present.bench.weights.live_scale import live_line
from benchmate.tui.present.lines import Span, line
from benchmate.tui.prompts.weigh import WeighPrompt
from benchmate.tui.widgets.lines import Lines

LOOK_S = 0.2


class LiveWeighPrompt(WeighPrompt):
    """Looks at the scale five times a second while the field is empty."""

    scale: LiveScale | None = None
    _painted = Live("gone")

    def on_mount(self) -> None:
        """The line for what is live, then the scale."""
        self.query_one("#ask").mount(Lines(id="scale"), after="#typed")
        self.call_after_refresh(self._open)

    def _open(self) -> None:
        """Open the scale; why it can't be is said, and typing goes on as ever."""
        if not self.is_mounted:
            return
        try:
            self.scale = LiveScale(self.bench)
        except Refused as fault:
            self.put("scale", [line(" ", Span(str(fault), "caution"))])
            return
        self.look()
        self.set_interval(LOOK_S, self.look)

    def on_unmount(self) -> None:
        """Free the port."""
        if self.scale is not None:
            self.scale.end()

    def look(self) -> None:
        """Paint what is live; beside a typed figure nothing is."""
        if self.scale is None or not self.is_mounted:
            return
        self._painted = self.scale.look()
        typed = self.box.value.strip()
        self.put("scale", [] if typed else [live_line(self._painted, self.host.glove_key)])

    def takes_key(self, key: str) -> bool:
        """The glove key on an empty field takes a steady weight; where nothing is on the line, it
        offers to weigh later, as without a scale."""
        if self.scale is None or key != self.host.glove_key or self.box.value:
            return super().takes_key(key)
        shown, live = self._painted, self.scale.look()
        self.look()
        if live.state in ("gone", "silent", "fault"):
            return super().takes_key(key)
        if not self.host.hand.presses.counts(self.bench.now_s()) or self.came_at_once():
            return True
        if live.state != "steady" or not _same(shown, live):
            # Nobody can have read a figure that came after the last picture.
            self.tell("It does not stand still yet: nothing was taken.")
            return True
        self.box.value = shown.text
        self.box.cursor_position = len(shown.text)
        self.look()
        return True


def _same(shown: Live, live: Live) -> bool:
    """Whether what stood on the screen is what is live: steady too, one step beside it at most."""
    if shown.state != "steady" or shown.grams is None or live.grams is None:
        return False
    return abs(shown.grams - live.grams) <= 1.5 * live.division_g
