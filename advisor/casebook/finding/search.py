"""Searching the casebook: newest first, a page at a time, however many there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, select

from advisor.casebook.database.engine import FILTERED, matching, plain_words
from advisor.casebook.database.tables import cases, saved_searches
from advisor.casebook.finding.lines import CaseLine, Search
from advisor.casebook.finding.whose import of_name, ways

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
    found: dict[int, CaseLine] = {}
    for asked in _asked(connection, search, *_COLUMNS):
        if before is not None:
            asked = asked.where(cases.c.id < before)
        found |= {row.id: CaseLine(*row) for row in connection.execute(asked.limit(most))}
    return [found[number] for number in sorted(found, reverse=True)[:most]]


def numbers(connection: Connection, search: Search, most: int | None = None) -> list[int]:
    """The numbers of all that match, or of the first of them, the newest first."""
    found: set[int] = set()
    for asked in _asked(connection, search, cases.c.id):
        found.update(connection.execute(asked.limit(most)).scalars())
    return sorted(found, reverse=True)[:most]


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
    return len(numbers(connection, search, most + 1))


def recent(connection: Connection, most: int = 12) -> list[CaseLine]:
    """The cases worked on last."""
    asked = select(*_COLUMNS).where(cases.c.binned.is_(None)).order_by(cases.c.changed.desc())
    return [CaseLine(*row) for row in connection.execute(asked.limit(most))]


def _asked(connection: Connection, search: Search, *columns: Any) -> Iterator[Select[Any]]:
    """One select for each way to read the words: each gives the newest first."""
    filters = {name: getattr(search, name) for name in FILTERED}
    narrowed = []
    if search.since:
        narrowed.append(cases.c.begun >= day(search.since))
    if search.until:
        narrowed.append(cases.c.begun < day(search.until) + 86_400_000)
    if search.vehicle is not None:
        narrowed.append(cases.c.vehicle_id == search.vehicle)
    if search.customer:
        narrowed.append(
            cases.c.customer_id.in_(of_name(connection, plain_words(search.customer))))
    narrowed.append(cases.c.binned.is_not(None) if search.in_bin else cases.c.binned.is_(None))
    for way in ways(connection, plain_words(search.words)):
        asked = select(*columns).where(*narrowed)
        # In the order of the index of words itself: no sorting of all that match.
        order: ColumnElement[int] = cases.c.id
        if way.words or any(filters.values()):
            source, condition, order = matching(connection, " ".join(way.words), filters)
            asked = asked.select_from(source).where(condition)
        for column, wanted in ((cases.c.customer_id, way.customers),
                               (cases.c.vehicle_id, way.vehicles)):  # fmt: skip
            if wanted is not None:
                asked = asked.where(column.in_(wanted))
        yield asked.order_by(order.desc())


def day(written: str) -> int:
    """The begin of a day, in this machine's time zone. Raises ValueError."""
    from datetime import datetime

    return int(datetime.fromisoformat(written).timestamp() * 1000)


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
