"""A plan that knows how far earlier pieces came out from it."""

import msgspec

from benchmate.plan.plan import Plan


def with_missed(plan: Plan, missed_g: float) -> Plan:
    """The plan, each of its pieces expected so many grams off what its acts explain."""
    if not missed_g:
        return plan
    pieces = tuple(msgspec.structs.replace(p, missed_g=missed_g) for p in plan.pieces)
    return msgspec.structs.replace(plan, pieces=pieces)


def missed_of(plan: Plan) -> float:
    """What its pieces carry, in grams: one value for all, the record being the procedure's."""
    return next((p.missed_g for p in plan.pieces), 0.0)
