"""Files to begin with: one to fill in, and one written from what was done without a plan."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from benchmate.plan.address import slug
from benchmate.plan.plan import Amount, Window
from benchmate.quantities import show_duration, show_mass, show_number, show_temperature
from benchmate.shelf.material import Material

_SENTENCES = {
    "mixed": "Mix {material} by the ratio on its label.",
    "spread": "Spread {material}, thin and even.",
    "closed": "Close the joint.",
    "clamped": "Clamp it.",
    "coated": "Coat with {material}.",
    "poured": "Pour {material}.",
    "tacked": "Tack with {material}.",
    "joined": "Join the faces.",
    "waxed": "Wax with {material}.",
    "weighed": "Weigh it.",
}
_FOLLOWS = {
    "closed": ("spread",),
    "clamped": ("closed", "spread"),
    "poured": ("mixed",),
    "spread": ("mixed",),
    "joined": ("coated",),
}
_GOES_ON = ("clamped", "poured", "joined", "tacked")
"""After these one waits before anything else is done."""
LONGEST_PIECE = 30
UNNAMED = "material"
"""What an amount is of where the maker only said how much."""


@dataclass(frozen=True)
class Acted:
    """One thing that was done without a plan, as the job recorded it."""

    act: str
    when_s: float
    material: str = ""
    name: str = ""
    piece: str = ""
    windows: tuple[Window, ...] = ()
    amounts: tuple[Amount, ...] = ()
    net_g: float | None = None
    """What was read, where it was a weighing."""


@dataclass(frozen=True)
class _Step:
    """The acts that become one step: once a piece, or coat by coat."""

    act: str
    material: str
    name: str
    acts: tuple[Acted, ...]

    @property
    def windows(self) -> dict[str, Window]:
        return {w.name: w for a in self.acts for w in a.windows}

    @property
    def count(self) -> int:
        pieces = [a.piece for a in self.acts]
        return max(pieces.count(p) for p in pieces)

    @property
    def lacks_recoat(self) -> bool:
        """Done again and again, with no window that says when."""
        return self.count > 1 and self.act != "mixed" and "recoat" not in self.windows

    @property
    def first_s(self) -> float:
        return self.acts[0].when_s


def starter_text(title: str) -> str:
    """A commented procedure to fill in: a glue-up and two coats. It proofreads clean."""
    return _STARTER.replace("@NAME@", _title(title))


def starter_from(
    title: str, acts: Sequence[Acted], materials: Mapping[str, Material], notes: Sequence[str] = ()
) -> str:
    """A commented procedure from what was done; it proofreads clean with these materials on the
    shelf.

    What a plan needs and a record doesn't have (sizes, hands-on times, targets) is left as a
    comment to fill in.
    """
    done = _with_one_name_each(sorted(acts, key=lambda a: a.when_s))
    steps = _steps(done)
    pieces = list(dict.fromkeys(a.piece for a in done if a.piece))
    roles = _roles(steps, materials)
    lines = [
        f"# Written from the record of “{_plain(title)}”. Read it through, name things,",
        "# fill in sizes and hands-on times, then: benchmate procedure check",
        "",
    ]
    lines.append(f"name = {_title(title)}")
    lines.append(f"about = {_quoted(f'From the record of “{_plain(title)[:80]}”.')}")
    if len(pieces) > 1:
        lines.append(f"pieces = {json.dumps(pieces, ensure_ascii=False)}")
    lines += ['# target = "850 g ± 8 g"          # the finished piece, if it must land on a weight']
    lines += [f"# note: {_plain(note)}" for note in notes]
    if roles:
        lines += ["", "[materials]"]
        lines += [f"{role} = {_quoted(material)}" for material, role in roles.items()]
    for number, step in enumerate(steps):
        lines += ["", *_step_lines(step, steps[:number], roles)]
    if not steps:
        lines += ["", "[[steps]]", 'do = "Nothing was recorded: write the first step here."']
    return "\n".join(lines) + "\n"


def _with_one_name_each(acts: Iterable[Acted]) -> list[Acted]:
    """Pieces by names that a file may have; those that differ in how they are typed are one."""
    names: dict[str, str] = {}
    found = []
    for act in acts:
        said = _plain("".join(" " if c in "/#:" else c for c in act.piece))[:LONGEST_PIECE].strip()
        found.append(replace(act, piece=names.setdefault(slug(said), said) if said else ""))
    return found


def _steps(done: Iterable[Acted]) -> list[_Step]:
    grouped: dict[tuple[str, str, str], list[Acted]] = {}
    for act in done:
        grouped.setdefault((act.act, act.material, act.name), []).append(act)
    return [_Step(*key, tuple(acts)) for key, acts in grouped.items()]


def _roles(steps: Iterable[_Step], materials: Mapping[str, Material]) -> dict[str, str]:
    """Each material that the shelf knows, and a short name for it."""
    roles: dict[str, str] = {}
    for step in steps:
        material = materials.get(step.material)
        if material is None or step.material in roles:
            continue
        short = (
            slug((material.kind or step.material).split()[-1]).replace(".", "-").replace("+", "-")
        )
        taken = set(roles.values())
        name, number = short, 2
        while name in taken:
            name, number = f"{short}-{number}", number + 1
        roles[step.material] = name
    return roles


def _step_lines(step: _Step, before: Sequence[_Step], roles: Mapping[str, str]) -> list[str]:
    lines = ["[[steps]]", f"id = {_quoted(_id(step, before))}", f"do = {_quoted(_sentence(step))}"]
    lines.append(f"act = {_quoted(_plain(step.act)[:40] or 'done')}")
    if step.act == "weighed":
        return [*lines, *_weigh_lines(step)]
    lines += _scope_lines(step)
    if step.material in roles:
        lines.append(f"material = {_quoted(roles[step.material])}")
    lines += _waits(step, before)
    lines += _amount_lines(step, roles)
    lines.append('# hands = "10 min"               # hands-on time: the next act is planned by it')
    if step.material not in roles or step.lacks_recoat:
        lines += _window_lines(step)
    return lines


def _weigh_lines(step: _Step) -> list[str]:
    """What was read stands in for a plan; without it there is none."""
    pairs = ['as = "whole"', f"what = {_quoted(step.name or 'piece')}"]
    read = [a.net_g for a in step.acts if a.net_g is not None]
    if read:
        pairs += [f'plan = "{show_mass(sum(read) / len(read))}"', 'tolerance = "10 %"']
    lines = [f"weigh = {{ {', '.join(pairs)} }}"]
    return [*lines, f"# read: {', '.join(map(show_mass, read))}"] if read else lines


def _id(step: _Step, before: Sequence[_Step]) -> str:
    base = slug(step.name or f"{step.act} {step.material}")[:40]
    return base if all(_bare_id(s) != base for s in before) else f"{base}-{len(before) + 1}"


def _bare_id(step: _Step) -> str:
    return slug(step.name or f"{step.act} {step.material}")[:40]


def _sentence(step: _Step) -> str:
    said = _SENTENCES.get(step.act, f"Do this, until it is {_plain(step.act) or 'done'}.")
    said = said.replace("{material}", _plain(step.material) or "it")
    return f"{said.rstrip('.')}: {_plain(step.name)}." if _plain(step.name) else said


def _scope_lines(step: _Step) -> list[str]:
    if step.act == "mixed":
        return ['each = "job"']
    if step.count > 1:
        each = "layer" if step.act == "poured" else "coat"
        return [f'each = "{each}"', f"count = {step.count}"]
    return []


def _waits(step: _Step, before: Sequence[_Step]) -> list[str]:
    """What the record shows: done once a window had opened, and before it closed."""
    waits: list[str] = []
    within: list[str] = []
    if step.count > 1 and "recoat" in step.windows:
        waits, within = ["recoat"], ["recoat"] * (step.windows["recoat"].closes_s is not None)
    elif step.lacks_recoat:
        waits = ["recoat"]
    own = bool(waits)
    for earlier in reversed(before):
        follows = earlier.act in _FOLLOWS.get(step.act, ()) and earlier.material == step.material
        goes_on = earlier.act in _GOES_ON and earlier.act != step.act
        if not (follows or goes_on) or ((waits or within) and not own):
            continue
        own = False
        gap = step.first_s - earlier.acts[-1].when_s
        for window in earlier.windows.values():
            if window.opens_s is not None and gap >= window.opens_s:
                waits.append(window.name)
            if follows and window.closes_s is not None and 0 <= gap <= window.closes_s:
                within.append(window.name)
    return [
        f"{key} = {json.dumps([_plain(n) for n in names], ensure_ascii=False)}"
        for key, names in (("waits", waits), ("within", within))
        if names
    ]


def _amount_lines(step: _Step, roles: Mapping[str, str]) -> list[str]:
    first = step.acts[0].amounts
    tables = []
    for amount in first:
        unit = "ml" if amount.unit == "ml" else "g"
        said = f"{show_number(max(amount.amount, 0.0), 2)} {unit}"
        what = roles.get(step.material, "") if amount.what in ("", UNNAMED) else amount.what
        pairs = [f"what = {_quoted(what or amount.what or 'it')}", f'amount = "{said}"']
        if amount.material in roles:
            pairs.insert(1, f"material = {_quoted(roles[amount.material])}")
        tables.append("{ " + ", ".join(pairs) + " }")
    return [f"amounts = [{', '.join(tables)}]"] if tables else []


def _window_lines(step: _Step) -> list[str]:
    """The times themselves, where no material on the shelf has them."""
    lines: list[str] = []
    windows = list(step.windows.values())
    if step.lacks_recoat:
        mine = [a.when_s for a in step.acts if a.piece == step.acts[0].piece]
        gap = min((b - a for a, b in pairwise(mine)), default=3600.0)
        windows.append(Window(name="recoat", address="", label="", opens_s=max(gap, 60.0)))
        lines += ["# the shortest wait of that day stands in for a recoat window: read the label"]
    for window in windows:
        lines += ["[[steps.windows]]", f"name = {_quoted(_plain(window.name)[:60])}"]
        at = f" at {show_temperature(window.at_c)}" if window.at_c is not None else ""
        edges = (("opens", window.opens_s), ("full", window.full_s), ("closes", window.closes_s))
        lines += [f'{k} = "{show_duration(max(s, 1.0))}{at}"' for k, s in edges if s is not None]
    return lines


def _plain(text: str) -> str:
    """The maker's own words on one line, with nothing in them that a file would trip over."""
    words = "".join(c if c.isprintable() and c not in "{}" else " " for c in text)
    return " ".join(words.split())[:200]


def _quoted(text: str) -> str:
    return json.dumps(_plain(text), ensure_ascii=False)


def _title(text: str) -> str:
    """A name for the procedure, never empty and never too long."""
    return _quoted(_plain(text)[:80].strip() or "Unnamed")


_STARTER = """\
# A procedure to begin with. Change the words and sizes, then: benchmate procedure check THIS FILE
# A line that starts with # is a comment. Quantities carry their units and stand in quotes.

name  = @NAME@
about = "Two boards glued and oiled."
makes = 1                              # pieces of one job; they are called A, B, C
# target = "850 g ± 8 g"               # the finished piece, if it must land on a weight
# match  = "5 g"                       # and how near several pieces must come to each other

[parts.front]                          # one heading for each part
wood = "black walnut"
size = "200 x 80 x 12 mm"              # length x width x height

[parts.back]
wood = "black walnut"
size = "200 x 80 x 12 mm"

[materials]                                 # a material on your shelf, or a family of materials
glue = "yellow wood glue"
oil  = "hard oil"

[[needs]]                              # have ready before the first cut
what  = "abrasive sheet"
size  = "grit 120, 180, 240"
kind  = "abrasive"
count = 3

[[steps]]                              # steps follow each other, unless one says  after = "…"
id    = "weigh parts"
do    = "Weigh the {part}."
each  = "part"
part  = ["front", "back"]
weigh = "blank"
act   = "weighed"
hands = "2 min"

[[steps]]                              # a building block brings its steps, times and cautions
use    = "wood-glue joint in clamps"
of     = ["front", "back"]
clamps = 4
# hold = "24 h"                        # your own rule, where it is longer than the label's

[[steps]]
id         = "sand"
do         = "Flush the edges and sand all faces to 240."
waits_full = "clamp time"              # full strength before it is worked
hands      = "30 min"
takes      = "8 g ± 3 g"               # what comes off
caution    = ["wood dust"]

[[steps]]
use   = "wiped oil coats"
coats = 2

[[steps]]
id    = "weigh finished"
do    = "Weigh it."
act   = "weighed"
waits = "hard"
weigh = "whole"

# A window of your own:
# [[steps.windows]]
# name   = "flash off"
# closes = "10 min at 21 °C"
# missed = "extra work: wipe it again"
"""
