"""From the sentence of a step to its act: "Sand the outer faces" is done when it is "sanded"."""

from __future__ import annotations

import re

_IRREGULAR_VERBS = """
    cut cut, set set, saw sawn, grind ground, let left, leave left, put put, take taken, lay laid,
    bring brought, make made, spread spread, draw drawn, write written, stick stuck, drive driven,
    weigh weighed, bore bored, wipe wiped, mix mixed, rub rubbed, pour poured, trim trimmed, fit
    fitted, clamp clamped, turn turned, buff buffed, split split, hang hung, ream reamed, cap
    capped, chop chopped, strop stropped, mop mopped, tap tapped, press pressed, wax waxed, dry
    dried, apply applied, shut shut, find found, read read, keep kept, try tried, plan planned,
    pare pared
"""
_IRREGULAR = dict(verb.split() for verb in _IRREGULAR_VERBS.split(","))
_VERBS = """
    sand plane scrape glue coat clean check measure mark shape round chamfer flush level seal tape
    mask drill rout file polish burnish smooth ease soak warm cool cure close join assemble scuff
    degrease brush flood stain oil varnish lacquer fill place align test trial rinse wash blow
    vacuum dust load unload mount remove release lift move store wrap label sign photograph note
    record order collect count sort stack stop start heat steam bend screw nail pin plug dowel
    mortise inlay veneer laminate resaw joint thickness edge bevel taper tack attach unclamp strip
    bleach burn sharpen hone flatten true square centre chuck part hollow face reverse balance
    hand pull push knock crop dress line finish saddle groove rebate
"""
_REGULAR = frozenset(_VERBS.split())
_FIRST_WORD = re.compile(r"[A-Za-z]+")


def act_of(do: str) -> str:
    """The past participle of the sentence's first word; "done" where it is no verb of the shop."""
    found = _FIRST_WORD.match(do.strip())
    if found is None:
        return "done"
    verb = found.group(0).lower()
    if verb in _IRREGULAR:
        return _IRREGULAR[verb]
    if verb not in _REGULAR:
        return "done"
    if verb in ("pin", "plug", "stop", "strip", "crop", "wrap", "tap"):
        return verb + verb[-1] + "ed"
    return verb + ("d" if verb.endswith("e") else "ed")
