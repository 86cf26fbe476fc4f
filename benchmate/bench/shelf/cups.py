"""What is said of a cup, or of any act's material, after the act: "6 g", "mixed 128, left 6"."""

from __future__ import annotations

import re

from benchmate.bench.service import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.amounts import done_at
from benchmate.job.state.state import JobState
from benchmate.job.weights.cups import cup_in_hand, cups_of, said_of
from benchmate.plan import address as addresses
from benchmate.plan.plan import MIXED, Amount, Need
from benchmate.quantities import QuantityError, parse, parse_mass_g, parse_number, quote
from benchmate.refusal import NotNow, Refused

_PART = re.compile(r"\s*([^\d\s+-][^\d+-]*?)?\s*[=:]?\s*([+-]?[\d.,].*)", re.S)
_SPLIT = re.compile(r";|,(?!\d)")


def newest_cup(bench: Bench) -> tuple[JobState, str]:
    """The job and the address of the cup that is most likely meant. Raises NotNow for none."""
    found = [(job, cup) for job in bench.shop.live if (cup := cup_in_hand(job))]
    if not found:
        raise NotNow("No cup has been mixed yet.")
    return max(found, key=lambda it: _rank(*it))


def _rank(job: JobState, cup: str) -> tuple[bool, int]:
    record = job.done[cup]
    return record.left_g is None, record.done.wall_ns


def is_cup(job: JobState, address: str) -> bool:
    """Whether an act mixed a cup."""
    return address in cups_of(job)


def amounts_known(job: JobState, address: str) -> tuple[Amount, ...]:
    """What an act takes: the plan's amounts, or what was said of an act without a plan."""
    step = job.steps.get(address)
    if step is not None:
        return step.amounts
    return next((f.event.used for f in job.free if f.event.address == address), ())


def read_amounts(job: JobState, address: str, text: str) -> cmd.SayAmounts:
    """What was typed of an act's amounts, as a command.

    "6 g" is what a cup has left, or what another act used; "mixed 128, left 6" says both; a
    material's own name says how much of it, "abrasive sheet 5" or "tape 2 m" what was used up.
    Raises QuantityError.
    """
    used: list[Amount] = []
    left_g: float | None = None
    for part in _SPLIT.split(text):
        word, typed = _read(part)
        need = _need(job, word)
        if need is not None:
            used.append(_counted(need, typed))
            continue
        grams = parse_mass_g(typed, "g")
        if word == "left" or (not word and is_cup(job, address)):
            left_g = grams
        else:
            used.append(_amount(job, address, word, grams))
    return cmd.SayAmounts(address=address, used=tuple(used), left_g=left_g)


def _read(part: str) -> tuple[str, str]:
    found = _PART.fullmatch(part)
    if found is None:
        raise QuantityError(f"{quote(part)} is no weight; write it like 6 g, or mixed 128, left 6")
    return (found[1] or "").strip().casefold(), found[2]


def _need(job: JobState, word: str) -> Need | None:
    """The abrasive or tape that is meant, by its own name or what it is: "sheets", "tape"."""
    needs = [n for n in (job.plan.needs if job.plan else ()) if n.used_in]
    kind = "abrasive" if word in ("sheet", "sheets") else word
    return next((n for n in needs if word == n.what.casefold() or kind == n.kind), None)


def _counted(need: Need, typed: str) -> Amount:
    """So many sheets of abrasive, or so much of a roll of tape."""
    if need.used_in == "m":
        amount = parse("length", typed, "m") / 1000.0
    else:
        amount = parse_number(re.sub(r"\s*sheets?\s*$", "", typed)).value
    return Amount(what=need.what, amount=amount, unit=need.used_in)


def _amount(job: JobState, address: str, word: str, grams: float) -> Amount:
    known = amounts_known(job, address)
    if word == MIXED or (is_cup(job, address) and word in ("used", "")):
        material = known[0].material if known else _material_of(job, address)
        return Amount(what=MIXED, amount=grams, material=material)
    named = [a for a in known if a.what.casefold() == word]
    if word in ("used", "") and len(known) == 1:
        named = list(known)
    if not named:
        names = ", ".join(a.what for a in known) or "none that is weighed"
        raise QuantityError(f"that step has no material {quote(word)}; it has: {names}")
    return Amount(what=named[0].what, amount=grams, material=named[0].material, role=named[0].role)


def _material_of(job: JobState, address: str) -> str:
    return next((f.event.material for f in job.free if f.event.address == address), "")


def say_amounts(bench: Bench, job: JobState, address: str, text: str) -> str:
    """Record what was typed of an act's amounts, and say so. Raises QuantityError, Refused."""
    if not text.strip():
        raise Refused("Say what is left in the cup: 6 g; or how much was mixed: mixed 128.")
    where = done_at(job, address)
    bench.do(job.job, read_amounts(job, where, text))
    state = bench.job(job.job) or job
    return f"Recorded: {said_of(state, where, bench.settings.units)}."


def newest_act(job: JobState) -> str:
    """The act that was done last, which what is used up over the whole job is told of."""
    return max(job.done, key=lambda a: job.done[a].version, default="")


def cup_name(job: JobState, address: str) -> str:
    """ "Mix 2 of Matched bookends, slow casting epoxy"."""
    at, known = addresses.parse(address), amounts_known(job, address)
    material = known[0].material if known else _material_of(job, address)
    number = f" {at.n}" if at is not None and len(cups_of(job)) > 1 else ""
    return f"Mix{number} of {job.title}" + (f", {material}" if material else "")
