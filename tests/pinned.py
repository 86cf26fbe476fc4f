"""What benchmate and its tests install: pinned in constraints.txt, licences in docs/licences.md.

python -m tests.pinned          lay both files down from what is installed here
python -m tests.pinned --audit  ask the advisory database about each pinned release
"""

from __future__ import annotations

import json
import subprocess
import sys
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]
PINS, LICENCES = ROOT / "constraints.txt", ROOT / "docs" / "licences.md"
HEAD = """\
# Licences

Every release that `pip install -c constraints.txt ".[dev,all]"` brings in, for benchmate itself
or for its tests, with the licence that it states. Written by `python -m tests.pinned`.

| package | release | for | licence |
|---|---|---|---|
"""


def needed(*extras: str) -> dict[str, metadata.Distribution]:
    """All that these extras of benchmate need on this machine, by canonical name."""
    waiting: list[tuple[str, frozenset[str]]] = [("benchmate", frozenset(extras))]
    looked, found = set(waiting), {}
    while waiting:
        name, wanted = waiting.pop()
        found[canonicalize_name(name)] = one = metadata.distribution(name)
        for text in one.requires or ():
            need = Requirement(text)
            marker = need.marker
            if marker and not any(marker.evaluate({"extra": e}) for e in {"", *wanted}):
                continue
            further = (need.name, frozenset(need.extras))
            if further not in looked:
                looked.add(further)
                waiting.append(further)
    del found["benchmate"]
    return dict(sorted(found.items()))


def licence(of: metadata.Distribution) -> str:
    """What it says in one line: its expression, its line, or its classifier."""
    told = of.metadata.get("License-Expression") or of.metadata.get("License") or ""
    classes = of.metadata.get_all("Classifier") or ()
    named = [c.rpartition(" :: ")[2] for c in classes if c.startswith("License ::")]
    return told if told and "\n" not in told and len(told) < 90 else ", ".join(named) or "not said"


def pins() -> dict[str, str]:
    """The releases that constraints.txt names."""
    lines = PINS.read_text(encoding="utf-8").splitlines()
    return dict(line.split("==") for line in lines if "==" in line)


def lay_down() -> None:
    """Both files, from what is installed here."""
    ships, tests = needed("all"), needed("all", "dev")
    head = "# Tested releases; `make` installs these. Written by `python -m tests.pinned`.\n"
    lines = [f"{name}=={one.version}\n" for name, one in tests.items()]
    PINS.write_text(head + "".join(lines), encoding="utf-8")
    rows = [
        f"| {n} | {one.version} | {'benchmate' if n in ships else 'tests'} | {licence(one)} |\n"
        for n, one in tests.items()
    ]
    LICENCES.write_text(HEAD + "".join(rows), encoding="utf-8")


def audit() -> str:
    """What the advisory database says of the pinned releases, in one line."""
    command = [sys.executable, "-m", "pip_audit", "--no-deps", "--disable-pip", "-f", "json"]
    try:
        done = subprocess.run(
            [*command, "-r", str(PINS)], capture_output=True, text=True, timeout=300, check=False
        )
        looked = json.loads(done.stdout)["dependencies"]
    except (subprocess.TimeoutExpired, ValueError, KeyError) as error:
        return f"not audited: no answer from the advisory database ({type(error).__name__})"
    known = [f"{one['name']} {v['id']}" for one in looked for v in one.get("vulns", ())]
    unknown = sum("skip_reason" in one for one in looked)
    return (
        f"{len(looked) - unknown} of {len(looked)} pinned releases audited, "
        f"{unknown} the database gave no answer for; vulnerable: {', '.join(known) or 'none'}"
    )


if __name__ == "__main__":
    print(audit()) if "--audit" in sys.argv else lay_down()
