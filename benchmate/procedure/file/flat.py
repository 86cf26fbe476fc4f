"""A step of the file once its block is worked out."""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.fields.problem import Where
from benchmate.procedure.file.acts import act_of
from benchmate.procedure.file.schema import FileNeed, Step


@dataclass(frozen=True)
class FlatStep:
    """One step after the blocks are worked out, with where it came from."""

    spec: Step
    key: str
    """Its name in addresses, unique in the procedure; what "next time" is about."""
    local: str
    """Its name within its block (or the file)."""
    group: str
    """Name of the step in the file that it came from."""
    block: str
    where: Where
    first: bool
    """First of its group: what the group's `after` holds for."""
    needs: tuple[FileNeed, ...] = ()
    """Of the first of its group: what its block wants to hand."""

    @property
    def act(self) -> str:
        """The act, as given or by the sentence."""
        return self.spec.act or act_of(self.spec.do)
