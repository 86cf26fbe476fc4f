"""`benchmate logbook chart`: any column of numbers in, a chart out, or one sentence with file and
line."""

import json
import subprocess
import sys
from contextlib import suppress
from math import isfinite
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from benchmate.charts import Kind, Options, draw
from benchmate.charts.column import ColumnError, read_column
from benchmate.charts.plot import plot_text
from benchmate.charts.report import as_data, as_lines
from benchmate.cli.exits import Exit
from benchmate.cli.record.chart import LARGEST_FILE, chart

TABLE = "# packing of four fills\npiece,packing\nA,0.61\n# a pause\nB,0.59\n\nC,0.60\nD,0.72\n"


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "packing.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


def run(path: Path | str, *more: str, column: str = "packing") -> Result:
    return CliRunner().invoke(chart, ["--data", str(path), "--column", column, *more])


class TestColumn:
    @pytest.mark.parametrize(
        "text",
        [
            "y\n1.5\n-2\n",
            "y\r\n1.5\r\n-2\r\n",
            "y\r1.5\r-2",
            "# note\n  # note\n\n y \n 1.5 \n\n-2",
            "x,y\n7,1.5\n8,-2\n",
            "x;y\n7;1,5\n8;−2\n",
            "x\ty\n7\t1.5\n8\t-2\n",
            'x,y\n"a, b",1.5\nc,"-2"\n',
            "y,x\n1.5\n-2,4\n",
            "y\n+1.5e0\n-20e-1\n",
        ],
        ids=[
            "plain",
            "crlf",
            "cr",
            "comments",
            "second",
            "semicolons",
            "tabs",
            "quotes",
            "short row",
            "exponents",
        ],
    )
    def test_is_read_however_tables_are_written(self, text: str) -> None:
        assert read_column(text, "y") == [1.5, -2.0]

    @pytest.mark.parametrize(
        ("text", "line", "words"),
        [
            ("", None, "empty or holds comments only"),
            ("# only\n\n", None, "empty or holds comments only"),
            ("y\n", 1, "no values under “y”"),
            ("x\n1\n", 1, "no column “y”"),
            ("1\n2\n", 1, "must name the columns"),
            ("y,y\n1,2\n", 1, "twice"),
            ("y\n1\nOL\n", 3, "“OL” is not a plain number"),
            ("y\n1\n# note\n12.5 g\n", 4, "“12.5 g” is not a plain number"),
            ("y\nnan\n", 2, "“nan” is not a plain number"),
            ("y\n1_000\n", 2, "1_000"),
            ("y\n1e999\n", 2, "1e999"),
            ("x,y\n1,\n", 2, "there are no values under “y”"),
            ("x,y\n1\n", 2, "there are no values under “y”"),
            ("y\n1,5\n", 2, "part the columns by semicolons"),
            ("x;y\n1;1,234\n", 2, "could mean"),
            ('x,y\n1,"2\n3,4\n', 2, "can't be read as a table"),
            ("y\n" + "9" * 200_000 + "\n", 2, "can't be read as a table"),
        ],
    )
    def test_is_refused_with_the_line_at_fault(
        self, text: str, line: int | None, words: str
    ) -> None:
        with pytest.raises(ColumnError) as refusal:
            read_column(text, "y")
        assert words in str(refusal.value)
        assert refusal.value.line == line

    @given(st.text(max_size=60), st.text(max_size=8))
    def test_any_text_is_read_or_refused(self, text: str, name: str) -> None:
        with suppress(ColumnError):
            assert all(map(isfinite, read_column(text, name)))

    @given(st.lists(st.floats(allow_nan=False, allow_infinity=False), min_size=1))
    def test_numbers_written_come_back_equal(self, found: list[float]) -> None:
        assert read_column("\n".join(["y", *map(repr, found)]), "y") == found


class TestJson:
    def test_holds_centre_limits_points_and_signals(self, table: Path) -> None:
        data = json.loads(run(table, "--base", "3", "--json").stdout)
        assert data["kind"] == "individuals"
        assert data["centre"] == pytest.approx(0.60)
        sigma = 0.015 / 1.128
        assert data["limits"]["upper"] == pytest.approx(0.60 + 3 * sigma)
        assert data["limits"]["lower"] == pytest.approx(0.60 - 3 * sigma)
        assert [p["index"] for p in data["points"]] == [1, 2, 3, 4]
        assert [p["statistic"] for p in data["points"]] == [0.61, 0.59, 0.60, 0.72]
        assert [(s["index"], s["rule"]) for s in data["signals"]] == [(4, "limit")]
        assert [s["index"] for s in data["moving_range"]["signals"]] == [4]
        assert data["parameters"]["sigma"] == pytest.approx(sigma)
        assert data["alarm_interval"]["points"] == pytest.approx(370.4, abs=0.1)

    def test_of_a_cusum_holds_both_sums(self, table: Path) -> None:
        options = ("--type", "cusum", "--target", "0.6", "--k", "0.005", "--h", "0.05", "--json")
        data = json.loads(run(table, *options).stdout)
        assert data["parameters"]["h"] == 0.05
        assert data["points"][3]["c_plus"] == pytest.approx(0.115)
        assert data["points"][1]["c_minus"] == pytest.approx(0.005)
        assert [(s["index"], s["rule"]) for s in data["signals"]] == [(4, "C+")]

    def test_of_an_ewma_passes_its_settings_on(self, table: Path) -> None:
        settings = ("--target", "0.6", "--sigma", "0.01", "--lambda", "0.3", "--limit-width", "3")
        steady = json.loads(run(table, "--type", "ewma", *settings, "--steady", "--json").stdout)
        exact = json.loads(run(table, "--type", "ewma", *settings, "--json").stdout)
        assert steady["points"][0]["upper"] == steady["limits"]["upper"]
        assert exact["points"][0]["upper"] == pytest.approx(0.6 + 3 * 0.01 * 0.3)
        assert exact["points"][0]["statistic"] == pytest.approx(0.3 * 0.61 + 0.7 * 0.6)

    @given(st.lists(st.floats(-1e150, 1e150), min_size=3, max_size=20), st.sampled_from(list(Kind)))
    def test_never_holds_what_json_can_not(self, found: list[float], kind: Kind) -> None:
        try:
            chart = draw(found, Options(kind))
        except ValueError:
            return
        assert json.loads(json.dumps(as_data(chart), allow_nan=False))["points"]


class TestWords:
    def test_say_what_was_found_and_how_often_chance_alone_does_that(self, table: Path) -> None:
        said = run(table, "--base", "3").stdout
        assert "individuals: 4 points, centre 0.6, limits 0.560106 to 0.639894" in said
        assert "limit: Point 4 (0.72) is above the upper limit of 0.639894." in said
        assert "about once in 370 points" in said
        assert "the first 3 values, then frozen" in said

    def test_put_neighbouring_signals_of_one_rule_together(self) -> None:
        lines = as_lines(draw([0.0, 9.0, 9.0, 9.0, 0.0, 9.0], Options(target=0, sigma=1)))
        told = [line for line in lines if line.startswith("  limit: Point")]
        assert [line.split()[2] for line in told] == ["2", "6"]
        assert told[0].endswith("It lasts to point 4.")

    def test_count_signals_beyond_the_first_dozen(self) -> None:
        lines = as_lines(draw([0.0, 9.0] * 20, Options(target=0, sigma=1)))
        assert "… and 8 more." in lines

    def test_plot_marks_signals_and_limits_without_colour(self, table: Path) -> None:
        plot = plot_text(draw([1.0, 2.0, 9.0], Options(target=1, sigma=1)), width=40, height=12)
        assert "\x1b" not in plot
        assert plot.count("X") == 1
        assert all(mark in plot for mark in "o-.")
        assert max(map(len, plot.splitlines())) <= 40


class TestRefusals:
    @pytest.mark.parametrize(
        ("more", "column", "words"),
        [
            ((), "Packing", 'csv:2: there is no column “Packing”; the nearest is "packing".'),
            ((), "x\x1b[31m", "there is no column “x [31m”"),
            ((), "piece", "csv:3: “A” is not a plain number"),
            (("--base", "9"), "packing", "The base is 9, but there are only 4 values."),
            (("--sigma", "-1"), "packing", "The sigma is -1"),
            (("--k", "1"), "packing", "belong to the cusum chart"),
        ],
    )
    def test_are_one_sentence_and_exit_code_two(
        self, table: Path, more: tuple[str, ...], column: str, words: str
    ) -> None:
        result = run(table, *more, column=column)
        assert result.exit_code == Exit.REFUSED
        assert words in result.stderr
        assert result.stderr.count("\n") == 1
        assert "\x1b" not in result.stderr
        assert result.stdout == ""

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"packing\n1\n\xff\n", ":3: this is not UTF-8 text."),
            (b"packing\n1\n\x00\n", ":3: “"),
            (b"", ": there is no table"),
            (b"packing\n" + b"1\n" * (LARGEST_FILE // 2), "larger than 16 MiB"),
        ],
        ids=["not utf-8", "nul", "empty", "too large"],
    )
    def test_of_a_bad_file_name_it(self, tmp_path: Path, content: bytes, words: str) -> None:
        path = tmp_path / "bad.csv"
        path.write_bytes(content)
        result = run(path)
        assert result.exit_code == Exit.REFUSED
        assert f"bad.csv{words}" in result.stderr or words in result.stderr

    @pytest.mark.parametrize("name", ["missing.csv", ".", "bad\0name"])
    def test_of_no_file_say_so(self, name: str) -> None:
        result = run(name)
        assert result.exit_code == Exit.REFUSED
        assert "can't be read" in result.stderr

    def test_without_any_data_say_what_to_give(self) -> None:
        result = CliRunner().invoke(chart, ["--column", "packing"])
        assert result.exit_code == Exit.REFUSED
        assert "--data FILE.csv and --column NAME" in result.stderr

    def test_a_byte_order_mark_is_no_part_of_the_first_name(self, tmp_path: Path) -> None:
        path = tmp_path / "marked.csv"
        path.write_bytes(b"\xef\xbb\xbfpacking\n1\n2\n")
        assert run(path).exit_code == Exit.OK


def test_it_runs_as_a_module_and_loads_no_numerical_library(table: Path) -> None:
    words = ["--data", str(table), "--column", "packing", "--json"]
    code = (
        "import sys; from benchmate.cli.record.chart import chart\n"
        f"chart({words!r}, standalone_mode=False)\n"
        "heavy = {'numpy', 'scipy', 'pydantic', 'textual', 'plotext', 'uncertainties'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    inside = _python("-c", code)
    assert inside.stderr.strip() == "[]"
    outside = _python("-m", "benchmate.cli.record.chart", *words)
    assert json.loads(outside.stdout) == json.loads(inside.stdout)


def _python(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *words], capture_output=True, text=True, check=True)
