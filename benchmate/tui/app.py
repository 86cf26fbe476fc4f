"""The app: one bench, one tick a second, a lock for the keys, a clean end whatever ends it."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any, ClassVar

from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.events import Event, Key, Paste
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.refusal import Refused
from benchmate.tui.bench.hand import Hand
from benchmate.tui.bench.minding import MindingApp
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.derived_cache import Thoughts
from benchmate.tui.keys.gate import Gate
from benchmate.tui.keys.names import GLOVE_DEFAULT, glove_fault, key_name
from benchmate.tui.keys.table import TABLE, binding
from benchmate.tui.outliving import outliving
from benchmate.tui.themes import DARK, PALETTES, after

SCREENS: dict[str, str] = {
    "far": "benchmate.tui.bench.far:FarScreen",
    "start": "benchmate.tui.pages.starting.start:StartScreen",
    "card": "benchmate.tui.pages.card:CardScreen",
    "days": "benchmate.tui.pages.days:DaysScreen",
    "earlier": "benchmate.tui.pages.looking_back.earlier:EarlierScreen",
    "weights": "benchmate.tui.pages.weights:WeightsScreen",
    "logbook": "benchmate.tui.pages.looking_back.logbook:LogbookScreen",
    "stores": "benchmate.tui.pages.shelf:ShelfScreen",
    "reckon": "benchmate.tui.pages.reckon:ReckonScreen",
    "end of day": "benchmate.tui.pages.end_of_day:EndOfDay",
    "flags": "benchmate.tui.pages.flags:FlagsScreen",
    "help": "benchmate.tui.pages.help:Help",
}
"""Screens that a key opens, each loaded when it is first asked for. They are made without
arguments, find the bench at `app.bench`, and may dismiss with a sentence for the bench to say."""


LOCK_KEYS = ("ctrl+l",)


class BenchApp(MindingApp):
    """Opens on the bench screen. Screens ask the bench; the tick asks them to look again."""

    CSS_PATH = Path(__file__).with_name("bench.tcss")
    TITLE = "benchmate"
    COMMAND_PALETTE_BINDING = "ctrl+p"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "quit", id="quit", priority=True, tooltip=TABLE["quit"].tip),
        binding("lock", "lock"),
        binding("help", "open('help')"),
    ]

    def __init__(self, bench: Bench, *, pace: float = 1.0, trouble: str = "") -> None:
        # Without this NO_COLOR would give greys, not the terminal's own ink on its own ground.
        super().__init__(ansi_color=True if "NO_COLOR" in os.environ else None)
        self.bench = bench
        self.pace = pace
        """How many times faster than the wall the bench's clock runs (the demo)."""
        self.trouble = trouble
        """What is to be said at the start: a settings file that can't be read."""
        self.hand = Hand(pace)
        self.gate = Gate(self, self._let_in)
        self.thoughts = Thoughts(bench)
        self.glove_key = bench.settings.glove_key
        for palette in PALETTES.values():
            self.register_theme(palette.theme())
        self.palette = PALETTES[bench.settings.theme]
        self.theme = self.palette.id

    def get_driver_class(self) -> type[Driver]:
        """The library's driver for this system, made to outlive its terminal."""
        return outliving(super().get_driver_class())

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The style sheet's own variables, for themes that don't know them."""
        return DARK.variables()

    def on_mount(self) -> None:
        from benchmate.tui.bench.screen import BenchScreen

        screen = BenchScreen()
        self.push_screen(screen)
        self._map_glove_key(screen)
        if self.trouble:
            self.hand.say(self.trouble, self.bench.now_s(), alarm=True)
        self.set_interval(1.0, self.tick)

    def on_ready(self) -> None:
        """The first picture stands."""
        from benchmate.tui.bench.screen import BenchScreen

        for screen in self.screen_stack:
            if isinstance(screen, BenchScreen):
                screen.look_whole_soon()
        if self.bench.settings.scale.port:
            self._open_scale()

    def _open_scale(self) -> None:
        """The first bench has the port for as long as it is open; why not is said."""
        from benchmate.bench.weights.live_scale import LiveScale

        try:
            self.scale = LiveScale(self.bench)
        except Refused as fault:
            self.scale_trouble = str(fault)
            self.say(self.scale_trouble)

    def on_unmount(self) -> None:
        """Leave the scale to another bench."""
        if self.scale is not None:
            self.scale.end()

    def _map_glove_key(self, screen: Screen[None]) -> None:
        """Give the glove key its name from the settings, unless another action has it."""
        bindings = (a.binding for a in screen.active_bindings.values())
        taken = {b.key: b.description for b in bindings if b.id != "glove"}
        fault = glove_fault(self.glove_key, taken)
        if fault:
            self.trouble = " ".join(t for t in (self.trouble, fault) if t)
            self.glove_key = GLOVE_DEFAULT
        self.set_keymap({"glove": self.glove_key})

    # The tick --------------------------------------------------------------------------------

    def tick(self) -> None:
        """Once a second: what the round has to say, and have the screens look again."""
        if not self.is_running:  # its last tick may come while the screens are being taken down
            return
        self.go_round()
        for screen in self.visible_screens():
            if isinstance(screen, WorkScreen):
                screen.look()
                screen.reminding.pulse()

    def visible_screens(self) -> Iterator[Screen[Any]]:
        """The screen on top, and those that show through a question above them."""
        for screen in reversed(self.screen_stack):
            yield screen
            if not screen.is_modal:
                return

    def bench_screen(self) -> WorkScreen | None:
        """The uppermost of near and far that is open."""
        found = (s for s in reversed(self.screen_stack) if isinstance(s, WorkScreen))
        return next(found, None)

    # Opening screens -------------------------------------------------------------------------

    def open(self, name: str) -> None:
        """Open a screen by its name in SCREENS; what it answers is said on the bench."""
        module, _, made = SCREENS[name].partition(":")
        try:
            screen = getattr(import_module(module), made)()
        except ModuleNotFoundError as missing:
            if missing.name != module:
                raise
            self.say(f"The screen “{name}” is not built yet.")
            return
        self.push_screen(screen, lambda said: self.say(said) if isinstance(said, str) else None)

    def action_open(self, name: str) -> None:
        """Open a screen by its name."""
        self.open(name)

    def say(self, text: str) -> None:
        """A sentence on the bench."""
        screen = self.bench_screen()
        if screen is not None and text:
            screen.say(text)

    # Keys of the whole app -------------------------------------------------------------------

    async def on_event(self, event: Event) -> None:
        """Keys and pastes from the terminal come in by the gate; while they are locked, only three
        of them reach anything."""
        if isinstance(event, (Key, Paste)) and not event.is_forwarded:
            self.bench.touched_s = self.bench.now_s()
            self.gate.take(event)
            return
        await super().on_event(event)

    async def _let_in(self, event: Key | Paste) -> None:
        """A key that the gate lets through."""
        if self.hand.locked:
            alive = (self.glove_key, "backspace", *LOCK_KEYS)
            if not isinstance(event, Key) or event.key not in alive:
                self.say(
                    f"Keys locked. ctrl+l unlocks; {self.glove_key} does the step, "
                    "backspace undoes it."
                )
                return
            if event.key in LOCK_KEYS:
                self.action_lock()
                return
        await super().on_event(event)

    def opens_question(self, key: str) -> bool:
        """Whether a key of the screen in front asks something before anything is recorded."""
        screen = self.screen
        return isinstance(screen, WorkScreen) and screen.opens_question(key)

    def fill_from_nowhere(self, text: str) -> None:
        """Something was typed or pasted all at once, and nothing had asked for it."""
        from benchmate.tui.pages.frames.page import Page

        screen = self.screen
        if isinstance(screen, WorkScreen):
            screen.fill_from_nowhere(text)
        elif isinstance(screen, Page):
            screen.say("Several keys came at once, and nothing had asked for them: not used.")

    def action_lock(self) -> None:
        """Lock the keys but three: glove, undo, unlock; or unlock them."""
        self.hand.locked = not self.hand.locked
        self.say("Keys locked." if self.hand.locked else "Keys unlocked.")

    def next_theme(self) -> str:
        """Turn to the next theme; its name."""
        self.palette = after(self.palette.name)
        self.theme = self.palette.id
        return self.palette.name

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """For the palette: every key of the screen one is on, and what it does."""
        for key, active in screen.active_bindings.items():
            one = active.binding
            if one.tooltip and one.id is not None and active.enabled:
                yield SystemCommand(
                    f"{one.description}  ({key_name(key)})",
                    one.tooltip,
                    partial(self.run_action, one.action, active.node),
                )
