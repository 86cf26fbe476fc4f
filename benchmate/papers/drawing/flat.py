"""Outlines at full size of what is routed, sawn or cut to a line: pocket, tenon, spacers."""

from __future__ import annotations

from benchmate.papers.drawing.svg import Drawing, Point
from benchmate.plan.shapes import Form, Hollow, PartShape, Tenon
from benchmate.quantities import Units, show_length

MARGIN = 14.0


def face_of(shape: PartShape, hollow: Hollow) -> tuple[float, float]:
    """Length and width of the face that a hollow goes in from, mm; 0, 0 where it isn't flat."""
    if shape.blank.kind != "block":
        return 0.0, 0.0
    length, width, height = shape.blank.size_mm
    match hollow.side:
        case "top" | "underside":
            return length, width
        case "front" | "back":
            return length, height
    return width, height


def pocket(shape: PartShape, hollow: Hollow, units: Units = "metric") -> Drawing:
    """The outline of a pocket on its face: edge of the face dashed, outline, the cutter's centres
    at its ends as crosses, and the least wall dotted."""
    face = face_of(shape, hollow)
    long, wide = hollow.size_mm[0], hollow.size_mm[1]
    corner = hollow.corner_mm if hollow.corner_mm is not None else _round_end(hollow)
    drawing = Drawing(face[0] + 2.0 * MARGIN, face[1] + 2.0 * MARGIN)
    middle = (MARGIN + face[0] / 2.0, MARGIN + face[1] / 2.0)
    centre = (middle[0] + hollow.across_mm, middle[1] - hollow.up_mm)
    drawing.slot(middle, face, 0.0, "hidden")
    drawing.slot(centre, (long, wide), corner, "edge")
    wall = hollow.wall_at_least_mm
    if wall:
        drawing.slot(centre, (long + 2.0 * wall, wide + 2.0 * wall), corner + wall, "dotted")
    run = max(0.0, long / 2.0 - corner)
    for x in (-run, run):
        drawing.cross((centre[0] + x, centre[1]))
    drawing.line((MARGIN, middle[1]), (MARGIN + face[0], middle[1]), "axis")
    drawing.line((middle[0], MARGIN), (middle[0], MARGIN + face[1]), "axis")
    drawing.text((middle[0] + 2.0, MARGIN - 3.0), show_length(face[0], units), 8.0)
    inside = f"{show_length(long, units)} × {show_length(wide, units)}, "
    deep = f"{show_length(hollow.size_mm[2], units)} deep" if len(hollow.size_mm) > 2 else ""
    drawing.text((MARGIN, MARGIN + face[1] + 6.0), inside + deep, 8.0, bold=True)
    return drawing


def _round_end(hollow: Hollow) -> float:
    return min(hollow.size_mm[0], hollow.size_mm[1]) / 2.0 if hollow.kind == "slot" else 0.0


def tenon_on_round(round_mm: float, tenon: Tenon, units: Units = "metric") -> Drawing:
    """A tenon on its round, from the end: its section with kerfs; and from the side, with the
    relief holes where the kerfs stop."""
    flat = len(tenon.size_mm) == 3
    width = tenon.size_mm[0]
    thick, long = (tenon.size_mm[1], tenon.size_mm[2]) if flat else (width, tenon.size_mm[1])
    drawing = Drawing(2.0 * MARGIN + round_mm + 20.0 + width, 2.0 * MARGIN + max(round_mm, long))
    centre = (MARGIN + round_mm / 2.0, MARGIN + round_mm / 2.0)
    drawing.circle(centre, round_mm, "hidden")
    drawing.cross(centre)
    if flat:
        drawing.slot(centre, (width, thick), 0.0)
    else:
        drawing.circle(centre, width)
    left, top = MARGIN + round_mm + 20.0, MARGIN
    drawing.path(
        [(left, top), (left + width, top), (left + width, top + long), (left, top + long)],
        "edge",
        closed=True,
    )
    for n in range(1, tenon.kerfs + 1):
        x = -width / 2.0 + width * n / (tenon.kerfs + 1)
        deep = tenon.kerf_deep_mm or long
        drawing.line((centre[0] + x, centre[1] - thick / 2), (centre[0] + x, centre[1] + thick / 2))
        drawing.line((left + width / 2.0 + x, top), (left + width / 2.0 + x, top + deep))
        if tenon.relief_hole_mm:
            drawing.circle((left + width / 2.0 + x, top + deep), tenon.relief_hole_mm)
    sizes = " × ".join(show_length(mm, units) for mm in tenon.size_mm)
    drawing.text((MARGIN, MARGIN + max(round_mm, long) + 8.0), f"tenon {sizes}", 8.0, bold=True)
    return drawing


def taper(form: Form, units: Units = "metric") -> Drawing:
    """A spacer that tapers, seen from its broad side: both ends, its length, its thickness."""
    wide, narrow, thick, long = form.size_mm
    most = max(wide, narrow)
    drawing = Drawing(2.0 * MARGIN + most, 2.0 * MARGIN + long)
    middle = MARGIN + most / 2.0
    corners: list[Point] = [
        (middle - wide / 2.0, MARGIN),
        (middle + wide / 2.0, MARGIN),
        (middle + narrow / 2.0, MARGIN + long),
        (middle - narrow / 2.0, MARGIN + long),
    ]
    drawing.path(corners, "edge", closed=True, name="spacer")
    drawing.line((middle, MARGIN - 4.0), (middle, MARGIN + long + 4.0), "axis")
    drawing.text((middle, MARGIN - 5.0), show_length(wide, units), 8.0, anchor="middle")
    drawing.text((middle, MARGIN + long + 7.0), show_length(narrow, units), 8.0, anchor="middle")
    drawing.text((MARGIN, 2.0 * MARGIN + long - 2.0), f"{show_length(thick, units)} thick", 7.0)
    return drawing
