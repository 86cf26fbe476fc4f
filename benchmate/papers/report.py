"""The report of a job: every weighing with its verdict, every step, clock and change, the landing,
the air, what was used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchmate.papers.drawing.svg import Picture
from benchmate.papers.figures import Figures
from benchmate.papers.sheet import Block, Drawing, PaperSheet, Paragraph, Photo, SheetHeading, table

ROUGH = "~ common practice, not from your label: the maker's data sheet comes first."
Rows = Sequence[tuple[str, ...]]
LEFT, WIDE = 20.0, 170.0
"""Where a plot's box begins, and where it ends, in mm."""


@dataclass(frozen=True)
class Landed:
    """A finished piece beside its target, in g."""

    piece: str
    final_g: float
    target_g: float
    tolerance_g: float

    @property
    def off_g(self) -> float:
        """Above its target; below, it is negative."""
        return self.final_g - self.target_g


@dataclass(frozen=True)
class AirSeen:
    """The shop's air while a job ran; times in s of one line, any origin."""

    readings: Sequence[tuple[float, float, float | None]]
    """When, °C, relative humidity in % where it is known."""
    steps: Sequence[float]
    """When each step was recorded."""
    limits: Sequence[tuple[str, float, float, float]]
    """A material, the lowest °C that its label allows, from when to when a clock of it ran."""
    span: tuple[float, float]
    ends: tuple[str, str]
    """Beginning and end in words."""


@dataclass(frozen=True)
class Record:
    """All that a report is made of: rows in words, weights in the reader's unit."""

    job: str
    title: str
    span: str
    outcome: str
    landed: Sequence[Landed]
    weighed: Rows
    """When, what, net, expanded uncertainty, plan, off plan, verdict."""
    clocks: Rows
    """Which, begun, when it opened and closed in this air, went on, became, the air."""
    acts: Rows
    air: Rows
    air_seen: AirSeen
    materials: Rows
    changes: Sequence[str]
    """Adjustments and other changes of the plan, with their reasons."""
    photos: Sequence[Photo]


def report_of(record: Record, figures: Figures) -> PaperSheet:
    """The report."""
    under = f"{record.job}, {record.span}{f'; {record.outcome}' if record.outcome else ''}"
    blocks = list(_blocks(record, figures))
    return PaperSheet("report", f"Report: {record.title}", under, blocks, record.job)


def _blocks(record: Record, figures: Figures) -> Iterator[Block]:
    unit = figures.unit
    if record.landed:
        yield SheetHeading("Where the pieces landed")
        yield landing_plot(record.landed, figures)
        rows = [
            (
                one.piece,
                figures.bare(one.final_g),
                figures.bare(one.target_g),
                figures.bare(one.tolerance_g),
                off_target(one.final_g, one.target_g, figures),
            )
            for one in record.landed
        ]
        heads = f"piece*2 | weighs, {unit} > | target, {unit} > | ±, {unit} > | off, {unit} >"
        yield table("Finished pieces", heads, rows, "finished")
    if record.changes:
        yield SheetHeading("Changes of the plan, and why")
        yield from (Paragraph(change) for change in record.changes)
    heads = (
        f"when*1.5 | what*2.2 | net, {unit} > | ± {unit} (k = 2) > | plan, {unit} > "
        f"| off plan, {unit} > | verdict*1.7"
    )
    yield table("Weighings", heads, record.weighed, "weighings")
    if record.clocks:
        heads = (
            "clock, by its label*2 | begun*1.9 | opened*1.9 | closed*1.9 | went on*1.9 "
            f"| became*1.1 | air, {figures.degree}"
        )
        yield table("Clocks", heads, record.clocks, "clocks")
    yield table("What was recorded", "when*1.2 | what*5", record.acts, "acts")
    if record.air:
        yield SheetHeading("The shop's air meanwhile")
        yield air_plot(record.air_seen, figures)
        heads = f"when*2 | temperature, {figures.degree} > | humidity, % >"
        yield table("Readings", heads, record.air, "air")
    if record.materials:
        heads = "for*0.8 | material*1.5 | value*1.4 | is*3.4 | by*1.2"
        yield table("Materials used", heads, record.materials, "materials")
        yield Paragraph(ROUGH)
    if record.photos:
        yield SheetHeading("Photos")
        yield from record.photos


def off_target(final_g: float | None, target_g: float | None, figures: Figures) -> str:
    """ "3.2 light", or "0" where no scale of ours tells it; empty where one isn't known."""
    if final_g is None or target_g is None:
        return ""
    off_g = final_g - target_g
    if abs(off_g) < 0.05:
        return "0"
    return f"{figures.bare(abs(off_g))} {'heavy' if off_g > 0 else 'light'}"


def landing_plot(landed: Sequence[Landed], figures: Figures) -> Drawing:
    """Each piece's weight less its target on one scale, the tolerance as a bar."""
    row, middle, reach = 9.0, 95.0, 55.0
    most = max(max(abs(one.off_g), one.tolerance_g) for one in landed) or 1.0
    high = row * len(landed) + 12.0
    picture = Picture(160.0, high)
    for n, one in enumerate(landed):
        y, half = 6.0 + row * n, one.tolerance_g / most * reach
        picture.box((middle - half, y - 2.0), (middle + half, y + 2.0), "thin", "grey")
        picture.circle((middle + one.off_g / most * reach, y), 2.4)
        picture.text((2.0, y + 1.2), one.piece, 8.0, bold=True, room=36.0)
    picture.line((middle, 2.0), (middle, high - 8.0), "axis")
    for x, text in (
        (0.0, "target"),
        (-reach, f"−{figures.mass(most)}"),
        (reach, f"+{figures.mass(most)}"),
    ):
        picture.text((middle + x, high - 2.0), text, 7.5, anchor="middle")
    said = (f"{o.piece} {off_target(o.final_g, o.target_g, figures)}" for o in landed)
    return picture.drawn(
        f"Off target, {figures.unit}: {'; '.join(said)}. The grey bars are the tolerances."
    )


def air_plot(seen: AirSeen, figures: Figures) -> Drawing:
    """Temperature above and humidity below on one line of time: readings held until the next, each
    material's lowest temperature dashed while its clock ran, a stroke for each recorded step."""
    picture, (begin, end) = Picture(WIDE, 84.0), seen.span

    def across(t: float) -> float:
        return LEFT + (min(max(t, begin), end) - begin) / ((end - begin) or 1.0) * (WIDE - LEFT)

    warmth = [c for _, c, _ in seen.readings]
    lowest = [c for _, c, _, _ in seen.limits]
    warm = _Band(4.0, 40.0, min(warmth + lowest) - 3.0, max(warmth + lowest) + 1.0)
    damp = _Band(46.0, 70.0, 0.0, 100.0)
    for band, said in ((warm, lambda c: f"{figures.warm(c)} {figures.degree}"), (damp, _percent)):
        picture.box((LEFT, band.top), (WIDE, band.foot), "thin")
        for value in (band.least, (band.least + band.most) / 2.0, band.most):
            y = band.at(value)
            picture.text((LEFT - 2.0, y + 1.0), said(value), 7.5, anchor="end")
            picture.line((LEFT - 1.0, y), (LEFT, y), "thin")
    named: dict[str, float] = {}
    for name, c, since, until in seen.limits:
        y = warm.at(c)
        picture.line((across(since), y), (max(across(until), across(since) + 1.0), y), "hidden")
        if name not in named:
            below = y + 2.8 * (1 + list(named.values()).count(c))
            late = across(since) > (LEFT + WIDE) / 2.0
            picture.text(
                (WIDE - 1.0 if late else across(since), below),
                name,
                7.0,
                anchor="end" if late else "start",
            )
            named[name] = c
    for band, column in ((warm, 1), (damp, 2)):
        for points in _held(seen, column):
            picture.path([(across(t), band.at(value)) for t, value in points], "edge")
    for t in seen.steps:
        picture.line((across(t), 71.0), (across(t), 75.0), "thin")
    picture.text((LEFT - 2.0, 74.5), "steps", 7.5, anchor="end")
    picture.text((LEFT, 81.0), seen.ends[0], 7.5)
    picture.text((WIDE, 81.0), seen.ends[1], 7.5, anchor="end")
    colder = dict.fromkeys(name for name, c, a, b in seen.limits if _coldest(seen, a, b) < c)
    judged = (
        f"colder than the label allows: {', '.join(colder)}" if colder else "none below a label"
    )
    ends = f"{figures.warm(min(warmth))} to {figures.warm(max(warmth))} {figures.degree}"
    return picture.drawn(f"The shop's air, {seen.ends[0]} to {seen.ends[1]}: {ends}; {judged}.")


@dataclass(frozen=True)
class _Band:
    """A scale between two heights of the plot, in mm."""

    top: float
    foot: float
    least: float
    most: float

    def at(self, value: float) -> float:
        return self.foot - (value - self.least) / (self.most - self.least) * (self.foot - self.top)


def _percent(value: float) -> str:
    return f"{value:.0f} %"


def _held(seen: AirSeen, column: int) -> Iterator[list[tuple[float, float]]]:
    """Each reading until the next, as lines without a gap; none where nothing is known."""
    line: list[tuple[float, float]] = []
    untils = [t for t, *_ in seen.readings[1:]] + [seen.span[1]]
    for reading, until in zip(seen.readings, untils, strict=True):
        value = reading[column]
        if value is not None:
            line += [(reading[0], value), (until, value)]
        elif line:
            yield line
            line = []
    if line:
        yield line


def _coldest(seen: AirSeen, since: float, until: float) -> float:
    """The lowest reading that held in a stretch; endless where none is known."""
    before = [c for t, c, _ in seen.readings if t <= since][-1:]
    meanwhile = [c for t, c, _ in seen.readings if since < t <= until]
    return min(before + meanwhile, default=float("inf"))
