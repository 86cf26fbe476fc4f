"""A shop of one job in which glue, epoxy and contact adhesive are still to be used."""

from __future__ import annotations

import os
from pathlib import Path

from click.testing import CliRunner, Result

from benchmate.bench import Bench
from benchmate.bench.air.recording import record_air
from benchmate.bench.trying.rehearsal import good_answer
from benchmate.cli.group import cli
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.windows import SHOP, WindowView
from benchmate.moment import Moment
from benchmate.settings import AirSource, Settings, find_folders
from tests.started import start_job

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
MIN, H = 60.0, 3600.0

_HEAD = """
name = "Box"
[parts.side]
wood = "black walnut"
size = "120 x 90 x 20 mm"
[parts.lid]
wood = "black walnut"
size = "120 x 90 x 6 mm"
[materials]
glue     = "yellow wood glue"
epoxy    = "two-part epoxy glue"
adhesive = "contact adhesive"
"""
JOINTS = {
    "glue": 'use = "wood-glue joint in clamps"\nof = ["side", "lid"]\nsqueeze_out = ""\n',
    "epoxy": 'use = "two-part epoxy bond"\nof = ["side", "lid"]\narea = "40 cm²"\n',
    "contact": 'use = "contact-adhesive bond"\nof = ["side", "lid"]\n',
}


class Glueing:
    """A bench over a journal of its own, by a clock that is set by hand."""

    def __init__(self, home: Path, source: AirSource | None = None) -> None:
        self.home, self.clock = home, SetClock(START)
        self.settings = Settings(air=source or AirSource())
        self.bench = self.open()

    def open(self) -> Bench:
        """A bench over the same journal, by the same clock."""
        return Bench.open(find_folders(self.home), self.settings, clock=self.clock)

    def again(self) -> Bench:
        """Close the bench and open it anew: a restart."""
        self.bench.close()
        self.bench = self.open()
        return self.bench

    def joint(self, kind: str, more: str = "") -> str:
        """Start a job of one joint, and do what comes before its glue; the job's id."""
        return self.start(f"[[steps]]\n{JOINTS[kind]}{more}")

    def start(self, steps: str) -> str:
        """Start a job of these steps; its id."""
        folder = self.home / "procedures"
        folder.mkdir(exist_ok=True)
        (folder / "box.toml").write_text(_HEAD + steps)
        return start_job(self.bench, "box")

    def mark(self, tail: str, *, anyway: bool = False) -> None:
        """Mark the step at an address's tail in the only job, and answer its checks well."""
        (job,) = self.bench.shop.live
        address = f"{job.job}/{tail}"
        self.bench.do(job.job, cmd.MarkDone(address=address, anyway=anyway))
        for check in job.steps[address].checks:
            value, text = good_answer(check)
            self.bench.do(
                job.job, cmd.AnswerCheck(address=address, name=check.name, value=value, text=text)
            )

    def air(self, celsius: float, humidity: float | None = None, ago_s: float = 0.0) -> list[str]:
        """Record the shop's air, now or a while ago."""
        at = self.bench.now().shifted(-ago_s)
        return record_air(self.bench, SHOP, celsius, humidity, at=at)

    def window(self, name: str) -> WindowView:
        """The running window of that name."""
        return next(v for v in self.bench.agenda().windows if v.window.name == name)

    def run(self, *words: str) -> Result:
        """A command over the same home; the bench's own clock must be in `opening.make_clock`."""
        return CliRunner().invoke(cli, ["--home", str(self.home), *words])

    def write(self, file: Path, text: str) -> None:
        """A thermometer's file as it is rewritten now, by the clock that is set."""
        file.write_text(text)
        now = self.clock.now().wall_s
        os.utime(file, (now, now))
