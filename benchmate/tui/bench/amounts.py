"""Keys for what learning lives on: hands laid on, what was mixed, what stayed in the cup."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.refusal import Refused
from benchmate.tui.bench.keeping import Keeping
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.bench.shelf import cups
    from benchmate.job.deciding import commands as cmd
else:
    cups = Later("benchmate.bench.shelf.cups")
    cmd = Later("benchmate.job.deciding.commands")


class Amounts(Keeping):
    """About the act that is shown, and the cup that was mixed last."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "b",
            "begin",
            "begun now",
            id="begin",
            tooltip="Hands are laid on the act that is shown: its time counts from now",
        ),
        Binding(
            "u",
            "cup",
            "left in the cup",
            id="cup",
            tooltip="What is left in the last cup, or how much was mixed",
        ),
    ]

    def action_begin(self) -> None:
        """Hands are on the act that is shown."""
        act = self.shown
        if act is None or act.step is None or act.kind == "answer":
            self.say("There is no act in hand to begin.")
            return
        job = self.bench.shop.jobs[act.job]
        word = "Begun anew" if act.address in job.begun else "Begun"
        said = f"{word}: {act.step.do.rstrip('.')}. Its time counts from now."
        self.do(act.job, cmd.Begin(address=act.address), said)

    def action_cup(self) -> None:
        """What is left in the cup that was mixed last."""
        try:
            job, cup = cups.newest_cup(self.bench)
        except Refused as none:
            self.say(str(none))
            return
        name = cups.cup_name(job, cup)
        asked = f"{name}: what is left in it? (6 g; or how much was mixed: mixed 128, left 6)"
        self.question(asked, lambda text: cups.say_amounts(self.bench, job, cup, text))
