"""What a procedure's sizes come to, against handbooks, general libraries and worked examples.

Numbers are set against sources outside the project: the Wood Handbook's relations, the CRC
element densities, the wall-effect correlation as a fluids library has it, and integration by a
general library.
"""

from typing import Any

import msgspec
import pytest
from scipy.integrate import quad

from benchmate.plan.plan import Plan, Step
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import find, library, load_file
from benchmate.shelf import FAMILIES, Material
from tests.plans import expand


def shipped(name: str, **rest: Any) -> Plan:
    found = find(name)
    assert found is not None
    return expand(
        load_file(found.path), **{"job_id": "j", "materials": {}, "families": FAMILIES, **rest}
    )


def plan_of(text: str, **rest: Any) -> Plan:
    document = load(text, "t.toml", library())
    return expand(document, **{"job_id": "j", "materials": {}, "families": FAMILIES, **rest})


def first(plan: Plan, act: str) -> Step:
    return next(s for s in plan.steps if s.act == act)


@pytest.mark.parametrize(
    ("name", "gap_mm", "shot_mm"),
    [("matched-bookends", 30, 2), ("turned-lamp-base", 30, 2), ("plane-setting-hammer", 5, 1)],
)
def test_packing_is_that_of_the_wall_effect_correlation(
    name: str, gap_mm: float, shot_mm: float
) -> None:
    # Benyahia and O'Neill 2005, as coded in fluids 1.3.1.
    from fluids.packed_bed import voidage_Benyahia_Oneil_spherical

    voidage = voidage_Benyahia_Oneil_spherical(Dp=shot_mm, Dt=gap_mm)
    for fill in shipped(name).fills:
        assert fill.packing == pytest.approx(1.0 - voidage, abs=1e-5)


def test_a_slot_with_round_ends_holds_what_integration_finds() -> None:
    # Width across the slot, integrated along its length by scipy; ends are half circles.
    def across(x: float) -> float:
        beyond = max(abs(x) - (80 - 30) / 2, 0.0)
        return 2.0 * max(15.0**2 - beyond**2, 0.0) ** 0.5

    area = quad(across, -40, 40, points=[-25, 25])[0]
    for fill in shipped("matched-bookends").fills:
        assert fill.void_ml == pytest.approx(area * 48 / 1000, rel=1e-6)


def test_a_ring_holds_what_a_cylinder_less_a_cylinder_holds() -> None:
    shell = quad(lambda r: 2 * 3.141592653589793 * r * 20.5, 25, 55)[0]
    assert shipped("turned-lamp-base").fills[0].void_ml == pytest.approx(shell / 1000, rel=1e-9)


def test_a_turned_foot_holds_what_its_profile_swept_round_holds() -> None:
    pi = 3.141592653589793
    base = quad(lambda x: pi * 76**2, 0, 31)[0]
    cone = quad(lambda x: pi * (76 - (76 - 31) * (x - 31) / 15) ** 2, 31, 46)[0]
    holes = pi * 6**2 * 16 + pi * 14**2 * 30 + pi * (55**2 - 25**2) * 20.5
    foot = next(p for p in shipped("turned-lamp-base").parts if p.name == "foot")
    assert foot.volume_ml == pytest.approx((base + cone - holes) / 1000, rel=1e-9)


@pytest.mark.parametrize(
    ("wood", "sg_12", "shrinkage_pct"),
    [("black walnut", 0.55, 12.8), ("black cherry", 0.50, 11.5), ("white oak", 0.68, 16.3)],
)
def test_wood_weighs_what_the_handbooks_relations_say(
    wood: str, sg_12: float, shrinkage_pct: float
) -> None:
    # Wood Handbook FPL-GTR-190 ch. 4, eq. 4-7 and 4-9 both ways, from the specific gravity at 12 %
    # of the USDA FIA table; shrinkage from the handbook's Table 4-3.
    at_12, at_9 = (1 - shrinkage_pct / 100 * (1 - m / 30) for m in (12, 9))
    density = sg_12 * at_12 / at_9 * 1.09
    for part in shipped("matched-bookends", parameters={"wood": wood}).parts:
        assert part.density_g_cm3 == pytest.approx(density, rel=1e-6)
        assert part.mass_g == pytest.approx(part.volume_ml * density, rel=1e-6)


def test_walnut_at_twelve_per_cent_weighs_what_the_table_says() -> None:
    # G 0.55 at 12 %: 1.12 x 0.55 = 616 kg/m³ (USDA FIA table); the formula from green comes near.
    text = 'name = "x"\n[parts.a]\nwood = "black walnut"\nmoisture = "12 %"\n'
    plan = plan_of(text + 'size = "100 x 100 x 100 mm"\n[[steps]]\ndo = "Cut it."\n')
    assert plan.parts[0].mass_g == pytest.approx(616.0, rel=0.01)


def test_brass_weighs_what_the_trades_range_says() -> None:
    lining = next(p for p in shipped("turned-lamp-base").parts if p.name == "lining")
    assert 8.4 <= lining.density_g_cm3 <= 8.7


VOID = """
name = "x"
[parts.b]
wood = "black walnut"
size = "120 x 120 x 120 mm"
[parts.b.void]
shape = "block"
size = "50 x 50 x 40 mm"
[materials]
shot = "iron"
resin = "r"
[[steps]]
use = "shot pour"
part = "b"
layers = 1
cap = "none"
"""
NO_LOSS = {"packing/b": 0.6, "loss/mix": 0.0}
IRON = Material(name="iron", kind="shot", density_g_cm3=7.874, size_mm=2.0)
RESIN = Material(
    name="r",
    kind="resin",
    family="slow casting epoxy",
    density_g_cm3=1.1,
    ratio=(100.0, 30.0),
    ratio_by="weight",
    largest_mix_g=1000.0,
)


def test_shot_and_resin_are_the_mass_balance_of_the_worked_example() -> None:
    # RS-02: 100 cm³ at 0.6 of iron (7.874, periodictable) and resin 1.1: 472.44 g and 44 g.
    plan = plan_of(VOID, materials={"iron": IRON, "r": RESIN}, learned={"packing/b": 0.6})
    (layer,) = plan.fills[0].layers
    assert layer.shot_g == pytest.approx(472.44)
    assert layer.resin_g == pytest.approx(44.0)


def test_parts_a_and_b_are_the_ratios_worked_example() -> None:
    # RS-09: 260 g at 100:30 by weight is 200 g and 60 g; here scaled to what 44 g need.
    plan = plan_of(
        VOID, materials={"iron": IRON, "r": RESIN}, learned={"packing/b": 0.6, "loss/mix": 0.0}
    )
    (mix,) = plan.mixes
    assert mix.total_g == pytest.approx(44.0)
    assert mix.a_g == pytest.approx(44.0 * 200 / 260)
    assert mix.b_g == pytest.approx(44.0 * 60 / 260)


def test_a_largest_mix_splits_into_as_few_cups_as_hold_it() -> None:
    # RS-14: 480 g in cups of at most 150 g are 4; here 44 g in cups of at most 12 g: 4.
    small = msgspec.structs.replace(RESIN, largest_mix_g=12.0)
    text = VOID.replace("layers = 1", 'layers = 4\nleast = "1 g"')
    plan = plan_of(
        text, materials={"iron": IRON, "r": small}, learned={"packing/b": 0.6, "loss/mix": 0.0}
    )
    assert [m.total_g for m in plan.mixes] == pytest.approx([11.0] * 4)


def test_glue_is_spread_times_area() -> None:
    # GL-01: 450 cm² at 150 g/m² on one face: 6.75 g.
    text = """
name = "x"
[parts.a]
wood = "black walnut"
size = "450 x 100 x 20 mm"
[parts.b]
wood = "black walnut"
size = "450 x 100 x 20 mm"
[materials]
glue = "g"
[[steps]]
use = "wood-glue joint in clamps"
of = ["a", "b"]
"""
    material = Material(name="g", family="yellow wood glue", spread_g_m2=150.0)
    (glue,) = first(plan_of(text, materials={"g": material}), "spread").amounts
    assert glue.amount == pytest.approx(6.75)


def test_a_finish_is_area_over_coverage() -> None:
    # FN-01: 0.35 m² at 12 m²/l is 87.5 ml for three coats; at 1 g/ml the spread is 83.3 g/m².
    material = Material(name="f", family="shellac", spread_g_m2=1000.0 / 12)
    text = (
        'name = "x"\n[materials]\nfinish = "f"\n[[steps]]\nuse = "film-finish coats"\ncoats = 3\n'
    )
    plan = plan_of(text + 'area = "3500 cm²"\n', materials={"f": material})
    assert sum(s.amounts[0].amount for s in plan.steps if s.amounts) == pytest.approx(87.5)


def test_spacers_take_what_their_tapered_body_displaces() -> None:
    # Width falls from 25 to 20 mm over 30 mm, 12 mm thick: integrated by scipy.
    body = quad(lambda x: (25 - 5 * x / 30) * 12, 0, 30)[0]
    slot = ((56 - 22) * 22 + 3.141592653589793 * 11**2) * 30
    void = shipped("plane-setting-hammer").fills[0].void_ml
    assert void == pytest.approx((slot - body) / 1000, rel=1e-9)
