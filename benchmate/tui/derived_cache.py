"""What costs more than a glance is worked out once for every state of a job, not every second."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

from benchmate.bench import Bench
from benchmate.job.state.shop import CLOCK, PLACE, SCALES, STORES
from benchmate.job.state.state import JobState, Weighing
from benchmate.landing.verdict import Judgement
from benchmate.landing.words import say_in
from benchmate.plan.address import piece_address
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.bench.weights import scales as scaling
    from benchmate.bench.weights import will_weigh as aiming
    from benchmate.job.weights import adjustments as landing_on
    from benchmate.job.weights import courses as course_of
    from benchmate.job.weights import drift
    from benchmate.job.weights.courses import Scales
    from benchmate.landing import outlook
    from benchmate.landing.will_weigh import WillWeigh
    from benchmate.tui.present.bench.weights.landing import Offer
else:
    aiming = Later("benchmate.bench.weights.will_weigh")
    scaling = Later("benchmate.bench.weights.scales")
    drift = Later("benchmate.job.weights.drift")
    course_of = Later("benchmate.job.weights.courses")
    landing_on = Later("benchmate.job.weights.adjustments")
    outlook = Later("benchmate.landing.outlook")

T = TypeVar("T")
MINUTE_S = 60.0


class Thoughts:
    """Remembers, per job and question, the answer and the state that it was for."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._kept: dict[tuple[str, str], tuple[Any, Any]] = {}

    def _once(self, job: JobState, what: str, state: object, think: Callable[[], T]) -> T:
        key = (job.job, what)
        kept = self._kept.get(key)
        if kept is not None and kept[0] == state:
            return kept[1]  # type: ignore[no-any-return]
        made = think()
        self._kept[key] = (state, made)
        return made

    def _scales(self) -> Scales:
        return scaling.scales_of(self._bench)

    def _weights(self, job: JobState) -> tuple[object, ...]:
        """What the answers about weights hang on: the job's records and the scales' data."""
        return (job.version, self._bench.shop.versions.get(SCALES, 0))

    def _air(self) -> int:
        """Grows with every reading of the air and every turn of the wall clock."""
        versions = self._bench.shop.versions
        return sum(n for s, n in versions.items() if s == CLOCK or s.startswith(PLACE))

    def to_see(self, job: JobState) -> tuple[drift.Remark, ...]:
        """What nobody has seen yet; what is said of times may change with the air and the clock."""
        shop, now_s = self._bench.shop, self._bench.now_s()
        state = (*self._weights(job), self._air(), now_s // MINUTE_S)
        return self._once(
            job, "see", state, lambda: drift.to_see(job, shop.around, now_s, shop.rules)
        )

    def judge(self, job: JobState, weighing: Weighing) -> Judgement | None:
        """A weighing's verdict."""
        what = f"verdict {weighing.version}"
        state = (*self._weights(job), weighing.net_g)
        return self._once(
            job, what, state, lambda: drift.judge(job, weighing, self._bench.shop.rules)
        )

    def all_will_weigh(self, job: JobState) -> tuple[WillWeigh, ...]:
        """Where each piece is heading."""
        return self._once(
            job,
            "heading",
            self._weights(job),
            lambda: landing_on.will_weigh_of_job(job, self._scales()),
        )

    def offer(self, job: JobState) -> Offer | None:
        """The adjustment worth offering; denser shot from the shelf where nothing else will do."""
        state = (*self._weights(job), self._bench.shop.versions.get(STORES, 0))
        return self._once(job, "offer", state, lambda: aiming.offer_of(self._bench, job))

    def last_chances(self, job: JobState) -> tuple[outlook.LastChance, ...]:
        """Per piece, its last step that can still change the weight, where that is next."""
        say = say_in(self._bench.settings.units)
        return self._once(
            job,
            "last",
            self._weights(job),
            lambda: landing_on.last_chances(job, self._scales(), say),
        )

    def course(self, job: JobState, piece: str) -> outlook.CoursePlot | None:
        """A piece's weight over its stages."""

        def plot() -> outlook.CoursePlot | None:
            scales, mine = self._scales(), piece_address(job.job, piece)
            found = next((c for c in course_of.courses(job, scales) if c.address == mine), None)
            begun = (c for c in course_of.courses_at_start(job, scales) if c.address == mine)
            return outlook.course_plot(found, next(begun, None)) if found is not None else None

        return self._once(job, f"course {piece}", self._weights(job), plot)
