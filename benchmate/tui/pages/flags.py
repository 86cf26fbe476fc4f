"""Flags, what each piece will weigh, and the adjustment on offer: one page for all running jobs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from rich.cells import cell_len

from benchmate.bench.weights.will_weigh import NO_OFFER, Offer, aims, why_no_offer
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.job.weights import adjustments
from benchmate.job.words.event_text import amount_lines
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.bench.weights.landing import falls_short, offer_body, will_weigh_line
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, Keys, heading, paragraph
from benchmate.tui.present.pages.card import remark_text
from benchmate.tui.prompts.choose import Choose

NONE = "Nothing flagged: all on plan."
OKD = "OK. It stays on the job card."


class FlagsScreen(ListPage):
    """Enter on a flag OKs it, on a piece shows its weight over the steps, on an adjustment asks
    whether to make it."""

    KEYS: ClassVar[Keys] = (
        ("↑ ↓", "read"),
        ("enter", "OK, weights, adjust"),
        ("esc", "back"),
        ("?", "keys"),
    )

    @property
    def _jobs(self) -> Sequence[JobState]:
        return self.bench.shop.live

    def title_line(self) -> tuple[str, str]:
        """How many flags nobody has OK'd."""
        return "Flags and weights", "what you OK here stays on the job card"

    # Showing ---------------------------------------------------------------------------------

    def items(self, cells: int) -> Sequence[Item]:
        """Flags, adjustments, pieces; that there is no adjustment comes last."""
        flags, offers, weights = self._flags(cells), self._offers(cells), self._pieces(cells)
        is_offered = any(item.what is not None for item in offers)
        return [*flags, *offers, *weights] if is_offered else [*flags, *weights, *offers]

    def _flags(self, cells: int) -> list[Item]:
        units = self.bench.settings.units
        flags = [(j, r) for j in self._jobs for r in self.host.thoughts.to_see(j)]
        out = [heading(f"── flagged: {len(flags)}" if flags else f"── {NONE}")]
        if len(flags) > 1:
            out.append(Item((line(" ", Span("OK all of them", "key")),), ("all", "", "")))
        for job, remark in flags:
            rows = paragraph(
                remark_text(job, remark, units),
                cells,
                3,
                "caution" if remark.grave else "plain",
                " ▲ " if remark.grave else " · ",
                "   ",
            )
            out.append(Item(tuple(rows), ("flag", job.job, remark.key)))
        return out

    def _pieces(self, cells: int) -> list[Item]:
        units = self.bench.settings.units
        found = [(j, n, aim) for j in self._jobs for n, aim in enumerate(aims(self.bench, j))]
        wide = max((cell_len(aim.course.piece) for _, _, aim in found), default=0) + 2
        out: list[Item] = []
        for job, n, aim in found:
            target, tolerance = aim.course.target_g, aim.course.tolerance_g
            _, *row = will_weigh_line(aim.will_weigh, target, tolerance, units)
            name = fit(aim.course.piece, wide)
            out.append(Item((line(" ", name, *row),), ("piece", job.job, n)))
        return [Item(((), line(Span("── will weigh", "dim")))), *out] if out else []

    def _offers(self, cells: int) -> list[Item]:
        out: list[Item] = [Item(((), line(Span("── adjustment", "dim"))))]
        for job in self._jobs:
            offer = self.host.thoughts.offer(job)
            if offer is not None:
                rows = [
                    r for text in offer_body(offer) for r in paragraph(text, cells, 6, "strong")
                ]
                out.append(Item(tuple(rows), ("offer", job.job, "")))
        if len(out) == 1:
            why = {why_no_offer(self.bench, job): None for job in self._jobs} or {NO_OFFER: None}
            out += [Item(tuple(paragraph(text, cells, role="dim"))) for text in why]
        return out

    def detail(self, cells: int) -> Sequence[Line]:
        match self.marked:
            case ("offer", *_):
                return paragraph(
                    "Enter: old and new amounts, then the question.", cells, role="dim"
                )
            case ("piece", *_):
                return paragraph("Enter: its weight over the steps.", cells, role="dim")
            case _:
                return ()

    # Doing -----------------------------------------------------------------------------------

    def take(self, what: object) -> None:
        """OK a flag, open a piece, or ask about an adjustment."""
        jobs = self.bench.shop.jobs
        match what:
            case ("all", *_):
                self._ok_all()
            case ("flag", str(job), str(key)):
                self.do(job, cmd.See(keys=(key,)), OKD)
            case ("piece", str(job), int(n)):
                from benchmate.tui.pages.weights import WeightsScreen

                self.app.push_screen(WeightsScreen(job, n))
            case ("offer", str(job), _):
                offer = self.host.thoughts.offer(jobs[job])
                if offer is not None:
                    self._ask(jobs[job], offer)
            case _:
                pass

    def _ok_all(self) -> None:
        for job in self._jobs:
            keys = tuple(r.key for r in self.host.thoughts.to_see(job))
            if keys and not self.do(job.job, cmd.See(keys=keys), "OK. They stay on the job card."):
                return

    def _ask(self, job: JobState, offer: Offer) -> None:
        body = offer_body(offer)
        if not any(p.changes for p in offer.pieces):
            self.app.push_screen(Choose("It’s out of reach as it is.", ("OK",), body=body))
            return
        _, amounts = adjustments.take(job, offer.pieces)
        short = falls_short(offer)
        question = "Out of reach. As near as it goes:" if short else "Make this adjustment?"
        options = ("Get as near as it goes" if short else "Make it", "Keep the plan")
        self.app.push_screen(
            Choose(question, options, body=[*body, "", *amount_lines(amounts)]),
            partial(self._answered, job, offer),
        )

    def _answered(self, job: JobState, offer: Offer, n: int | None) -> None:
        if n != 0:
            self.look()
            return
        now = self.bench.shop.jobs[job.job]
        if now.version != job.version:
            self.say("The job has moved on meanwhile. Look at the offer again.")
            return
        plan, amounts = adjustments.take(now, offer.pieces)
        command = cmd.ChangePlan(plan=plan, amounts=amounts, reason="adjustment")
        self.do(job.job, command, "The plan is adjusted; weigh out what it says.")
