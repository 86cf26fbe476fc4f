"""A void measured before the pour changes the room and the amounts of all its layers."""

import json
import math
from contextlib import closing
from pathlib import Path
from typing import Any

import msgspec
import pytest
from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_job
from benchmate.bench.weights.change_data import PlanChange, schema_text
from benchmate.bench.weights.measured_void import measured, take_measured, words_of
from benchmate.cli.group import cli
from benchmate.job.state.state import JobState
from benchmate.job.weights.measured_void import by_depth, by_weight, fill_meant
from benchmate.plan.plan import Plan
from benchmate.refusal import Refused
from benchmate.settings import Settings, find_folders

DOCS = Path(__file__).parents[2] / "docs"


def state_of(bench: Bench, job: str) -> tuple[JobState, Plan]:
    state = bench.job(job)
    assert state is not None
    assert state.plan is not None
    return state, state.plan


def test_two_mm_less_depth_is_less_in_every_layer_and_in_the_cup(tmp_path: Path) -> None:
    with closing(Bench.open(find_folders(tmp_path), Settings())) as bench:
        state, before = state_of(bench, start_job(bench, "matched-bookends", job="pair"))
        fill = fill_meant(state, "A")
        # 48 mm drawn, 46 mm measured: 2206.9 mm² x 2 mm are 4.41 ml less.
        assert fill.void_ml - by_depth(fill, 46.0).ml == pytest.approx(4.414, abs=0.001)
        found = measured(state, "A=46 mm")
        assert state_of(bench, "pair")[0] == state, "what is asked changes nothing"
        assert words_of(found)[0] == "A, void of the block: 105.9 ml → 101.5 ml"
        # The cap of 1.5 mm stays: the layers shrink by 44.5 to 46.5.
        shot = next(a for a in found.amounts if a.what == "shot")
        assert shot.new / shot.old == pytest.approx(44.5 / 46.5, rel=1e-6)
        take_measured(bench, state, "A=46 mm")
        _, plan = state_of(bench, "pair")
        new = next(f for f in plan.fills if f.piece == "A")
        room_ml = sum(la.void_ml for la in new.layers) + new.cap_g / new.resin_density_g_cm3
        assert room_ml == pytest.approx(new.void_ml)
        cup = next(m for m in plan.mixes if "/A/" in m.serves[0])
        poured = sum(la.resin_g for la in new.layers) + new.cap_g
        assert cup.total_g == pytest.approx(poured / 0.95)
        twins = [next(f for f in p.fills if f.piece == "B") for p in (before, plan)]
        assert twins[0] == twins[1]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("A=5 mm", "rather a slip"),
        ("C=46 mm", "no such void"),
        ("A", "no measured void"),
        ("A=abc", "no depth, width, volume or weight"),
        ("A=-4 mm", "no depth, width, volume or weight"),
    ],
)
def test_what_can_not_be_meant_is_refused(tmp_path: Path, typed: str, says: str) -> None:
    with closing(Bench.open(find_folders(tmp_path), Settings())) as bench:
        state, _ = state_of(bench, start_job(bench, "matched-bookends", job="pair"))
        with pytest.raises(Refused, match=says):
            measured(state, typed)
        fill = msgspec.structs.replace(fill_meant(state, "A"), deep_mm=None)
        with pytest.raises(Refused, match="knows no depth"):
            by_depth(fill, 40.0)


def test_water_and_fine_shot_tell_the_volume() -> None:
    assert by_weight(98.4).ml == 98.4
    # Fine steel shot of 4.6 g/ml in bulk: 460 g fill 100 ml.
    assert by_weight(460.0, 4.6).ml == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("typed", "ml"),
    [
        # A slot of 80 x 30 x 48 mm; 1 mm wider is 80 - (4 - π)(15.5² - 15²) mm² more.
        ("A=31 mm wide", 105.931 + (80 - (4 - math.pi) * 15.25) * 0.048),
        ("A=46 mm, 31 mm wide", (105.931 + (80 - (4 - math.pi) * 15.25) * 0.048) * 46 / 48),
        ("A=46 mm deep", 105.931 * 46 / 48),
        ("A=3.5 fl oz", 3.5 * 29.5735),
        ("A=100 g water", 100.0),
        ("A=460 g shot at 4.6 g/ml", 100.0),
        # Steel of 2 mm in a gap of 30 mm packs to 0.61 - 1.74/(15 + 1.14)², 7.8 g/cm³.
        ("A=478 g shot", 478 / (0.61 - 1.74 / 16.14**2) / 7.8),
    ],
)
def test_width_depth_volume_water_and_shot_say_the_room(
    tmp_path: Path, typed: str, ml: float
) -> None:
    with closing(Bench.open(find_folders(tmp_path), Settings())) as bench:
        state, _ = state_of(bench, start_job(bench, "matched-bookends", job="pair"))
        assert measured(state, typed).after_ml == pytest.approx(ml, rel=1e-4)
        take_measured(bench, state, typed)
        fill = fill_meant(state_of(bench, "pair")[0], "A")
        share = fill.void_u_ml / fill.void_ml
        assert share > 0.01 if typed.endswith("shot") else share == pytest.approx(0.005)


def test_a_ring_has_no_one_width(tmp_path: Path) -> None:
    with closing(Bench.open(find_folders(tmp_path), Settings())) as bench:
        state, plan = state_of(bench, start_job(bench, "turned-lamp-base", job="lamp"))
        piece = plan.fills[0].piece
        with pytest.raises(Refused, match="no one width"):
            measured(state, f"{piece}=31 mm wide")


def run(home: Path, *words: str) -> Any:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def test_by_command_it_is_shown_first_and_then_taken(tmp_path: Path) -> None:
    assert run(tmp_path, "start", "matched-bookends", "--id", "pair").exit_code == 0
    shown = run(tmp_path, "weights", "--void", "A=101.5 g")
    assert shown.exit_code == 0, shown.output
    assert "105.9 ml → 101.5 ml" in shown.output
    assert "Nothing is changed yet" in shown.output
    taken = run(tmp_path, "weights", "--void", "A=101.5 g", "--accept", "--json")
    read = msgspec.json.decode(taken.output.encode(), type=PlanChange)
    assert (read.after_ml, read.taken) == (101.5, True)
    assert set(json.loads(taken.output)) == {f.name for f in msgspec.structs.fields(PlanChange)}
    assert run(tmp_path, "weights", "--void", "A=1 l").exit_code == 2


def test_the_documented_schema_is_the_one_that_is_kept() -> None:
    assert (DOCS / "change.schema.json").read_text(encoding="utf-8") == schema_text(), (
        "write it anew: python -m benchmate.bench.weights.change_data > docs/change.schema.json"
    )
