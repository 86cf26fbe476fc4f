"""The weight loop by commands: weigh, heading, scale."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from benchmate.cli.group import cli
from benchmate.job.events import stored as ev
from tests.unit.desk_help import Desk
from tests.unit.loop_help import PAIR, Worked, as_planned


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    return Desk(Worked(tmp_path), monkeypatch)


@pytest.fixture
def pouring(desk: Desk) -> Desk:
    """A pair whose blanks are weighed, before its first layer; its target leaves room."""
    desk.shop.scale("fine", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
    desk.shop.start(parameters={"target": "835 g"})
    desk.shop.until("A/block/pour#1")
    return desk


class TestWeigh:
    def test_on_plan_says_so_in_a_line_and_why_when_asked(self, pouring: Desk) -> None:
        said = pouring.says("weigh", "129.3 g").splitlines()
        assert said[0] == "Bookend A, layer 1: 129.3 g, plan 129.1 g: on plan."
        assert said[1].startswith("bookend A: will weigh ")
        said = pouring.says("weigh", "129.3 g", "A/block/pour#1", "--why", "--again").splitlines()
        assert said[1] == "  129.3 g ± 0.4 g against 129.1 g ± 3.9 g: 0.2 g heavy."
        assert said[2] == "  Over 99 % sure it is within tolerance."

    def test_off_plan_explains_itself_unasked(self, pouring: Desk) -> None:
        said = pouring.says("weigh", "120.5 g").splitlines()
        assert said[0].endswith("8.6 g light.")
        assert said[1] == "  120.5 g ± 0.4 g against 129.1 g ± 3.9 g: 8.6 g light."

    def test_a_slip_is_asked_about_and_nothing_is_recorded(self, pouring: Desk) -> None:
        said = pouring.refuses("weigh", "12.93 g").splitlines()
        assert said[0].startswith("Has the decimal point slipped? That would be 129.3 g")
        assert said[1] == "Nothing is recorded yet. Add --keep to record it as it is."
        assert said[2].endswith("benchmate weigh '129.3 g' 'pair_of_bookends-1/A/block/pour#1'")
        assert pouring.shop.kinds()[-1] == "done"

    def test_the_command_it_names_records_what_was_meant(self, pouring: Desk) -> None:
        last = pouring.refuses("weigh", "12.93 g").splitlines()[-1]
        words = shlex.split(last.partition("benchmate ")[2])
        assert pouring.says(*words).startswith(
            "Bookend A, layer 1: 129.3 g, plan 129.1 g: on plan."
        )

    def test_what_stands_is_recorded_and_journaled(self, pouring: Desk) -> None:
        pouring.says("weigh", "12.93 g", "--keep")
        assert pouring.shop.kinds()[-2:] == ["questioned", "weighed"]

    def test_swapped_twins_are_put_right_by_two_commands(self, desk: Desk) -> None:
        from tests.unit.test_questions import Unlike

        desk.shop.start()
        Unlike(desk.shop)
        desk.shop.until("A/all/weigh-sanded#1")
        desk.says("weigh", "831.2 g", "A/all/weigh-sanded#1", "--keep")
        said = desk.refuses("weigh", "857 g", "B/all/weigh-sanded#1")
        assert "Is this bookend A?" in said
        assert "benchmate weigh '831 g'" in said
        assert "and for the other one: benchmate weigh '" in said

    def test_several_readings_and_a_tare(self, pouring: Desk) -> None:
        said = pouring.says("weigh", "191.2; 191.4; 191.3", "--tare", "62.0")
        assert said.startswith("Bookend A, layer 1: 129.3 g, plan 129.1 g: on plan.")


class TestHeading:
    def test_says_each_piece_its_doubt_its_last_step_and_the_offer(self, pouring: Desk) -> None:
        pouring.says("weigh", "120.5 g")
        said = pouring.says("weights")
        assert "bookend A: will weigh 838 g ± " in said
        assert "(want 835 g ± 8 g)" in said
        assert "  least sure of: layer 4 " in said
        assert "  layer 4: the last chance to add weight; then it only loses" in said
        assert "bookend B: will weigh " in said

    def test_as_data_adds_up(self, pouring: Desk) -> None:
        data = json.loads(pouring.says("weights", "--json"))
        a = data["pieces"][0]
        assert sum(part["g"] for part in a["contributions"]) == pytest.approx(a["heading_g"])
        assert sum(part["share"] for part in a["contributions"]) == pytest.approx(1.0)
        assert a["low_g"] < a["heading_g"] < a["high_g"]
        assert a["last_chance"] == {"stage": "layer 4", "next": False, "takes_only": False}
        assert 0.0 <= a["probability_inside"] <= 1.0

    def test_take_changes_the_plan_and_journals_old_and_new(self, pouring: Desk) -> None:
        shop = pouring.shop
        shop.reads = lambda act: "126.3 g" if "/pour#" in act.address else as_planned(act)
        shop.until("A/block/pour#4", kind="do")
        offered = json.loads(pouring.says("weights", "--json"))["adjustment"]
        assert offered is not None
        (layer,) = [la for p in offered["pieces"] for la in p["layers"] if p["piece"][-1] == "A"]
        said = pouring.says("weights", "--accept")
        assert said.startswith("The plan is changed:\n  A/block/pour#4: shot ")
        changed = [r.event for r in shop.state.records if isinstance(r.event, ev.PlanChanged)]
        assert len(changed) == 1
        assert changed[0].reason == "adjustment"
        old, new = layer["shot_g"]
        shot = [a for a in changed[0].amounts if a.what == "shot"]
        assert (round(shot[0].old, 1), round(shot[0].new, 1)) == (round(old, 1), round(new, 1))
        planned = shop.step("A/block/pour#4").amounts[0]
        assert planned.amount == pytest.approx(new)

    def test_nothing_on_offer_is_refused(self, desk: Desk) -> None:
        desk.shop.start()
        assert desk.refuses("weights", "--accept").startswith("No adjustment to offer")

    def test_the_shelfs_denser_shot_is_named_where_nothing_else_will_do(self, desk: Desk) -> None:
        desk.shop.scale("fine", 0.1)
        desk.says("shelf", "add", "heavy shot", "--kind", "tungsten shot")
        desk.shop.start(parameters={"target": "880 g"})
        desk.shop.reads = lambda act: "121.0 g" if "/pour#" in act.address else as_planned(act)
        desk.shop.until("A/block/pour#4", kind="do")
        said = desk.says("weights")
        assert "Out of reach: The pair can match at 8" in said
        assert "g light where 880 g ± 8 g was asked for: of bookend " in said
        assert "g of heavy shot and " in said

    def test_a_plot_is_plain_characters_with_a_legend(self, pouring: Desk) -> None:
        said = pouring.says("weights", "--plot")
        assert "off plan: ● so far   ○ expected   ░ 95 %   · plan   ─ limits" in said
        assert "1 blank  2 layer 1  3 " in said, "what is done comes first"
        assert re.search(r"    plan [·●○░]", said)
        assert "\x1b" not in said

    def test_a_job_without_a_plan_has_none(self, desk: Desk) -> None:
        desk.says("start", "--free", "odds and ends")
        assert "has no plan that says what its pieces weigh" in desk.says("weights")


class TestScale:
    def test_is_described_once_and_listed(self, desk: Desk) -> None:
        words = (
            "--division",
            "0.1g",
            "--repeatability",
            "0.1g",
            "--readings",
            "10",
            "--linearity",
            "0.2g",
            "--capacity",
            "3kg",
        )
        said = desk.says("scale", "fine", *words)
        assert said == (
            "fine reads to 0.1 g, repeats to 0.1 g (10 readings), ± 0.2 g linear, up to 3000 g.\n"
        )
        assert "never checked with a known weight" in desk.says("scale")
        (data,) = json.loads(desk.says("scale", "--json"))
        assert (data["division_g"], data["linearity_g"]) == (0.1, 0.2)

    def test_a_class_from_its_plate_says_how_far_it_may_be_off(self, desk: Desk) -> None:
        """OIML R 76-1: class III at 3000 e may be off by 1.5 e, in service by twice that."""
        said = desk.says(
            "scale", "bench", "--division", "1g", "--capacity", "3kg", "--class", "iii"
        )
        assert said == "bench reads to 1 g, ± 3 g linear, up to 3000 g.\n"

    def test_a_moved_scale_is_cautioned_at_the_check_in_the_list_and_at_a_start(
        self, desk: Desk
    ) -> None:
        desk.says("scale", "fine", "--division", "0.1g", "--linearity", "0.2g")
        assert desk.says("scale", "fine", "--known", "500g", "--read", "500.1;500.2").endswith(
            "sound.\n"
        )
        said = desk.says("scale", "fine", "--known", "500g", "--read", "502.0")
        assert said.startswith("Caution: The scale shows 502.0 g for a weight of 500.0 g")
        assert "Caution: The scale shows 502.0 g" in desk.says("scale")
        desk.shop.start()
        assert "Caution: The scale shows 502.0 g" in desk.says("start", PAIR.stem)

    def test_rules_are_shown_and_set(self, desk: Desk) -> None:
        assert "inside the tolerance with 95 % or more" in desk.says("scale", "--rules")
        desk.says("scale", "--rules", "--inside", "90%", "--near", "80%")
        held = json.loads(desk.says("scale", "--rules", "--json"))
        assert held == {"inside_p": 0.9, "outside_p": 0.05, "near_fraction": 0.8}

    @pytest.mark.parametrize(
        "words",
        [
            ("--rules", "--inside", "3%"),
            ("fine", "--division", "0g"),
            ("fine", "--division", "1g", "--readings", "1"),
            ("fine", "--known", "500g"),
            ("fine", "--known", "500g", "--read", "500g"),
            ("fine", "--known", "0g", "--read", "0g"),
            ("fine", "--division", "1g", "--class", "III"),
            ("fine", "--division", "1g", "--class", "V", "--capacity", "3kg"),
        ],
        ids=" ".join,
    )
    def test_what_makes_no_sense_is_refused_in_a_sentence(
        self, desk: Desk, words: tuple[str, ...]
    ) -> None:
        said = desk.refuses("scale", *words)
        assert said.endswith("\n")
        assert "Traceback" not in said


HEAVY = ("scipy", "numpy", "uncertainties", "textual", "pydantic", "plotext")


def test_a_weigh_in_loads_no_heavy_library(desk: Desk) -> None:
    desk.shop.start(parameters={"target": "835 g"})
    desk.shop.until("A/block/pour#1")
    desk.shop.bench.close()
    code = (
        "import json, sys\n"
        "from benchmate.cli.group import cli\n"
        f"cli(['--home', {str(desk.shop.home)!r}, 'weigh', '120.5 g'], standalone_mode=False)\n"
        "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    *said, loaded = done.stdout.splitlines()
    assert said[0].startswith("Bookend A, layer 1: 120.5 g")
    assert any(line.startswith("bookend A: will weigh") for line in said)
    assert set(json.loads(loaded)).isdisjoint(HEAVY)


def _documented() -> list[str]:
    page = Path(__file__).parents[2] / "docs" / "weights.md"
    lines = page.read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.startswith("benchmate ")]


@pytest.mark.parametrize("line", _documented())
def test_every_command_on_the_page_about_weights_can_be_given_so(line: str) -> None:
    import shlex

    import click

    name, *words = shlex.split(line)[1:]
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    command.make_context(name, words, resilient_parsing=False).close()


def test_shot_read_as_resin_is_asked_about_before_it_counts(pouring: Desk) -> None:
    pouring.says("weigh", "350 g", "A/block/pour#1", "--running")
    asked = pouring.refuses("weigh", "438 g", "A/block/pour#1", "--adding", "resin")
    assert "That makes 88 g resin, where 11 g is planned. Was it shot?" in asked
    words = shlex.split(asked.splitlines()[-1].partition("benchmate ")[2])
    assert words[-2:] == ["--adding", "shot"]
    assert "88 g shot" in pouring.says(*words)


def test_so_much_resin_is_recorded_where_it_stands(pouring: Desk) -> None:
    pouring.says("weigh", "350 g", "A/block/pour#1", "--running")
    words = ("weigh", "438 g", "A/block/pour#1", "--adding", "resin", "--keep")
    assert "88 g resin" in pouring.says(*words)
