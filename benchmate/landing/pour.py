"""What one layer adds, linear in all that isn't known for sure.

A layer poured to the line holds shot φ V ρs and resin (1 + f)(1 − φ) V ρr. Packing φ is the
reckoned one and the departures of this shot, this fill and this layer; V is the planned void,
scaled by how the whole void was measured, more where the line was overshot, less where the layer
below it took the room; f is what resin does beyond filling gaps. A layer whose shot is weighed
out holds that shot, and resin in all the room it leaves: there packing counts for nothing as long
as the shot goes in.

Source: the mass balance of shot and resin in a void (shot is metal volume, resin is the rest).
Products of small departures are left out: 1.5 % of 2 % of a layer is 0.04 g.
"""

from dataclasses import dataclass, replace

from benchmate.landing.course import FillCourse, LayerCourse

MASS, SHOT, FILL, VOID, LINE, RESIN = range(6)
"""Places of what is carried from stage to stage: the piece's weight (g), the packing departures
of this shot and of this fill (shares), the void's scale (share), how far above the line the last
layer ended (ml), and the resin's departure (share)."""

CARRIED = 6
NEW_LINE, SCATTER = CARRIED, CARRIED + 1
"""Places of what each layer brings anew: where its own line ended (ml), and the scatter of its
packing (share) or of the shot weighed out (g)."""


@dataclass(frozen=True, slots=True)
class Amounts:
    """Shot and resin of a layer: constants in g, and how each departure counts (by place)."""

    shot_g: float
    resin_g: float
    shot: dict[int, float]
    resin: dict[int, float]
    line_variance: float
    scatter_variance: float

    @property
    def gain_g(self) -> float:
        """Shot and resin together, before any departure."""
        return self.shot_g + self.resin_g

    @property
    def gain(self) -> dict[int, float]:
        """How each departure counts in shot and resin together."""
        total = dict(self.shot)
        for place, weight in self.resin.items():
            total[place] = total.get(place, 0.0) + weight
        return total


def amounts(layer: LayerCourse) -> Amounts:
    """What a layer will add, by the way it is poured."""
    return _weighed_out(layer) if layer.by == "weight" else to_the_line(layer)


def to_the_line(layer: LayerCourse, tapped: float = 0.0) -> Amounts:
    """A layer of shot to the line, lying denser by `tapped`; also what shot can't exceed."""
    fill, void = layer.fill, layer.void_ml
    packing = fill.packing.value + tapped
    per_packing = void * fill.shot_g_cm3
    per_ml_shot = packing * fill.shot_g_cm3
    per_ml_resin = (1.0 - packing) * fill.resin_g_cm3
    resin_per_packing = -void * fill.resin_g_cm3
    shot = {SHOT: per_packing, FILL: per_packing, SCATTER: per_packing}
    resin = {SHOT: resin_per_packing, FILL: resin_per_packing, SCATTER: resin_per_packing}
    resin[RESIN] = per_ml_resin * void
    _by_volume(shot, per_ml_shot, void)
    _by_volume(resin, per_ml_resin, void)
    return Amounts(
        per_ml_shot * void,
        per_ml_resin * void,
        shot,
        resin,
        layer.line_u_ml**2,
        fill.packing.layer_u**2,
    )


def _weighed_out(layer: LayerCourse) -> Amounts:
    fill, void = layer.fill, layer.void_ml
    resin_g = fill.resin_g_cm3 * (void - layer.shot_g / fill.shot_g_cm3)
    resin = {RESIN: resin_g, SCATTER: -fill.resin_g_cm3 / fill.shot_g_cm3}
    _by_volume(resin, fill.resin_g_cm3, void)
    return Amounts(
        layer.shot_g,
        resin_g,
        {SCATTER: 1.0},
        resin,
        layer.line_u_ml**2,
        fill.pour_u_g**2,
    )


def _by_volume(weights: dict[int, float], per_ml: float, void_ml: float) -> None:
    weights[VOID] = per_ml * void_ml
    weights[NEW_LINE] = per_ml
    weights[LINE] = -per_ml


def as_weighed(layer: LayerCourse, shot_g: float) -> LayerCourse:
    """The layer with its shot weighed out; resin fills the room that the shot leaves."""
    resin_g = resin_around(layer.fill, layer.void_ml, shot_g)
    return replace(layer, shot_g=shot_g, resin_g=resin_g, by="weight")


def resin_around(fill: FillCourse, void_ml: float, shot_g: float) -> float:
    """Grams of resin that fill what `shot_g` of shot leaves of the void: its least amount too,
    since dry shot neither holds nor keeps quiet."""
    return fill.resin_g_cm3 * (void_ml - shot_g / fill.shot_g_cm3)
