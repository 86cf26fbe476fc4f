"""Refusals: the one error tree of the core. Each is a sentence that says what to do."""

from __future__ import annotations

from benchmate.quantities.show import Units
from benchmate.quantities.worded import in_units


class Refused(Exception):  # noqa: N818  (a refusal is an answer, not a fault)
    """The command can't be done; nothing was recorded. The text is for the maker.

    Where it is a `Worded`, `say_in` has it speak in the maker's units.
    """

    def say_in(self, units: Units) -> None:
        """Speak in these units from now on."""
        if self.args:
            self.args = (in_units(self.args[0], units), *self.args[1:])


class UnknownAddress(Refused):
    """No such step, window or weighing in the job."""


class NotNow(Refused):
    """The act is not due: something before it is missing, or a window is shut."""


class TooCold(NotNow):
    """The air is so cold that the joint or film would be spoiled; `anyway` does it all the same."""


class TooLate(Refused):
    """A window closed before the act; the maker must say what became of it."""


class AlreadySo(Refused):
    """It has been recorded already."""


class JobClosed(Refused):
    """The job is stopped, finished or read-only."""


class RestsOn(Refused):
    """Other acts rest on the one to be taken back; they would have to go along."""

    def __init__(self, text: str, versions: tuple[int, ...]) -> None:
        super().__init__(text)
        self.versions = versions


class BadWeight(Refused):
    """A weight that can't be."""
