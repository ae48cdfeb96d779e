"""Whose a case is, for lists and for words that are looked for.

Customers and vehicles are few, and kept out of the index of words so that they can be erased:
their words are looked through here.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from sqlalchemy import Connection, Table, func, select

from advisor.casebook.database.engine import plain_words
from advisor.casebook.database.tables import cases, customers, vehicles

#: Columns of each that people say.
SAID = {"customers": ("name", "contact", "reference"), "vehicles": ("name", "mark")}
#: Ways to read what was typed are no more than this; the first ones count.
MOST_WAYS = 16
#: Words by place and table, for as long as nobody was added or erased.
_known: dict[tuple[str, str], tuple[tuple[int, int], list[tuple[str, int]]]] = {}


class Way(NamedTuple):
    """One way to read what was typed: some words say whose it is, the others what it is."""

    words: tuple[str, ...]
    customers: tuple[int, ...] | None
    """One of these, or anybody."""
    vehicles: tuple[int, ...] | None


def ways(connection: Connection, words: Sequence[str]) -> list[Way]:
    """All ways to read what was typed; the first one takes every word for one of the case."""
    found = {
        name: [(frozenset[str](), None), *_groups(connection, table, words).items()]
        for name, table in (("customers", customers), ("vehicles", vehicles))
    }
    made = []
    for (said, whom), (told, which) in product(found["customers"], found["vehicles"]):
        if not (told and told <= said):  # else no more than the customer alone says
            rest = tuple(word for word in words if word not in said | told)
            made.append(Way(rest, whom, which))
    return made[:MOST_WAYS]


def of_name(connection: Connection, words: Sequence[str]) -> tuple[int, ...]:
    """Customers of whom all these words are said."""
    return _groups(connection, customers, words).get(frozenset(words), ())


def whose(connection: Connection, ids: Sequence[int]) -> dict[int, str]:
    """Vehicle and customer of the cases with these numbers, where anybody said."""
    asked = (
        select(cases.c.id, vehicles.c.name, vehicles.c.mark, customers.c.name,
               customers.c.reference)
        .select_from(cases.outerjoin(vehicles, cases.c.vehicle_id == vehicles.c.id)
                     .outerjoin(customers, cases.c.customer_id == customers.c.id))
        .where(cases.c.id.in_(ids))
    )  # fmt: skip
    said = {
        number: ", ".join(text for text in texts if text)
        for number, *texts in connection.execute(asked)
    }
    return {number: text for number, text in said.items() if text}


def _groups(
    connection: Connection, table: Table, words: Sequence[str]
) -> dict[frozenset[str], tuple[int, ...]]:
    """Customers or vehicles by the typed words that begin one of theirs, where any does."""
    said: dict[int, set[str]] = {}
    theirs = _words_of(connection, table)
    for word in words:
        for place in range(bisect_left(theirs, (word, 0)), len(theirs)):
            begun, number = theirs[place]
            if not begun.startswith(word):
                break
            said.setdefault(number, set()).add(word)
    found: dict[frozenset[str], list[int]] = {}
    for number, of_them in said.items():
        found.setdefault(frozenset(of_them), []).append(number)
    return {of_them: tuple(sorted(numbers)) for of_them, numbers in found.items()}


def _words_of(connection: Connection, table: Table) -> list[tuple[str, int]]:
    """Each of their words with whose it is, in the order of the alphabet."""
    stamp = connection.execute(select(func.count(), func.coalesce(func.max(table.c.id), 0))).one()
    key = str(connection.engine.url), table.name
    known = _known.get(key)
    if known is not None and known[0] == tuple(stamp):
        return known[1]
    columns = [table.c[name] for name in SAID[table.name]]
    words = sorted(
        (word, number) for number, *texts in connection.execute(select(table.c.id, *columns))
        for word in plain_words(" ".join(texts))
    )  # fmt: skip
    _known[key] = (stamp[0], stamp[1]), words
    return words
