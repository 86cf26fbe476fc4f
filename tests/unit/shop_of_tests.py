"""A small plan and clock for tests of the core: two pieces, one cup, a glue-up, two coats."""

from __future__ import annotations

from benchmate.job.windows.windows import Around
from benchmate.moment import Moment, Timeline
from benchmate.plan.plan import Amount, Check, PiecePlan, Plan, Step, WeighPoint, Window

START_S = 1_795_700_000.0
BOOT = "boot-1"
MIN = 60.0


def moment(after_s: float = 0.0, boot: str | None = BOOT, uptime_s: float = 5000.0) -> Moment:
    """A moment so many seconds after the tests' start."""
    wall = round((START_S + after_s) * 1e9)
    return Moment(wall, boot, round((uptime_s + after_s) * 1e9) if boot else None)


def around() -> Around:
    """A time line that knows the tests' boot, and no air."""
    line = Timeline()
    base, shift = line.boot_base(moment())
    return Around(line.saw_boot(BOOT, base, shift), {})


def pour(piece: str, n: int) -> Step:
    """One layer of one piece from the one cup."""
    before = [f"t/{piece}/block/pour#{n - 1}"] if n > 1 else ["t/all/all/mix#1"]
    return Step(
        address=f"t/{piece}/block/pour#{n}",
        do=f"Shot for layer {n}, then resin to the line",
        act="poured",
        piece=piece,
        part="block",
        scope="layer",
        after=tuple(before),
        within=("t/all/all/mix#1:pot life",),
        hands_s=2 * MIN,
        mix="t/all/all/mix#1",
        amounts=(Amount(what="shot", amount=117.0), Amount(what="resin", amount=11.0)),
        weigh=WeighPoint(kind="gain", plan_g=128.0, tolerance_g=4.0, what="layer"),
    )


def plan() -> Plan:
    """The tests' plan."""
    mix = Step(
        address="t/all/all/mix#1",
        do="Mix resin and hardener",
        act="mixed",
        scope="mix",
        windows=(
            Window(
                name="pot life",
                address="t/all/all/mix#1:pot life",
                label="mix 1, pot life",
                closes_s=30 * MIN,
                closes_text="the mix gels",
                missed="spoils mix",
            ),
        ),
    )
    cure = tuple(
        Step(
            address=f"t/{p}/block/cap#1",
            do="Leave it to cure",
            act="left",
            piece=p,
            after=(f"t/{p}/block/pour#2",),
            hands_s=60.0,
            windows=(
                Window(
                    name="cure",
                    address=f"t/{p}/block/cap#1:cure",
                    label=f"bookend {p}, cure",
                    opens_s=24 * 3600,
                    full_s=48 * 3600,
                ),
            ),
        )
        for p in "AB"
    )
    glue: list[Step] = []
    for p in "AB":
        spread = f"t/{p}/cover/spread#1"
        glue += [
            Step(
                address=spread,
                do="Spread the glue",
                act="spread",
                piece=p,
                part="cover",
                after=(f"t/{p}/block/cap#1",),
                waits=(f"t/{p}/block/cap#1:cure",),
                windows=(
                    Window(
                        name="open time",
                        address=f"{spread}:open time",
                        label=f"bookend {p}, open time",
                        closes_s=5 * MIN,
                        missed="extra work",
                        missed_text="scrape off and spread anew",
                    ),
                ),
            ),
            Step(
                address=f"t/{p}/cover/clamp#1",
                do="Clamp the cover",
                act="clamped",
                piece=p,
                part="cover",
                after=(spread,),
                within=(f"{spread}:open time",),
                hands_s=MIN,
                checks=(Check(name="wall", ask="How thick is the wall?", unit="mm", at_least=3.0),),
            ),
        ]
    pours = [pour(p, n) for p in "AB" for n in (1, 2)]
    return Plan(
        procedure="tests",
        title="Bookends",
        job="t",
        pieces=(PiecePlan(name="A", label="bookend A"), PiecePlan(name="B", label="bookend B")),
        steps=(mix, *pours, *cure, *glue),
    )
