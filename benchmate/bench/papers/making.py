"""Which papers there are, and the files that each becomes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.util import find_spec
from typing import Any, Literal

from benchmate.bench.papers.recording import finished_pieces, record_of
from benchmate.bench.planning.sheet import adopted_sheet, per_day, runs_of
from benchmate.bench.service import Bench
from benchmate.bench.starting import listing
from benchmate.job.state.state import JobState
from benchmate.localtime import show_clock, show_date, show_day
from benchmate.papers.card import card_of
from benchmate.papers.drawing.pages import Correction, pages
from benchmate.papers.drawing.svg import Picture
from benchmate.papers.figures import Figures
from benchmate.papers.handover import family_of, handover_of
from benchmate.papers.html import to_html
from benchmate.papers.labels import label_pages, labels_of
from benchmate.papers.listed import buying_sheet, cutting_sheet
from benchmate.papers.pdf import Paper, pages_pdf, to_pdf
from benchmate.papers.plain import table_csv, to_markdown
from benchmate.papers.report import report_of
from benchmate.papers.sheet import Block, PaperSheet, Paragraph, table
from benchmate.papers.templates import templates_of
from benchmate.plan.address import slug
from benchmate.refusal import Refused

Format = Literal["pdf", "html", "svg", "csv", "md"]
OF_A_PLAN = ("card", "labels", "templates", "cutting", "buying")
OF_A_JOB = ("report", "handover")
OF_THE_SHOP = ("days", "family")
WHICH = (*OF_A_PLAN, *OF_A_JOB, *OF_THE_SHOP)


@dataclass(frozen=True)
class PapersAsked:
    """What is wanted of the papers."""

    values: Mapping[str, Any] = field(default_factory=dict)
    pieces: int | None = None
    paper: Paper = "a4"
    start: int = 1
    guides: bool = False
    correction: Correction = field(default_factory=Correction)
    maker: str = ""


def usual_form(which: str) -> Format:
    """The form a paper is written in when nobody says: PDF where typst is there."""
    if find_spec("typst") is not None:
        return "pdf"
    return "svg" if which in ("labels", "templates") else "html"


def make(bench: Bench, name: str, which: str, form: Format, asked: PapersAsked) -> dict[str, bytes]:
    """The files of one paper by their names. Raises Refused for one that can't be made, in that
    form or at all; ProcedureError for a file that is wrong."""
    stem = f"{slug(name)}-{which}" if name else which
    if which in ("labels", "templates"):
        return _placed(bench, name, which, form, asked, stem)
    sheet = sheet_of(bench, name, which, asked)
    match form:
        case "pdf":
            return {f"{stem}.pdf": to_pdf([sheet], asked.paper)}
        case "html":
            return {f"{stem}.html": to_html([sheet]).encode()}
        case "md":
            return {f"{stem}.md": to_markdown([sheet]).encode()}
        case "csv":
            files = {f"{stem}-{slug(t.name)}.csv": _csv(table_csv(t)) for t in sheet.tables}
            if files:
                return files
    raise Refused(f"The {which} can't be written as {form.upper()}; --pdf, --html or --md can.")


def _csv(text: str) -> bytes:
    """With the mark by which spreadsheets know that it is UTF-8."""
    return b"\xef\xbb\xbf" + text.encode()


def sheet_of(bench: Bench, name: str, which: str, asked: PapersAsked) -> PaperSheet:
    """A flowing paper. Raises Refused or ProcedureError."""
    figures = Figures(bench.settings.units)
    match which:
        case "cutting":
            return cutting_sheet(listing.cutting(bench, name, asked.values, asked.pieces), figures)
        case "buying":
            return buying_sheet(listing.buying(bench, name, asked.values, asked.pieces), figures)
        case "card":
            plan, _ = listing.plan_of(bench, name, asked.values, None)
            return card_of(plan, figures, show_day(bench.now().wall_s))
        case "report":
            return report_of(record_of(bench, _job(bench, name), figures), figures)
        case "handover":
            pieces = finished_pieces(bench, [_job(bench, name)])
            return handover_of(pieces, asked.maker, figures)
        case "family":
            return family_of(finished_pieces(bench), figures)
        case "days":
            return _days(bench)
    raise Refused(f"There is no paper “{which[:30]}”; there are {', '.join(WHICH)}.")


def _job(bench: Bench, name: str) -> JobState:
    job = bench.job(name)
    if job is None:
        raise Refused(f"There is no job “{name[:40]}”; `benchmate job` lists them.")
    if job.plan is None:
        raise Refused(f"The job {name} has no plan, so there is no such paper of it.")
    return job


def _days(bench: Bench) -> PaperSheet:
    """The adopted day sheet: day by day what is done when, and what runs by itself."""
    sheet = adopted_sheet(bench)
    if sheet is None:
        raise Refused("No day sheet is adopted yet: `benchmate days --adopt`.")
    blocks: list[Block] = []
    for _, visits in per_day(sheet):
        rows = [
            ("", show_clock(run.rows[0].begins), show_clock(run.rows[-1].ends), run.says)
            for visit in visits
            for run in runs_of(visit)
        ]
        heads, day = "done ☐ | from*0.6 | to*0.6 | what*6", show_date(visits[0].begins)
        blocks.append(table(day, heads, rows, f"days-{visits[0].day}"))
        if rests := "; ".join(r.says for visit in visits for r in visit.rests):
            blocks.append(Paragraph(f"Runs by itself: {rests}."))
    ends = sorted(sheet.done_by.items(), key=lambda one: one[1])
    done = "; ".join(f"{sheet.titles[job]} {show_date(at)}" for job, at in ends)
    asked = f"printed {show_day(bench.now().wall_s)}"
    return PaperSheet("days", "Day sheet", f"Done: {done}" if done else "", blocks, asked)


def _placed(
    bench: Bench, name: str, which: str, form: Format, asked: PapersAsked, stem: str
) -> dict[str, bytes]:
    """Labels or templates: one picture a page."""
    plan, _ = listing.plan_of(bench, name, asked.values, None)
    figures = Figures(bench.settings.units)
    made: list[tuple[str, Picture, str]]
    if which == "labels":
        labels = labels_of(plan, figures)
        drawn = label_pages(labels, asked.paper, start=asked.start, guides=asked.guides)
        said = ", ".join(f"{one.piece} {one.part}" for one in labels)
        made = [("labels", page, f"Labels: {said}") for page in drawn]
    else:
        made = [
            (template.name, page, f"{template.title}. {template.subtitle}")
            for template in templates_of(plan, figures)
            for page in pages(template, asked.paper, asked.correction, plan.job)
        ]
    match form:
        case "pdf":
            sheets = [page.drawn(said) for _, page, said in made]
            return {f"{stem}.pdf": pages_pdf(plan.title, sheets)}
        case "svg":
            return {
                f"{stem}-{n}-{slug(name)}.svg": page.svg().encode()
                for n, (name, page, _) in enumerate(made, 1)
            }
    raise Refused(f"The {which} are drawings in true size: write them with --pdf or --svg.")
