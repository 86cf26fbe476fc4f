"""What a maker may set. Each has a default that is meant to be right for one who sets nothing.

What changes a state or a verdict is an event in the journal and not a setting looked up later:
`near_fraction` and `scale` are only what a new journal begins with.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from msgspec import Struct

from benchmate.fields.types import (
    DURATION,
    MASS,
    Flag,
    Reads,
    Text,
    pattern,
    ratio_to_one,
    text,
    whole,
    word,
)
from benchmate.fields.wording import kind_of_value, shown, words_of
from benchmate.settings.cutting import USUAL_CUTTING, CuttingSettings
from benchmate.settings.shop import NO_SHOP, ShopSettings
from benchmate.settings.spans import Span

CHANNELS = ("terminal", "sound", "speech", "desktop", "message", "command")


def _list(value: Any) -> list[str]:
    """A list of texts; never quotes what it refuses, which may be a secret."""
    if not isinstance(value, (list, tuple)):
        raise ValueError(f"{kind_of_value(value)} is not a list in [ ]")
    odd = next((v for v in value if not isinstance(v, str)), None)
    if odd is not None:
        raise ValueError(f"{kind_of_value(odd)} in a list of texts in quotes")
    return list(value)


def _spans(value: Any) -> tuple[str, ...]:
    return tuple(_span(text) for text in _list(value))


def _span(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{kind_of_value(value)} is not a span of time in quotes")
    try:
        Span.read(value)
    except ValueError:
        raise ValueError(f"{shown(value)} is no span of time") from None
    return value


def _channels(value: Any) -> tuple[str, ...]:
    for name in _list(value):
        if name not in CHANNELS:
            wrong = f"{shown(name)} is no way to be reached"
            raise ValueError(f"{wrong}; write {words_of(CHANNELS)}")
    return tuple(value)


def _mass_text(value: Any) -> str:
    MASS(value)
    return str(value)


def _time_text(value: Any) -> str:
    DURATION(value)
    return str(value)


Spans = Annotated[tuple[str, ...], Reads(_spans, ["18:00-22:00"])]
Secrets = Annotated[tuple[str, ...], Reads(lambda v: tuple(_list(v)), ["…", "…"])]
ShortName = Annotated[str, text(least=1, most=40)]


class Hours(Struct, frozen=True):
    """Shop hours: none, one or several spans for each weekday, as text; `on` reads them."""

    mon: Spans = ("18:30-22:00",)
    tue: Spans = ("18:30-22:00",)
    wed: Spans = ("18:30-22:00",)
    thu: Spans = ("18:30-22:00",)
    fri: Spans = ("18:30-22:00",)
    sat: Spans = ("09:00-18:00",)
    sun: Spans = ("10:00-17:00",)

    def on(self, weekday: int) -> tuple[Span, ...]:
        """The spans of a weekday, Monday being 0."""
        day = self.__struct_fields__[weekday]
        return tuple(Span.read(text) for text in getattr(self, day))


def _where(value: Any) -> str:
    if value == "":
        return ""
    ways = [part.strip() for part in value.split("/")] if isinstance(value, str) else []
    if len(ways) != 2 or any(way not in WAYS for way in ways):
        raise ValueError(f"{shown(value)} is not two of {words_of(WAYS)}, one each side of a /")
    return " / ".join(ways)


WAYS = ("shop", "phone", "both", "none")
Where = Annotated[str, Reads(_where, "shop / phone")]


class ByStage(Struct, frozen=True):
    """Where a stage is said, at the bench / away; "" leaves it to the table."""

    soon: Where = ""
    opens: Where = ""
    full: Where = ""
    weigh: Where = ""
    closing: Where = ""
    missed: Where = ""


PhoneWhen = Literal["away", "always", "spoils", "never"]


class Reminding(Struct, frozen=True):
    """How the maker is reached."""

    channels: Annotated[tuple[str, ...], Reads(_channels, ["terminal", "sound"])] = CHANNELS
    """The kinds that may be used at all."""
    quiet: Annotated[str, Reads(_span, "22:00-07:00")] = "22:00-07:00"
    """Holds back all but what spoils something; "" holds back nothing."""
    addresses: Secrets = ()
    """Phone, mail or chat. Secrets: in no logbook, no export, no error and no `repr`."""
    urgent: Secrets = ()
    """Further addresses, only for what spoils something: their priority stands in the address."""
    phone: Annotated[PhoneWhen, word("away", "always", "spoils", "never")] = "away"
    by_stage: ByStage = ByStage()
    digest: Flag = True
    """Whether leaving sends what comes before the shop opens again."""
    command: Secrets = ()
    """The maker's own program and its arguments, which may hold secrets too."""
    volume: Annotated[float, ratio_to_one(0.7)] = 0.7
    speech: Flag = True

    @property
    def quiet_span(self) -> Span:
        """The quiet hours as a span, empty for none."""
        return Span.read(self.quiet)

    def __repr__(self) -> str:
        return f"Reminding(channels={self.channels}, quiet={self.quiet!r}, ...)"

    def __rich_repr__(self) -> list[tuple[str, object]]:
        return [("channels", self.channels), ("quiet", self.quiet)]


AirFormat = Literal["number", "millidegrees", "csv", "json"]


class AirSource(Struct, frozen=True):
    """A file in which another program or the kernel keeps the shop's temperature."""

    file: Text = ""
    format: Annotated[AirFormat, word("number", "millidegrees", "csv", "json")] = "number"
    field: Text = ""
    humidity_field: Text = ""
    time_field: Text = ""
    """A column with the time of each reading; "" tries the usual names."""
    unit: Annotated[Literal["", "°C", "°F"], word("", "°C", "°F")] = ""
    """Of numbers without a unit; "" is °C."""
    place: ShortName = "shop"


class ScaleDefaults(Struct, frozen=True):
    """What is taken for a scale that nobody has described yet."""

    name: ShortName = "scale"
    division: Annotated[str, Reads(_mass_text, "0.1 g")] = "1 g"
    """As its display counts; a quantity, "0.1 g"."""
    port: Text = ""
    """Where its cable ends, or "usb"; "" for none, and then nothing of it is ever loaded."""
    speed: Annotated[int, whole(300, 921_600)] = 9600
    line: Text = ""
    """How its lines read, as an expression; `benchmate scale listen` proposes one."""
    unit: Annotated[Literal["", "g", "kg", "oz", "lb"], word("", "g", "kg", "oz", "lb")] = ""
    """Of lines that name none; never guessed."""
    comma: Flag = False
    ask: Text = ""
    """What it must be sent to answer."""
    every: Annotated[str, Reads(_time_text, "0.5 s")] = "0.5 s"
    """How often it is asked."""
    divide: Annotated[int, whole(1, 10_000)] = 1
    """For lines without a point: 10 where 1284 is 128.4."""
    by_itself: Flag = False
    """Whether a weighing that begins with an empty scale is recorded once it stands still."""
    check: Flag = True
    """Whether a known weight is asked for before a job's first weighing."""


class PageSettings(Struct, frozen=True):
    """The page for a phone or tablet in the local network. Off, nothing listens."""

    on: Flag = False
    address: Text = ""
    """This machine's, a private one; "" for the one that leads to the network."""
    port: Annotated[int, whole(1024, 65535)] = 8765
    certificate: Text = ""
    key: Text = ""
    """Files of the shop's own certificate, for who has one."""


Theme = Literal["dark", "light", "high contrast"]


class Settings(Struct, frozen=True):
    """Everything a maker may set."""

    units: Annotated[Literal["metric", "inch"], word("metric", "inch")] = "metric"
    theme: Annotated[Theme, word("dark", "light", "high contrast")] = "dark"
    glove_key: Annotated[str, pattern(r"[a-z0-9_+]{1,30}", "space")] = "space"
    near_fraction: Annotated[float, ratio_to_one(0.5, above=0.0)] = 2 / 3
    hours: Hours = Hours()
    reminders: Reminding = Reminding()
    air: AirSource = AirSource()
    scale: ScaleDefaults = ScaleDefaults()
    page: PageSettings = PageSettings()
    shop: ShopSettings = NO_SHOP
    cutting: CuttingSettings = USUAL_CUTTING
