"""What the terminal shows, cell by cell, and what the screen's own blocks say it should show."""

from __future__ import annotations

from textual.app import App
from textual.widgets import Input, OptionList

from benchmate.tui.pages.flags import FlagsScreen
from benchmate.tui.widgets.lines import Lines


def painted(app: App[None]) -> str:
    """The terminal's cells as text, row by row: what stands on the screen, questions included."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def missing_rows(app: App[None]) -> list[str]:
    """Rows that a block of the screen in front says it shows, and that the terminal doesn't.

    The cells are compared where the block stands, so that a page that paints one row, or the
    right rows in the wrong place, is found out. A line that is typed lies over its row.
    """
    rows = painted(app).splitlines()
    boxes = {box.region.y for box in app.screen.query(Input) if box.display}
    gone: list[str] = []
    for block in app.screen.query(Lines):
        area = block.region
        texts = block.text.splitlines() if block.display else []
        for n, text in enumerate(texts):
            y = area.y + n
            there = rows[y][area.x :] if y < len(rows) else ""
            if text.strip() and y not in boxes and not there.startswith(text.rstrip()):
                gone.append(text)
    return gone


def said(app: App[None], *names: str) -> str:
    """The text of every block of the screen in front (or of the named ones), answers to choose
    from included."""
    blocks = [b for b in app.screen.query(Lines) if b.display and (not names or b.id in names)]
    texts = [block.text for block in blocks]
    for listed in app.screen.query(OptionList) if not names or "options" in names else ():
        texts += [str(option.prompt) for option in listed.options]
    return "\n".join(texts)


def to_offer(app: App[None]) -> None:
    """The mark of the page of flags to the adjustment on offer."""
    page = app.screen
    assert isinstance(page, FlagsScreen)
    page.mark(next(i.what for i in page.items(76) if i.what and i.what[0] == "offer"))  # type: ignore[index]
