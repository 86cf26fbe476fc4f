"""Shops whose truth differs from the plan, for judging what learning is worth.

Its own generative model of a pair of bookends, free of benchmate's code: it is told which act was
done with how much, and says what the scale then shows. Bounds are even (uniform), standard
deviations normal; the numbers are assumptions without a source, in the range of the trade's.
"""

import random
from dataclasses import dataclass, field

SHOT_G_CM3 = 7.8
RESIN_G_CM3 = 1.1
AIR = 0.01
"""Gaps left dry, or wetted beyond their room: a share of the resin, even about the plan's."""
SCALE_STEP_G, SCALE_SD_G = 0.1, 0.1
LINE_SD = 0.01
"""How closely a layer's line is hit, as a share of the layer."""
PACKING_JOB_SD, PACKING_FILL_SD = 0.004, 0.004
SANDED_BOUND_G, OIL_SD, GLUE_SD = 3.0, 0.25, 0.25
OIL_G, GLUE_G = 0.96, 0.70
"""What a coat and the joint leave by the file, in g."""
MOISTURE_BOUND, MOISTURE_OWN_SD = 0.01, 0.001
"""Share of the wood's weight, alike in both pieces, and each piece's own."""


@dataclass(frozen=True)
class Truth:
    """How the shop really is: factors and grams beside the plan's."""

    packing: float = 1.0
    oil: float = 1.0
    sanded_g: float = 8.0


PLAN_RIGHT = Truth()
OILY = Truth(oil=1.4)
SANDED_MORE = Truth(sanded_g=11.0)
LOOSE = Truth(packing=0.96)
ALL_THREE = Truth(packing=0.96, oil=1.4, sanded_g=11.0)
CHANGES_AT = 8


@dataclass(frozen=True)
class World:
    """A shop over its years: its truth, and from a job on a later one. Without a reserve shot goes
    to a line."""

    name: str
    truth: Truth
    later: Truth | None = None
    reserve: str = "4 %"

    def at(self, job: int) -> Truth:
        """The truth for the job of that number, from 0."""
        return self.later if self.later is not None and job >= CHANGES_AT else self.truth


WORLDS = (
    World("plan right", PLAN_RIGHT),
    World("oil leaves 40 % more", OILY),
    World("11 g sanded for 8", SANDED_MORE),
    World("packs 4 % looser, to the line", LOOSE, reserve="0 %"),
    World("all three, from job 8 on", PLAN_RIGHT, ALL_THREE, reserve="0 %"),
)


@dataclass
class Piece:
    """One true piece."""

    mass_g: float
    wood_g: float
    packing: float
    moves: float
    void: float
    parts: dict[str, float] = field(default_factory=dict)


class Shop:
    """One job's truth: every act changes a mass, every look at the scale is a little off."""

    def __init__(self, seed: int, truth: Truth) -> None:
        self.luck, self.truth = random.Random(seed), truth
        self.packing_off = self.luck.gauss(0.0, PACKING_JOB_SD)
        self.moves = self.luck.uniform(-MOISTURE_BOUND, MOISTURE_BOUND)
        self.pieces: dict[str, Piece] = {}

    def _piece(self, name: str) -> Piece:
        if name not in self.pieces:
            own = self.luck.gauss(0.0, MOISTURE_OWN_SD)
            fill = self.packing_off + self.luck.gauss(0.0, PACKING_FILL_SD)
            void = 1.0 + self.luck.uniform(-0.005, 0.005)
            self.pieces[name] = Piece(0.0, 0.0, fill, self.moves + own, void)
        return self.pieces[name]

    def blank(self, name: str, part: str, planned_g: float) -> float:
        """A blank on the scale."""
        piece = self._piece(name)
        true_g = planned_g * (1.0 + self.luck.gauss(0.0, 0.02))
        piece.parts[part] = true_g
        piece.mass_g += true_g
        piece.wood_g += true_g
        return self.shows(true_g)

    def layer(self, name: str, void_ml: float, packing: float, shot_g: float | None) -> float:
        """What a layer gained: poured to its line (`shot_g` None), or its shot weighed out."""
        piece = self._piece(name)
        room_ml = void_ml * piece.void * (1.0 + self.luck.gauss(0.0, LINE_SD))
        most_ml = room_ml * (packing * self.truth.packing + piece.packing)
        metal_ml = most_ml
        if shot_g is not None:
            weighed = max(0.0, shot_g + self.luck.gauss(0.0, 0.3))
            metal_ml = min(weighed / SHOT_G_CM3, most_ml * 1.04)
        resin_g = (room_ml - metal_ml) * RESIN_G_CM3 * (1.0 + self.luck.uniform(-AIR, AIR))
        return self._gained(piece, metal_ml * SHOT_G_CM3 + resin_g)

    def gain(self, name: str, planned_g: float) -> float:
        """Any other gain that is weighed in, such as the cap."""
        return self._gained(self._piece(name), planned_g * (1.0 + self.luck.gauss(0.0, 0.03)))

    def _gained(self, piece: Piece, grams: float) -> float:
        piece.mass_g += grams
        return self.shows(grams)

    def act(self, name: str, step: str) -> None:
        """An act that adds or takes, as this shop really does it."""
        piece = self._piece(name)
        if step == "outside":
            bound = SANDED_BOUND_G
            piece.mass_g -= self.truth.sanded_g + self.luck.uniform(-bound, bound)
        elif step == "oil":
            piece.mass_g += OIL_G * self.truth.oil * (1.0 + self.luck.gauss(0.0, OIL_SD))
        else:
            piece.mass_g += GLUE_G * (1.0 + self.luck.gauss(0.0, GLUE_SD))

    def whole(self, name: str, *, finished: bool) -> float:
        """The piece on the scale; the wood's moisture has moved by half, at the end by all."""
        return self.shows(self.true_g(name, finished=finished))

    def true_g(self, name: str, *, finished: bool) -> float:
        """What it really weighs."""
        piece = self._piece(name)
        return piece.mass_g + piece.wood_g * piece.moves * (1.0 if finished else 0.5)

    def shows(self, grams: float) -> float:
        """What the scale shows of a load."""
        seen = grams + self.luck.gauss(0.0, SCALE_SD_G)
        return round(seen / SCALE_STEP_G) * SCALE_STEP_G
