"""Names that would break a paper, in every paper there is: harmless, readable, on the page.

Every text of a plan that somebody may type is replaced by one of `HOSTILE`, its title by all of
them; the job is recorded as any other. Read back by html5lib (strict), pypdf and pdfplumber, the
csv module (RFC 4180) and an XML parser.
"""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest

from benchmate.bench import Bench
from benchmate.bench.papers.making import OF_A_JOB, OF_THE_SHOP, WHICH, Format, PapersAsked, make
from benchmate.bench.starting.starting import plan_for
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import DATES, JOB, LEARNED
from benchmate.papers.sheet import STEERS
from benchmate.plan.plan import Plan
from benchmate.settings import Settings, find_folders
from tests.hand_made import record
from tests.unit.loop_help import START

html5lib = pytest.importorskip("html5lib", reason="this machine lacks html5lib")
pdfplumber = pytest.importorskip("pdfplumber", reason="this machine lacks pdfplumber")
pytest.importorskip("typst", reason="this machine lacks typst")
LONG = "x" * 500
HOSTILE = (
    "<script>alert(1)</script>",
    "=cmd()|' /C calc'!A0",
    LONG,
    "עברית",
    "日本語",
    "🙂 {x}\x1b[2J\x01",
    '*b* $x$ #read("/etc/passwd") `c` | "q"',
)
LATIN = ("<script>alert(1)</script>", "=cmd()", "x" * 400, "#read", "*b*$x$")
"""What a PDF's text gives back in one order whatever fonts the machine has."""
TYPED = {"title", "label", "do", "each_of", "wood", "what", "size", "short", "opens_on", "grain"}
TYPED |= {"ask", "material", "tin", "role", "shot", "text", "source", "a_name", "b_name", "outline"}
PROCEDURE = "built-up-hammer"
NAME, ENDED = f"{PROCEDURE}-1", f"{PROCEDURE}-2"
FLOWING = [which for which in WHICH if which not in ("labels", "templates")]


def hostile(plan: Plan) -> Plan:
    """The plan with other words wherever words may be typed; addresses, kinds and numbers stay."""
    names = itertools.cycle(HOSTILE)
    parts = {
        part.name: f"{part.name} {name}" for part, name in zip(plan.parts, names, strict=False)
    }

    def walk(data: Any, key: str = "") -> Any:
        match data:
            case dict():
                return {k: walk(v, "text" if key == "cautions" else k) for k, v in data.items()}
            case list() | tuple():
                return [walk(value, key) for value in data]
            case str() if data in parts and key in ("part", "name", "parts"):
                return parts[data]
            case str() if data and key in TYPED:
                return next(names)
        return data

    made = msgspec.convert(walk(msgspec.to_builtins(plan)), Plan)
    return msgspec.structs.replace(made, title=" ".join(HOSTILE))


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """A shop with two such jobs: one open, on the day sheet; one weighed, noted and finished."""
    folders = find_folders(tmp_path_factory.mktemp("hostile"))
    made = Bench.open(folders, Settings(), clock=SetClock(START))
    at: dict[str, Any] = {"happened": made.now(), "recorded": made.now()}
    for job in (NAME, ENDED):
        plan = hostile(plan_for(made, PROCEDURE, job=job)[0])
        record(made, (JOB + job, ev.JobStarted(job=job, title=plan.title, plan=plan, **at)))
    dates = {f"{NAME}/{s.address.partition('/')[2]}": START.wall_s + 600.0 for s in plan.steps[:4]}
    record(made, (DATES, ev.DayPlanned(dates=dates, **at)))
    whole = [s for s in plan.steps if s.weigh is not None and s.weigh.weighed == "whole"]
    events = [
        *(ev.Noted(text=name, **at) for name in HOSTILE),
        ev.Weighed(address=whole[-1].address, net_g=400.0, u_g=0.1, **at),
        *(ev.Done(address=step.address, **at) for step in plan.steps[:30]),
        ev.Finished(outcome=HOSTILE[0], **at),
    ]
    record(made, *((JOB + ENDED, event) for event in events))
    record(made, (LEARNED, ev.JobEnded(procedure=PROCEDURE, job=ENDED, **at)))
    yield made
    made.close()


def files(bench: Bench, which: str, form: Format) -> dict[str, bytes]:
    name = "" if which in OF_THE_SHOP else ENDED if which in OF_A_JOB else NAME
    return make(bench, name, which, form, PapersAsked(maker=HOSTILE[0]))


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u200b\u00ad]", "", text.translate(STEERS))


@pytest.mark.parametrize("which", FLOWING)
class TestFlowing:
    def test_in_html_every_name_is_text(self, bench: Bench, which: str) -> None:
        (data,) = files(bench, which, "html").values()
        tree = html5lib.HTMLParser(strict=True).parse(data.decode())
        assert not [e for e in tree.iter() if str(e.tag).endswith("}script")]
        text = squeezed("".join(tree.itertext()))
        missing = [name for name in HOSTILE if squeezed(name) not in text]
        few = which in ("days", "family", "handover")
        assert len(missing) < (len(HOSTILE) if few else 1), missing

    def test_in_a_pdf_they_are_read_and_stay_on_the_page(self, bench: Bench, which: str) -> None:
        (data,) = files(bench, which, "pdf").values()
        text = ""
        with pdfplumber.open(io.BytesIO(data)) as pdf:
            assert len(pdf.pages) < 40
            for page in pdf.pages:
                text += page.extract_text() or ""
                off = [c["text"] for c in page.chars if c["x0"] < 0.0 or c["x1"] > page.width + 0.5]
                assert not off, "letters beyond the edge of the page"
        # A card's text is cut at its edge: what is long there is cut, what is short must be whole.
        seen = [name for name in LATIN if name in squeezed(text)]
        assert len(seen) >= (len(LATIN) if which in ("card", "report", "cutting", "buying") else 1)

    def test_in_csv_no_cell_is_a_formula_and_all_read_back(self, bench: Bench, which: str) -> None:
        if which == "handover":
            pytest.skip("the hand-over card has no table")
        for data in files(bench, which, "csv").values():
            rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
            assert len({len(row) for row in rows}) == 1
            risky = [c for row in rows for c in row if re.match(r"[=+\-@\t\r]", c.lstrip())]
            assert all(re.fullmatch(r"[+-]?\d+([.,]\d+)?", cell) for cell in risky)

    def test_in_markdown_nothing_is_markup(self, bench: Bench, which: str) -> None:
        (data,) = files(bench, which, "md").values()
        assert re.search(rb"(?<!\\)<script", data) is None


@pytest.mark.parametrize("which", ["labels", "templates"])
def test_drawings_are_xml_with_the_names_as_text(bench: Bench, which: str) -> None:
    made = files(bench, which, "svg")
    texts = []
    for name, data in made.items():
        assert Path(name).name == name
        assert re.fullmatch(r"[\w.+-]+", name), "a name that every file system takes"
        tree = ElementTree.fromstring(data)
        assert not [e for e in tree.iter() if e.tag.endswith("script")]
        texts += [e.text or "" for e in tree.iter() if e.tag.endswith("text")]
    assert any(name[:9] in text for text in texts for name in HOSTILE)
    (data,) = files(bench, which, "pdf").values()
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        off = [c for page in pdf.pages for c in page.chars if c["x1"] > page.width]
    assert not off, "letters beyond the edge of the page"
