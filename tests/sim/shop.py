"""The world of the simulation: its own generative model, free of benchmate's code.

A pair of bookends, each a blank of about 420 g with a void of 108 ml that takes four layers of
steel shot (7.8 g/cm³) and resin (1.1 g/cm³), then a cover, sanding, leather and wax. Bounds are
taken evenly (uniform), standard deviations normally. No number here has a source but the trade's
experience; they are the assumptions under which the table holds.
"""

import math
import random
from dataclasses import dataclass, field

SHOT_G_CM3 = 7.8
RESIN_G_CM3 = 1.1
LAYERS = 4
LAYER_ML = 27.0
PLANNED_PACKING = 0.600


@dataclass(frozen=True)
class Assumptions:
    """What varies in the shop, and by how much."""

    packing_off: float = 0.0
    """How far, as a share, the true mean packing is from the planned one."""
    shot_sd: float = 0.006
    """Packing of one material of shot against another; the same for both pieces of a pair."""
    fill_sd: float = 0.008
    """Packing from one fill to another."""
    layer_sd: float = 0.005
    """Packing from one layer to another."""
    tapped_gain: tuple[float, float] = (0.020, 0.030)
    """How much denser shot lies when tapped down, between these."""
    void_bound: float = 0.015
    """The void's volume is within this share of the planned one."""
    line_sd_ml: float = 0.7
    """Where the line of a layer is hit: 0.3 mm on 24 cm²."""
    brim_sd_ml: float = 0.25
    """Where the last layer ends, at the mouth of the void: 0.1 mm."""
    over_line_ml: float = 1.0
    """How far above its line a maker lets a layer go to get all its shot in, but for the last."""
    air: tuple[float, float] = (0.0, 0.03)
    """Share of the gaps that stays air."""
    left_in_cup_g: tuple[float, float] = (2.0, 7.0)
    """Resin left in the cup of one pair's mix."""
    spare_resin_g: float = 14.0
    """Resin mixed beyond the plan's amounts, for both pieces; when it is used up, gaps stay dry."""
    pour_sd_g: float = 0.5
    """Scatter of shot weighed out, beside the scale's own rounding."""
    blank_sd_g: float = 4.0
    """Blanks from one board, cut to size."""
    cover_g: tuple[float, float] = (62.0, 2.0)
    """Mean and standard deviation; it is weighed before it goes on."""
    sanding_g: tuple[float, float] = (6.0, 3.0)
    """Taken off: mean and bound."""
    leather_g: tuple[float, float] = (8.0, 0.3)
    wax_g: tuple[float, float] = (2.0, 0.5)
    moisture_bound_pct: float = 1.0
    """Between the fill and the end, of the wood's weight, alike in both pieces."""
    moisture_own_sd_pct: float = 0.1


@dataclass(frozen=True)
class Balance:
    """A scale: what it shows in, how it scatters, and how far its slope may be out at 1 kg."""

    name: str
    division_g: float
    repeat_sd_g: float
    linear_bound_g: float


KITCHEN = Balance("kitchen scale, 1 g", 1.0, 0.5, 1.0)
FINE = Balance("fine scale, 0.1 g", 0.1, 0.1, 0.2)


@dataclass
class Piece:
    """One true piece: its luck is drawn beforehand, so that both ways of working meet the same."""

    blank_g: float
    void_scale: float
    packing: list[float]
    tapped_gain: float
    line_ml: list[float]
    air: float
    pour_luck: list[float]
    later_g: float
    cover_g: float
    wood_moves: float
    poured_g: list[float] = field(default_factory=list)
    over_ml: float = 0.0
    mass_g: float = 0.0

    def room_ml(self, layer: int) -> float:
        """Room up to where this layer's line is hit, above what the layer below left."""
        return LAYER_ML * self.void_scale + self.line_ml[layer] - self.over_ml


@dataclass
class Job:
    """A pair, one mix and one scale."""

    pieces: list[Piece]
    resin_left_g: float
    balance: Balance
    slope: float
    reading_luck: random.Random
    pour_sd_g: float
    over_line_ml: float
    wood_moves: float

    def pour_to_the_line(self, piece: Piece, layer: int) -> None:
        """Shot to the line, then resin to the line."""
        room = piece.room_ml(layer)
        self._put_in(piece, layer, room, piece.packing[layer] * room)

    def pour_by_weight(self, piece: Piece, layer: int, shot_g: float) -> None:
        """Shot weighed out and tapped down if it must be, then resin to the line.

        What doesn't go in stays out; before the last layer a little may stand above the line.
        """
        scatter_g = math.hypot(self.pour_sd_g, self.balance.division_g / math.sqrt(12.0))
        out_g = shot_g + piece.pour_luck[layer] * scatter_g
        metal_ml = max(0.0, out_g) / SHOT_G_CM3
        tapped = piece.packing[layer] + piece.tapped_gain
        room = piece.room_ml(layer)
        most = room + (self.over_line_ml if layer < LAYERS - 1 else 0.0)
        room = min(max(room, metal_ml / tapped), most)
        self._put_in(piece, layer, room, min(metal_ml, tapped * room))

    def _put_in(self, piece: Piece, layer: int, room_ml: float, metal_ml: float) -> None:
        wanted = (room_ml - metal_ml) * RESIN_G_CM3 * (1.0 - piece.air)
        resin_g = min(wanted, self.resin_left_g)
        self.resin_left_g -= resin_g
        gain = metal_ml * SHOT_G_CM3 + resin_g
        piece.over_ml += room_ml - LAYER_ML * piece.void_scale
        piece.poured_g.append(gain)
        piece.mass_g += gain

    def read(self, mass_g: float) -> float:
        """What the scale shows of a load."""
        luck = self.reading_luck.gauss(0.0, self.balance.repeat_sd_g)
        shown = mass_g + self.slope * mass_g / 1000.0 + luck
        return round(shown / self.balance.division_g) * self.balance.division_g

    def finished_g(self, piece: Piece) -> float:
        """The true finished weight, once everything that was still to come has come."""
        wood_g = piece.blank_g + piece.cover_g
        moisture = wood_g * (self.wood_moves + piece.wood_moves) / 100.0
        return piece.mass_g + piece.cover_g + piece.later_g + moisture


def make_job(seed: int, given: Assumptions, balance: Balance, resin_g: float) -> Job:
    """The job of that number; the same number brings the same luck. `resin_g`: as planned."""
    luck = random.Random(seed)
    mean = PLANNED_PACKING * (1.0 + given.packing_off) + luck.gauss(0.0, given.shot_sd)
    pieces = [_piece(luck, given, mean) for _ in range(2)]
    return Job(
        pieces=pieces,
        resin_left_g=resin_g + given.spare_resin_g - luck.uniform(*given.left_in_cup_g),
        balance=balance,
        slope=luck.uniform(-balance.linear_bound_g, balance.linear_bound_g),
        reading_luck=random.Random(seed + 1_000_003),
        pour_sd_g=given.pour_sd_g,
        over_line_ml=given.over_line_ml,
        wood_moves=luck.uniform(-given.moisture_bound_pct, given.moisture_bound_pct),
    )


def _piece(luck: random.Random, given: Assumptions, mean: float) -> Piece:
    fill = mean + luck.gauss(0.0, given.fill_sd)
    sanding, bound = given.sanding_g
    later = -luck.uniform(sanding - bound, sanding + bound)
    later += luck.gauss(*given.leather_g) + luck.gauss(*given.wax_g)
    lines = [given.line_sd_ml] * (LAYERS - 1) + [given.brim_sd_ml]
    blank = luck.gauss(420.0, given.blank_sd_g)
    return Piece(
        blank_g=blank,
        void_scale=1.0 + luck.uniform(-given.void_bound, given.void_bound),
        packing=[fill + luck.gauss(0.0, given.layer_sd) for _ in range(LAYERS)],
        tapped_gain=luck.uniform(*given.tapped_gain),
        line_ml=[luck.gauss(0.0, sd) for sd in lines],
        air=luck.uniform(*given.air),
        pour_luck=[luck.gauss(0.0, 1.0) for _ in range(LAYERS)],
        later_g=later,
        cover_g=luck.gauss(*given.cover_g),
        wood_moves=luck.gauss(0.0, given.moisture_own_sd_pct),
        mass_g=blank,
    )
