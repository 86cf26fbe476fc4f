"""A material for each role: by the procedure, or as the maker names it at the start."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.bench.shelf.materials_for_job import materials_said, roles_of
from benchmate.bench.shelf.shelf import describe_material, material_gone, with_label
from benchmate.bench.starting.start_like import another_like
from benchmate.bench.starting.starting import find_document, start_job
from benchmate.cli.group import cli
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.plan.plan import MaterialOfPlan, Plan
from benchmate.refusal import Refused
from benchmate.settings import Settings, find_folders
from benchmate.shelf import COMMON_PRACTICE, Material

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
GLUE = "yellow wood glue"
SLOW = {"open time": "12 min at 18 °C", "spread_g_m2": "150", "amount": "500 g"}


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with closing(Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))) as opened:
        yield opened


def put(bench: Bench, name: str, family: str = GLUE, **label: str) -> None:
    typed = {key.replace("_", " ") if key == "open_time" else key: v for key, v in label.items()}
    describe_material(bench, with_label(Material(name=name, family=family), typed))


def plan_of(bench: Bench, job: str) -> Plan:
    state = bench.job(job)
    assert state is not None
    assert state.plan is not None
    return state.plan


def material_in(plan: Plan, role: str = "glue") -> MaterialOfPlan:
    return next(t for t in plan.materials if t.role == role)


def opens_late(plan: Plan) -> list[float | None]:
    """The open times of the plan's joints."""
    windows = (w for s in plan.steps for w in s.windows)
    return [w.closes_s for w in windows if w.name == "open time"]


def test_the_material_that_is_named_serves_and_its_label_is_in_the_plan(bench: Bench) -> None:
    put(bench, "old", opened_on="2026-01-01")
    describe_material(bench, with_label(Material(name="slow PVA", family=GLUE), SLOW))
    put(bench, "new", opened_on="2026-11-01")
    job = start_job(bench, "matched-bookends", chosen={"glue": "slow PVA"})
    plan = plan_of(bench, job)
    assert set(opens_late(plan)) == {720.0}
    glue = material_in(plan)
    assert (glue.material, glue.chosen, glue.on_shelf) == ("slow PVA", True, True)
    sources = {(v.what, v.text): v.source for v in glue.values}
    assert sources["open time", "12 min at 18 °C"] == "label of slow PVA"
    assert sources["spread", "150 g/m²"] == "label of slow PVA"
    clamp = "clamps may come off after 45 min, full strength after 24 h"
    assert sources["clamp time", clamp] == COMMON_PRACTICE


@pytest.mark.parametrize(
    ("materials", "serves", "on_shelf"),
    [
        ((), GLUE, False),
        ((("only", ""),), "only", True),
        ((("a", "2026-11-01"), ("b", "2026-01-01")), "a", True),
    ],
    ids=["the family", "the only one", "the one opened last"],
)
def test_where_none_is_named_the_shelf_decides(
    bench: Bench, materials: tuple[tuple[str, str], ...], serves: str, on_shelf: bool
) -> None:
    for name, opened_on in materials:
        put(bench, name, opened_on=opened_on)
    glue = material_in(plan_of(bench, start_job(bench, "matched-bookends")))
    assert (glue.material, glue.chosen, glue.on_shelf) == (serves, False, on_shelf)


@pytest.mark.parametrize(
    ("chosen", "said"),
    [
        ({"gleu": GLUE}, "calls no material “gleu”; its materials are: shot, resin, glue"),
        ({"glue": "yelow wood gleu"}, "Did you mean yellow wood glue"),
    ],
    ids=["role", "material"],
)
def test_a_role_or_material_that_there_isnt_is_refused(
    bench: Bench, chosen: dict[str, str], said: str
) -> None:
    with pytest.raises(Refused, match=said):
        start_job(bench, "matched-bookends", chosen=chosen)


def test_a_material_that_cant_do_the_work_is_refused_by_name(bench: Bench) -> None:
    from benchmate.fields.problem import ProcedureError

    with pytest.raises(ProcedureError, match="paste wax is a wax"):
        start_job(bench, "matched-bookends", chosen={"glue": "paste wax"})


def test_a_label_that_contradicts_common_practice_on_when_it_opens_is_refused(
    bench: Bench,
) -> None:
    from benchmate.fields.problem import ProcedureError

    label = {"recoat.closes": "4 h at 20 °C"}
    describe_material(bench, with_label(Material(name="quick oil", family="hard oil"), label))
    both = "recoat closes after 4 h by its label, and by common practice it opens after 12 h"
    with pytest.raises(ProcedureError, match=both):
        start_job(bench, "matched-bookends", chosen={"oil": "quick oil"})
    label["recoat.opens"] = "2 h at 20 °C"
    describe_material(bench, with_label(Material(name="quick oil", family="hard oil"), label))
    plan = plan_of(bench, start_job(bench, "matched-bookends", chosen={"oil": "quick oil"}))
    found = {(w.opens_s, w.closes_s) for s in plan.steps for w in s.windows if w.name == "recoat"}
    assert found == {(2 * 3600.0, 4 * 3600.0)}


def test_the_likeliest_material_is_offered_first_and_only_its_kind(bench: Bench) -> None:
    put(bench, "mine", opened_on="2026-11-01")
    put(bench, "white", family="white wood glue")
    put(bench, "wax", family="paste wax")
    document, _ = find_document(bench, "matched-bookends")
    (glue,) = [r for r in roles_of(bench, document.standard.head.materials) if r.name == "glue"]
    assert [t.name for t in glue.options] == ["mine", "white", GLUE, "white wood glue"]


def test_another_like_it_takes_the_same_material_while_it_is_there(bench: Bench) -> None:
    put(bench, "mine")
    put(bench, "white", family="white wood glue")
    job = start_job(bench, "matched-bookends", chosen={"glue": "white"})
    assert another_like(bench, job).materials == {"glue": "white"}
    material_gone(bench, "white")
    again = another_like(bench, job)
    assert again.materials == {}
    assert any("no longer on the shelf" in text for text in again.said)


def test_what_runs_out_or_is_too_old_is_said_at_the_start(bench: Bench) -> None:
    put(bench, "dregs", amount="1 g", opened_on="2025-01-01", keeps_d="12 months")
    said = " ".join(materials_said(bench, start_job(bench, "matched-bookends")))
    assert "dregs runs out: the plan takes" in said
    assert "1 g is left by the record" in said
    assert "by its label it kept until 2026-01-01" in said
    put(bench, "dregs", amount="5 kg", opened_on="2026-01-01", keeps_d="12 months")
    assert "Caution: dregs" not in " ".join(
        materials_said(bench, start_job(bench, "matched-bookends"))
    )


def test_a_command_names_the_material_and_says_what_it_brings(tmp_path: Path) -> None:
    def said(*words: str) -> str:
        result = CliRunner().invoke(cli, ["--home", str(tmp_path), *words])
        return result.output

    label = ["--label", "open time=12 min at 18 °C"]
    said("shelf", "add", "slow PVA", "--kind", "white wood glue", *label)
    out = said("start", "matched-bookends", "--material", "glue=slow PVA")
    assert "glue: slow PVA, as you chose. Label of slow PVA: open time 12 min" in out
    assert "not from your label" in out
    assert "is no NAME=VALUE" in said("start", "matched-bookends", "--material", "glue")
