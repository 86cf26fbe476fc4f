"""Events and their bytes: every kind survives them, and nothing in them can stop a reader."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.job.events import stored as ev
from benchmate.job.words.event_text import tell
from tests.strategies import KINDS, structs

MOMENTS = b'"happened":[1,null,null],"recorded":[1,null,null]'


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: str(k.__struct_config__.tag))
def test_every_kind_of_event_reads_back_as_it_was_written(kind: type[msgspec.Struct]) -> None:
    @settings(max_examples=20)
    @given(structs(kind))
    def holds(event: ev.AnyEvent) -> None:
        data = ev.encode(event)
        assert ev.decode(data) == event
        assert ev.encode(event) == data
        assert ev.kind_of(event) in ev.KINDS
        assert tell(event)

    holds()


def test_no_two_kinds_share_a_name() -> None:
    assert len(ev.KINDS) == len(KINDS)


UNREADABLE = [
    (b"", "", 0),
    (b"{", "", 0),
    (b"\xff\xfe\x00", "", 0),
    (b"[1, 2]", "", 0),
    (b'{"schema":1}', "", 0),
    (b'{"kind":7}', "", 0),
    (b'{"kind":"done","address":"\xff",' + MOMENTS + b"}", "done", 1),
    (b'{"kind":"levitated",' + MOMENTS + b"}", "levitated", 1),
    (b'{"kind":"levitated","schema":99,' + MOMENTS + b"}", "levitated", 99),
    (b'{"kind":"done","schema":99,"where":"x",' + MOMENTS + b"}", "done", 99),
    (b'{"kind":"done","schema":99,"address":"x",' + MOMENTS + b"}", "done", 99),
    (b'{"kind":"weighed","address":"x","net_g":null,' + MOMENTS + b"}", "weighed", 1),
    (
        b'{"kind":"missed answered","window":"w","answer":"sung to",' + MOMENTS + b"}",
        "missed answered",
        1,
    ),
    (b'{"kind":"x","deep":' + b"[" * 50_000 + b"]" * 50_000 + b"}", "", 0),
]


@pytest.mark.parametrize(("data", "kind", "schema"), UNREADABLE, ids=range(len(UNREADABLE)))
def test_bytes_that_can_t_be_read_are_an_unknown_event_and_no_error(
    data: bytes, kind: str, schema: int
) -> None:
    event = ev.decode(data)
    assert event == ev.Unknown(kind=kind, schema=schema)
    assert "newer benchmate" in tell(event)


@given(st.binary(max_size=60))
def test_any_bytes_at_all_are_read_without_an_error(data: bytes) -> None:
    ev.decode(data)
