"""Each key's one meaning. A screen binds a key to what stands here, or not at all.

`test_keys_table` holds every screen to it, so that no letter means two things.
"""

from __future__ import annotations

from typing import NamedTuple

from textual.binding import Binding, BindingType


class Key(NamedTuple):
    """One key, or a few that mean the same."""

    keys: str
    name: str
    """What the bench does with it: see `WorkScreen.action_press`."""
    caption: str
    """One or two words, the same wherever it is shown."""
    tip: str
    """One sentence, for the help and the palette."""

    @property
    def first(self) -> str:
        """The key that is shown."""
        return self.keys.partition(",")[0]


STEP = (
    Key("space", "glove", "do it", "Do the step shown"),
    Key("backspace", "undo", "undo", "Undo the last entry: it corrects the record, not the wood"),
    Key("w", "weigh", "weigh", "Record a weight: the one that is due, or the pour under way"),
    Key("n", "note", "note", "Write a note about the step shown; tab: for next time"),
    Key("x", "skip", "skip", "Leave the step out, with a reason"),
    Key("t", "time", "time …", "It was done earlier, or you are starting it now"),
    Key("k", "ok", "OK", "Got it: stop this reminder"),
    Key("r", "later", "later …", "Remind me again later, or when I'm off the machine"),
    Key("f", "flags", "flags", "Flags, what each piece will weigh, and the adjustment on offer"),
    Key("o", "job", "this job …", "Left in the cup, pause, scrap a piece, finish or stop the job"),
    Key("exclamation_mark", "cautions", "cautions", "The cautions of this step, in full"),
    Key("a", "air", "temp", "Record the shop's temperature and humidity"),
    Key("v", "label", "label …", "Find the piece of a label: type or scan its code"),
    Key("b", "big", "big", "Three lines that fill the screen, and back"),
)
"""What is done with the step shown, its piece and its job."""

PLACES = (
    Key("s", "start", "start", "Start a job from a procedure, or without one"),
    Key("j", "card", "job card", "The job card: all steps, planned against recorded"),
    Key("m", "shelf", "materials", "The shelf, and a clock for a glue, resin or finish"),
    Key("l", "logbook", "logbook", "The logbook: everything as it was recorded"),
    Key("c", "calc", "calculators", "The calculators: each answers as you type"),
    Key("p", "past", "past jobs", "Earlier jobs of a procedure, side by side"),
    Key("d", "days", "day sheet", "The day sheet: what to do when, and when each job is done"),
    Key("e", "evening", "end of day", "End of day: what runs overnight, rags, lids"),
)
"""Keys that open a page."""

EVERYWHERE = (
    Key("question_mark,f1", "help", "keys", "All keys of this screen, and the theme"),
    Key("escape", "back", "back", "Back to where you came from; cancel"),
    Key("enter", "take", "take it", "Take what is marked; do what is typed"),
    Key("plus", "add", "add", "Another one: a job like it, a material"),
    Key("u", "papers", "papers", "Papers of this job: card, labels, templates, lists, report"),
    Key("slash", "filter", "filter", "Show only some of it"),
    Key("ctrl+l", "lock", "lock", "Lock all but three keys; press again to unlock"),
    Key("ctrl+p", "palette", "palette", "Every key and command of this screen, by name"),
    Key(
        "ctrl+q",
        "quit",
        "quit",
        "Quit: clocks run on; reminders need the bench or `benchmate remind`",
    ),
)
"""Keys of every screen, and of pages."""

TABLE = {one.name: one for one in (*STEP, *PLACES, *EVERYWHERE)}
ASK_FIRST = frozenset({"w", "n", "x", "t", "r", "o", "a", "v"})
"""Bench keys that open a question at once, and so own what was typed behind them."""


def binding(name: str, action: str, id: str = "", tip: str = "", *, show: bool = True) -> Binding:
    """A binding of a key of the table; a page may say in its own words what it does there."""
    key = TABLE[name]
    return Binding(
        key.keys, action, key.caption, id=id or f"key-{name}", tooltip=tip or key.tip, show=show
    )


def digits(action: str, tip: str, caption: str = "piece") -> list[BindingType]:
    """The nine digits, which pick by their number."""
    return [
        Binding(
            str(n),
            f"{action}({n})",
            caption,
            id=f"digit-{n}",
            show=False,
            tooltip=tip.format(n=n),
        )
        for n in range(1, 10)
    ]
