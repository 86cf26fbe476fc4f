"""The shelf: tins with their labels, families' common practice, and clocks straight from a tin.

`questions` holds what to ask about a label; it is loaded by whoever asks.
"""

from __future__ import annotations

from benchmate.stores.clocks import acts_of, rule_of, window_of, windows_of
from benchmate.stores.families import FAMILIES, KINDS
from benchmate.stores.filling import clashes, filled, from_family, impossible, rough_edges
from benchmate.stores.tin import ACTS, COMMON_PRACTICE, LabelWindow, Tin, decode_tin, encode_tin

__all__ = [
    "ACTS",
    "COMMON_PRACTICE",
    "FAMILIES",
    "KINDS",
    "LabelWindow",
    "Tin",
    "acts_of",
    "clashes",
    "decode_tin",
    "encode_tin",
    "filled",
    "from_family",
    "impossible",
    "rough_edges",
    "rule_of",
    "window_of",
    "windows_of",
]
