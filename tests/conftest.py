"""What holds for the whole suite."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from benchmate.job.deciding import commands as cmd
from benchmate.journal.store import Journal
from tests import settled
from tests.unit.loop_help import Worked
from tests.unit.teaching_help import taught_shop

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


@pytest.fixture(scope="module")
def taught_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home in which three jobs have ended."""
    shop = taught_shop(tmp_path_factory.mktemp("taught"), -0.003, 0.0, 0.003)
    shop.bench.close()
    return shop.home


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Worked]:
    """Four jobs have ended, and one was stopped."""
    shop = taught_shop(tmp_path_factory.mktemp("taught"), -0.004, 0.003, -0.001, 0.002)
    shop.start()
    shop.bench.do(shop.job, cmd.Stop(reason="knot in the wood"))
    yield shop
    shop.bench.close()
