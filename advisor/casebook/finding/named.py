"""The case that somebody means."""

from __future__ import annotations

from sqlalchemy import Connection, or_, select

from advisor.casebook.database.tables import cases
from advisor.facts.faults import BadInput, Fault

#: Shorter beginnings of a key are no name of a case.
SHORTEST = 6


def key_of(connection: Connection, said: str) -> str:
    """The key of a case, by its name, its key or the beginning of its key.

    Raises BadInput where there is none, or more than one.
    """
    asked = select(cases.c.key, cases.c.called).where(
        or_(cases.c.name == said, cases.c.key == said)
    )
    found = connection.execute(asked.limit(9)).all()
    if not found and len(said) >= SHORTEST:
        begins = cases.c.key.startswith(said, autoescape=True)
        found = connection.execute(select(cases.c.key, cases.c.called).where(begins).limit(9)).all()
    if len(found) == 1:
        return str(found[0].key)
    if not found:
        problem, accepted = "no such case", "the name of a case in the casebook, or its key"
    else:
        problem = "more than one case is called so"
        accepted = "; ".join(f"{row.key[:12]} ({row.called})" for row in found)
    raise BadInput(Fault("casebook", 0, 0, "", problem, said, accepted))
