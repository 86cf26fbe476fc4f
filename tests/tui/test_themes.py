"""Contrast by the formula of WCAG 2 (relative luminance, contrast ratio), checked against itself
on the ratios that a general library gives."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.style import Style

from benchmate.tui.app import BenchApp
from benchmate.tui.themes import DARK, HIGH_CONTRAST, PALETTES, ROLES, Palette, after
from benchmate.tui.widgets.lines import Lines
from tests.tui.benches import Shop


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
        ("#777777", "#ffffff", 4.478089453577214),  # wcag-contrast-ratio 0.9: fails 4.5
        ("#767676", "#ffffff", 4.542225),
        ("#949494", "#ffffff", 3.033469),
        ("#959595", "#ffffff", 2.995346),
        ("#595959", "#ffffff", 7.004729),
        ("#0000ff", "#ffffff", 8.592471),
        ("#ffff00", "#000000", 19.556),
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


# NO_COLOR ------------------------------------------------------------------------------------


async def _styles(app: BenchApp) -> list[Style]:
    """Every style on the screen after the app's own filters, as the terminal gets it."""
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        out = []
        for block in app.screen.query(Lines):
            for y in range(block.size.height):
                strip = block.render_line(y)
                for line_filter in app._filters:
                    if line_filter.enabled:
                        strip = strip.apply_filter(line_filter, block.background_colors[1])
                out += [s.style for s in strip if s.style is not None]
        return out


def _missed(tmp_path: Path) -> BenchApp:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.clock.tick(31 * 60.0)
    return BenchApp(shop.bench)


async def test_no_color_leaves_no_colour_but_weight_and_reversal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    found = await _styles(_missed(tmp_path))
    coloured = [
        s for s in found for c in (s.color, s.bgcolor) if c is not None and not c.is_default
    ]
    assert found
    assert coloured == []
    assert any(s.bold for s in found)
    assert any(s.reverse for s in found)


async def test_without_no_color_the_roles_have_their_colours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    found = await _styles(_missed(tmp_path))
    shown = {s.color.name for s in found if s.color is not None}
    assert DARK.inks["plain"].lower() in {name.lower() for name in shown}
