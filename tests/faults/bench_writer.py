"""A bench that notes, weighs and marks as fast as it can, saying each act once it is recorded.

    python -m tests.faults.bench_writer HOME NAME SECONDS

All writers share one job. A weighing that another has taken back, a tick that another has made:
whatever is refused is not said.
"""

from __future__ import annotations

import os
import random
import sys
import time
from pathlib import Path

from benchmate.bench import Bench
from benchmate.clock import SystemClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE
from benchmate.refusal import AlreadySo, Refused
from benchmate.settings import Settings, find_folders
from tests.hand_made import record
from tests.unit.shop_of_tests import plan

JOB = "t"
POUR = "t/A/block/pour#1"


def main(home: Path, name: str, seconds: float) -> None:
    """Work until the time is up; every line is an act's kind and text."""
    chance = random.Random(name)
    bench = Bench.open(find_folders(home), Settings(), clock=SystemClock())
    try:
        start(bench)
        end, number = time.monotonic() + seconds, 0
        while time.monotonic() < end:
            number += 1
            act(bench, chance, f"{name}-{number}")
    finally:
        bench.close()


def start(bench: Bench) -> None:
    try:
        bench.do(JOB, cmd.StartJob(job=JOB, title="Bookends", plan=plan()))
        bench.do(JOB, cmd.MarkDone(address="mix"))
    except AlreadySo:
        pass


def act(bench: Bench, chance: random.Random, text: str) -> None:
    """One act of several kinds; said only when it is recorded."""
    now = bench.now()
    kind = chance.choice(("note", "note", "weigh", "air", "wish", "note and back"))
    try:
        if kind == "weigh":
            net_g = 127.0 + chance.random()
            bench.do(JOB, cmd.Weigh(address=POUR, net_g=net_g, what=text))
        elif kind == "air":
            record(
                bench,
                (
                    PLACE + "shop",
                    ev.AirRead(happened=now, recorded=now, temperature_c=18.0, source=text),
                ),
            )
        elif kind == "wish":
            bench.do(JOB, cmd.WishNextTime(file_step="pour", text=text))
        else:
            (noted,) = bench.do(JOB, cmd.Note(text=text))
            if kind == "note and back":
                bench.do(JOB, cmd.TakeBack(version=noted.version))
    except Refused:
        return
    os.write(1, f"{kind}\t{text}\n".encode())


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], float(sys.argv[3]))
