"""`python -m benchmate`."""

from benchmate.cli.entry import main

main()
