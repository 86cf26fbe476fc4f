"""What people and machines write, mutated: files, labels, settings, air, exports, scale lines."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import closing, suppress
from math import isfinite
from pathlib import Path
from random import Random

from click.testing import CliRunner

from benchmate.air.followed import parse_file
from benchmate.bench import Bench
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.journal import JournalError, verify
from benchmate.journal.keeping.export import export_lines
from benchmate.journal.keeping.importing import import_lines
from benchmate.refusal import Refused
from benchmate.scales.lines import LineForm, Lines
from benchmate.scales.proposing import propose
from benchmate.settings import Settings, find_folders, load
from tests.faults.work import Campaign, Work
from tests.scale_emulator import FORMS
from tests.scale_forms import cable
from tests.unit import test_procedure_mutations as procedures
from tests.unit.shop_of_tests import plan
from tests.unit.test_commands_swept import fault_of

HOSTILE = (
    "[red]oak[/red] [/]",
    "<script>alert(1)</script>&amp;",
    "\x1b[2J\x1b]0;mine\x07gone",
    "=cmd|' /C calc'!A0",
    "#eval(1) $x$ \\input{x} `rm`",
    "\u202eevil\u202c \u200b\u0301",
    "木の板 🪵 ﷽",
    "../../etc/passwd",
    "a" * 300,
    "'; DROP TABLE events; --",
)
ODD = ["", " ", "-", ".", ",", "0", "9" * 30, "1e999", "nan", "½", "\x00", "\u202e", "°", "%", "/"]
SETTINGS = """units = "metric"
theme = "dark"
[reminders]
channels = ["sound", "speech"]
quiet = "22:00-7:00"
volume = 60
[air]
file = "box.txt"
[scale]
port = "/dev/none"
line = '(?P<weight>\\d+) (?P<unit>g)'
[hours]
mon = "18:30-22:00"
"""
LABELS = ("open time=8 min at 20 °C", "pot life=45 min at 21 °C", "amount=500 g", "ratio=100:30")
WEIGHTS = ("128.4 g", "128.4; 128.6 g", "4 1/2 oz", "1 lb 3 oz", "0,5 kg")
AIRS = ("17.5C", "64 F", "-3.5 °C", "17.5")
FORMATS: tuple[parse_file.Format, ...] = ("number", "millidegrees", "csv", "json")
FILED = ('{"temperature": 18.5, "humidity": 61}', "18.5", "time,temp,rh\n1,18.5,61\n2,18.6,60\n")
JUNK_S = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def mutated(text: str, chance: Random) -> str:
    """One to three small accidents."""
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(text) + 1)
        match chance.randrange(5):
            case 0:
                text = text[:at] + text[at + chance.randint(1, 6) :]
            case 1:
                text = text[:at] + chance.choice(ODD) + text[at:]
            case 2:
                text = text[:at] + chr(chance.choice([34, 61, 91, 93, 10, 0x1F600, 0xFFFD])) + text
            case 3:
                text = text[at:] + text[:at]
            case _:
                text = text.replace(chance.choice(text or " "), chance.choice(ODD), 1)
    return text[:4000]


class Shop:
    """Where mutated lines are tried."""

    def __init__(self, home: Path) -> None:
        self.home, self.folders = home, find_folders(home)
        with closing(Bench.open(self.folders, Settings())) as bench:
            bench.do("t", cmd.StartJob(job="t", title="Pair", plan=plan()))
            bench.do("t", cmd.MarkDone(address="mix"))
            self.exported = list(export_lines(bench.journal))
        self.forms = [LineForm(cable(name).line, unit=cable(name).unit) for name in FORMS]

    def run(self, *words: str) -> str:
        done = CliRunner().invoke(cli, ["--home", str(self.home), *words])
        return fault_of(done)

    def procedure(self, chance: Random) -> str:
        procedures.check(chance.randrange(10**6))
        return ""

    def settings(self, chance: Random) -> str:
        self.folders.settings_file.write_text(mutated(SETTINGS, chance), encoding="utf-8")
        _, trouble = load(self.folders)
        self.folders.settings_file.unlink()
        return "steers the terminal" if JUNK_S.search(trouble) else ""

    def air_file(self, chance: Random) -> str:
        with suppress(parse_file.Unheard):
            form = parse_file.Form(chance.choice(FORMATS))
            heard = form.hear(mutated(chance.choice(FILED), chance))
            if not isfinite(heard.temperature_c):
                return f"heard {heard.temperature_c} °C"
        return ""

    def scale(self, chance: Random) -> str:
        lines = Lines()
        raw = mutated(chance.choice(WEIGHTS), chance).encode(errors="replace") + b"\r\n"
        for line in lines.feed(b"x\r\n" + chance.randbytes(chance.randrange(9)) + raw):
            if line is not None:
                for form in self.forms:
                    form.read(line)
                with suppress(Refused):
                    propose([line], [line], [line])
        return ""

    def export(self, chance: Random) -> str:
        lines = list(self.exported)
        at = chance.randrange(len(lines))
        lines[at] = mutated(lines[at], chance)
        target = self.home / "moved"
        try:
            import_lines("\n".join(lines).split("\n"), target)
        except JournalError:
            return "half an import" if (target / "journal.db").exists() else ""
        whole = verify(target)
        for path in target.iterdir():
            path.unlink()
        return "" if whole.ok else whole.sentence

    def label(self, chance: Random) -> str:
        label = mutated(chance.choice(LABELS), chance)
        return self.run("shelf", "add", "x", "--kind", "yellow wood glue", "--label", label)

    def weight(self, chance: Random) -> str:
        return self.run("weigh", mutated(chance.choice(WEIGHTS), chance), "pour#1", "--job", "t")

    def air(self, chance: Random) -> str:
        return self.run(
            "air", mutated(chance.choice(AIRS), chance), "--rh", "5" + chance.choice(ODD)
        )


KINDS: tuple[tuple[str, Callable[[Shop, Random], str]], ...] = (
    ("procedures", Shop.procedure),
    ("scale lines", Shop.scale),
    ("settings", Shop.settings),
    ("air files", Shop.air_file),
    ("imports", Shop.export),
    ("scale lines", Shop.scale),
    ("labels", Shop.label),
    ("weights", Shop.weight),
    ("readings of air", Shop.air),
    ("procedures", Shop.procedure),
)


def hostile_names(work: Work) -> None:
    """Each strange name on whatever a command prints and every paper shows."""
    for name in HOSTILE if not work.short else HOSTILE[:3]:
        with work.part("names") as home:
            shop = Shop(home)
            with closing(Bench.open(shop.folders, Settings())) as bench:
                bench.do("n", cmd.StartJob(job="n", title=name, plan=plan()))
                bench.do("n", cmd.Note(text=name))
            faults = [shop.run("shelf", "add", name, "--kind", "yellow wood glue")]
            faults += [shop.run("done", name, "--extra", "--name", name, "--job", "n")]
            for words in (
                ["next"],
                ["job"],
                ["shelf"],
                ["logbook", "list"],
                ["flags"],
                ["weights"],
            ):
                faults.append(shop.run(*words))
            for form in ("--html", "--md", "--csv"):
                words = ["papers", "n", *(["cutting"] if form == "--csv" else ["card", "report"])]
                faults.append(shop.run(*words, form, "--out", str(home / "out")))
            for paper in (home / "out").glob("*.*"):
                text = paper.read_text(encoding="utf-8")
                bad = bool(JUNK_S.search(text)) or "<script>alert" in text
                bad = bad or (paper.suffix == ".csv" and re.search(r"(?m)^=cmd|,=cmd", text))
                faults.append(f"{paper.name} takes {name!r} as it is" if bad else "")
                work.did("papers with hostile names")
            for fault in filter(None, faults):
                work.wrong(f"{name[:20]!r}: {fault}")
            work.did("hostile names")


def run(work: Work) -> None:
    with work.part("lines") as home:
        shop = Shop(home)
        for number in range(work.count):
            kind, attack = KINDS[number % len(KINDS)]
            chance = Random(f"{work.seed} {number}")
            try:
                fault = attack(shop, chance)
            except Exception as error:
                fault = repr(error)
            work.hold(not fault, f"{kind}, number {number}: {fault}")
            work.did(f"mutated {kind}")
        verdict = verify(shop.folders.data)
        work.hold(verdict.ok, verdict.sentence)
    hostile_names(work)


CAMPAIGN = Campaign(
    "input",
    "Whatever is written is taken or refused in a sentence; no name steers a terminal or a paper.",
    "mutated procedures, labels, settings, weights, readings, thermometer files, exports and lines "
    "of scales; hostile names on every command and paper",
    20_000,
    200,
    run,
    mended=(
        "a quote left open in the first line of a thermometer's table ended the following of it "
        "(seed 20, number 213)",
        "control characters in a name went into HTML, Markdown and tables as they were, and "
        "steered a terminal that showed the file (seed 20, hostile name 3)",
        "an exported line with a number beyond 64 bits ended its import with a traceback (seed 20, "
        "number 8134)",
    ),
)
