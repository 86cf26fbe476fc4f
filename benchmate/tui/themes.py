"""Three themes, each a table of roles: what a role looks like is said here and nowhere else.

Every pair of text and ground keeps a contrast of at least 4.5 (7 in high contrast), by the
formula of WCAG 2; a test holds them to it. The hues keep apart for the colour-blind, and no role
is told from another by its hue alone.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from rich.style import Style
from textual.theme import Theme

BOLD = ("strong", "key", "spoil", "alarm")
ROLES = ("plain", "dim", "strong", "key", "good", "caution", "spoil", "alarm")


class Palette(NamedTuple):
    """One theme's colours, as #rrggbb."""

    name: str
    ground: str
    """Behind everything."""
    box: str
    """Behind a line that is typed."""
    inks: dict[str, str]
    """Per role, on ground and box; "alarm" is on `alarm_ground`."""
    alarm_ground: str
    dark: bool = True

    @property
    def id(self) -> str:
        """The name under which the screens know it."""
        return "bench-" + self.name.replace(" ", "-")

    def variables(self) -> dict[str, str]:
        """The style sheet's variables: $role-plain … and $alarm-ground."""
        return {f"role-{r}": ink for r, ink in self.inks.items()} | {
            "alarm-ground": self.alarm_ground
        }

    def theme(self) -> Theme:
        """The same as a theme of the screen library."""
        inks = self.inks
        return Theme(
            name=self.id,
            primary=inks["key"],
            secondary=inks["dim"],
            accent=inks["key"],
            warning=inks["caution"],
            error=inks["spoil"],
            success=inks["good"],
            foreground=inks["plain"],
            background=self.ground,
            surface=self.ground,
            panel=self.box,
            boost=self.box,
            dark=self.dark,
            variables=self.variables(),
        )


def _inks(*colours: str) -> dict[str, str]:
    return dict(zip(ROLES, colours, strict=True))


DARK = Palette(
    "dark",
    "#101418",
    "#262E36",
    _inks("#D8DEE4", "#9AA7B3", "#FFFFFF", "#6CC0F5", "#4FD0A5", "#F0B840", "#FF9A66", "#101010"),
    "#FF9A66",
)
LIGHT = Palette(
    "light",
    "#FBFAF5",
    "#E8E4D8",
    _inks("#1F2328", "#535B63", "#000000", "#004E82", "#005F45", "#6E4300", "#982600", "#FFFFFF"),
    "#982600",
    dark=False,
)
HIGH_CONTRAST = Palette(
    "high contrast",
    "#000000",
    "#1C1C1C",
    _inks("#FFFFFF", "#D4D4D4", "#FFFFFF", "#8FD8FF", "#7CFFB2", "#FFE14D", "#FFB59A", "#000000"),
    "#FFE14D",
)
PALETTES = {p.name: p for p in (DARK, LIGHT, HIGH_CONTRAST)}
"""By the name in the settings file, in the order in which a key cycles through them."""


def after(name: str) -> Palette:
    """The next theme round the circle."""
    names = list(PALETTES)
    return PALETTES[names[(names.index(name) + 1) % len(names)]]


@cache
def role_style(theme: str, role: str, *, colour: bool) -> Style:
    """How text in a role is painted. Without colour only weight, underline and reversal are left.

    Worked out here and not by the style sheet: a class for every role in every block of lines
    would cost the first frame more than all the lines do.
    """
    bold = role in BOLD
    if not colour:
        return Style(bold=bold, underline=role == "spoil", reverse=role == "alarm")
    palette = next((p for p in PALETTES.values() if p.id == theme), DARK)
    ground = palette.alarm_ground if role == "alarm" else None
    return Style(color=palette.inks[role], bgcolor=ground, bold=bold)
