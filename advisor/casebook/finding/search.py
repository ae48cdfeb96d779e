"""Searching the casebook: newest first, a page at a time, however many there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, func, select

from advisor.casebook.database.engine import FILTERED, matching, plain_words
from advisor.casebook.database.tables import cases, customers, saved_searches
from advisor.casebook.finding.lines import CaseLine, Search

#: Cases of a page.
PAGE = 50
#: Beyond so many a count only says "more than".
MOST_COUNTED = 1_000


def line_columns() -> tuple[Any, ...]:
    """The columns that make a line."""
    return tuple(cases.c[field.name] for field in fields(CaseLine))


_COLUMNS = line_columns()


def page(
    connection: Connection, search: Search, most: int = PAGE, before: int | None = None
) -> list[CaseLine]:
    """The newest cases that match; with ``before`` those begun before the one of that id.

    Raises ValueError for a day that is none.
    """
    asked = _asked(connection, search, *_COLUMNS)
    if asked is None:
        return []
    if before is not None:
        asked = asked.where(cases.c.id < before)
    rows = connection.execute(asked.limit(most))
    return [CaseLine(*row) for row in rows]


def numbers(connection: Connection, search: Search) -> list[int]:
    """The numbers of all that match, the newest first."""
    asked = _asked(connection, search, cases.c.id)
    return [] if asked is None else list(connection.execute(asked).scalars())


def lines_of(connection: Connection, ids: Sequence[int]) -> list[CaseLine]:
    """The cases with these numbers, in no order."""
    asked = select(*_COLUMNS).where(cases.c.id.in_(ids))
    return [CaseLine(*row) for row in connection.execute(asked)]


def every(connection: Connection, search: Search) -> Iterator[CaseLine]:
    """All that match, the newest first, a page at a time."""
    last: int | None = None
    while lines := page(connection, search, 500, last):
        yield from lines
        last = lines[-1].id


def count(connection: Connection, search: Search, most: int = MOST_COUNTED) -> int:
    """How many match, counted up to one more than ``most``."""
    asked = _asked(connection, search, cases.c.id)
    if asked is None:
        return 0
    limited = asked.limit(most + 1).subquery()
    return connection.execute(select(func.count()).select_from(limited)).scalar_one()


def recent(connection: Connection, most: int = 12) -> list[CaseLine]:
    """The cases worked on last."""
    asked = select(*_COLUMNS).where(cases.c.binned.is_(None)).order_by(cases.c.changed.desc())
    return [CaseLine(*row) for row in connection.execute(asked.limit(most))]


def _asked(connection: Connection, search: Search, *columns: Any) -> Select[Any] | None:
    asked = select(*columns)
    # The newest first in the order of the index of words itself: no sorting of all that match.
    order: ColumnElement[int] = cases.c.id
    filters = {name: getattr(search, name) for name in FILTERED}
    if plain_words(search.words) or any(filters.values()):
        source, condition, order = matching(connection, search.words, filters)
        asked = asked.select_from(source).where(condition)
    if search.since:
        asked = asked.where(cases.c.begun >= day(search.since))
    if search.until:
        asked = asked.where(cases.c.begun < day(search.until) + 86_400_000)
    if search.vehicle is not None:
        asked = asked.where(cases.c.vehicle_id == search.vehicle)
    if search.customer:
        found = _customers(connection, search.customer)
        if not found:
            return None
        asked = asked.where(cases.c.customer_id.in_(found))
    binned = cases.c.binned.is_not(None) if search.in_bin else cases.c.binned.is_(None)
    return asked.where(binned).order_by(order.desc())


def day(written: str) -> int:
    """The begin of a day, in this machine's time zone. Raises ValueError."""
    from datetime import datetime

    return int(datetime.fromisoformat(written).timestamp() * 1000)


def _customers(connection: Connection, written: str) -> list[int]:
    """Customers are few, and kept out of the index of words so that they can be erased."""
    wanted = plain_words(written)
    rows = connection.execute(
        select(customers.c.id, customers.c.name, customers.c.contact, customers.c.reference)
    )
    found = []
    for row in rows:
        there = " ".join(plain_words(f"{row.name} {row.contact} {row.reference}"))
        if all(word in there for word in wanted):
            found.append(row.id)
    return found


def save_search(connection: Connection, name: str, search: Search) -> None:
    """Keep a search under a name, in place of the one that has it."""
    from advisor.casebook.database.engine import upsert

    upsert(connection, saved_searches, {"name": name[:100], "search": search.form()})


def searches_saved(connection: Connection) -> Mapping[str, Search]:
    """The saved searches by name."""
    rows = connection.execute(select(saved_searches).order_by(saved_searches.c.name))
    return {row.name: Search.of_form(row.search) for row in rows}


def drop_search(connection: Connection, name: str) -> None:
    """Forget a saved search."""
    connection.execute(saved_searches.delete().where(saved_searches.c.name == name))
