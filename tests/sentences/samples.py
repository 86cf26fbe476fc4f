"""What sample states make the program say: steps, labels, verdicts, reminders, refusals, advice."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from benchmate.bench.weights.checking import answer_text, fault_of_answer
from benchmate.fields.problem import ProcedureError
from benchmate.job.words.phrases import amounts_text, check_sentence
from benchmate.landing.likely import Remedy, judge
from benchmate.landing.verdict import simple_verdict
from benchmate.plan.plan import Plan, Step
from benchmate.procedure.cautions import CAUTIONS
from benchmate.procedure.finding import find_all
from benchmate.quantities import QuantityError
from benchmate.remind.rules.edges import EdgeAhead, EdgeKind, Stage
from benchmate.remind.rules.wording import speech_of, text_of, title_of
from benchmate.shelf import FAMILIES
from benchmate.shelf.clocks import edges_text
from benchmate.shelf.questions import questions
from tests.remind_help import NOON_S, now_at
from tests.unit.language_help import plan_of

Said = tuple[str, list[str]]
MIN = 60.0


def samples() -> Iterator[Said]:
    """Titles and what is said under each."""
    yield "Cautions", [f"{name}: {text}" for name, text in CAUTIONS.items()]
    for found in find_all():
        yield f"Steps of {found.name}", list(_steps(_plan(found.path.read_text("utf-8"))))
    yield "What labels are read as", list(_labels())
    yield "What is asked about a label", list(_questions())
    yield "Verdicts of a weighing", list(dict.fromkeys(_verdicts()))
    yield "Reminders, on screen and aloud", list(dict.fromkeys(_reminders()))
    yield "Answers to checks", list(_checks())
    yield "What can't be read", list(_unreadable())


def _plan(text: str) -> Plan:
    return plan_of(text)


def _steps(plan: Plan) -> Iterator[str]:
    told: set[str] = set()
    for step in plan.steps:
        line = _step(step)
        if line not in told:
            told.add(line)
            yield line


def _step(step: Step) -> str:
    parts = [f"[{step.short or step.act}] {step.do}"]
    if step.amounts:
        parts.append(f"({amounts_text(step, gap=', ')})")
    parts += [f"CHECK {check_sentence(check)}" for check in step.checks]
    for window in step.windows:
        texts = (window.opens_text, window.full_text, window.closes_text, window.missed_text)
        parts.append(f"CLOCK {window.label}: " + " / ".join(t for t in texts if t))
    return " ".join(parts)


def _labels() -> Iterator[str]:
    for name, material in FAMILIES.items():
        for window in material.windows:
            yield f"{name}, {window.act}: {window.name} {edges_text(window)}"


def _questions() -> Iterator[str]:
    asked = dict.fromkeys(q.ask for name in FAMILIES for q in questions(name))
    yield from asked


def _verdicts() -> Iterator[str]:
    finer = (Remedy("Weighing three times", 0.3), Remedy("The fine scale", 0.05))
    for off in (0.0, 3.0, 6.5, 7.6, -8.2, 8.6, -20.0):
        for found in (
            judge(850.0 + off, 0.4, 850.0, 8.0, remedies=finer),
            simple_verdict(850.0 + off, 850.0, 8.0, 1.0),
        ):
            yield f"{found.said()} | {' | '.join(found.lines)}"


_EDGES: tuple[tuple[EdgeKind, str, str], ...] = (
    ("opens", "nothing", "clamps may come off"),
    ("full", "nothing", "full strength"),
    ("closes", "spoils mix", "the mix gels"),
    ("closes", "extra work: scuff first", "too late to recoat without sanding"),
    ("weigh", "nothing", "time to weigh"),
    ("chills", "spoils joint", "10 °C"),
    ("chilled", "spoils joint", "10 °C"),
)


def _reminders() -> Iterator[str]:
    for kind, consequence, words in _EDGES:
        edge = EdgeAhead(
            key="k",
            job="j",
            address="j/A",
            label="bookend A, cup 2",
            edge=kind,
            at_s=NOON_S,
            consequence=consequence,
            words=words,
            action="Pour layer 3.",
        )
        for stage in Stage:
            for now_s in (-8 * MIN, 0.0, 75 * MIN):
                now = now_at(NOON_S + now_s)
                yield title_of(edge, stage)
                yield text_of(edge, stage, now)
                yield speech_of(edge, stage, now.now_s, again=True)


def _checks() -> Iterator[str]:
    told: dict[str, None] = {}
    for found in find_all():
        for step in _plan(found.path.read_text("utf-8")).steps:
            for check in step.checks:
                for value in (0.0, 1.0, 1000.0):
                    told.setdefault(fault_of_answer(check, value) or answer_text(check, value))
    yield from told


def _unreadable() -> Iterator[str]:
    from benchmate import quantities as q

    readers: tuple[tuple[Callable[[str], object], tuple[str, ...]], ...] = (
        (lambda t: q.parse_mass_g(t, "g"), ("abc", "", "12 mm", "1e999", "-")),
        (lambda t: q.parse_length_mm(t, "mm"), ("thick", "3 kg")),
        (lambda t: q.parse_duration_s(t, "min"), ("soon", "5 g")),
        (lambda t: q.parse_temperature_c(t, "°C"), ("warm", "5 mm")),
        (lambda t: q.parse_percent(t, "%"), ("much", "140 g")),
    )
    for read, words in readers:
        for word in words:
            try:
                read(word)
            except (QuantityError, ProcedureError) as error:
                yield str(error)
