"""What an opened journal says, in a form that later versions must still say."""

from __future__ import annotations

from typing import Any

from benchmate.bench import Bench
from benchmate.job.state.shop import JOB
from benchmate.job.state.state import JobState
from benchmate.job.words.event_text import change_lines


def digest(bench: Bench) -> dict[str, Any]:
    """Statuses, counts, weights and what stands around the jobs; no estimate, which may improve."""
    streams = bench.journal.streams()
    jobs = [i.stream.removeprefix(JOB) for i in streams if i.stream.startswith(JOB)]
    live = [j.job for j in bench.shop.live]
    shop = bench.shop
    return {
        "events": {i.stream: i.version for i in streams},
        "open": {i.stream: i.is_open for i in streams},
        "live": live,
        "jobs": {name: _job(bench.job(name)) for name in jobs},
        "air": {
            place: [[r.temperature_c, r.humidity_pct] for r in log.readings]
            for place, log in shop.air.items()
        },
        "tins": sorted(shop.shelf.labels),
        "used": dict(shop.shelf.used),
        "scales": {
            n: [s.described.division_g, s.checked and s.checked.reading_g]
            for n, s in shop.scales.items()
        },
        "near fraction": shop.rules.near_fraction if shop.rules else None,
        "learned": {f"{p} {k}": e.value for (p, k), e in shop.lessons.values.items()},
        "wishes": [w.text for w in shop.lessons.wishes],
        "ended": [[e.job, e.status] for e in shop.lessons.ended],
        "dates": dict(shop.dates.dates) if shop.dates else {},
        "wall shift": shop.timeline.shift_s,
        "unreadable": list(shop.unreadable),
    }


def _job(state: JobState | None) -> dict[str, Any]:
    assert state is not None
    return {
        "title": state.title,
        "status": state.status,
        "outcome": state.outcome,
        "read only": state.read_only,
        "steps": len(state.steps),
        "done": len(state.done),
        "skipped": dict(state.skipped),
        "spoiled": dict(state.spoiled),
        "answers": dict(state.answers),
        "checks": len(state.checks),
        "taken back": sorted(state.void),
        "notes": [n.event.text for n in state.notes],
        "ticked": sorted(state.ticked),
        "seen": sorted(state.seen),
        "changes": [list(change_lines(e)) for e in state.changes],
        "weights": [
            [w.address, w.net_g, w.as_read_g, dict(w.split)] for w in state.weighings.values()
        ],
        "free": [[f.event.act, f.event.name, len(f.event.windows)] for f in state.free],
    }
