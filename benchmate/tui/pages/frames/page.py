"""What every full screen beside the bench shares: head, body, detail, one sentence, its keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.events import Resize
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.job.deciding import commands as cmd
from benchmate.refusal import Refused
from benchmate.tui.host import Host, host
from benchmate.tui.keys.table import binding
from benchmate.tui.present.lines import Line, Role, Span, line, rule, spread
from benchmate.tui.present.listing import Keys, key_lines, paragraph
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.widgets.lines import Lines

WIDE = 110
"""From so many cells on the detail stands beside the body, not below it."""


AT_ONCE = "That came all at once, with other keys: nothing was recorded. Press again."


class Page(Screen[str | None]):
    """Answers with a sentence for the bench where something was done, else None.

    A page overrides `title_line`, `body` and perhaps `detail`; they are asked anew whenever the
    shop has changed, and only lines that differ are painted.
    """

    DEFAULT_CSS = """
    Page #page-middle { height: auto; }
    Page.wide #page-middle { layout: horizontal; }
    Page #page-detail { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        binding("back", "leave"),
        binding("help", "help"),
    ]
    KEYS: ClassVar[Keys] = ()
    WIDE_FROM: ClassVar[int] = WIDE

    def __init__(self) -> None:
        super().__init__()
        self.said: tuple[str, Role] = ("", "caution")
        self._seen: object = None

    @property
    def bench(self) -> Bench:
        """The app's bench."""
        return self.host.bench

    @property
    def host(self) -> Host:
        """The app."""
        return host(self)

    # What a page says of itself --------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        """What the head says, left and right."""
        return "", ""

    def prepare(self, cells: int) -> None:
        """Whatever must be known before body and detail are asked."""

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        return ()

    def detail(self, cells: int) -> Sequence[Line]:
        """More about what is marked; beside the body where there is room, else below it."""
        return ()

    def keys(self) -> Keys:
        """The keys that matter now."""
        return self.KEYS

    # Showing ---------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """The blocks, top to bottom."""
        yield Lines(id="page-head")
        with Container(id="page-middle"):
            yield from self.compose_body()
            yield Lines(id="page-detail")
        yield Lines(id="page-said")
        yield Lines(id="page-keys")

    def compose_body(self) -> ComposeResult:
        """What stands in the middle."""
        yield Lines(id="page-body")

    def on_mount(self) -> None:
        """Look once a second whether somebody else has changed the shop."""
        self.set_interval(1.0, self._tick)

    def _tick(self) -> None:
        if self.is_current:
            self.tick()

    def tick(self) -> None:
        """Look again where the shop has changed; the app's own tick takes in others' events."""
        if self.bench.shop is not self._seen:
            self.look()

    def on_resize(self, event: Resize) -> None:
        """Lay everything out for the new size."""
        self.set_class(event.size.width >= self.WIDE_FROM, "wide")
        self.call_after_refresh(self.look)

    def on_screen_resume(self) -> None:
        """Something may have been done on the screen above."""
        self.look()

    @property
    def is_wide(self) -> bool:
        """Whether the detail stands beside the body."""
        return self.size.width >= self.WIDE_FROM

    def look(self) -> None:
        """Work out everything anew and repaint what changed."""
        cells, height = self.size.width, self.size.height
        if cells < 2 or height < 2 or not self.is_attached:
            return
        self._seen = self.bench.shop
        tall = height >= 10
        left, right = self.title_line()
        right = right if cells >= cell_len(left) + cell_len(right) + 4 else ""
        head: list[Line] = [
            spread(line(" ", Span(left, "strong")), line(Span(right, "dim"), " "), cells)
        ]
        head += [rule(cells)] if tall else []
        text, role = self.aside() if tall else self.said
        said = paragraph(text, cells - 1, 3 if tall else 1, role) if text else []
        keys = key_lines(self.keys(), cells, 2 if height >= 20 else 1) if height > 3 else []
        keys = [rule(cells), *keys] if tall and keys else keys
        room = max(1, height - len(head) - len(said) - len(keys))
        self.put("page-head", head)
        self.put("page-said", said)
        self.put("page-keys", keys)
        self._middle(cells, room)

    def _middle(self, cells: int, room: int) -> None:
        self.query_one("#page-middle").styles.height = room
        self.prepare(cells)
        if self.is_wide:
            side = self.side_cells(cells)
            detail = list(self.detail(side - 2))[:room]
            main = cells - side if detail else cells
            self.query_one("#page-detail").styles.width = side
            self.put("page-detail", detail, room)
            self.show_body(main, room)
            return
        detail = list(self.detail(cells)) if room >= 8 else []
        most = self.most_detail(room)
        detail = [rule(cells), *detail[: most - 1]] if detail else []
        self.query_one("#page-detail").styles.width = cells
        self.put("page-detail", detail)
        self.show_body(cells, room - len(detail))

    def show_body(self, cells: int, rows: int) -> None:
        """Fill the middle."""
        block = self.query_one("#page-body", Lines)
        block.styles.width = cells
        self.put("page-body", list(self.body(cells, rows)), rows)

    def put(self, name: str, rows: Sequence[Line], height: int | None = None) -> None:
        """Show lines in a block that is as high as they are, or as said."""
        block = self.query_one(f"#{name}", Lines)
        high = len(rows) if height is None else height
        block.display = high > 0 and (bool(rows) or name == "page-body")
        if block.styles.height is None or block.styles.height.value != high:
            block.styles.height = high
        block.show(rows)

    def side_cells(self, cells: int) -> int:
        """How wide the detail is where it stands beside the body."""
        return cells * 2 // 5

    def most_detail(self, room: int) -> int:
        """How many rows the detail may take of the middle, where it stands below the body."""
        return room * 2 // 5

    def aside(self) -> tuple[str, Role]:
        """What stands above the keys."""
        return self.said

    # Saying and doing ------------------------------------------------------------------------

    def say(self, text: str, role: Role = "caution") -> None:
        """One sentence above the keys, until the next."""
        self.said = (text, role)
        self.look()

    def do(self, job: str, command: cmd.Command, said: str) -> bool:
        """Do a command and say so; on a refusal say why. Nothing is kept that came in a burst
        nobody asked for."""
        if self.host.gate.in_burst:
            self.say(AT_ONCE)
            return False
        try:
            self.bench.do(job, command)
        except (Refused, JournalError) as error:
            self.say(str(error), "alarm" if isinstance(error, JournalError) else "caution")
            return False
        self.say(said)
        return True

    def ask(self, screen: Ask) -> None:
        """Put a question; its answer is said here."""
        self.app.push_screen(screen, lambda said: self.say(said) if said else self.look())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While the keys are locked, those that are left alive are meant for the bench."""
        return not self.host.hand.locked

    def action_help(self) -> None:
        """All keys of this screen."""
        self.host.open("help")

    def action_leave(self) -> None:
        self.dismiss(None)
