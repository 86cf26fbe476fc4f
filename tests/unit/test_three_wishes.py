"""From a weight to a started job, without a number copied by hand; the same by pencil beside it."""

import math
from pathlib import Path
from typing import TypeVar

import msgspec
import pytest
from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.cli.group import cli
from benchmate.lists.at_step import reckoned_at
from benchmate.lists.records import Buying, Cutting
from benchmate.plan.plan import Plan
from benchmate.settings import Settings, find_folders

HAMMER = Path(__file__).parent / "balanced_hammer.toml"
L = TypeVar("L", Cutting, Buying)

# Wood at 9 %: its gravity at 12 % by the table, shrunk by S_0 x 0.1 more, and 9 % of water; g/cm³.
WALNUT = 0.55 * (1 - 0.128 * 0.6) / (1 - 0.128 * 0.7) * 1.09
MAPLE = 0.63 * (1 - 0.147 * 0.6) / (1 - 0.147 * 0.7) * 1.09
ASH = 0.60 * (1 - 0.133 * 0.6) / (1 - 0.133 * 0.7) * 1.09
RESIN = 1.1


def packed(shot_mm: float, gap_mm: float) -> float:
    """Benyahia and O'Neill: 1 - (0.39 + 1.74/(gap/shot + 1.14)²)."""
    return 0.61 - 1.74 / (gap_mm / shot_mm + 1.14) ** 2


def slot_mm2(long: float, wide: float) -> float:
    return long * wide - (4 - math.pi) * (wide / 2) ** 2


def cone(first: float, last: float, long: float) -> float:
    """A frustum in ml: π l (d² + d e + e²)/12."""
    return math.pi * long * (first**2 + first * last + last**2) / 12 / 1000


class Shop:
    """A home for one wish: commands are run as typed."""

    def __init__(self, home: Path) -> None:
        self.home = home

    def run(self, *words: str) -> str:
        done = CliRunner().invoke(cli, ["--home", str(self.home), *words])
        assert done.exit_code == 0, done.output
        return done.output

    def listed(self, kind: type[L], which: str, *words: str) -> L:
        text = self.run("papers", which, *words, "--json")
        return msgspec.json.decode(text.encode(), type=kind)

    def started(self, job: str) -> Plan:
        bench = Bench.open(find_folders(self.home), Settings(), create=False, read_only=True)
        try:
            state = bench.job(job)
            assert state is not None
            assert state.plan is not None
            return state.plan
        finally:
            bench.close()


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


def found(plan: Plan, name: str) -> float:
    number = next(s.number for s in plan.sought if s.parameter == name)
    assert number is not None
    return number


def test_a_pair_at_900_g_from_this_walnut(shop: Shop) -> None:
    wish = ("--set", "target=900 g", "--set", "thickness=60 mm", "--set", "depth=find")
    said = shop.run("start", "matched-bookends", *wish, "--id", "pair")
    plan = shop.started("pair")
    depth = found(plan, "depth")
    assert f"Found: Depth of the void: {depth:g} mm" in said
    # Block 120 x 90 x 60 and cover 120 x 90 x 6.3 mm: 716 ml of walnut, 435.3 g. Slot of
    # 80 x 30 mm, 2206.9 mm²; steel of 2 mm in a gap of 30 mm, 4 % held back: 0.6033 of it shot.
    area = slot_mm2(80, 30)
    share = packed(2, 30) * 0.96
    mixed = share * 7.8 + (1 - share) * RESIN
    # Off: scraped 1 g, sanded 8 g. On: glue 180 g/m² on 120 x 90 mm less the slot, 45 % of it
    # stays; three coats of oil 40 g/m² on 480 cm², half stays; felt 400 g/m² on 54 cm²; contact
    # adhesive 150 g/m² on both faces of that, a quarter stays.
    glue, oil = 180 * (10800 - area) / 1e6 * 0.45, 3 * 40 * 0.048 * 0.5
    felt = 400 * 0.0054 + 2 * 150 * 0.0054 * 0.25
    rest = glue + oil + felt - 1 - 8
    # With the cap of 1.5 mm clear resin: 900 = 435.3 + rest - cap's lack + depth x gain of a mm.
    gain = area / 1000 * (mixed - WALNUT)
    lack = area * 1.5 / 1000 * (mixed - RESIN)
    wanted = (900 - 716.04 * WALNUT - rest + lack) / gain
    assert depth == pytest.approx(wanted, abs=0.06)  # 49.8 mm
    cutting = shop.listed(Cutting, "cutting", "pair")
    assert cutting == shop.listed(Cutting, "cutting", "matched-bookends", *wish)
    # 60 mm and 3 mm over.
    assert cutting.cut[0].rough_mm == (135.0, 96.0, 63.0)
    buying = shop.listed(Buying, "buying", "pair")
    shot = next(row for row in buying.buy if row.role == "shot")
    assert shot.need == pytest.approx(2 * area * (depth - 1.5) / 1000 * share * 7.8, rel=1e-3)
    resin = next(row for row in buying.buy if row.role == "resin")
    poured = area * RESIN / 1000 * ((depth - 1.5) * (1 - share) + 1.5)
    assert resin.need == pytest.approx(2 * poured / 0.95, rel=0.01)  # 5 % stays in the cup


def test_a_hammer_of_400_g_that_balances_a_hands_width_below_its_head(shop: Shop) -> None:
    shop.run("start", str(HAMMER), "--id", "hammer")
    plan = shop.started("hammer")
    run, start = found(plan, "run"), found(plan, "start")
    # Head 90 x 40 x 40 mm with its middle 20 mm from the beginning; handle 300 x 34 x 30 mm.
    # The slot 14 mm wide and 18 mm deep, a cap of 1.5 mm, steel of 1 mm in a gap of 14 mm.
    area = slot_mm2(run, 14)
    share = packed(1, 14)
    fill = area * 16.5 / 1000 * (share * 7.8 + (1 - share) * RESIN) + area * 1.5 / 1000 * RESIN
    head, handle = 144 * MAPLE, 306 * ASH
    gone = area * 18 / 1000 * ASH
    weight = head + handle - gone + fill
    assert weight == pytest.approx(400, abs=1.0)
    at = start + run / 2
    moments = head * 20 + handle * 150 - gone * at + fill * at
    assert moments / weight == pytest.approx(130, abs=0.3)
    balance = plan.balances[0]
    assert balance.centre_mm == pytest.approx(moments / weight, abs=0.1)
    # About the grip at 250 mm, in the plane of length and height: bodies as blocks a x b, slot as
    # a block of its area; the head's length lies across the piece, so its own term is 90 and 40 mm.
    own = head * (90**2 + 40**2) / 12 + handle * (300**2 + 30**2) / 12
    far = head * 230**2 + handle * 100**2 + (fill - gone) * (250 - at) ** 2
    assert balance.inertia_grip_g_mm2 == pytest.approx(own + far, rel=0.02)
    cutting = shop.listed(Cutting, "cutting", "hammer")
    assert [row.rough_mm for row in cutting.cut] == [(105.0, 46.0, 43.0), (315.0, 40.0, 33.0)]
    buying = shop.listed(Buying, "buying", "hammer")
    shot = next(row for row in buying.buy if row.role == "shot")
    assert shot.need == pytest.approx(area * 16.5 / 1000 * share * 7.8, rel=1e-3)
    template = next(row for row in cutting.first if row.what.startswith("template"))
    assert template.numbers_mm == pytest.approx({"long": run, "wide": 14.0, "corner radius": 7.0})


def test_a_lamp_base_as_heavy_as_wished(shop: Shop) -> None:
    wish = ("--set", "target=1400 g", "--set", "depth=find")
    shop.run("start", "turned-lamp-base", *wish, "--id", "lamp")
    plan = shop.started("lamp")
    depth = found(plan, "depth")
    # Foot: a cylinder of 152 x 31 mm and a frustum to 62 mm in 15 more, less bores of 12 x 16 and
    # 28 x 30 mm: 719.9 ml before the ring of 110 and 50 mm is sunk into it.
    foot = cone(152, 152, 31) + cone(152, 62, 15) - cone(12, 12, 16) - cone(28, 28, 30)
    # Column: 28 mm for 30, then 58 to 42 in 30, to 32 in 140, to 46 in 50, 12 more; bored 12 mm.
    column = cone(28, 28, 30) + cone(58, 42, 30) + cone(42, 32, 140) + cone(32, 46, 50)
    column += cone(46, 46, 12) - cone(12, 12, 262)
    brass = (cone(11.5, 11.5, 290) - cone(10, 10, 290)) * 8.55
    ring = math.pi / 4 * (110**2 - 50**2)
    share = packed(2, 30) * 0.96
    mixed = share * 7.8 + (1 - share) * RESIN
    # Off: 26 g at the foot, 12 at the column, 1 of the lining. On: white glue 180 g/m² on 38 cm²,
    # 45 % stays; epoxy 250 g/m² on 105 cm²; three coats of 90 g/m² on 980 cm², 32 % stays; cloth
    # 200 g/m² on 175 cm², adhesive 150 g/m² on both faces, a quarter stays.
    rest = 180 * 0.0038 * 0.45 + 250 * 0.0105 + 3 * 90 * 0.098 * 0.32
    rest += 200 * 0.0175 + 2 * 150 * 0.0175 * 0.25 - 26 - 12 - 1
    gain = ring / 1000 * (mixed - MAPLE)
    lack = ring * 1.5 / 1000 * (mixed - RESIN)
    wanted = (1400 - (foot + column) * MAPLE - brass - rest + lack) / gain
    assert depth == pytest.approx(wanted, abs=0.06)  # 22.6 mm
    assert plan.parameters["depth"] == f"{depth:g} mm"
    buying, cutting = (
        shop.listed(Buying, "buying", "lamp"),
        shop.listed(Cutting, "cutting", "lamp"),
    )
    shot = next(r for r in buying.buy if r.role == "shot")
    assert shot.need == pytest.approx(ring * (depth - 1.5) / 1000 * share * 7.8, rel=1e-3)
    # Along: 15 mm over, and as much again in the chuck; 4 mm over its diameter to turn it round.
    assert [row.rough_mm for row in cutting.cut[:2]] == [(76, 156, 156), (292, 62, 62)]
    turned = {row.where: row.numbers_mm for row in cutting.first}
    assert turned["column"]["⌀ at 30 mm"] == 28.0
    assert turned["column"]["⌀ from 30 mm on"] == 58.0


def test_the_built_up_hammer_knows_everything_from_its_file(shop: Shop) -> None:
    shop.run("start", "built-up-hammer", "--id", "hammer")
    plan = shop.started("hammer")
    cutting, buying = (
        shop.listed(Cutting, "cutting", "hammer"),
        shop.listed(Buying, "buying", "hammer"),
    )
    # Two cheeks and a spare of 108 x 46 x 20 mm, 15, 6 and 3 mm over; 4/4 stock.
    cheek = cutting.cut[0]
    assert (cheek.part, cheek.count, cheek.spare) == ("cheek", 3, 1)
    assert cheek.rough_mm == (123.0, 52.0, 23.0)
    assert cutting.strips[0].length_mm == 3 * (123 + 3) + 2 * 20
    made = {row.what.split()[0]: row for row in cutting.first}
    # The mortise is 34 mm at its wide end and 28 at the narrow, 20 thick; 0.22 mm free a side.
    spacer = made["spacer"].numbers_mm
    assert spacer["wide end"] == pytest.approx(33.56)
    assert spacer["narrow end"] == pytest.approx(27.56)
    # Two wedges that spread 28 mm to 34: each 4 mm in a kerf of 1 mm, 3 mm more.
    wedge = made["wedge"]
    assert (wedge.count, wedge.numbers_mm["thick end"]) == (2, 4.0)
    said = [text for step in plan.steps for text in reckoned_at(plan, step)]
    # Tenon 28 x 20 mm: a round of √(28² + 20²) = 34.4 mm, and the blank has 38.
    assert any("needs a round of 34.4 mm" in text and "full corners" in text for text in said)
    assert any("fills a mortise of 34 mm at its outer face: 3 mm a side" in text for text in said)
    assert any(row.kind == "drill" and "relief holes" in row.note for row in buying.hand)
    # Its balance by moments from the tenon's end: head at 26 mm, handle turned to its profile.
    head = 2 * 60.266 + 2 * 22.369 - 1.678
    fill = sum(la.shot_g + la.resin_g for f in plan.fills for la in f.layers)
    fill += sum(f.cap_g for f in plan.fills)
    handle = next(p for p in plan.parts if p.name == "handle")
    assert handle.shape is not None
    stick = handle.mass_g - handle.shape.off_g
    # Frusta of 36, 36 to 27, 27 to 25, 25 to 32 mm: their centroids by the table.
    runs = [(0, 36, 52, 36), (52, 36, 80, 27), (80, 27, 180, 25), (180, 25, 250, 32)]
    volumes = [(b - a) * (d * d + d * e + e * e) / 3 for a, d, b, e in runs]
    centres = [
        a + (b - a) * (d * d + 2 * d * e + 3 * e * e) / (4 * (d * d + d * e + e * e))
        for a, d, b, e in runs
    ]
    middle = sum(v * c for v, c in zip(volumes, centres, strict=True)) / sum(volumes)
    wanted = ((head + fill) * 26 + stick * middle) / (head + fill + stick)
    assert plan.balances[0].centre_mm == pytest.approx(wanted, abs=0.3)
    assert any("it balances" in text for text in said)
