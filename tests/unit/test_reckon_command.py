"""`benchmate calc`: lists, explains, answers; refuses in one sentence with exit code 2."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.cli.shop.calc import calc
from benchmate.reckon.asking.registry import find, names


def run(*words: str) -> Result:
    """Run the command in this process."""
    return CliRunner().invoke(calc, list(words))


def example_words(name: str) -> list[str]:
    """Return a reckoner's example as key=value words."""
    return [f"{key}={value}" for key, value in find(name).example.items()]


def test_without_a_name_it_lists_all_of_them() -> None:
    lines = run().output.splitlines()
    assert [line.split()[0] for line in lines] == list(names())


@pytest.mark.parametrize("name", names())
def test_a_name_alone_is_explained_with_its_inputs_and_an_answer(name: str) -> None:
    found = run(name)
    assert found.exit_code == 0
    for item in (*find(name).inputs, *find(name).results):
        assert item.key in found.output
    for head in ("Inputs", "Results", "Formula", "Sources", "Limits", "Example"):
        assert head in found.output


@pytest.mark.parametrize("name", names())
def test_its_example_is_answered_as_text_and_as_json(name: str) -> None:
    assert run(name, *example_words(name)).exit_code == 0
    found = json.loads(run(name, *example_words(name), "--json").output)
    assert list(found) == ["name", "inputs", "results", "notes", "sources"]
    assert found["name"] == name


def test_the_descriptions_are_there_as_json() -> None:
    assert [one["name"] for one in json.loads(run("--json").output)] == list(names())
    assert json.loads(run("packing", "--json").output)["inputs"][0]["key"] == "shot_mm"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["packng"], "did you mean packing?"),
        (["packing", "shot_mm=99", "gap_mm=30"], "shot_mm must be from 0.1 to 12 mm; 99 is not"),
        (["packing", "shot=2"], "no input “shot”; did you mean shot_mm?"),
        (["packing", "2"], "“2” is not key=value"),
        (["packing", "shot_mm=2", "shot_mm=3"], "shot_mm is given twice"),
        (["shot_mm=2"], "write the name first"),
        (["fill-height", "outline=@/no/such/file"], "there is no file “/no/such/file”"),
        (["fill-height", "outline=@" + "x" * 5000], "outline: "),
        (["packing", "shot_mm=\x1b[31m2"], "control characters"),
        (["packing", "\x1b[31mshot=2"], "is no input's name"),
    ],
)
def test_what_it_refuses_is_said_on_stderr(words: list[str], says: str) -> None:
    found = run(*words)
    assert found.exit_code == 2
    assert found.stdout == ""
    assert says in found.stderr
    assert all(line.isprintable() for line in found.stderr.splitlines())


LEAD = ["packing_fraction=0.6", "shot_density_g_cm3=11.35", "target_g=150"]


def test_a_table_may_come_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "bore.json"
    file.write_text('{"bore_mm": 20, "depth_mm": 90}', encoding="utf-8")
    found = json.loads(run("fill-height", f"outline=@{file}", *LEAD, "--json").output)
    assert found["results"]["height_mm"]["value"] == pytest.approx(61.539, abs=0.001)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"x" * ((1 << 20) + 1), "larger than 1 MiB"),
        (b"\xff\xfe\x00", "is not UTF-8 text at byte 0"),
        (b"[1,", "is not JSON at line 1"),
        (b"[" * 50_000, "nested too deeply"),
        (b"", "outline is missing"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused(tmp_path: Path, content: bytes, says: str) -> None:
    file = tmp_path / "bore.json"
    file.write_bytes(content)
    found = run("fill-height", f"outline=@{file}", *LEAD)
    assert found.exit_code == 2
    assert says in found.stderr


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    found = run("fill-height", f"outline=@{tmp_path}", *LEAD)
    assert "there is no file" in found.stderr


# A cure's heat is integrated by scipy, which that one reckoner alone may load.
@pytest.mark.parametrize("name", [name for name in names() if name != "exotherm"])
def test_answering_loads_no_heavy_library(name: str) -> None:
    code = (
        "import sys\n"
        "from benchmate.cli.shop.calc import calc\n"
        f"calc({[name, *example_words(name), '--json']!r}, standalone_mode=False)\n"
        "heavy = {'scipy', 'numpy', 'textual', 'pydantic', 'uncertainties', 'sqlite3', 'rich'}\n"
        "sys.exit(', '.join(heavy & set(sys.modules)) or 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_results_are_shown_in_inches_and_pounds_when_asked() -> None:
    said = run("fill", "void_ml=100", "packing_fraction=0.6", "shot_density_g_cm3=7.8", "--inch")
    assert "1 lb 2.1 oz" in said.output


def test_all_that_is_wrong_is_said_at_once() -> None:
    found = run("packing", "shot_mm=99", "gap_mm=x", "shap=2")
    assert [line.partition(" ")[0] for line in found.stderr.splitlines()] == [
        "benchmate",
        "gap_mm:",
        "packing",
    ]
