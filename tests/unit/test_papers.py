"""Papers: what they say, that what was typed stays text, and that a journal moves whole."""

from __future__ import annotations

import csv
import io
import itertools
import json
import math
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from benchmate.bench.keeping.rescue import export_lines, import_lines
from benchmate.bench.papers.making import PapersAsked, make, sheet_of
from benchmate.bench.papers.photos import keep_photo, photo_of, with_photo_kept
from benchmate.bench.papers.recording import record_of
from benchmate.bench.starting.listing import plan_of
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams.commands import LogAir, Logged
from benchmate.job.events import stored as ev
from benchmate.job.events.schema import schema_text
from benchmate.job.state.shop import DATES
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.windows import anchor_of
from benchmate.journal import Journal
from benchmate.journal.keeping.importing import NotImported
from benchmate.localtime import show_clock
from benchmate.papers.codes import FIND, LETTERS, code_of, found, is_code, shown
from benchmate.papers.drawing.flat import MARGIN, face, face_of
from benchmate.papers.figures import Figures
from benchmate.papers.plain import harmless, to_csv
from benchmate.papers.report import air_plot
from benchmate.papers.templates import templates_of
from benchmate.plan.shapes import Form, Hollow, PartShape, Side
from benchmate.refusal import Refused
from benchmate.settings import find_folders
from tests.hand_made import record
from tests.unit.loop_help import Worked, steady

DOCS = Path(__file__).parents[2] / "docs"
JOURNALS = Path(__file__).parents[1] / "journals"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Worked]:
    """A pair of bookends, finished, the air read before each step."""
    worked, cooling = Worked(tmp_path_factory.mktemp("papers")), itertools.count()

    def read_air(act: Act) -> float:
        n = next(cooling)
        reading = Logged(worked.bench.now(), 21.0 - 0.5 * (n % 8), 50.0 if n % 7 else None)
        worked.bench.settle(LogAir(place="shop", source="typed", readings=(reading,)))
        return steady(act)

    worked.pace = read_air
    worked.start()
    worked.finish()
    yield worked
    worked.bench.close()


class TestCodes:
    @pytest.mark.parametrize("address", ["pair-1/A/block", "pair-1/B/block", "lamp-2/A/left foot"])
    def test_a_code_is_found_again_however_it_was_typed(self, address: str) -> None:
        code = code_of(address)
        assert code.startswith(FIND)
        assert set(code[1:]) <= set(LETTERS)
        for typed in (code, shown(code), code.lower(), f" {shown(code).lower()} "):
            assert found(typed, ["other/A/x", address]) == address

    def test_a_wrong_letter_or_two_swapped_are_noticed(self) -> None:
        code = code_of("pair-1/A/block")
        for at in range(1, len(code)):
            for letter in LETTERS:
                if letter != code[at]:
                    assert not is_code(code[:at] + letter + code[at + 1 :])
        swapped = [
            code[:at] + code[at + 1] + code[at] + code[at + 2 :]
            for at in range(1, len(code) - 2)
            if code[at] != code[at + 1]
        ]
        assert sum(is_code(text) for text in swapped) == 0


class TestCells:
    @pytest.mark.parametrize("text", ["=1+1", "+cmd", "-cmd", "@SUM(A1)", "\tx"])
    def test_what_a_spreadsheet_would_run_is_made_harmless(self, text: str) -> None:
        assert harmless(text) == f"'{text}"

    @pytest.mark.parametrize("text", ["-3.5", "+12", "850 g", "", "a=b"])
    def test_numbers_and_words_stay(self, text: str) -> None:
        assert harmless(text) == text

    def test_a_csv_reads_back_with_its_quotes_commas_and_line_ends(self) -> None:
        rows = [["a,b", 'say "so"', "two\nlines"], ["1", "", "é"]]
        text = to_csv(["x", "y", "z"], rows)
        assert text.endswith("\r\n")
        assert list(csv.reader(io.StringIO(text, newline=""))) == [["x", "y", "z"], *rows]


class TestOfAJob:
    def test_the_card_has_every_layer_and_a_box_for_each_piece(self, shop: Worked) -> None:
        sheet = sheet_of(shop.bench, shop.job, "card", PapersAsked())
        (layers,) = (t for t in sheet.tables if t.name.startswith("layers"))
        assert [row[0] for row in layers.rows] == ["1", "2", "3", "4", "cap"]
        assert [c.kind for c in layers.columns[-2:]] == ["blank", "blank"]
        plan = shop.state.plan
        assert plan is not None
        total = sum(la.shot_g + la.resin_g for la in plan.fills[0].layers)
        assert float(layers.rows[3][3]) == pytest.approx(total, abs=0.1)

    def test_the_report_has_all_weighings_and_acts(self, shop: Worked) -> None:
        sheet = sheet_of(shop.bench, shop.job, "report", PapersAsked())
        by_name = {t.name: t for t in sheet.tables}
        assert len(by_name["weighings"].rows) == len(shop.state.weighings)
        assert len(by_name["acts"].rows) == len(shop.state.records)
        assert [row[0] for row in by_name["finished"].rows] == ["bookend A", "bookend B"]

    def test_the_report_draws_the_air_beside_the_labels_limits(self, shop: Worked) -> None:
        recorded = record_of(shop.bench, shop.state, Figures())
        seen = recorded.air_seen
        assert len(seen.steps) == len(shop.state.done)
        assert {c for name, c, *_ in seen.limits if "glue" in name}
        drawn = air_plot(seen, Figures())
        assert "none below" in drawn.alternative
        hot = [(name, 40.0, *when) for name, _, *when in seen.limits]
        cold = air_plot(replace(seen, limits=hot), Figures())
        assert all(name in cold.alternative for name, *_ in seen.limits), "what was too cold"
        tree = ElementTree.fromstring(drawn.svg)
        paths = [e.get("d") or "" for e in tree.iter() if e.tag.endswith("path")]
        heights = {m for d in paths for m in re.findall(r" (\d+\.?\d*)(?: L|$)", d)}
        assert len(heights) >= len({c for _, c, _ in seen.readings}), "a height for each value"

    @pytest.mark.parametrize("which", ["card", "report", "handover", "cutting", "buying", "family"])
    @pytest.mark.parametrize("form", ["html", "md"])
    def test_flowing_papers_are_written(self, shop: Worked, which: str, form: str) -> None:
        name = "" if which == "family" else shop.job
        files = make(shop.bench, name, which, "html" if form == "html" else "md", PapersAsked())
        (data,) = files.values()
        word = {"cutting": b"walnut", "buying": b"steel 2 mm"}.get(which, b"bookend")
        assert word in data.lower()

    def test_labels_are_drawn_from_the_first_free_one(self, shop: Worked) -> None:
        files = make(shop.bench, shop.job, "labels", "svg", PapersAsked(start=23))
        assert len(files) == 2, "four labels from the 23rd of 24 need a second sheet"
        with pytest.raises(Refused, match="labels 1 to 24"):
            make(shop.bench, shop.job, "labels", "svg", PapersAsked(start=25))

    def test_tables_become_csv_files(self, shop: Worked) -> None:
        files = make(shop.bench, shop.job, "report", "csv", PapersAsked())
        name = next(name for name in files if "weighings" in name)
        rows = list(csv.reader(io.StringIO(files[name].decode("utf-8-sig"), newline="")))
        assert rows[0][:3] == ["when", "what", "net, g"]
        assert len(rows) == len(shop.state.weighings) + 1

    def test_the_day_sheet_has_a_box_for_each_visits_work(self, tmp_path: Path) -> None:
        worked = Worked(tmp_path)
        plan = worked.start().plan
        assert plan is not None
        with pytest.raises(Refused, match="No day sheet is adopted"):
            sheet_of(worked.bench, "", "days", PapersAsked())
        now = worked.bench.now()
        addresses = [step.address for step in plan.steps[:3]]
        dates = {a: now.wall_s + n * 86400.0 for n, a in enumerate(addresses)}
        event = ev.DayPlanned(happened=now, recorded=now, dates=dates)
        record(worked.bench, (DATES, event))
        sheet = sheet_of(worked.bench, "", "days", PapersAsked())
        worked.bench.close()
        assert [len(table.rows) for table in sheet.tables] == [1, 1, 1]
        assert all(table.columns[0].kind == "tick" for table in sheet.tables)
        assert [t.rows[0][1] for t in sheet.tables] == [show_clock(at) for at in dates.values()]

    def test_the_report_has_every_clock_with_what_became_of_it(self, shop: Worked) -> None:
        by_name = {
            t.name: t for t in sheet_of(shop.bench, shop.job, "report", PapersAsked()).tables
        }
        rows = {row[0].partition(" (")[0]: row for row in by_name["clocks"].rows}
        begun = [w for w in shop.state.windows.values() if anchor_of(shop.state, w) is not None]
        assert len(by_name["clocks"].rows) == len(begun)
        assert rows["bookend A, cure"][5] == "in time"

    def test_what_there_is_not_is_refused(self, shop: Worked) -> None:
        with pytest.raises(Refused, match="no job"):
            make(shop.bench, "nothing-9", "report", "html", PapersAsked())
        with pytest.raises(Refused, match="true size"):
            make(shop.bench, shop.job, "labels", "html", PapersAsked())


class TestTemplates:
    def hollow(self, side: Side, across: float, up: float) -> tuple[float, float]:
        """Where a template puts a hollow's middle, from the middle of the face."""
        hollow = Hollow(kind="bore", size_mm=(10.0, 5.0), side=side, across_mm=across, up_mm=up)
        shape = PartShape(blank=Form(kind="block", size_mm=(100.0, 60.0, 40.0)), hollows=(hollow,))
        wide, high = face_of(shape, side)
        tree = ElementTree.fromstring(face(shape, side, [hollow], [], Figures()).svg())
        circle = next(e for e in tree.iter() if e.tag.endswith("circle"))
        x, y = float(circle.get("cx") or 0), float(circle.get("cy") or 0)
        return x - MARGIN - wide / 2.0, y - MARGIN - high / 2.0

    def test_a_face_is_drawn_as_one_looks_at_it(self) -> None:
        """The part lies with its length to the right; turned over about it, its back is below."""
        assert self.hollow("top", 20.0, 5.0) == (20.0, -5.0)
        assert self.hollow("underside", 20.0, 5.0) == (20.0, 5.0)
        assert self.hollow("front", 20.0, 5.0) == (20.0, -5.0)
        assert self.hollow("back", 20.0, 5.0) == (20.0, 5.0)
        assert self.hollow("other end", 8.0, 5.0) == (8.0, -5.0)
        assert self.hollow("first end", 8.0, 5.0) == (-8.0, -5.0)

    def test_equal_pockets_of_a_face_and_equal_parts_share_a_template(self, shop: Worked) -> None:
        plan, _ = plan_of(shop.bench, "built-up-hammer", {}, None)
        names = [template.name for template in templates_of(plan, Figures())]
        assert sorted(names) == [
            "face-cheek-top",
            "profile-handle",
            "spacer-head-mortise",
            "tenon-handle",
        ]


class TestPhotos:
    def test_a_photo_is_kept_by_what_it_shows(self, shop: Worked, tmp_path: Path) -> None:
        picture = tmp_path / "bench.png"
        picture.write_bytes(b"\x89PNG\r\n\x1a\n" + b"0" * 64)
        kept = with_photo_kept(shop.bench.folders, cmd.Note(text="done", photo=str(picture)))
        assert isinstance(kept, cmd.Note)
        assert kept.photo.startswith("photos/")
        picture.unlink()
        shown_photo = photo_of(shop.bench.folders, kept.photo, "x")
        assert shown_photo is not None
        assert shown_photo.mime == "image/png"
        (shop.bench.folders.data / kept.photo).write_bytes(b"other")
        assert photo_of(shop.bench.folders, kept.photo, "x") is None, "damage is noticed"

    def test_a_photo_is_on_the_report_the_family_and_the_handed_over_card(
        self, tmp_path: Path
    ) -> None:
        worked = Worked(tmp_path)
        worked.start()
        photo = str(DOCS / "paper-labels.png")
        worked.bench.do(worked.job, cmd.Note(text="as it stands", photo=photo))
        worked.bench.do(worked.job, cmd.Stop(reason="to be shown"))
        for which in ("report", "family", "handover"):
            name = "" if which == "family" else worked.job
            (html,) = make(worked.bench, name, which, "html", PapersAsked()).values()
            assert b'src="data:image/png;base64,' in html
            (pdf,) = make(worked.bench, name, which, "pdf", PapersAsked()).values()
            assert b"/Subtype/Image" in pdf
        worked.bench.close()

    @pytest.mark.parametrize("way", ["restore", "import"])
    def test_photos_move_to_another_home_with_the_logbook(self, tmp_path: Path, way: str) -> None:
        worked = Worked(tmp_path / "old")
        worked.start()
        photo = str(DOCS / "paper-labels.png")
        worked.bench.do(worked.job, cmd.Note(text="as it stands", photo=photo))
        lines = "\n".join(export_lines(worked.bench.journal))
        worked.bench.close()
        backup, rows, new = tmp_path / "shop.db", tmp_path / "shop.jsonl", tmp_path / "new"
        rows.write_text(lines, "utf-8")

        def said(home: Path, *words: str) -> str:
            done = CliRunner().invoke(cli, ["--home", str(home), "logbook", *words])
            assert done.exit_code == 0, done.output
            return done.output

        assert f"1 photo lies in {backup}.photos" in said(worked.home, "backup", str(backup))
        by = {
            "restore": ("restore", str(backup)),
            "import": ("import", str(rows), "--photos", f"{backup}.photos"),
        }
        assert "1 photo lies in" in said(new, *by[way])
        (moved,) = (find_folders(new).data / "photos").iterdir()
        assert moved.read_bytes() == Path(photo).read_bytes()

    def test_a_path_that_is_no_picture_is_left_as_it_was_typed(self, shop: Worked) -> None:
        assert keep_photo(shop.bench.folders, "/nowhere/at all.jpg") == "/nowhere/at all.jpg"


class TestMoving:
    def test_the_lines_schema_is_up_to_date(self) -> None:
        text = (DOCS / "logbook.schema.json").read_text(encoding="utf-8")
        assert text == schema_text(), "python -m benchmate.job.events.schema lays it down anew"

    def test_every_kind_of_entry_keeps_to_the_schema(self, tmp_path: Path) -> None:
        """Validated by jsonschema, an event of every kind there is (the newest stored journal)."""
        jsonschema = pytest.importorskip("jsonschema", reason="this machine lacks jsonschema")
        schema = json.loads(schema_text())
        line = jsonschema.Draft202012Validator(schema)
        event = jsonschema.Draft202012Validator(
            {**schema["$defs"]["event"], "$defs": schema["$defs"]}
        )
        kinds = set()
        for file in ("journal.db", "journal.head"):
            shutil.copy(max(JOURNALS.glob("v*")) / file, tmp_path / file)
        with Journal.open(tmp_path) as journal:
            for text in export_lines(journal):
                record = json.loads(text)
                line.validate(record)
                if "data" in record:
                    data = json.loads(record["data"])
                    event.validate(data)
                    kinds.add(data["kind"])
        assert len(kinds) > 30

    def test_an_export_makes_the_same_journal_in_an_empty_home(
        self, shop: Worked, tmp_path: Path
    ) -> None:
        lines = list(export_lines(shop.bench.journal))
        done = import_lines(lines, tmp_path / "data")
        assert done.events == shop.bench.journal.end
        with Journal.open(tmp_path / "data") as again:
            assert list(export_lines(again)) == lines
            assert again.verify().ok

    @pytest.mark.parametrize(
        "wrong",
        [
            "missing",
            "doubled",
            "cut",
            {"data": "changed"},
            {"version": 10**20},
            {"seq": math.inf},
            {"stream": "\ud800"},
            {"closed": 5},
        ],
        ids=str,
    )
    def test_a_line_that_is_wrong_is_named_and_nothing_is_made(
        self, shop: Worked, tmp_path: Path, wrong: str | dict[str, Any]
    ) -> None:
        lines = list(export_lines(shop.bench.journal))
        match wrong:
            case "missing":
                del lines[4]
            case "doubled":
                lines.insert(4, lines[4])
            case "cut":
                lines[4] = lines[4][:20]
            case dict():
                lines[4] = json.dumps(json.loads(lines[4]) | wrong)
        with pytest.raises(NotImported, match=r"Line [56]"):
            import_lines(lines, tmp_path / "data")
        assert not (tmp_path / "data" / "journal.db").exists()

    def test_a_journal_that_is_there_is_never_overwritten(self, shop: Worked) -> None:
        with pytest.raises(NotImported, match="already"):
            import_lines(export_lines(shop.bench.journal), shop.bench.folders.data)
