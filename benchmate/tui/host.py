"""What the screens know of the app that they stand in: typed, so that none of them has to guess."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from textual.app import App
from textual.dom import DOMNode

from benchmate.bench import Bench
from benchmate.remind.rules.edges import Reminder
from benchmate.tui.bench.hand import Hand
from benchmate.tui.derived_cache import Thoughts
from benchmate.tui.keys.gate import Gate
from benchmate.tui.present.lines import Line

if TYPE_CHECKING:
    from benchmate.bench.cautions import Cautions
    from benchmate.bench.weights.live_scale import LiveScale


class Host(App[None]):
    """The app as its screens see it. `host(node)` finds it from any of them."""

    bench: Bench
    hand: Hand
    gate: Gate
    thoughts: Thoughts
    glove_key: str
    pace: float
    """How many times faster than the wall the bench's clock runs (the demo)."""
    at_machine = False
    scale: LiveScale | None = None
    """The scale on a cable, where one is set and can be had."""
    scale_trouble = ""
    """Why it can't."""

    @cached_property
    def cautions(self) -> Cautions:
        """What the air and the mix's heat have to say before an act."""
        from benchmate.bench.cautions import Cautions

        return Cautions(self.bench)

    def open(self, name: str) -> None:
        """Open a screen by its name."""
        raise NotImplementedError

    def say(self, text: str) -> None:
        """A sentence on the bench."""
        raise NotImplementedError

    def opens_question(self, key: str) -> bool:
        """Whether a key of the screen in front asks something before anything is recorded."""
        raise NotImplementedError

    def answer(self, reminders: Sequence[Reminder], again_in_s: float | None) -> bool:
        """The maker has heard these, or wants them again so much later; whether it is noted."""
        raise NotImplementedError

    def tell_leaving(self) -> None:
        """The maker is about to leave: the phone is told what comes."""
        raise NotImplementedError

    def turn_machine(self) -> None:
        """At the machine, or off it."""
        raise NotImplementedError

    def fill_from_nowhere(self, text: str) -> None:
        """Something was typed or pasted all at once, and nothing had asked for it."""
        raise NotImplementedError

    def next_theme(self) -> str:
        """Turn to the next theme; its name."""
        raise NotImplementedError

    @property
    def signs(self) -> Line:
        """For the head: what about the reminders is worth knowing now, in few words."""
        return ()

    @property
    def minding_sentences(self) -> Sequence[str]:
        """Who reminds, whether the machine is kept awake, and what is wrong, in full."""
        return ()


def host(node: DOMNode) -> Host:
    """The app that a screen or widget stands in."""
    app = node.app
    assert isinstance(app, Host), "the bench's screens stand in the bench's app"
    return app
