"""What a maker may set. Each has a default that is meant to be right for one who sets nothing.

What changes a state or a verdict is an event in the journal and not a setting looked up later:
`near_fraction` and `scale` are only what a new journal begins with.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from benchmate.settings.spans import Span

Channel = Literal["terminal", "sound", "speech", "desktop", "message", "command"]
Mass = Annotated[str, Meta(pattern=r"^\d+([.,]\d+)? ?(g|kg|oz|lb)$")]


class Hours(Struct, frozen=True, forbid_unknown_fields=True):
    """Shop hours: none, one or several spans for each weekday, as text; `on` reads them."""

    mon: tuple[str, ...] = ("18:30-22:00",)
    tue: tuple[str, ...] = ("18:30-22:00",)
    wed: tuple[str, ...] = ("18:30-22:00",)
    thu: tuple[str, ...] = ("18:30-22:00",)
    fri: tuple[str, ...] = ("18:30-22:00",)
    sat: tuple[str, ...] = ("09:00-18:00",)
    sun: tuple[str, ...] = ("10:00-17:00",)

    def on(self, weekday: int) -> tuple[Span, ...]:
        """The spans of a weekday, Monday being 0."""
        texts = (self.mon, self.tue, self.wed, self.thu, self.fri, self.sat, self.sun)[weekday]
        return tuple(Span.read(text) for text in texts)


class Reminding(Struct, frozen=True, forbid_unknown_fields=True):
    """How the maker is reached."""

    channels: tuple[Channel, ...] = (
        "terminal",
        "sound",
        "speech",
        "desktop",
        "message",
        "command",
    )
    """The kinds that may be used at all."""
    quiet: str = "22:00-07:00"
    """Holds back all but what spoils something; "" holds back nothing."""
    addresses: tuple[str, ...] = ()
    """Phone, mail or chat. Secrets: in no logbook, no export, no error and no `repr`."""
    command: tuple[str, ...] = ()
    """The maker's own program and its arguments, which may hold secrets too."""
    volume: Annotated[float, Meta(ge=0, le=1)] = 0.7
    speech: bool = True

    @property
    def quiet_span(self) -> Span:
        """The quiet hours as a span, empty for none."""
        return Span.read(self.quiet)

    def __repr__(self) -> str:
        return f"Reminding(channels={self.channels}, quiet={self.quiet!r}, ...)"

    def __rich_repr__(self) -> list[tuple[str, object]]:
        return [("channels", self.channels), ("quiet", self.quiet)]


class AirSource(Struct, frozen=True, forbid_unknown_fields=True):
    """A file in which another program or the kernel keeps the shop's temperature."""

    file: str = ""
    format: Literal["number", "millidegrees", "csv", "json"] = "number"
    field: str = ""
    humidity_field: str = ""
    place: Annotated[str, Meta(min_length=1, max_length=40)] = "shop"


class ScaleDefaults(Struct, frozen=True, forbid_unknown_fields=True):
    """What is taken for a scale that nobody has described yet."""

    name: Annotated[str, Meta(min_length=1, max_length=40)] = "scale"
    division: Mass = "1 g"
    """As its display counts; a quantity, "0.1 g"."""


class Settings(Struct, frozen=True, forbid_unknown_fields=True):
    """Everything a maker may set."""

    units: Literal["metric", "inch"] = "metric"
    theme: Literal["dark", "light", "high contrast"] = "dark"
    glove_key: Annotated[str, Meta(pattern=r"^[a-z0-9_+]{1,30}$")] = "space"
    near_fraction: Annotated[float, Meta(gt=0, le=1)] = 2 / 3
    hours: Hours = Hours()
    reminders: Reminding = Reminding()
    air: AirSource = AirSource()
    scale: ScaleDefaults = ScaleDefaults()


_SPAN = 'a span such as "18:00-22:00"'
EXPECTED = {
    "units": '"metric" or "inch"',
    "theme": '"dark", "light" or "high contrast"',
    "glove_key": 'the name of a key, such as "space"',
    "near_fraction": "a number above 0, at most 1",
    "hours": 'a section [hours] of weekdays, each with a list of spans: mon = ["18:00-22:00"]',
    **dict.fromkeys(
        [f"hours.{day}" for day in Hours.__struct_fields__], f"a list of spans, each {_SPAN}"
    ),
    "reminders": "a section [reminders]",
    "reminders.channels": "a list of terminal, sound, speech, desktop, message and command",
    "reminders.quiet": f'{_SPAN}, or "" for none',
    "reminders.addresses": "a list of addresses in quotes",
    "reminders.command": "a list: the program, then each of its arguments, in quotes",
    "reminders.volume": "a number from 0 to 1",
    "reminders.speech": "true or false",
    "air": "a section [air]",
    "air.file": "the path of a file in quotes",
    "air.format": '"number", "millidegrees", "csv" or "json"',
    "air.field": "the name of a column or field in quotes",
    "air.humidity_field": "the name of a column or field in quotes",
    "air.place": "a short name in quotes",
    "scale": "a section [scale]",
    "scale.name": "a short name in quotes",
    "scale.division": 'a weight such as "0.1 g"',
}
"""What belongs in each place, as the end of the sentence "... should be ..."."""

SECRET = frozenset({"reminders.addresses", "reminders.command"})
"""Whose values are never quoted, not even to say what is wrong with them."""
