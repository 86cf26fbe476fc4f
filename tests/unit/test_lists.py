"""Lists of a plan: to cut, to make first, to buy, to hand; by pencil, and held to their schema."""

import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
from click.testing import CliRunner

from benchmate.cli.group import cli
from benchmate.lists.at_step import reckoned_at, tenons_of
from benchmate.lists.buying import Held, UseRates, buying_of, finished_m2, use_rates
from benchmate.lists.cutting import cutting_of
from benchmate.lists.records import Buying, Cutting
from benchmate.lists.saying import buying_lines, cutting_lines
from benchmate.lists.schema import schema_text
from benchmate.lists.sizes import Allowances, stock_thickness
from benchmate.plan.plan import Plan
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import library, load_file, shipped_folder
from benchmate.quantities import Units
from benchmate.refusal import Refused
from benchmate.shelf import FAMILIES, Material
from tests.plans import expand

DOCS = Path(__file__).parents[2] / "docs"


def plan_of(name: str, materials: dict[str, Material] | None = None, **values: Any) -> Plan:
    document = load_file(shipped_folder() / f"{name}.toml", Path("/nowhere"))
    return expand(
        document,
        job_id="list-1",
        materials=materials or {},
        families=FAMILIES,
        parameters=values,
    )


def test_a_pair_of_bookends_is_cut_from_two_strips() -> None:
    cutting = cutting_of(plan_of("matched-bookends"), Allowances())
    block, cover = cutting.cut
    # 120 x 90 x 55 mm and 15, 6, 3 mm over; walnut at 9 % weighs 0.6079 g/cm³.
    assert block.rough_mm == (135.0, 96.0, 58.0)
    assert block.rough_g == pytest.approx(135 * 96 * 58 / 1000 * 0.6079, rel=1e-3)
    assert (block.count, block.pieces, block.marks) == (2, ("A", "B"), ("A", "B"))
    assert cover.finished_mm == (120.0, 90.0, 6.3)
    # Two of 135 mm with a kerf of 3 mm each, and 20 mm off both ends: 316 mm.
    strip = cutting.strips[0]
    assert (strip.length_mm, strip.width_mm, strip.thickness_mm) == (316.0, 96.0, 65.0)
    assert strip.volume_ml == pytest.approx(316 * 96 * 65 / 1000)


def test_allowances_are_the_makers_own() -> None:
    allow = Allowances(along_mm=20.0, across_mm=0.0, thick_mm=2.0, kerf_mm=1.0, trim_mm=0.0)
    cutting = cutting_of(plan_of("matched-bookends"), allow)
    assert cutting.cut[0].rough_mm == (140.0, 90.0, 57.0)
    assert cutting.strips[0].length_mm == 2 * 141.0


def test_more_pieces_than_the_plan_has() -> None:
    cutting = cutting_of(plan_of("matched-bookends"), Allowances(), 5)
    assert (cutting.pieces, cutting.cut[0].count) == (5, 5)
    assert cutting.cut[0].marks == ("A", "B", "3", "4", "5")


def test_a_turned_part_comes_from_a_square_with_waste_for_the_chuck() -> None:
    cutting = cutting_of(plan_of("turned-lamp-base"), Allowances())
    column = next(row for row in cutting.cut if row.part == "column")
    # 262 mm long and 58 mm thick at most: 30 mm for the chuck, 4 mm on the diameter.
    assert column.round
    assert column.rough_mm == (292.0, 62.0, 62.0)
    lining = next(row for row in cutting.cut if row.part == "lining")
    assert (lining.metal, lining.round, lining.rough_g) == (True, False, lining.blank_g)


@pytest.mark.parametrize(("thick", "stock"), [(9, 10), (20, 20), (20.5, 26), (58, 65), (200, 200)])
def test_stock_is_the_next_usual_thickness(thick: float, stock: float) -> None:
    assert stock_thickness(thick) == stock


def test_a_hammers_spacer_is_smaller_by_tape_and_clearance() -> None:
    first = cutting_of(plan_of("plane-setting-hammer"), Allowances()).first
    spacer = next(row for row in first if row.what.startswith("spacer"))
    # 25 to 20 mm by 12 mm; two layers of 0.06 mm and 0.1 mm on each side: 0.44 mm less.
    numbers = spacer.numbers_mm
    assert numbers["wide end"] == pytest.approx(24.56)
    assert numbers["narrow end"] == pytest.approx(19.56)
    assert numbers["thick"] == pytest.approx(11.56)
    assert "key taper 1 in 6" in spacer.note


def test_what_is_bought_is_what_all_pieces_take_with_the_loss_in_the_cup() -> None:
    plan = plan_of("matched-bookends")
    buying = buying_of(plan, Held())
    rows = {row.what: row for row in buying.buy}
    shot = sum(la.shot_g for fill in plan.fills for la in fill.layers)
    assert rows["steel 2 mm"].need == pytest.approx(shot)
    resin = rows["slow casting epoxy"]
    poured = sum(la.resin_g for f in plan.fills for la in f.layers)
    poured += sum(f.cap_g for f in plan.fills)
    # 5 % stays in the cup: what is mixed is what is poured over 0.95.
    assert resin.need == pytest.approx(poured / 0.95)
    assert resin.parts == pytest.approx(
        {"part A": sum(m.a_g for m in plan.mixes), "part B": sum(m.b_g for m in plan.mixes)}
    )
    assert (resin.held, resin.short) == (0.0, pytest.approx(resin.need))
    assert rows["felt 2 mm"].need == pytest.approx(108.0)  # two of 54 cm²


def test_the_shelf_is_taken_off_and_packs_make_up_for_the_rest() -> None:
    steel = Material(name="my steel", kind="shot", family="steel 2 mm", amount=500.0, size_mm=2.0)
    plan = plan_of("matched-bookends", {"my steel": steel})
    buying = buying_of(plan, Held({"my steel": steel}, {"my steel": 120.0}))
    row = buying.buy[0]
    assert row.what == "my steel"
    assert row.held == pytest.approx(380.0)
    assert row.short == pytest.approx(row.need - 380.0)
    # 927 g less 380 g are 547 g: two bags of 500 g.
    assert (row.pack, row.packs) == (500.0, 2)
    assert "short by 547.2 g: 2 of 500 g" in "\n".join(buying_lines(buying))


def test_abrasive_goes_by_a_use_rate_that_may_be_learned() -> None:
    plan = plan_of("matched-bookends")
    # 480 cm² each: 0.096 m². Three grits at 0.15 m² a sheet: a sheet each; the file says six.
    assert finished_m2(plan) == pytest.approx(0.096)
    abrasive = next(r for r in buying_of(plan, Held()).buy if r.kind == "abrasive")
    assert (abrasive.need, abrasive.by) == (6, "plan")
    # A sheet lasts 0.03 m² by the record: four a grit.
    held = Held(rates=UseRates(m2_a_sheet=0.03))
    learned = next(r for r in buying_of(plan, held).buy if r.kind == "abrasive")
    assert (learned.need, learned.by) == (12, "use rate, from your record")
    # Two jobs: 2 x 3 x 0.096 m² over 5 + 13 sheets; tape 4 m and 2 m over the metre reckoned each.
    jobs = [
        (plan, {"abrasive sheet": 5.0, "masking tape": 4.0}),
        (plan, {"abrasive sheet": 13.0, "masking tape": 2.0}),
    ]
    assert use_rates([*jobs, (plan, {})]) == pytest.approx((0.032, 3.0))


TRAY = """
name = "Waxed tray"
piece = "tray"
parts.tray = { wood = "black walnut", size = "300 x 200 x 12 mm" }
materials.oil = "hard oil"
needs = [
  { what = "abrasive sheet", size = "grit 150, 240", kind = "abrasive", count = 2 },
  { what = "masking tape", kind = "tape" },
]

[[steps]]
do = "Sand it."
part = "tray"

[[steps]]
use = "wiped oil coats"
coats = 1
area = "1200 cm²"
"""


def test_what_a_finished_job_used_is_what_the_next_list_asks_for(tmp_path: Path) -> None:
    file = tmp_path / "tray.toml"
    file.write_text(TRAY, encoding="utf-8")

    def run(*words: str) -> str:
        done = CliRunner().invoke(cli, ["--home", str(tmp_path), *words])
        assert done.exit_code == 0, done.output
        return done.output

    def listed() -> dict[str, tuple[float, str]]:
        text = run("papers", "buying", str(file), "--json")
        rows = msgspec.json.decode(text.encode(), type=Buying).buy
        return {r.kind: (r.need, r.by) for r in rows if r.kind in ("abrasive", "tape")}

    assert listed()["abrasive"] == (2.0, "plan")
    run("start", str(file), "--id", "tray")
    run("done", "sand-it", "--used", "sheets=7", "--used", "tape=2 m")
    for step in ("oil", "wipe"):
        run("skip", step, "rehearsal")
    assert listed()["abrasive"] == (2.0, "plan"), "a job that runs may take more"
    run("job", "finish", "good", "--used", "abrasive sheet=8")
    record = "use rate, from your record"
    assert listed() == {"abrasive": (8.0, record), "tape": (2.0, record)}


def test_clamps_follow_from_area_and_pressure() -> None:
    buying = buying_of(plan_of("matched-bookends"), Held())
    clamps = next(row for row in buying.hand if row.what == "clamp")
    # 120 x 90 mm less the slot's mouth of 2207 mm²: 8593 mm² at 1.2 MPa, 10.3 kN, six of 2 kN.
    assert clamps.count == 6
    assert "85.9 cm² at 1.2 MPa is 10.3 kN: 6 of 2 kN" in clamps.note
    drills = [
        r.size for r in buying_of(plan_of("turned-lamp-base"), Held()).hand if r.kind == "drill"
    ]
    assert "6, 10, 16.5, 28 mm" in drills


def test_a_plan_without_shapes_says_so() -> None:
    plan = plan_of("matched-bookends")
    bare = tuple(msgspec.structs.replace(p, shape=None) for p in plan.parts)
    with pytest.raises(Refused, match="knows no shapes"):
        cutting_of(msgspec.structs.replace(plan, parts=bare), Allowances())


# Data and commands -----------------------------------------------------------------------------


def test_the_documented_schema_is_the_one_that_is_kept() -> None:
    assert (DOCS / "lists.schema.json").read_text(encoding="utf-8") == schema_text(), (
        "write it anew: python -m benchmate.lists.schema > docs/lists.schema.json"
    )


def run(home: Path, *words: str) -> Any:
    return CliRunner().invoke(cli, ["--home", str(home), "papers", *words])


@pytest.mark.parametrize(("which", "record"), [("cutting", Cutting), ("buying", Buying)])
def test_json_is_the_record_that_is_promised(tmp_path: Path, which: str, record: Any) -> None:
    done = run(tmp_path, which, "plane-setting-hammer", "--pieces", "3", "--json")
    assert done.exit_code == 0, done.output
    read = msgspec.json.decode(done.output.encode(), type=record)
    assert read.pieces == 3
    assert set(json.loads(done.output)) == {f.name for f in msgspec.structs.fields(record)}


def test_a_list_is_in_inches_where_that_is_asked_for(tmp_path: Path) -> None:
    done = run(tmp_path, "cutting", "matched-bookends", "--inch")
    assert "5 5/16 x 3 3/4 x 2 5/16 in rough" in done.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("cutting", "no-such-file"), "no procedure"),
        (("cutting", "matched-bookends", "--pieces", "0"), "no number to make"),
        (("buying", "matched-bookends", "--set", "depth=200 mm"), "at most 80 mm"),
    ],
)
def test_what_cannot_be_listed_is_refused(
    tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    done = run(tmp_path, *words)
    assert done.exit_code == 2
    assert says in done.output + done.stderr


def test_every_shipped_procedure_has_both_lists() -> None:
    for path in sorted(shipped_folder().glob("*.toml")):
        plan = plan_of(path.stem)
        for text in (
            *cutting_lines(cutting_of(plan, Allowances())),
            *buying_lines(buying_of(plan, Held())),
        ):
            assert text.isprintable()
            assert "nan" not in text


# What the reckoners say at a step ----------------------------------------------------------------


def test_a_turned_part_shows_its_speeds_and_a_joint_its_clamps() -> None:
    plan = plan_of("turned-lamp-base")
    said = {s.address: reckoned_at(plan, s) for s in plan.steps}
    # 152 mm are 5.984 in: 6000 and 9000 over that are 1003 and 1504 rpm.
    foot = " ".join(said["list-1/A/foot/turn-foot#1"])
    assert "1003 to 1504 rpm" in foot
    clamp = " ".join(said["list-1/A/all/clamp#1"])
    assert "3 of 2 kN, 4 to cover" in clamp
    # The lining is glued in with epoxy, which wants contact and no pressure.
    assert not said["list-1/A/all/line-clamp#1"]


def test_the_wedged_tenon_says_what_its_round_holds() -> None:
    document = load(ROUND_HANDLE, "maul.toml", library(Path("/nowhere"), shipped_folder()))
    plan = expand(document, job_id="list-1", materials={}, families=FAMILIES)
    said = [text for s in plan.steps for text in reckoned_at(plan, s)]
    # A square in a round of 30 mm: 30/√2 = 21.2 mm.
    assert "The largest square tenon in the handle's end is 21.2 mm." in said


@pytest.mark.parametrize(
    ("round_", "units", "says"),
    [
        ("32 mm", "metric", "in a round of 32 mm is 22.6 mm"),  # 32/√2
        ("1 in", "inch", "in a round of 1 in is 11/16 in"),  # 0.707 in, of sixteenths
    ],
)
def test_the_wedged_tenon_asks_for_its_round(round_: str, units: Units, says: str) -> None:
    text = f'{ROUND_HANDLE}round = "{round_}"\n'
    plan = expand(
        load(text, "maul.toml", library()), job_id="maul", materials={}, families=FAMILIES
    )
    assert f"The largest square tenon {says}, corners full." in tenons_of(plan, units)


ROUND_HANDLE = """
name = "Maul"

[parts.head]
wood = "sugar maple"
size = "120 x 60 x 60 mm"

[parts.handle]
wood = "white ash"
shape = "cylinder"
size = "30 x 260 mm"

[materials]
glue = "yellow wood glue"

[[steps]]
use = "wedged tenon"
of  = ["head", "handle"]
"""


def test_what_is_made_first_is_said_in_thousandths_of_an_inch() -> None:
    cutting = cutting_of(plan_of("built-up-hammer"), Allowances())
    # 33.56 mm and 27.56 mm over 25.4.
    assert "wide end 1.321 in, narrow end 1.085 in" in "\n".join(cutting_lines(cutting, "inch"))
    assert "wide end 33.6 mm" in "\n".join(cutting_lines(cutting))
