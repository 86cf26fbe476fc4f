"""Where `benchmate` starts. Commands load their own modules, and only their own."""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> None:
    """Run a command, or open the bench where none is given. Ends the process."""
    words = list(sys.argv[1:] if argv is None else argv)
    if words == ["next"]:
        # A shell prompt asks this all day long: it takes the short way round the command parser.
        from benchmate.cli.next import quick

        sys.exit(quick())
    from benchmate.cli.group import cli

    cli.main(args=words, prog_name="benchmate")


if __name__ == "__main__":
    main()
