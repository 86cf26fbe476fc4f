"""What is added to a part's size to saw it, and what the saw takes: the maker's own allowances."""

from __future__ import annotations

from typing import Annotated, Any

from msgspec import Struct

from benchmate.fields.types import LENGTH, Reads


def _length_text(value: Any) -> str:
    LENGTH(value)
    return str(value)


def _allowance(example: str) -> Reads:
    return Reads(_length_text, example)


class CuttingSettings(Struct, frozen=True):
    """Allowances as texts with their units; common practice of a small shop where not set."""

    along: Annotated[str, _allowance("15 mm")] = "15 mm"
    across: Annotated[str, _allowance("6 mm")] = "6 mm"
    thick: Annotated[str, _allowance("3 mm")] = "3 mm"
    turning: Annotated[str, _allowance("4 mm")] = "4 mm"
    """On the diameter of what is turned."""
    chuck: Annotated[str, _allowance("30 mm")] = "30 mm"
    """On its length."""
    kerf: Annotated[str, _allowance("3 mm")] = "3 mm"
    trim: Annotated[str, _allowance("20 mm")] = "20 mm"
    """Off each end of a board."""

    def in_mm(self) -> dict[str, float]:
        """The same as numbers, by the names that the lists have for them."""
        texts = ((name, getattr(self, name)) for name in self.__struct_fields__)
        return {f"{name}_mm": float(LENGTH(text)) for name, text in texts}


USUAL_CUTTING = CuttingSettings()
