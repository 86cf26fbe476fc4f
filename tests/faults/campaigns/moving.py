"""A shop moves house: to another user, zone and machine, from every version of the journal."""

from __future__ import annotations

import json
import os
import shutil
from contextlib import closing
from pathlib import Path
from typing import Any

from benchmate.bench import Bench
from benchmate.bench.papers.photos import keep_photo, photo_of
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.journal import verify
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders
from tests.faults.campaigns.death import JOURNALS, command
from tests.faults.campaigns.times import ZONES
from tests.faults.work import Campaign, Child, Tell, Work
from tests.journals.digest import digest
from tests.minding_help import zone

NOBODY = 65534
THERE = Moment(1_799_000_000_000_000_000, "boot-of-another-machine", 5_000_000_000_000)
WAYS = ("backup", "export", "folder")


def first_home(home: Path, version: str) -> str:
    """A shop of an earlier version, opened once here, with a photo; the photo's name."""
    folders = find_folders(home)
    folders.data.mkdir(parents=True)
    for file in ("journal.db", "journal.head"):
        shutil.copy(JOURNALS / version / file, folders.data / file)
    picture = home / "p.png"
    picture.write_bytes(b"\x89PNG" + bytes(range(250)) * 9)
    photo = keep_photo(folders, str(picture))
    with closing(Bench.open(folders, Settings(), clock=SetClock(THERE))) as bench:
        job = next((j.job for j in bench.shop.live if not j.read_only), "")
        if job:
            bench.do(job, cmd.Note(text="before the move", photo=photo))
    return photo


def said(home: Path) -> Any:
    """What the shop says of itself, in a form that a pipe takes."""
    with closing(Bench.open(find_folders(home), Settings(), clock=SetClock(THERE))) as bench:
        return json.loads(json.dumps(digest(bench), sort_keys=True))


def move(old: Path, new: Path, way: str) -> list[tuple[str, ...]]:
    """Carry it over; the commands that are then given there."""
    carried = new.with_name("stick")
    carried.mkdir()
    photos = find_folders(old).data / "photos"
    shutil.copytree(photos, find_folders(new).data / "photos")
    if way == "folder":
        shutil.copytree(find_folders(old).data, find_folders(new).data, dirs_exist_ok=True)
        return []
    if way == "backup":
        assert command(old, "logbook", "backup", str(carried / "a.journal.db")) == 0
        return [("logbook", "restore", str(carried / "a.journal.db"))]
    done = Child(lambda tell: tell(_exported(old))).ended()[0]
    (carried / "a.jsonl").write_text("\n".join(done) + "\n", encoding="utf-8")
    return [("logbook", "import", str(carried / "a.jsonl"))]


def _exported(home: Path) -> str:
    from benchmate.journal import Journal
    from benchmate.journal.keeping.export import export_lines

    with Journal.open(find_folders(home).data, read_only=True) as journal:
        return "\n".join(export_lines(journal))


def arrive(new: Path, words: list[tuple[str, ...]], photo: str, tz: str) -> Any:
    """On the other machine: another user, another zone; what came over, told on a pipe."""

    def act(tell: Tell) -> None:
        if not os.geteuid():
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        with zone(tz):
            codes = [command(new, *one) for one in words]
            seen = photo_of(find_folders(new), photo, "")
            whole = verify(find_folders(new).data)
            goes_on = command(new, "shelf", "add", "resin of the new shop", "--kind", "hard oil")
            tell(json.dumps([codes, seen is not None, whole.ok, goes_on]))

    lines, code = Child(act).ended()
    return json.loads(lines[0]) if lines else f"ended with {code}"


def run(work: Work) -> None:
    versions = ("v1", "v2", "v3")
    for number in range(work.count):
        version, way = versions[number % 3], WAYS[number // 3 % 3]
        tz = ZONES[number % len(ZONES)]
        with work.part(f"{version} by {way}") as folder:
            folder.chmod(0o755)
            work.folder.chmod(0o755)
            with zone(ZONES[(number + 2) % len(ZONES)]):
                photo = first_home(folder / "old", version)
                before = said(folder / "old")
                words = move(folder / "old", folder / "new", way)
                copied = folder / "seen"
            if not os.geteuid():
                for path in (folder, *folder.rglob("*")):
                    os.chown(path, NOBODY, NOBODY)
            came = arrive(folder / "new", words, photo, tz)
            work.hold(came == [[0] * len(words), True, True, 0], f"{version} by {way}: {came}")
            shutil.copytree(folder / "new", copied)
            with zone(tz):
                after = said(copied)
            for part in before:
                if part != "events":
                    work.hold(_same(before[part], after[part]), f"{version} by {way}: {part}")
        work.did(f"moves by {way}")


def _same(before: Any, after: Any) -> bool:
    """Alike but for what the new shop has added: one material."""
    if isinstance(before, dict):
        return all(k in after and _same(v, after[k]) for k, v in before.items())
    if isinstance(before, list) and isinstance(after, list):
        return [x for x in after if x in before] == before
    return bool(before == after)


CAMPAIGN = Campaign(
    "moving",
    "A shop that moved is the same shop, photos and all, and goes on.",
    "journals of v1 to v3 carried by backup, export and folder to another user, zone and boot; "
    "what each says before and after",
    54,
    3,
    run,
)
