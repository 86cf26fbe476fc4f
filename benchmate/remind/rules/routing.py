"""Where a reminder goes: one table for every channel, as a pure function.

| stage | at the bench | away | quiet hours |
|---|---|---|---|
| soon | shop | phone once if it spoils | nothing |
| opens or full, a step waits | shop; phone if unheard after 3 min | phone once | in the morning |
| opens or full, nobody waits | shop | nothing | nothing |
| a weight is owed | shop | shop | shop once |
| closing, extra work | shop, repeated; phone after 3 min | phone once | evening word before |
| closing or cold ahead, spoils | shop and phone until heard | the same | phone until heard |
| missed, extra work | shop | phone once | in the morning |
| missed, spoils | shop at 0, 2, 7 min; phone once | phone once | phone once; shop in the morning |

*Shop* is all that reaches somebody who is there: screen, sound, speech, desktop, an own command.
*Phone* is a message. Where no phone is set, the shop's column holds by day wherever the maker is;
and who is at the bench in quiet hours hears in the shop what spoils something.

The numbers are the shop's own judgement (common practice, no source), but for the ceiling on how
much a person can be told: about one alarm in ten minutes is bearable (the figure usually quoted
from the alarm standards ISA-18.2 and IEC 62682, from memory), which is why only what spoils
something repeats within five minutes, and why what is lost is said three times and then waits.
"""

from __future__ import annotations

from typing import NamedTuple

from benchmate.remind.rules.edges import Gravity, Stage

MIN_S = 60.0
AT_BENCH_S = 10 * MIN_S
"""So long after a key, an act, a weight or an answer somebody counts as being at the bench."""


class Rounds(NamedTuple):
    """When something is said, in seconds from its stage's beginning, until it is heard."""

    at_s: tuple[float, ...] = ()
    every_s: float | None = None
    """After the last of `at_s`: again each so many seconds, without end."""

    def gap_after(self, rounds: int) -> float | None:
        """Seconds from the last of so many rounds (1 or more) to the next; None: all is said."""
        if rounds < len(self.at_s):
            return self.at_s[rounds] - self.at_s[rounds - 1]
        return self.every_s


NEVER = Rounds()
ONCE = Rounds((0.0,))
IF_UNHEARD = Rounds((3 * MIN_S,))
REPEATED = Rounds((0.0, 5 * MIN_S, 15 * MIN_S, 25 * MIN_S))
UNTIL_HEARD = Rounds((0.0, MIN_S, 2 * MIN_S, 4 * MIN_S, 6 * MIN_S), 5 * MIN_S)
PHONE_UNTIL_HEARD = Rounds((0.0,), 5 * MIN_S)
LOST = Rounds((0.0, 2 * MIN_S, 7 * MIN_S))


class Route(NamedTuple):
    """How often a stage is said in the shop, and on the phone."""

    shop: Rounds
    phone: Rounds

    @property
    def is_silent(self) -> bool:
        """Nothing is said anywhere."""
        return self == SILENT


SILENT = Route(NEVER, NEVER)


def route(
    stage: Stage, gravity: Gravity, *, at_bench: bool, quiet: bool = False, has_phone: bool = True
) -> Route:
    """Where one stage of an edge is said now.

    `gravity` says who waits too: an opening that a step waits for has more than NOTHING.
    """
    if quiet:
        by_night = _by_night(stage, gravity)
        stays = at_bench or not has_phone
        grave = gravity is Gravity.SPOILS and stage not in (Stage.OPENS, Stage.FULL)
        shop = _at_bench(stage, gravity).shop if stays and grave else by_night.shop
        wanted = Route(shop, by_night.phone)
    elif at_bench or not has_phone:
        wanted = _at_bench(stage, gravity)
    else:
        wanted = _away(stage, gravity)
    return wanted if has_phone else Route(wanted.shop, NEVER)


def as_wished(found: Route, by_table: Route, where: str) -> Route:
    """A route as the maker set it for the stage: "shop", "phone", "both", "none".

    What the table itself says nowhere just now is said once there; `by_table` is by day and away,
    or at the bench, whichever says more.
    """
    shop, phone = (
        own if own != NEVER else other if other != NEVER else ONCE
        for own, other in zip(found, by_table, strict=True)
    )
    return Route(
        shop if where in ("shop", "both") else NEVER, phone if where in ("phone", "both") else NEVER
    )


def insistence(stage: Stage, gravity: Gravity) -> str:
    """How pressing it looks: "once", "again", or "until heard" for what spoils something."""
    if gravity is Gravity.SPOILS and stage in (Stage.CLOSING, Stage.MISSED, Stage.WEIGH):
        return "until heard"
    if gravity is Gravity.NOTHING or stage in (Stage.SOON, Stage.FULL):
        return "once"
    return "again" if stage is not Stage.OPENS else "once"


def _at_bench(stage: Stage, gravity: Gravity) -> Route:
    match stage, gravity:
        case Stage.SOON, Gravity.NOTHING:
            return SILENT
        case Stage.SOON, _:
            return Route(ONCE, NEVER)
        case (_, Gravity.NOTHING) | (Stage.MISSED, Gravity.WORK):
            return Route(ONCE, NEVER)
        case ((Stage.OPENS | Stage.FULL), _):
            return Route(ONCE, IF_UNHEARD)
        case Stage.WEIGH, _:
            return Route(REPEATED, NEVER)
        case Stage.CLOSING, Gravity.WORK:
            return Route(REPEATED, IF_UNHEARD)
        case Stage.CLOSING, _:
            return Route(UNTIL_HEARD, PHONE_UNTIL_HEARD)
        case _:
            return Route(LOST, ONCE)


def _away(stage: Stage, gravity: Gravity) -> Route:
    match stage, gravity:
        case Stage.WEIGH, _:
            return _at_bench(stage, gravity)
        case (_, Gravity.NOTHING) | (Stage.SOON, Gravity.WORK):
            return SILENT
        case Stage.CLOSING, Gravity.SPOILS:
            return _at_bench(stage, gravity)
        case _:
            return Route(NEVER, ONCE)


def _by_night(stage: Stage, gravity: Gravity) -> Route:
    match stage, gravity:
        case Stage.WEIGH, _:
            return Route(ONCE, NEVER)
        case Stage.CLOSING, Gravity.SPOILS:
            return Route(NEVER, PHONE_UNTIL_HEARD)
        case Stage.MISSED, Gravity.SPOILS:
            return Route(NEVER, ONCE)
        case _:
            return SILENT
