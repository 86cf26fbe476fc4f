"""A small file of the procedure language, and what is asked of the plan it comes to."""

from typing import Any

import pytest

from benchmate.fields.problem import ProcedureError
from benchmate.plan.plan import Plan, Step
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import library
from benchmate.shelf import FAMILIES
from tests.plans import expand

FILLED = """
name  = "Weights"
makes = 2
[parts.block]
wood = "black walnut"
size = "120 x 90 x 54 mm"
[parts.block.void]
shape = "slot"
size  = "80 x 30 x 47 mm"
cap   = "1.5 mm"
[parts.cover]
wood = "black walnut"
size = "120 x 90 x 6 mm"
[materials]
shot  = "steel 2 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
oil   = "hard oil"
"""

JOINT = (
    FILLED
    + '[[steps]]\nuse = "shot pour"\npart = "block"\n[[steps]]\n'
    + ('use = "wood-glue joint in clamps"\nof = ["block", "cover"]\n')
)


def plan_of(text: str, **rest: Any) -> Plan:
    document = load(text, "test.toml", library())
    return expand(document, **{"job_id": "j", "materials": {}, "families": FAMILIES, **rest})


def step(plan: Plan, tail: str) -> Step:
    found = [s for s in plan.steps if s.address.endswith(tail)]
    assert len(found) == 1, [s.address for s in plan.steps]
    return found[0]


def refusal(text: str, **rest: Any) -> str:
    with pytest.raises(ProcedureError) as caught:
        plan_of(text, **rest)
    return str(caught.value)
