"""A plan of a document, as a start makes it, without judging what is doubtful."""

from __future__ import annotations

from typing import Unpack

from benchmate.bench.starting.proofing import made_of
from benchmate.plan.plan import Plan
from benchmate.procedure.expanding.expand import Sources
from benchmate.procedure.file.document import Document


def expand(document: Document, **sources: Unpack[Sources]) -> Plan:
    """Raises ProcedureError with everything that is wrong."""
    return made_of(document, sources, judge=False).plan
