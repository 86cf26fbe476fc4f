"""The agenda by an adopted day sheet: what comes later comes when the sheet says, not at 4:22."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from benchmate.job.windows.agenda import Agenda


def by_sheet(agenda: Agenda, planned: Mapping[str, float]) -> Agenda:
    """The same agenda with the sheet's times for what waits; `planned` on the time line, by step.

    A clock that opens later than the sheet says is right, and so is one that closes before: the
    sheet is out of date then.
    """
    later = (
        replace(act, ready_at=max(act.ready_at, min(planned[act.address], act.latest_at)))
        if act.address in planned
        else act
        for act in agenda.later
    )
    return replace(agenda, later=tuple(sorted(later, key=lambda a: (a.ready_at, a.order))))
