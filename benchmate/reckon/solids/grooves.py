"""Grooves that are turned into the surface of a cylinder or of a profile's straight part."""

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids.cove import Cove
from benchmate.reckon.solids.placing import NEAR_MM
from benchmate.reckon.solids.profiles import Line, Profile, Run

MOST_GROOVES = 40
_WIDEST_MM = 10_000.0


def grooved(fields: Fields, profile: Profile) -> Profile:
    """The profile with the grooves of the field `grooves` cut; raises Refused.

    Each is an object with at_mm, its middle along x, and radius_mm of a half-round one, or
    width_mm and depth_mm of a square one, which `vee` makes a V.
    """
    for n, item in enumerate(fields.items("grooves", at_most=MOST_GROOVES), start=1):
        profile = _cut(profile, Fields(item, f"{fields.where}.grooves[{n}]"))
    return profile


def _cut(profile: Profile, groove: Fields) -> Profile:
    groove.only("at_mm", "radius_mm", "width_mm", "depth_mm", "vee")
    at = groove.number("at_mm", low=-_WIDEST_MM, high=_WIDEST_MM)
    arc = groove.maybe("radius_mm", above=0.0, high=_WIDEST_MM)
    if arc is None:
        half = groove.number("width_mm", above=0.0, high=_WIDEST_MM) / 2.0
        depth = groove.number("depth_mm", above=0.0, high=_WIDEST_MM)
    elif "width_mm" in groove.data or "depth_mm" in groove.data or "vee" in groove.data:
        raise Refused(f"{groove.where} has radius_mm, which says how wide and deep it is")
    else:
        half = depth = arc
    for n, run in enumerate(profile):
        straight = isinstance(run, Line) and abs(run.r0 - run.r1) <= NEAR_MM
        if straight and run.x0 - NEAR_MM <= at - half and at + half <= run.x1 + NEAR_MM:
            if depth >= run.r0:
                raise Refused(
                    Worded(
                        "{where} is {depth} deep and cuts through a radius of {radius}",
                        where=groove.where,
                        depth=millimetres(depth),
                        radius=millimetres(run.r0),
                    )
                )
            dip = _dip(groove, at, half, depth, run.r0, round_arc=arc is not None)
            whole = (Line(run.x0, run.r0, at - half, run.r0), *dip)
            rest = Line(at + half, run.r0, run.x1, run.r0)
            return (*profile[:n], *whole, rest, *profile[n + 1 :])
    raise Refused(
        Worded(
            "{where} doesn't lie on a straight part: from {start} to {end} the surface must keep "
            "its diameter and hold no other groove",
            where=groove.where,
            start=millimetres(at - half),
            end=millimetres(at + half),
        )
    )


def _dip(
    groove: Fields, at: float, half: float, depth: float, r: float, *, round_arc: bool
) -> tuple[Run, ...]:
    start, end, floor = at - half, at + half, r - depth
    if round_arc:
        return (Cove(start, end, at, r, depth),)
    if groove.data.get("vee"):
        return Line(start, r, at, floor), Line(at, floor, end, r)
    return (Line(start, r, start, floor), Line(start, floor, end, floor), Line(end, floor, end, r))
