"""`proofread`, `procedures` and `starter` from outside, and where files are found."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.cli.exits import Exit
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.plan.plan import Amount
from benchmate.procedure import finding
from benchmate.procedure.finding import find, find_all, library, load_file
from benchmate.shelf import FAMILIES, Material, windows_of

SHORT = """\
name = "Box lid"

[parts.top]
wood = "black walnut"
size = "200 x 80 x 8 mm"

[parts.rim]
wood = "black walnut"
size = "200 x 80 x 8 mm"

[materials]
glue = "yellow wood glue"
oil  = "hard oil"

[[steps]]
use = "wood-glue joint in clamps"
of  = ["top", "rim"]

[[steps]]
use   = "wiped oil coats"
coats = 2
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def write(folder: Path, name: str, text: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_glue_up_and_two_coats_are_fewer_than_25_lines(home: Path, tmp_path: Path) -> None:
    assert len(SHORT.splitlines()) < 25
    done = run(home, "procedure", "check", str(write(tmp_path, "lid.toml", SHORT)))
    assert (done.exit_code, done.stdout) == (Exit.OK, "Nothing is wrong.\n")


def test_everything_wrong_is_said_at_once_with_file_and_line(home: Path, tmp_path: Path) -> None:
    text = SHORT.replace("size = ", "sise = ").replace("coats = 2", "coats = 200")
    path = write(tmp_path, "lid.toml", text)
    done = run(home, "procedure", "check", str(path))
    assert done.exit_code == Exit.FOUND
    lines = done.stdout.splitlines()
    assert len(lines) >= 3
    assert all(re.match(rf"{re.escape(str(path))}:\d+: \S.*: .+; .+", line) for line in lines)
    assert f"{path}:21: steps[2].coats" in done.stdout


def test_several_files_are_read_in_one_go(home: Path, tmp_path: Path) -> None:
    good = write(tmp_path, "good.toml", SHORT)
    bad = write(tmp_path, "bad.toml", 'name = "x"\n')
    done = run(home, "procedure", "check", str(good), str(bad))
    assert done.exit_code == Exit.FOUND
    assert done.stdout == f"{bad}:1: steps: has no steps; write [[steps]] above each step\n"


def test_a_file_that_is_not_there_is_a_sentence(home: Path) -> None:
    done = run(home, "procedure", "check", "nowhere.toml")
    assert done.exit_code == Exit.FOUND
    assert done.stdout.startswith("nowhere.toml:1: the file can't be read: no such file")


def test_shipped_procedures_are_proofread_by_name(home: Path) -> None:
    assert (
        run(home, "procedure", "check", "matched-bookends", "turned-lamp-base").exit_code == Exit.OK
    )


def test_procedures_lists_shipped_and_own(home: Path) -> None:
    write(home / "procedures", "lid.toml", SHORT)
    done = run(home, "procedure")
    assert done.exit_code == Exit.OK
    assert "matched-bookends" in done.stdout
    assert "Box lid  (yours)" in done.stdout


def test_procedures_as_json(home: Path) -> None:
    write(home / "procedures", "lid.toml", SHORT)
    rows = {r["name"]: r for r in json.loads(run(home, "procedure", "--json").stdout)}
    assert rows["lid"]["own"] is True
    assert rows["lid"]["title"] == "Box lid"
    assert rows["matched-bookends"]["own"] is False


def test_a_procedure_that_cant_be_read_is_listed_as_such(home: Path) -> None:
    write(home / "procedures", "odd.toml", 'name = "')
    assert "odd" in run(home, "procedure").stdout
    assert "can't be read" in run(home, "procedure").stdout


def test_a_starter_is_written_into_the_makers_folder_and_proofreads(home: Path) -> None:
    done = run(home, "procedure", "new", "My tray")
    path = home / "procedures" / "my-tray.toml"
    assert (done.exit_code, done.stdout) == (Exit.OK, f"{path}\n")
    assert run(home, "procedure", "check", str(path)).exit_code == Exit.OK
    assert run(home, "procedure", "check", "my-tray").exit_code == Exit.OK


def test_a_file_that_is_there_is_never_overwritten(home: Path) -> None:
    path = write(home / "procedures", "my-tray.toml", SHORT)
    done = run(home, "procedure", "new", "My tray")
    assert done.exit_code == Exit.REFUSED
    assert "is there already" in done.stderr
    assert path.read_text(encoding="utf-8") == SHORT


@pytest.mark.parametrize("name", ["turned-lamp-base", "Turned lamp base.toml"])
def test_a_starter_never_stands_in_the_way_of_a_shipped_procedure(home: Path, name: str) -> None:
    done = run(home, "procedure", "new", name)
    assert done.exit_code == Exit.REFUSED
    assert "came with benchmate; give yours another name" in done.stderr
    assert not (home / "procedures").exists()


@pytest.mark.parametrize(("depth", "doubts"), [("24 mm", 1), ("20.5 mm", 0)])
def test_a_start_says_what_the_proofreader_doubts(home: Path, depth: str, doubts: int) -> None:
    said = run(home, "start", "turned-lamp-base", "--set", f"depth={depth}")
    assert said.exit_code == Exit.OK
    assert said.stdout.count("Check this: ") == doubts


PIECES = """
name = "Blocks"
makes = 3
[parameters.length]
default = "120 mm"
at_most = "200 mm"
per_piece = true
[[steps]]
do = "Cut the block to {length}."
each = "piece"
"""


def test_a_parameter_may_be_set_for_one_piece(home: Path) -> None:
    write(home / "procedures", "blocks.toml", PIECES)
    assert run(home, "start", "blocks", "--set", "length@B=150 mm").exit_code == Exit.OK
    said = run(home, "next", "--json").stdout
    assert all(f"{p}: cut the block to {mm} mm" in said for p, mm in (("A", 120), ("B", 150)))
    both = run(home, "start", "blocks", "--set", "length=90 mm", "--set", "length@B=150 mm")
    assert (both.exit_code, "set it for each piece" in both.stderr) == (Exit.REFUSED, True)
    far = run(home, "start", "blocks", "--set", "length@B=250 mm")
    assert "out of its limits" in far.stderr


def test_a_folder_that_cant_be_written_is_a_sentence(home: Path) -> None:
    write(home, "procedures", "a file where the folder should be")
    done = run(home, "procedure", "new", "My tray")
    assert done.exit_code in (Exit.UNWRITABLE, Exit.REFUSED)
    assert "procedures" in done.stderr


def test_an_unplanned_job_becomes_a_procedure_that_can_be_started(home: Path) -> None:
    from benchmate.cli.opening import the_bench

    assert run(home, "start", "--free", "Tray").exit_code == Exit.OK
    material = Material(name="yellow wood glue", family="yellow wood glue")
    with the_bench(home) as bench:
        (job,) = [j.job for j in bench.shop.live]
        for act in ("spread", "closed", "clamped"):
            bench.do(
                job,
                cmd.DoFreely(
                    act=act,
                    material=material.name,
                    windows=windows_of(material, act),
                    used=(Amount(what="glue", amount=3.0),),
                ),
            )
        bench.do(job, cmd.Weigh(net_g=512.0, what="tray"))
    done = run(home, "procedure", "new", "tray again", "--job", job)
    assert done.exit_code == Exit.OK, done.stderr
    text = (home / "procedures" / "tray-again.toml").read_text(encoding="utf-8")
    assert 'within = ["closed assembly"]' in text
    assert "# read: 512 g" in text
    assert run(home, "procedure", "check", "tray-again").exit_code == Exit.OK
    assert run(home, "start", "tray-again").exit_code == Exit.OK


def test_a_job_that_is_not_there_is_named(home: Path) -> None:
    run(home, "start", "--free", "Tray")
    done = run(home, "procedure", "new", "again", "--job", "nothing-7")
    assert done.exit_code == Exit.REFUSED
    assert "There is no job “nothing-7”" in done.stderr


# Finding ---------------------------------------------------------------------------------------


def test_the_makers_own_stands_for_a_shipped_one_of_its_name(home: Path) -> None:
    path = write(home / "procedures", "matched-bookends.toml", SHORT)
    found = find("matched-bookends", home)
    assert found is not None
    assert (found.path, found.shipped) == (path, False)
    assert len(find_all(home)) == len(find_all())


def test_an_own_block_stands_for_a_shipped_one_and_can_be_new(home: Path) -> None:
    block = 'name = "scraped finish"\n[[steps]]\nid = "scrape"\ndo = "Scrape it."\n'
    write(home / "procedures" / "blocks", "scraped-finish.toml", block)
    text = 'name = "x"\n[[steps]]\nuse = "scraped finish"\n'
    path = write(home / "procedures", "x.toml", text)
    document = load_file(path, home)
    assert [s.spec.do for s in document.standard.steps] == ["Scrape it."]
    assert "scraped finish" in library(home).names
    assert run(home, "procedure", "check", "x").exit_code == Exit.OK


def test_a_broken_block_is_told_where_it_is_used(home: Path) -> None:
    write(
        home / "procedures" / "blocks", "bad.toml", 'name = "bad"\nfoo = 1\n[[steps]]\ndo = "x"\n'
    )
    path = write(home / "procedures", "x.toml", 'name = "x"\n[[steps]]\nuse = "bad"\n')
    done = run(home, "procedure", "check", str(path))
    assert f"{path}:3: steps[1].use: this block can't be used (block “bad”:2: foo:" in done.stdout


def test_a_wheel_has_its_procedures_inside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path / "benchmate" / "shipped", "only.toml", SHORT)
    module = write(tmp_path / "benchmate" / "procedure", "finding.py", "")
    finding.shipped_folder.cache_clear()
    monkeypatch.setattr(finding, "__file__", str(module))
    try:
        assert [f.name for f in find_all()] == ["only"]
    finally:
        finding.shipped_folder.cache_clear()


def test_a_procedure_is_found_by_name_slug_or_path(tmp_path: Path) -> None:
    path = write(tmp_path, "lid.toml", SHORT)
    for name in ("matched-bookends", "Matched bookends", "matched-bookends.toml"):
        found = find(name)
        assert found is not None, name
    assert find(str(path)) is not None
    assert find("nothing-like-it") is None


def test_families_named_by_shipped_procedures_exist() -> None:
    for found in find_all():
        for material in load_file(found.path).standard.head.materials.values():
            assert material in FAMILIES


def test_a_damaged_journal_doesnt_keep_anybody_from_proofreading(home: Path) -> None:
    (home / "data").mkdir(parents=True)
    for name in ("journal.db", "journal.head"):
        (home / "data" / name).write_bytes(b"not a journal")
    done = run(home, "procedure", "check", "matched-bookends")
    assert (done.exit_code, done.stdout) == (Exit.OK, "Nothing is wrong.\n")


def test_the_materials_on_the_shelf_are_what_a_file_is_held_to(home: Path, tmp_path: Path) -> None:
    path = write(tmp_path, "lid.toml", SHORT.replace("yellow wood glue", "my glue"))
    assert run(home, "procedure", "check", str(path)).exit_code == Exit.FOUND
    assert run(home, "shelf", "add", "my glue", "--kind", "yellow wood glue").exit_code == 0
    assert run(home, "procedure", "check", str(path)).exit_code == Exit.OK


BROKEN = Path(__file__).parent / "broken"


@pytest.mark.parametrize(
    "name", ["spacers-in-after-the-glue", "felt-on-soft-oil", "target-too-light-for-its-wood"]
)
def test_a_plan_that_cannot_be_made_is_not_started(name: str, tmp_path: Path) -> None:
    result = run(tmp_path, "start", str(BROKEN / f"{name}.toml"))
    assert result.exit_code == 2, result.output
    assert f"{name}.toml:" in result.output


def test_a_plan_that_is_only_doubtful_is_started_and_says_so(tmp_path: Path) -> None:
    result = run(tmp_path, "start", str(BROKEN / "wall-under-the-usual.toml"))
    assert result.exit_code == 0, result.output
    assert "2 mm, less than 3 mm" in result.output
    assert "sure =" not in result.output
