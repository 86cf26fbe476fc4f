"""The report of a job: every weighing with its verdict, every act, the landing, what was used."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from benchmate.papers.drawing.svg import Drawing as Picture
from benchmate.papers.sheet import Block, Column, Drawing, Heading, Paragraph, Photo, Sheet, Table


@dataclass(frozen=True)
class Weighed:
    """One weighing, in g; `verdict` is in words, `when` in local time."""

    when: str
    what: str
    net_g: float
    u_g: float | None
    plan_g: float | None
    verdict: str


@dataclass(frozen=True)
class Landed:
    """A finished piece beside its target, in g."""

    piece: str
    final_g: float
    target_g: float
    tolerance_g: float


@dataclass(frozen=True)
class Record:
    """All that a report is made of, in words and grams."""

    job: str
    title: str
    span: str
    outcome: str
    landed: Sequence[Landed]
    weighed: Sequence[Weighed]
    acts: Sequence[tuple[str, str]]
    """When, and what was recorded."""
    air: Sequence[tuple[str, str, str]]
    """When, temperature, humidity."""
    materials: Sequence[tuple[str, ...]]
    changes: Sequence[str]
    photos: Sequence[Photo]


def report_of(record: Record, mass: Callable[[float], str]) -> Sheet:
    """The report; `mass` says grams in the reader's unit."""
    return Sheet(
        "report",
        f"Report: {record.title}",
        f"{record.job}, {record.span}{f'; {record.outcome}' if record.outcome else ''}",
        list(_blocks(record, mass)),
        foot=record.job,
    )


def _blocks(record: Record, mass: Callable[[float], str]) -> Iterator[Block]:
    if record.landed:
        yield Heading("Where the pieces landed")
        yield landing_plot(record.landed, mass)
        yield Table(
            "Finished pieces",
            (
                Column("piece"),
                Column("weighs", "number"),
                Column("target", "number"),
                Column("off", "number"),
            ),
            tuple(
                (
                    one.piece,
                    mass(one.final_g),
                    mass(one.target_g),
                    off_target(one.final_g - one.target_g, mass),
                )
                for one in record.landed
            ),
            "finished",
        )
    yield from (Paragraph(change) for change in record.changes)
    yield Table(
        "Weighings",
        (
            Column("when", width=1.4),
            Column("what", width=2.5),
            Column("net", "number"),
            Column("± (k = 2)", "number"),
            Column("plan", "number"),
            Column("off plan", "number"),
            Column("verdict", width=1.6),
        ),
        tuple(_weighed(one, mass) for one in record.weighed),
        "weighings",
    )
    yield Table(
        "What was recorded", (Column("when"), Column("what", width=5.0)), tuple(record.acts), "acts"
    )
    if record.air:
        heads = (Column("when"), Column("temperature", "number"), Column("humidity", "number"))
        yield Table("The shop's air meanwhile", heads, tuple(record.air), "air")
    if record.materials:
        named = tuple(Column(head) for head in ("for", "material", "value", "is", "by"))
        yield Table("Materials used", named, tuple(record.materials), "materials")
    if record.photos:
        yield Heading("Photos")
        yield from record.photos


def _weighed(one: Weighed, mass: Callable[[float], str]) -> tuple[str, ...]:
    return (
        one.when,
        one.what,
        mass(one.net_g),
        "" if one.u_g is None else f"± {mass(2.0 * one.u_g)}",
        "" if one.plan_g is None else mass(one.plan_g),
        "" if one.plan_g is None else off_target(one.net_g - one.plan_g, mass),
        one.verdict,
    )


def off_target(off_g: float, mass: Callable[[float], str]) -> str:
    """ "3.2 g light", or "0" where no scale of ours tells it."""
    if abs(off_g) < 0.05:
        return "0"
    return f"{mass(abs(off_g))} {'heavy' if off_g > 0 else 'light'}"


def landing_plot(landed: Sequence[Landed], mass: Callable[[float], str]) -> Drawing:
    """Each piece's weight less its target on one scale, the tolerance as a bar."""
    wide, row = 160.0, 9.0
    most = max(max(abs(one.final_g - one.target_g), one.tolerance_g) for one in landed) or 1.0
    high = row * len(landed) + 12.0
    picture = Picture(wide, high)
    middle, reach = 95.0, 55.0
    picture.line((middle, 2.0), (middle, high - 8.0), "axis")
    said = []
    for n, one in enumerate(landed):
        y = 6.0 + row * n
        half = one.tolerance_g / most * reach
        picture.path(
            [
                (middle - half, y - 2),
                (middle + half, y - 2),
                (middle + half, y + 2),
                (middle - half, y + 2),
            ],
            "thin",
            closed=True,
            fill="grey",
        )
        off = one.final_g - one.target_g
        picture.circle((middle + off / most * reach, y), 2.4)
        picture.text((2.0, y + 1.2), one.piece[:26], 8.0, bold=True)
        said.append(f"{one.piece} {off_target(off, mass)}")
    picture.text((middle, high - 2.0), "target", 7.5, anchor="middle")
    picture.text((middle - reach, high - 2.0), f"−{mass(most)}", 7.5, anchor="middle")
    picture.text((middle + reach, high - 2.0), f"+{mass(most)}", 7.5, anchor="middle")
    alternative = f"Off target: {'; '.join(said)}. The grey bars are the tolerances."
    return Drawing(picture.svg(), alternative, wide, high)
