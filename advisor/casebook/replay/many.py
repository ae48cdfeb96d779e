"""Replaying many cases, on all cores; the order is that of the cases."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache
from multiprocessing import get_context
from typing import Any

from advisor.casebook.book import Casebook
from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.chain import content
from advisor.casebook.cases.versions import links, row_of
from advisor.casebook.replay.replay import (
    Replayed,
    Result,
    again,
    files_that_changed_it,
)
from advisor.casebook.replay.stored_rules import CannotRead, files_stored, pack_of
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack

#: From so many cases on it is worth starting processes.
WORTH_PROCESSES = 8

Work = tuple[str, Case, Advised, str]


def replay_all(
    book: Casebook, keys: Sequence[str], today: RulePack | None = None, cores: int | None = None
) -> Iterator[tuple[str, Replayed]]:
    """Each case's name with what its last advice is now, under the stored rules.

    With ``today`` those rules are used instead.
    """
    packs: dict[str, dict[str, bytes] | str] = {}
    work = [_work_of(book, key, packs, today) for key in keys]
    cores = cores or os.cpu_count() or 1
    todo = [each for each in work if not isinstance(each[1], Replayed)]
    if len(todo) < WORTH_PROCESSES or cores == 1:
        _give(packs, today)
        found = iter([_replayed(each[1]) for each in todo])  # type: ignore[arg-type]
        yield from _in_order(work, found)
        return
    with ProcessPoolExecutor(
        min(cores, len(todo)), get_context("spawn"), _give, (packs, today)
    ) as pool:
        chunk = max(1, min(50, len(todo) // (4 * cores)))
        jobs: list[Any] = [each[1] for each in todo]
        yield from _in_order(work, pool.map(_replayed, jobs, chunksize=chunk))


def _in_order(
    work: Sequence[tuple[str, Work | Replayed]], found: Iterator[Replayed]
) -> Iterator[tuple[str, Replayed]]:
    for name, each in work:
        yield name, each if isinstance(each, Replayed) else next(found)


def _work_of(
    book: Casebook, key: str, packs: dict[str, dict[str, bytes] | str], today: RulePack | None
) -> tuple[str, Work | Replayed]:
    """What is to be calculated for a case, or why nothing can be."""
    from advisor.casebook.journal.answers import case_of

    row = book.read(lambda connection: row_of(connection, key))
    assert row is not None
    name = row["name"] or key[:12]
    if damage := book.damage(key):
        return name, Replayed(Result.NOT_READ, (), f"the record is damaged: {damage}")
    chain = book.read(lambda connection: links(connection, row["id"]))
    said = next((one for each in reversed(chain) if (one := content(each.body))["advice"]), None)
    if said is None:
        return name, Replayed(Result.NOT_READ, (), "no advice was stored")
    stored = Advised(**said["advice"])
    digest = stored.pack
    if digest not in packs:
        try:
            packs[digest] = book.read(lambda connection: files_stored(connection, digest))
        except CannotRead as error:
            packs[digest] = str(error)
    problem = packs[digest]
    if today is None and isinstance(problem, str):
        return name, Replayed(Result.NOT_READ, (), problem)
    return name, (key, case_of(said["content"]), stored, digest)


#: What a process works with: files of packs by digest, and the rules of today.
_given: dict[str, Any] = {}


def _give(packs: dict[str, dict[str, bytes] | str], today: RulePack | None) -> None:
    _given.update(packs=packs, today=today)
    _pack.cache_clear()


@lru_cache(maxsize=4)
def _pack(digest: str) -> RulePack | str:
    files = _given["packs"][digest]
    if isinstance(files, str):
        return files
    try:
        return pack_of(files, digest)
    except CannotRead as error:
        return str(error)


def _replayed(work: Work) -> Replayed:
    _, case, stored, digest = work
    pack = _given["today"] or _pack(digest)
    if isinstance(pack, str):
        return Replayed(Result.NOT_READ, (), pack)
    return again(case, stored, pack)


def what_changed_it(book: Casebook, key: str, now: dict[str, bytes]) -> list[str]:
    """Files of today's rules that alone change the last advice of a case.

    Raises CannotRead where the stored rules are not there or cannot be read.
    """
    packs: dict[str, dict[str, bytes] | str] = {}
    _, work = _work_of(book, key, packs, None)
    if isinstance(work, Replayed):
        raise CannotRead(work.cause)
    _, case, stored, digest = work
    files = packs[digest]
    assert not isinstance(files, str)
    return files_that_changed_it(case, stored, files, now)
