"""The layers of a glued-up body, and the hollows that the parts of one layer leave between them."""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.procedure.file.part_schema import Gap

Span = tuple[float, float]


@dataclass(frozen=True)
class Layer:
    """Parts side by side along the length, each with where it begins."""

    parts: tuple[str, ...]
    starts_mm: tuple[float, ...]
    lengths_mm: tuple[float, ...]
    thick_mm: float
    from_mm: float
    """Where it begins along the body's height, from the body's middle."""
    turned: bool
    """Turned over: its parts' tops look to the layer before."""

    @property
    def spans(self) -> list[Span]:
        """From where to where each part lies along the length."""
        pairs = zip(self.starts_mm, self.lengths_mm, strict=True)
        return [(start, start + long) for start, long in pairs]

    def gap_at(self, x_mm: float) -> int:
        """How many of its parts lie before a place along the length."""
        return sum(start < x_mm for start in self.starts_mm)


@dataclass(frozen=True)
class Between:
    """A hollow that two parts of a layer leave between them, through the body's width."""

    name: str
    spec: Gap
    layer: Layer
    starts_mm: float
    narrow_mm: float
    deep_mm: float
    """Through the body: its width."""

    @property
    def wide_mm(self) -> float:
        """Its length at the wide end."""
        return self.spec.wide_end or self.narrow_mm

    @property
    def volume_ml(self) -> float:
        """The hollow's own volume."""
        middle = (self.narrow_mm + self.wide_mm) / 2.0
        return middle * self.layer.thick_mm * self.deep_mm / 1000.0

    @property
    def slope_ml(self) -> float:
        """What is sawn off the part that slopes."""
        return (self.wide_mm - self.narrow_mm) / 2.0 * self.layer.thick_mm * self.deep_mm / 1000.0
