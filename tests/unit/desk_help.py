"""Commands given in one home, by the clock of a shop, for tests of the commands."""

from __future__ import annotations

import pytest
from click.testing import CliRunner, Result

from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.cli.group import cli
from tests.unit.loop_help import Worked


class Desk:
    """Commands in one home, at the time of a shop's clock."""

    def __init__(self, shop: Worked, monkeypatch: pytest.MonkeyPatch) -> None:
        self.shop = shop
        monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)

    def run(self, *words: str) -> Result:
        result = CliRunner().invoke(
            cli, ["--home", str(self.shop.home), *words], catch_exceptions=False
        )
        self.shop.bench.refresh()
        return result

    def says(self, *words: str) -> str:
        result = self.run(*words)
        assert result.exit_code == Exit.OK, result.output
        return result.output

    def refuses(self, *words: str) -> str:
        result = self.run(*words)
        assert result.exit_code == Exit.REFUSED, result.output
        assert result.stdout == ""
        return result.stderr
