"""Replaying many cases, on all cores or on a Dask cluster; the order is that of the cases.

What each came to is kept, some dozen at a time, so that a run that was stopped can go on.
"""

from __future__ import annotations

import json
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from importlib import import_module
from multiprocessing import get_context
from typing import Any, NamedTuple, Protocol

from sqlalchemy import Connection, select

from advisor import __version__, paths
from advisor.casebook.book import Casebook
from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.chain import content
from advisor.casebook.cases.versions import links, row_of
from advisor.casebook.database.engine import upsert
from advisor.casebook.database.tables import packs as stored_packs
from advisor.casebook.database.tables import recalculated
from advisor.casebook.journal.answers import new_key
from advisor.casebook.replay.replay import (
    Replayed,
    Result,
    again,
    files_that_changed_it,
)
from advisor.casebook.replay.stored_rules import CannotRead, files_of, files_stored, pack_of
from advisor.facts.case import Case
from advisor.facts.faults import BadInput, Fault
from advisor.rulegraph.model.pack import RulePack

#: From so many cases on it is worth starting processes.
WORTH_PROCESSES = 8
#: Cases handed over at once, at most: some seconds of work, so that stopping is quick.
MOST_AT_ONCE = 50
#: Seconds until an address is taken as one where nobody answers.
PATIENCE = 5

class Which(NamedTuple):
    """What was calculated: the advice of a revision of a case under some rules."""

    case_id: int
    pack: str
    revision: int


_Asked = Which | None
Work = tuple[Case, Advised, str]
Named = tuple[str, Work | Replayed]
Packs = dict[str, dict[str, bytes] | str]
Done = list[tuple[str, Replayed]]


class Later(Protocol):
    """Something that is being calculated elsewhere."""

    def result(self) -> Done:
        """What it came to."""
        ...


def replay_all(
    book: Casebook, keys: Sequence[str], today: RulePack | None = None, cores: int | None = None,
    cluster: str = "", resume: bool = False,
) -> Iterator[tuple[str, Replayed]]:
    """Each case's name with what its last advice is now, under the stored rules.

    With ``today`` those rules are used instead. ``cluster`` is the address of a Dask scheduler
    whose workers have this version of the program. With ``resume`` what this version of the
    program calculated under the same rules before is not calculated again. Raises BadInput
    where the cluster or the casebook cannot be used.
    """  # fmt: skip
    cores = cores or os.cpu_count() or 1
    packs = _packs(book)
    at_once = max(1, min(MOST_AT_ONCE, len(keys) // (4 * cores)))
    asked: deque[_Asked] = deque()

    def of_one(key: str) -> Named:
        name, work, which = _work_of(book, key, packs, today)
        before = book.read(partial(_before, which=which)) if resume and which else None
        asked.append(None if before else which)
        return name, before or work

    blocks = (
        [of_one(key) for key in keys[first : first + at_once]]
        for first in range(0, len(keys), at_once)
    )
    if cluster:
        yield from _kept(book, _on_cluster(cluster, blocks, packs, today), asked)
    elif len(keys) < WORTH_PROCESSES or cores == 1:
        _give(packs, today)
        yield from _kept(book, (each for block in blocks for each in _replayed(block)), asked)
    else:
        with ProcessPoolExecutor(cores, get_context("spawn"), _give, (packs, today)) as pool:
            begun = _in_order(blocks, lambda block: pool.submit(_replayed, block), 2 * cores)
            yield from _kept(book, begun, asked)


def _kept(
    book: Casebook, found: Iterator[tuple[str, Replayed]], asked: deque[_Asked]
) -> Iterator[tuple[str, Replayed]]:
    """The results, each on disk before many more follow, and all when the run is stopped."""
    rows: list[dict[str, Any]] = []

    def keep() -> None:
        def put(connection: Connection) -> None:
            for row in rows:
                upsert(connection, recalculated, row)

        if rows:
            book.write(put)
            rows.clear()

    try:
        for name, one in found:
            which = asked.popleft()
            if which is not None:
                said = {"program": __version__, "result": one.result, "cause": one.cause,
                        "differences": one.differences}  # fmt: skip
                rows.append({**which._asdict(), "identical": one.result is Result.IDENTICAL,
                             "result": json.dumps(said)})  # fmt: skip
            if len(rows) >= MOST_AT_ONCE:
                keep()
            yield name, one
    finally:
        keep()


def _before(connection: Connection, which: Which) -> Replayed | None:
    """What this version of the program found before, if it ever calculated this."""
    same = [recalculated.c[name] == value for name, value in which._asdict().items()]
    row = connection.execute(select(recalculated.c.result).where(*same)).scalar()
    said = json.loads(row) if row is not None else {}
    if said.get("program") != __version__:
        return None
    return Replayed(Result(said["result"]), tuple(said["differences"]), said["cause"])


def _in_order(
    blocks: Iterator[list[Named]], begin: Callable[[list[Named]], Later], most: int
) -> Iterator[tuple[str, Replayed]]:
    """Results in the order of the cases, with few blocks in the air, for cases are large."""
    begun: deque[Later] = deque()
    for block in blocks:
        begun.append(begin(block))
        if len(begun) > most:
            yield from begun.popleft().result()
    while begun:
        yield from begun.popleft().result()


def _on_cluster(
    address: str, blocks: Iterator[list[Named]], packs: Packs, today: RulePack | None
) -> Iterator[tuple[str, Replayed]]:
    def refused(problem: str, accepted: str) -> BadInput:
        return BadInput(Fault("--cluster", 0, 0, "", problem, address, accepted))

    try:
        distributed: Any = import_module("distributed")  # no part of what is installed as a rule
    except ImportError:
        problem = "the package distributed is not installed"
        raise refused(problem, "pip install 'trim-advisor[cluster]'") from None
    try:
        client = distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        problem = f"no Dask scheduler answers there ({type(error).__name__})"
        raise refused(problem, "an address such as tcp://127.0.0.1:8786") from None
    with client:
        versions = client.run(_program)
        if not versions:
            raise refused("the cluster has no workers", "dask worker ADDRESS on each machine")
        other = {where: found for where, found in versions.items() if found != __version__}
        if other:
            where, found = next(iter(other.items()))
            raise refused(f"the worker {where} has version {found}", f"version {__version__}")
        [given] = client.scatter([(new_key(), packs, today)], broadcast=True)
        yield from _in_order(
            blocks, lambda block: client.submit(_on_worker, given, block, pure=False),
            4 * len(versions),
        )  # fmt: skip


def _program() -> str:
    """Version of the program on a worker."""
    return __version__


def _on_worker(given: tuple[str, Packs, RulePack | None], block: list[Named]) -> Done:
    """As in a process of our own: the packs are read once for each run and worker."""
    run, packs, today = given
    if _given.get("run") != run:
        _give(packs, today, run)
    return _replayed(block)


def _packs(book: Casebook) -> Packs:
    """The files of every pack that is stored, and of today's, or why they cannot be read."""
    found: Packs = {}
    digests = book.read(lambda connection: connection.execute(
        select(stored_packs.c.digest)).scalars().all())  # fmt: skip
    for digest in digests:
        try:
            found[digest] = book.read(partial(files_stored, digest=digest))
        except CannotRead as error:
            found[digest] = str(error)
    # A case of an archive may have been advised by the very rules of today.
    today = getattr(book.pack, "digest", "")
    if today and today not in found:
        found[today] = rules_of_today()
    return found


def _work_of(
    book: Casebook, key: str, packs: Packs, today: RulePack | None
) -> tuple[str, Work | Replayed, _Asked]:
    """What is to be calculated for a case, and under what it is kept; or why nothing can be."""
    from advisor.casebook.journal.answers import case_of

    row = book.read(lambda connection: row_of(connection, key))
    assert row is not None
    name = row["name"] or key[:12]

    def not_read(why: str) -> tuple[str, Replayed, None]:
        return name, Replayed(Result.NOT_READ, (), why), None

    if damage := book.damage(key):
        return not_read(f"the record is damaged: {damage}")
    chain = book.read(lambda connection: links(connection, row["id"]))
    said = next(
        (one for each in reversed(chain) if (one := content(each.body))["advice"]), None
    )
    if said is None:
        return not_read("no advice was stored")
    stored = Advised(**said["advice"])
    digest = stored.pack
    missing = f"the rules {digest[:12]} are not stored in this casebook"
    problem = packs.setdefault(digest, missing)
    if today is None and isinstance(problem, str):
        return not_read(problem)
    used = digest if today is None else today.digest
    work = case_of(said["content"]), stored, digest
    return name, work, Which(row["id"], used, said["number"])


#: What a process works with: files of packs by digest, and the rules of today.
_given: dict[str, Any] = {}


def _give(packs: Packs, today: RulePack | None, run: str = "") -> None:
    _given.update(packs=packs, today=today, run=run)
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


def _replayed(block: list[Named]) -> Done:
    return [
        (name, work if isinstance(work, Replayed) else _calculated(*work)) for name, work in block
    ]


def _calculated(case: Case, stored: Advised, digest: str) -> Replayed:
    pack = _given["today"] or _pack(digest)
    if isinstance(pack, str):
        return Replayed(Result.NOT_READ, (), pack)
    return again(case, stored, pack)


def rules_of_today() -> dict[str, bytes]:
    """The files of the rules in use, the shop's own included."""
    own = paths.overlay_folder()
    return files_of(paths.rules_folder(), own if own.is_dir() else None)


def files_that_changed(book: Casebook, key: str) -> list[str]:
    """Files of the rules of today that alone change the advice; why where it cannot be told."""
    try:
        return what_changed_it(book, key, rules_of_today())
    except CannotRead as error:
        return [f"not known: {error}"]


def what_changed_it(book: Casebook, key: str, now: dict[str, bytes]) -> list[str]:
    """Files of today's rules that alone change the last advice of a case.

    Raises CannotRead where the stored rules are not there or cannot be read.
    """
    packs = _packs(book)
    _, work, _ = _work_of(book, key, packs, None)
    if isinstance(work, Replayed):
        raise CannotRead(work.cause)
    case, stored, digest = work
    files = packs[digest]
    assert not isinstance(files, str)
    return files_that_changed_it(case, stored, files, now)
