"""The library's driver, made to outlive its terminal.

The library's writing thread dies of the first write that a closed window refuses. Its queue then
fills up, and whoever writes next waits for ever: the main thread, in which everything ends.
"""

from __future__ import annotations

import sys
from codecs import IncrementalDecoder, getincrementaldecoder
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from typing import Any, cast

from textual.driver import Driver


class Outlived:
    """A file for output that nobody misses when the terminal is gone."""

    def __init__(self, file: Any) -> None:
        self._file = file

    def write(self, text: str) -> int:
        """Write, or let it go."""
        with suppress(OSError, ValueError):
            self._file.write(text)
        return len(text)

    def flush(self) -> None:
        """Flush, or let it go."""
        with suppress(OSError, ValueError):
            self._file.flush()

    def fileno(self) -> int:
        """The number below."""
        return int(self._file.fileno())


class _Outliving:
    """What is laid over a driver of the library's."""

    _must_signal_resume: bool

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._file = Outlived(cast("Any", self)._file)

    def _sigcont_application(self, *_: object) -> None:
        """Start again only what was suspended: a closed terminal sends this signal too, and a
        second set of threads would then never end."""
        if self._must_signal_resume:
            cast("Any", super())._sigcont_application()


class _Unshaken:
    """Laid over the library's parser of keys: a sequence that names no character is no key."""

    def _parse_extended_key(self, sequence: str) -> Any:
        try:
            return cast("Any", super())._parse_extended_key(sequence)
        except (ValueError, OverflowError):
            return None


def _forgiving(encoding: str) -> Callable[..., IncrementalDecoder]:
    """A decoder that shows what is no text as "�" instead of ending the thread that reads keys."""
    return partial(getincrementaldecoder(encoding), errors="replace")


def outliving(kind: type[Driver]) -> type[Driver]:
    """The same driver, which outlives its terminal; as it is where there is no such thing."""
    module = sys.modules[kind.__module__]
    if hasattr(module, "getincrementaldecoder"):
        # A stray byte from a serial cable or a paste of another encoding must not end the bench.
        cast("Any", module).getincrementaldecoder = _forgiving
    parser = getattr(module, "XTermParser", None)
    if parser is not None and not issubclass(parser, _Unshaken):
        cast("Any", module).XTermParser = type("UnshakenParser", (_Unshaken, parser), {})
    if not hasattr(kind, "_sigcont_application"):
        return kind
    return type(f"Outliving{kind.__name__}", (_Outliving, kind), {})
