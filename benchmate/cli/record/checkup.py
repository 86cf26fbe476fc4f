"""`benchmate checkup`: what of all this works on this machine."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError, JournalMissing
from benchmate.bench.reminding.minding import LOCK
from benchmate.bench.reminding.reminding import channels_of, settings_of
from benchmate.bench.reminding.told import silent_phones
from benchmate.cli.exits import Exit
from benchmate.cli.opening import json_option, say_json
from benchmate.cli.saying import put
from benchmate.clock import SystemClock
from benchmate.localtime import local, show_clock, show_date
from benchmate.refusal import Refused
from benchmate.remind.awake import KeepAwake
from benchmate.remind.checkup import (
    ALL_WELL,
    TO_MEND,
    Finding,
    check_clock,
    check_terminal,
    exit_code,
    lines_of,
    verdict,
)
from benchmate.remind.checkup import checkup as look_over
from benchmate.remind.stand_in import SILENT_S, silence_of, silent_for_s
from benchmate.remind.voice import OneVoice
from benchmate.settings import Folders, Reminding, Settings, find_folders, load

AWAKE_S = 5.0


@click.command()
@click.option("--aloud", is_flag=True, help="Send a real trial reminder by every channel.")
@json_option
@click.pass_obj
def checkup(home: Path | None, aloud: bool, as_json: bool) -> None:
    """Try every channel, the folders, the terminal and the clock; say how to mend what fails.

    Exit code 0: all that was set up works. 1: something needs mending. 5: no reminder can be
    relied on, because a folder or the clock fails or nothing but a screen could reach you.
    """
    folders = find_folders(home)
    settings, trouble = load(folders)
    found = look_over(
        channels_of(settings.reminders),
        {"data": folders.data, "procedures": folders.procedures},
        _terminal(),
        _clock(),
        switched_off=settings_of(settings.reminders).switched_off,
        set_where=str(folders.settings_file),
        aloud=aloud,
    )
    found += [
        _settings(
            folders,
            trouble,
            holds_addresses=bool(settings.reminders.addresses or settings.reminders.command),
        ),
        _quiet(settings.reminders),
        *_journal(folders),
        _page(folders, settings),
        _voice(folders),
        _awake(),
    ]
    code = {ALL_WELL: Exit.OK, TO_MEND: Exit.FOUND}.get(exit_code(found), Exit.MISSING)
    if as_json:
        findings = [
            {
                "subject": f.subject,
                "ok": f.ok,
                "vital": f.vital,
                "sentence": f.sentence,
                "mend": f.mend,
            }
            for f in found
        ]
        say_json({"code": int(code), "verdict": verdict(found), "findings": findings})
    else:
        for line in (*lines_of(found), "", verdict(found)):
            put(line)
    raise SystemExit(code)


def _quiet(wanted: Reminding) -> Finding:
    """The quiet hours, which a maker may wonder about when nothing calls."""
    if wanted.quiet_span.is_empty:
        return Finding("quiet hours", True, "Quiet hours: none are set.")
    hours = wanted.quiet.replace("-", " to ")
    sentence = f"Quiet hours: {hours}, only work at risk calls before they end."
    return Finding("quiet hours", True, sentence)


def _terminal() -> list[Finding]:
    columns, rows = shutil.get_terminal_size()
    encoding = sys.stdout.encoding or "ascii"
    here = sys.stdout.isatty()
    return check_terminal(os.environ, (columns, rows), encoding, is_terminal=here)


def _clock() -> list[Finding]:
    now = SystemClock().now()
    wall = local(now.wall_s)
    shown = f"{show_date(now.wall_s)} {wall.year}, {show_clock(now.wall_s)}"
    return check_clock(wall.year, wall.tz_id, shown, through_sleep=now.boot_id is not None)


def _settings(folders: Folders, trouble: str, *, holds_addresses: bool) -> Finding:
    if trouble:
        mend = f"Mend {folders.settings_file}; until then the defaults hold in their place."
        return Finding("settings", False, f"Settings: {trouble}", mend)
    there = folders.settings_file.exists()
    if there and holds_addresses and is_open_to_others(folders.settings_file):
        mend = f"chmod 600 {folders.settings_file}"
        said = f"Settings: {folders.settings_file} holds addresses, and others can read it."
        return Finding("settings", False, said, mend)
    sentence = f"{folders.settings_file} can be read" if there else "none are set, defaults hold"
    return Finding("settings", True, f"Settings: {sentence}.")


def is_open_to_others(path: Path) -> bool:
    """Whether the group or anybody may read a file, where files have such rights."""
    return os.name == "posix" and bool(path.stat().st_mode & 0o044)


def _page(folders: Folders, settings: Settings) -> Finding:
    """Whether the page is on, where, and for how many."""
    wanted = settings.page
    if not wanted.on:
        return Finding("page", True, "Page for the phone: off; nothing listens.")
    try:
        from benchmate.bench.page.serving import devices_in
        from benchmate.page.server import private_address

        address = private_address(wanted.address)
    except ImportError:
        sentence = "Page for the phone: on, but two packages are missing."
        return Finding("page", False, sentence, "pip install 'benchmate[page]'")
    except Refused as refusal:
        sentence = f"Page for the phone: {refusal}"
        return Finding("page", False, sentence, "Set address under [page].")
    many = devices_in(folders.data, SystemClock()).count()
    paired = "1 device" if many == 1 else f"{many} devices"
    where = f"at {address}:{wanted.port} while anything reminds"
    sentence = f"Page for the phone: on, {where}; {paired} paired."
    hint = "Where the phone can't reach it, let that port through this machine's firewall."
    return Finding("page", True, sentence, hint)


def _journal(folders: Folders) -> list[Finding]:
    """Whether the journal opens, without writing to it; `logbook verify` reads all of it."""
    try:
        bench = Bench.open(folders, Settings(), create=False, read_only=True)
    except JournalMissing:
        return [Finding("journal", True, "Logbook: none yet; the first job makes it.", vital=True)]
    except JournalError as error:
        mend = "`benchmate logbook verify` says more."
        return [Finding("journal", False, f"Logbook: {error}", mend, vital=True)]
    jobs = len(bench.shop.live)
    silent = silent_phones(bench)
    bench.close()
    running = "1 job is" if jobs == 1 else f"{jobs} jobs are"
    opens = Finding("journal", True, f"Logbook: it opens; {running} open.", vital=True)
    mend = "Try it with `benchmate checkup --aloud`; compare its address with the service's page."
    return [opens, *(Finding("silent phone", False, f"Messages: {s}", mend) for s in silent)]


def _voice(folders: Folders) -> Finding:
    """Who reminds now. Where nobody does, the lock is taken and given back."""
    voice = OneVoice(folders.data / LOCK)
    if not voice.take():
        if silent_for_s(folders.data / LOCK, SystemClock().now().wall_s) > SILENT_S:
            mend = "Bring it back (`fg` in its terminal) or end it; an open bench stands in for it."
            sentence = f"Reminders: {silence_of(folders.data / LOCK)}"
            return Finding("voice", False, sentence, mend)
        return Finding("voice", True, f"Reminders: process {voice.holder()} is giving them.")
    trouble = voice.trouble
    voice.release()
    if trouble:
        mend = "Keep the data folder on a local disk, so that only one process reminds."
        return Finding("voice", False, f"Reminders: {trouble}", mend)
    mend = "Open the bench, or run `benchmate remind run`; docs/minding.md has a unit for it."
    return Finding("voice", True, "Reminders: nothing is giving them just now.", mend)


def _awake() -> Finding:
    """Whether this machine could be kept awake for a clock that can be missed."""
    keeper = KeepAwake()
    means = keeper.trial(AWAKE_S)
    if means:
        return Finding("awake", True, f"Awake: the machine can be kept awake (by {means}).")
    mend = "Switch the machine's sleep off while a clock runs; the bench says so too."
    return Finding("awake", False, "Awake: this machine can't be kept awake from here.", mend)
