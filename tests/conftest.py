"""What holds for the whole suite."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from benchmate.journal.store import Journal
from tests import settled

# A deadline would be a timing assertion: a busy machine is no fault of the program.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
settled.install()


@pytest.fixture(autouse=True)
def journals_closed(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Close what a test opened: six thousand of them leave more files open than a machine allows.

    A module's own fixtures are made before this one, so their journals stay open.
    """
    opened: list[Journal] = []
    begin = Journal.__init__

    def noted(journal: Journal, *args: object, **more: object) -> None:
        opened.append(journal)
        begin(journal, *args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Journal, "__init__", noted)
    yield
    for journal in opened:
        journal.close()
