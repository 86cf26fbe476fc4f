"""How the tables are laid out, and how an older layout becomes today's.

Migrations are an ordered list of named functions; each is applied together with its own record
in one transaction. Once released, a migration is never changed: add another.
"""

from __future__ import annotations

from collections.abc import Callable

from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged, JournalNewer

Migration = Callable[[Database], None]


def first_layout(database: Database) -> None:
    """Events with their chain, where each stream stands, and what was said to whom."""
    # The hash stands before the data: reading a row's hash alone then never touches the
    # overflow pages of a long event.
    database.run(
        """CREATE TABLE events (
            seq INTEGER PRIMARY KEY,
            stream TEXT NOT NULL,
            version INTEGER NOT NULL,
            hash BLOB NOT NULL,
            data BLOB NOT NULL,
            UNIQUE (stream, version))"""
    )
    database.run(
        """CREATE TABLE streams (
            stream TEXT PRIMARY KEY,
            version INTEGER NOT NULL,
            is_open INTEGER NOT NULL,
            guard BLOB NOT NULL) WITHOUT ROWID"""
    )
    database.run(
        """CREATE TABLE deliveries (
            id INTEGER PRIMARY KEY,
            key TEXT NOT NULL,
            channel TEXT NOT NULL,
            state TEXT NOT NULL CHECK (state IN
                ('about to', 'sent', 'failed', 'acknowledged', 'call again at')),
            at_wall REAL NOT NULL,
            detail TEXT NOT NULL,
            UNIQUE (key, channel))"""
    )
    database.run("CREATE INDEX deliveries_by_state ON deliveries (state, at_wall)")


def deliveries_by_time(database: Database) -> None:
    """What was said lately is asked every second, and what was said in all only grows."""
    database.run("CREATE INDEX deliveries_by_time ON deliveries (at_wall)")


MIGRATIONS: tuple[tuple[str, Migration], ...] = (
    ("first layout", first_layout),
    ("deliveries by time", deliveries_by_time),
)
READ_WITHOUT = frozenset({"deliveries by time"})
"""Migrations that only help writing or speed: a journal that lacks them reads as well. Whoever only
asks what is next, from a shell prompt perhaps, needn't wait for a bench, nor for the right to
write. A migration that changes what a reading statement names doesn't belong here."""


def applied(database: Database) -> list[str]:
    """The names of the migrations this file has had, in order; none for an empty file.

    Raises `Damaged` for an SQLite file that is something else than a journal.
    """
    tables = {name for (name,) in database.run("SELECT name FROM sqlite_master")}
    if not tables:
        return []
    if "migrations" not in tables:
        raise Damaged(f"{database.path} is a database, but not a logbook of benchmate's.")
    return [name for (name,) in database.run("SELECT name FROM migrations ORDER BY position")]


def pending(database: Database) -> list[tuple[str, Migration]]:
    """What still has to be applied. Raises `JournalNewer` for a layout from the future, `Damaged`
    for one that no version ever had: migrations are only ever added at the end."""
    done, known = applied(database), [name for name, _ in MIGRATIONS]
    if done[: len(known)] != known[: len(done)]:
        raise Damaged(f"The list of layouts in {database.path} can't be read as one.")
    if len(done) > len(known):
        raise JournalNewer(
            f"{database.path} was laid out by a newer benchmate ({done[-1]!r} is unknown here). "
            "Open it with that version; this one leaves it alone."
        )
    return list(MIGRATIONS[len(done) :])


def is_readable(database: Database) -> bool:
    """Whether today's reading statements fit the layout, the newest one or an older one.

    Raises as `pending` does.
    """
    return bool(applied(database)) and all(name in READ_WITHOUT for name, _ in pending(database))


def migrate(database: Database) -> None:
    """Bring a journal to today's layout. Two processes may do it at once."""
    while pending(database):
        with database.transaction():
            # Asked again under the lock: another process may have been first.
            for name, migration in pending(database)[:1]:
                migration(database)
                _record(database, name)


def _record(database: Database, name: str) -> None:
    database.run(
        "CREATE TABLE IF NOT EXISTS migrations (position INTEGER PRIMARY KEY, name TEXT NOT NULL)"
    )
    database.run("INSERT INTO migrations (name) VALUES (?)", (name,))
