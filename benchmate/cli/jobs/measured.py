"""A void measured before the pour, by command: `--void "A=46 mm"`, "A=31 mm wide", "A=98.4 g"."""

from __future__ import annotations

from benchmate.bench import Bench
from benchmate.bench.weights.change_data import PlanChange
from benchmate.bench.weights.measured_void import measured, take_measured, words_of
from benchmate.cli.opening import answer_back, say_json
from benchmate.cli.saying import put
from benchmate.job.state.state import JobState


def say_measured(bench: Bench, state: JobState, typed: str, *, takes: bool, as_json: bool) -> None:
    """What a measured void changes, before and after; taken into the plan where that is asked."""
    found = take_measured(bench, state, typed) if takes else measured(state, typed)
    if as_json:
        say_json(_data(found))
        return
    lines = words_of(found, bench.settings.units)
    if takes:
        answer_back(bench, "\n".join(["The plan is changed:", *(f"  {x}" for x in lines)]))
        return
    put("\n".join([*lines, "Nothing is changed yet: --accept goes on by it."]))


def _data(found: PlanChange) -> object:
    import msgspec

    return msgspec.to_builtins(found)
