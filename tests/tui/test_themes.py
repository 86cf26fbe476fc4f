"""Contrast by the formula of WCAG 2 (relative luminance, contrast ratio), checked against itself
on the ratios that a general library gives."""

from __future__ import annotations

import pytest

from benchmate.tui.themes import HIGH_CONTRAST, PALETTES, ROLES, Palette, after


def _linear(channel: int) -> float:
    c = channel / 255
    return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4


def _luminance(colour: str) -> float:
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.2126 * _linear(red) + 0.7152 * _linear(green) + 0.0722 * _linear(blue)


def contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#777777", "#ffffff", 4.478089453577214),  # wcag-contrast-ratio 0.9
        ("#ff0000", "#ffffff", 3.9984767707539985),  # the same
        ("#00ff00", "#000000", 15.304),
    ],
)
def test_the_formula_gives_the_ratios_of_a_general_library(
    one: str, other: str, ratio: float
) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize("palette", PALETTES.values(), ids=list(PALETTES))
@pytest.mark.parametrize("role", ROLES)
def test_every_role_can_be_read_on_every_ground(palette: Palette, role: str) -> None:
    least = 7.0 if palette is HIGH_CONTRAST else 4.5
    grounds = (palette.alarm_ground,) if role == "alarm" else (palette.ground, palette.box)
    for ground in grounds:
        assert contrast(palette.inks[role], ground) >= least


def test_the_key_goes_round_all_themes() -> None:
    seen, name = [], "dark"
    for _ in PALETTES:
        name = after(name).name
        seen.append(name)
    assert sorted(seen) == sorted(PALETTES)
