"""Clocks and acts without a plan: what goes on with what, cautions, units, the record."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import cautions_of, find_material, start_clock, with_label
from benchmate.bench.starting.starting import start_free
from benchmate.cli.group import cli
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.refusal import Refused, UnknownAddress
from benchmate.settings import Settings, find_folders
from benchmate.shelf import FAMILIES, Material

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
GLUE = "yellow wood glue"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with closing(Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))) as opened:
        yield opened


def clock(bench: Bench, act: str, name: str = "", piece: str = "", material: str = GLUE) -> str:
    return start_clock(bench, find_material(bench, material), act, name=name, piece=piece)


def running(bench: Bench) -> list[tuple[str, str]]:
    """The windows that are neither met nor missed, as (label, state)."""
    return [(v.window.label, v.state) for v in bench.agenda().windows]


def test_what_was_spread_is_closed_and_clamped_under_its_name(bench: Bench) -> None:
    clock(bench, "spread", "lid", "B")
    assert clock(bench, "closed").startswith("lid: closed; closed assembly running.")
    assert clock(bench, "clamped").startswith("lid: clamped; clamp time running.")
    (job,) = bench.shop.live
    assert {(f.event.name, f.event.piece) for f in job.free} == {("lid", "B")}
    assert [label for label, _ in running(bench)] == ["lid, clamp time"]


def test_of_two_that_are_open_none_is_guessed(bench: Bench) -> None:
    clock(bench, "spread", "lid")
    clock(bench, "spread", "box")
    assert clock(bench, "closed").startswith(f"{GLUE}: closed")
    assert clock(bench, "closed", "box").startswith("box: closed")


def test_another_material_or_another_coat_goes_on_with_nothing(bench: Bench) -> None:
    clock(bench, "spread", "lid")
    assert clock(bench, "closed", material="white wood glue").startswith("white wood glue: closed")
    assert clock(bench, "spread").startswith(f"{GLUE}: spread"), "a second face is no closing"


def test_a_job_without_a_plan_keeps_its_own(bench: Bench) -> None:
    clock(bench, "spread", "lid")
    job = start_free(bench, "Box")
    said = start_clock(bench, find_material(bench, GLUE), "closed", job=job)
    assert said.startswith(f"{GLUE}: closed")


@pytest.mark.parametrize(
    ("family", "names"),
    [
        ("polyurethane glue", ["isocyanates"]),
        ("contact adhesive", ["solvent vapour"]),
        ("clear film finish, two-part polyurethane", ["isocyanates", "solvent vapour"]),
        ("clear film finish, oil-based", ["oily rags", "solvent vapour"]),
        ("hard oil", ["oily rags", "solvent vapour"]),
        ("raw linseed oil", ["oily rags"]),
        ("lead shot", ["lead"]),
        ("slow casting epoxy", ["epoxy", "exotherm"]),
        ("epoxy hardener", ["epoxy"]),
        ("cyanoacrylate", ["cyanoacrylate"]),
        ("yellow wood glue", []),
    ],
)
def test_a_familys_cautions_are_the_trades_and_each_defers(family: str, names: list[str]) -> None:
    found = cautions_of(Material(name="mine", family=family))
    assert [text.partition(":")[0] for text in found] == [f"Caution, {n}" for n in names]
    for text in found:
        assert any(word in text for word in ("data sheet", "local rules"))


def test_every_family_whose_carrier_is_a_solvent_warns_of_its_vapour_or_its_rags() -> None:
    for name, material in FAMILIES.items():
        if material.carrier == "solvent":
            assert {"solvent vapour", "oily rags"} & set(material.cautions), name


def test_a_job_without_a_plan_by_commands_in_any_order(tmp_path: Path) -> None:
    def say(*words: str) -> str:
        result = CliRunner().invoke(cli, ["--home", str(tmp_path), *words], catch_exceptions=False)
        return result.output

    say("start", "--free", "Lid box")
    say("shelf", "add", "Resin X", "--kind", "slow casting epoxy", "--label", "amount=500 g")
    assert "sanded A." in say("done", "sanded", "--extra", "--piece", "A")
    job = ("--job", "lid-box-1")
    assert "tacky, cure running" in say("clock", "Resin X", "poured", *job)
    assert "Caution, epoxy" in say("clock", "Resin X", "mixed", "--grams", "120", *job)
    say("weigh", "412.5 g", *job)
    say("note", "--photo", "lid.jpg", *job)
    say("clock", GLUE, "clamped", *job)
    assert "380 g of 500 g left" in say("shelf")
    assert "Say what was done" in say("done", " ", "--extra", *job)
    text = say("procedure", "new", "box", "--job", "lid-box-1").strip()
    assert "Nothing is wrong" in say("procedure", "check", text)
    say("start", "matched-bookends")
    assert "Recorded: sanded" in say("done", "sanded", "--extra", "--job", "matched-bookends-1")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("yelow wood glue", "Did you mean yellow wood glue?"),
        ("casting epoxy", "may be any of slow casting epoxy, fast casting epoxy; say which"),
        ("nothing", "`benchmate shelf` lists them"),
    ],
    ids=["misspelt", "one of two", "like none"],
)
def test_a_material_that_isnt_one_is_answered_with_what_helps(
    bench: Bench, name: str, said: str
) -> None:
    with pytest.raises(UnknownAddress) as refused:
        find_material(bench, name)
    assert said in str(refused.value)


def test_a_label_is_typed_in_the_words_that_are_shown() -> None:
    material = Material(name="the slow one", family="slow casting epoxy")
    typed = {
        "mass in the cup": "120 g",
        "lowest temperature": "15 °C",
        "mix ratio": "5:2 weight",
        "data sheet": "rev 3",
        "opened on": "2026-11-01",
        "keeps": "12 months",
    }
    read = with_label(material, typed)
    assert (read.label_mass_g, read.lowest_c, read.ratio) == (120.0, 15.0, (5.0, 2.0))
    assert (read.data_sheet, read.opened_on, round(read.keeps_d or 0)) == (
        "rev 3",
        "2026-11-01",
        365,
    )
    with pytest.raises(Refused, match="has no “rubbish”"):
        with_label(material, {"rubbish": "3"})
