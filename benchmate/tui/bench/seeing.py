"""Keys for what is to be looked at: things to see, cautions in full, the makeweight on offer."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.job.state.state import JobState
from benchmate.job.words.event_text import amount_lines
from benchmate.job.words.phrases import place_label
from benchmate.quantities.worded import in_units
from benchmate.tui.bench.amounts import Amounts
from benchmate.tui.derived_cache import Thoughts
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.landing import falls_short, offer_body
from benchmate.tui.present.bench.words import number_of

if TYPE_CHECKING:
    from benchmate.bench.cautions import Cautions
    from benchmate.job.deciding import commands as cmd
    from benchmate.job.weights import adjustments as landing_on
    from benchmate.tui.present.bench.landing import Offer
else:
    cmd = Later("benchmate.job.deciding.commands")
    landing_on = Later("benchmate.job.weights.adjustments")


def where(job: JobState, address: str) -> str:
    """What a remark is about: "bookend B, layer 2"."""
    step = job.steps.get(address)
    parts = (place_label(job, address), (number_of(step) or step.act) if step else "")
    return ", ".join(p for p in parts if p)


class Seeing(Amounts):
    """Nothing here changes the work but taking a makeweight, and that shows old and new first."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "see", "see", id="see", tooltip="What departs from the plan, to be seen"),
        Binding(
            "exclamation_mark",
            "cautions",
            "cautions",
            id="cautions",
            key_display="!",
            tooltip="The cautions of the step in hand, in full",
        ),
        Binding(
            "m",
            "makeweight",
            "makeweight",
            id="makeweight",
            tooltip="Take the makeweight on offer, with its reason first",
        ),
    ]

    @property
    def thoughts(self) -> Thoughts:
        """What is worked out once for every state of a job."""
        return self.app.thoughts  # type: ignore[attr-defined, no-any-return]

    @property
    def cautions(self) -> Cautions:
        """What the air and the mix's heat have to say before an act."""
        return self.app.cautions  # type: ignore[attr-defined, no-any-return]

    def action_see(self) -> None:
        """The departures that nobody has seen yet; each is ticked off, or all at once."""
        found = [(j, r) for j in self.bench.shop.live for r in self.thoughts.to_see(j)]
        if not found:
            self.say("There is nothing to see: everything recorded is as planned.")
            return
        units = self.bench.settings.units
        rows = [f"{where(j, r.address)}: {in_units(r.text, units)}" for j, r in found]
        one = [partial(self._seen, j, (r.key,)) for j, r in found]
        self.choose(
            "To see. One that is seen stands in the job card.",
            [*rows, "All of them are seen"],
            [*one, self._all_seen],
        )

    def _seen(self, job: JobState, keys: tuple[str, ...]) -> None:
        if self.do(job.job, cmd.See(keys=keys), "Seen: it stands in the job card.") and any(
            self.thoughts.to_see(j) for j in self.bench.shop.live
        ):
            self.action_see()

    def _all_seen(self) -> None:
        for job in self.bench.shop.live:
            keys = tuple(r.key for r in self.thoughts.to_see(job))
            if keys and not self.do(
                job.job, cmd.See(keys=keys), "Seen: it stands in the job card."
            ):
                return

    def action_cautions(self) -> None:
        """The full text of the step's cautions."""
        act, job = self.shown, self.job_in_hand
        names = act.step.cautions if act is not None and act.step is not None else ()
        texts = job.plan.cautions if job is not None and job.plan is not None else {}
        body = [*self.cautions.of(act), *(f"{n}: {texts.get(n, n)}" for n in names)]
        if not body:
            self.say("This step brings no caution of its own.")
            return
        self.choose("Cautions of this step", ("Read",), (self.look,), body=body)

    # The makeweight --------------------------------------------------------------------------

    def action_makeweight(self) -> None:
        """The makeweight on offer: its reason, old and new, then the question."""
        job = self.job_in_hand
        offer = self.thoughts.offer(job) if job is not None else None
        if job is None or offer is None:
            self.say(
                "No makeweight is on offer: each piece is heading for its weight, or nothing "
                "that is still to be poured could change it."
            )
            return
        self._offer(job, offer)

    def _offer(self, job: JobState, offer: Offer) -> None:
        body = offer_body(offer)
        if not any(p.changes for p in offer.pieces):
            self.choose("It can't be landed as it is.", ("Read",), (self.look,), body=body)
            return
        _, amounts = landing_on.take(job, offer.pieces)
        short = falls_short(offer)
        question = "It can't be landed. As near as it goes:" if short else "Take this makeweight?"
        options = ("Take the best there is" if short else "Take it", "Leave the plan as it is")
        self.choose(
            question,
            options,
            (partial(self._take, job, offer), self.look),
            body=[*body, "", *amount_lines(amounts)],
            again="m",
        )

    def _take(self, job: JobState, offer: Offer) -> None:
        now = self.bench.shop.jobs[job.job]
        if now.version != job.version:
            self.say("The job has moved on meanwhile: look at the offer again.")
            return
        plan, amounts = landing_on.take(now, offer.pieces)
        command = cmd.ChangePlan(plan=plan, amounts=amounts, reason="makeweight")
        self.do(job.job, command, "The makeweight is in the plan: weigh out what it says.")
