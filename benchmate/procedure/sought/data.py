"""What a plan has found by itself, as data for other programs."""

from __future__ import annotations

from benchmate.fields.finding import FoundSize
from benchmate.plan.found import said
from benchmate.plan.plan import Sought


def found_size(sought: Sought) -> FoundSize:
    """What a plan has found, in the shape that is promised."""
    import msgspec

    fields = {name: getattr(sought, name) for name in FoundSize.model_fields if name != "sentence"}
    return FoundSize(**msgspec.to_builtins(fields), sentence=said(sought))
