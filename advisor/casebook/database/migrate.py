"""Bringing a casebook's tables to the form that this program works with.

Alembic is loaded only where there is something to do: it takes longer to load than the
casebook itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib.resources import files
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from advisor.casebook.database.engine import writing
from advisor.facts.faults import BadInput, Fault

#: The step that the tables of this program are at.
NEWEST = "0002"
_STEP = re.compile(r"[0-9]{4}")
#: Tables and columns that a search over words needs and no step of Alembic knows.
_SEARCH = re.compile(r"found(_.*)?|search_words|ix_texts_search_words")


def belongs_to_alembic(_object: object, name: str | None, _kind: str, *_: object) -> bool:
    """Whether a comparison of tables looks at it; the index of words is made by hand."""
    return name is None or not _SEARCH.fullmatch(name)


def standing(connection: Connection) -> str:
    """The step that the tables are at; empty where there are none."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or "")


def bring_up_to_date(
    engine: Engine, called: str, before: Callable[[], object] = lambda: None
) -> None:
    """Make the tables, or change old ones, in one transaction.

    ``before`` is called before old tables are changed: the place for a backup. Raises
    BadInput, naming the casebook ``called``, where a newer program made them.
    """
    with engine.connect() as connection:
        found = standing(connection)
    if found == NEWEST:
        return
    if found and (not _STEP.fullmatch(found) or found > NEWEST):
        problem = "this casebook was made by a newer program"
        accepted = f"tables up to version {NEWEST}; install the newer program"
        raise BadInput(Fault(called, 0, 0, "", problem, found, accepted))
    if found:
        before()
    with writing(engine) as connection:
        if engine.dialect.name == "postgresql":
            # Two programs that start at once: the second waits, and finds it done.
            connection.execute(text("SELECT pg_advisory_xact_lock(20411)"))
        if standing(connection) != NEWEST:
            _upgrade(connection)


def _upgrade(connection: Connection) -> None:
    import logging

    from alembic import command
    from alembic.config import Config

    logging.getLogger("alembic").setLevel(logging.WARNING)
    config = Config()
    config.set_main_option("script_location", str(files(__package__) / "migrations"))
    attributes: dict[str, Any] = config.attributes
    attributes["connection"] = connection
    command.upgrade(config, NEWEST)
