"""The shelf: materials with their labels, families' common practice, and clocks straight from a
material.

`questions` holds what to ask about a label; it is loaded by whoever asks.
"""

from __future__ import annotations

from benchmate.shelf.clocks import acts_of, rule_of, window_of, windows_of
from benchmate.shelf.families import FAMILIES, KINDS
from benchmate.shelf.filling import clashes, filled, from_family, impossible, rough_edges
from benchmate.shelf.material import (
    ACTS,
    COMMON_PRACTICE,
    LabelWindow,
    Material,
    decode_material,
    encode_material,
)

__all__ = [
    "ACTS",
    "COMMON_PRACTICE",
    "FAMILIES",
    "KINDS",
    "LabelWindow",
    "Material",
    "acts_of",
    "clashes",
    "decode_material",
    "encode_material",
    "filled",
    "from_family",
    "impossible",
    "rough_edges",
    "rule_of",
    "window_of",
    "windows_of",
]
