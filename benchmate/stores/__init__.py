"""The shelf: tins with their labels, families' common practice, and clocks straight from a tin.

`questions` holds what to ask about a label; it is loaded by whoever asks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from benchmate.stores.clocks import acts_of, rough_in_words, rule_of, window_of, windows_of
from benchmate.stores.families import FAMILIES, KINDS, filled, from_family
from benchmate.stores.tin import ACTS, COMMON_PRACTICE, LabelWindow, Tin, decode_tin, encode_tin

__all__ = [
    "ACTS", "COMMON_PRACTICE", "FAMILIES", "KINDS", "LabelWindow", "Stores", "Tin", "acts_of",
    "decode_tin", "encode_tin", "filled", "fold_stores", "from_family", "rough_in_words",
    "rule_of", "window_of", "windows_of",
]  # fmt: skip

if TYPE_CHECKING:
    from benchmate.stores.shelf import Stores, fold_stores


def __getattr__(name: str) -> Any:
    # The shelf needs the events, and proofreading doesn't need the shelf.
    if name in ("Stores", "fold_stores"):
        from benchmate.stores import shelf

        return getattr(shelf, name)
    raise AttributeError(name)
