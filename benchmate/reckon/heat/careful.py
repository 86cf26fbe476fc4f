"""How long it is right to wait for a cure that nobody watches: one sum for clocks and reckoner.

Three things are in doubt: the label's time (rounded, for a thin film or a large mass), the
activation energy where no label gives it, and the air after the last reading. They know nothing of
each other, so they add up as squares (JCGM 100:2008, 5.1.2, on the logarithm of the rate); to take
the worst of each at once would double a wait that none of them doubles.
"""

from __future__ import annotations

import math

from benchmate.reckon.heat.kinetics import (
    EPOXY_ACTIVATION_HIGH_J_MOL,
    EPOXY_ACTIVATION_J_MOL,
    EPOXY_ACTIVATION_LOW_J_MOL,
    rate_ratio,
)

Energies = tuple[float, float, float]
"""Activation energies in J/mol: low, likely, high."""
EPOXY = (EPOXY_ACTIVATION_LOW_J_MOL, EPOXY_ACTIVATION_J_MOL, EPOXY_ACTIVATION_HIGH_J_MOL)

LABEL_SPREAD = 1.1
"""Factor by which a cure's label may be out, either way (common practice, no source)."""
TAIL_DOUBT = ((0.0, 0.5), (3600.0, 1.5), (3 * 3600.0, 3.0))
"""Age of the last reading in s, and from then on how far out the mean of the air may be, in °C.
An unheated shop swings twice as far between evening and morning, but over a wait of many hours it
swings back (common practice, no source)."""


def energies_of(label_j_mol: float | None) -> Energies:
    """A label's own energy with what the rounding of its times leaves in doubt (a tenth: common
    practice, no source); an amine-cured epoxy's where it gives none."""
    return EPOXY if label_j_mol is None else (0.9 * label_j_mol, label_j_mol, 1.1 * label_j_mol)


def with_doubts(mid: float, *ends: float, slow: bool = True) -> float:
    """A rate at the slow or the quick end of its doubt; each of `ends` is what one doubt alone
    would make of `mid`. Rates are above zero."""
    away = math.hypot(*(math.log(mid / end) for end in ends))
    return mid * math.exp(-away if slow else away)


def cure_rates(
    temperature_c: float, label_c: float, energies: Energies, spread: float = LABEL_SPREAD
) -> tuple[float, float, float]:
    """Label seconds per second, slowest, likely and quickest."""
    low, mid, high = (rate_ratio(temperature_c, label_c, e) for e in energies)
    slow, quick = min(low, mid, high), max(low, mid, high)
    quickest = with_doubts(mid, quick, mid * spread, slow=False)
    return with_doubts(mid, slow, mid / spread), mid, quickest


def careful_time_s(label_s: float, label_c: float, shop_c: float, energies: Energies) -> float:
    """How long a bench waits for a cure of `label_s` if the air was `shop_c` just now."""
    rates = []
    for _, doubt_c in TAIL_DOUBT:
        slow, mid, _ = cure_rates(shop_c, label_c, energies)
        rates.append(with_doubts(mid, slow, rate_ratio(shop_c - doubt_c, label_c, energies[1])))
    waited_s, done_s = 0.0, 0.0
    for (start_s, _), (next_s, _), rate in zip(TAIL_DOUBT, TAIL_DOUBT[1:], rates, strict=False):
        if done_s + (next_s - start_s) * rate >= label_s:
            break
        done_s += (next_s - start_s) * rate
        waited_s = next_s
    else:
        rate = rates[-1]
    return waited_s + (label_s - done_s) / rate
