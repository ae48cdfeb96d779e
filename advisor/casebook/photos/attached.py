"""Photos that belong to a case: attached, listed, taken away."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import zip_longest

from sqlalchemy import Connection, delete, select, update

from advisor.casebook.database.engine import insert
from advisor.casebook.database.tables import case_files, cases, files
from advisor.casebook.photos.files import FileMissing, FileStore
from advisor.casebook.photos.pictures import KIND, as_kept, opened, preview

BEFORE, AFTER = "before", "after"


@dataclass(frozen=True)
class Attached:
    """A photo of a case."""

    digest: str
    name: str
    """As it was called where it came from."""
    moment: str
    """``before``, ``after``, or empty."""
    size: int
    added: int


def attach(
    connection: Connection, key: str, data: bytes, name: str, moment: str, at: int,
    store: FileStore,
) -> str:
    """Keep a photo upright and without what the camera wrote; its digest.

    Raises ValueError for what is no photo, KeyError where there is no such case.
    """  # fmt: skip
    case_id = connection.execute(select(cases.c.id).where(cases.c.key == key)).scalar()
    if case_id is None:
        raise KeyError(key)
    digest = store.add(connection, as_kept(opened(data)), KIND)
    row = {"case_id": case_id, "digest": digest, "name": name, "moment": moment, "added": at}
    connection.execute(insert(connection, case_files).values(row))
    return digest


def attached(connection: Connection, key: str) -> list[Attached]:
    """The photos of a case, in the order added."""
    columns = {**dict(case_files.c), "size": files.c.size}
    asked = (
        select(*(columns[field.name] for field in fields(Attached)))
        .select_from(case_files.join(files).join(cases))
        .where(cases.c.key == key)
        .order_by(case_files.c.added, case_files.c.digest)
    )
    return [Attached(*row) for row in connection.execute(asked)]


def previews(
    connection: Connection, keys: Sequence[str], longest: int, store: FileStore
) -> dict[str, bytes]:
    """A small JPEG of the first photo of each case; empty where there is none to be read."""
    asked = (
        select(cases.c.key, case_files.c.digest)
        .select_from(case_files.join(cases))
        .where(cases.c.key.in_(keys))
        .order_by(case_files.c.added.desc(), case_files.c.digest.desc())
    )
    found = dict.fromkeys(keys, b"")
    first = {row.key: row.digest for row in connection.execute(asked)}
    for key, digest in first.items():
        with contextlib.suppress(FileMissing, ValueError):
            found[key] = preview(store.read(connection, digest), longest)
    return found


def previews_of(
    connection: Connection, photos: Sequence[Attached], longest: int, store: FileStore
) -> list[bytes]:
    """A small JPEG of each photo; empty for one that cannot be read."""
    found = []
    for photo in photos:
        small = b""
        with contextlib.suppress(FileMissing, ValueError):
            small = preview(store.read(connection, photo.digest), longest)
        found.append(small)
    return found


def pairs(
    connection: Connection, key: str, longest: int, store: FileStore
) -> list[tuple[bytes, bytes]]:
    """Photos before and after, the first with the first and so on, no side above ``longest`` px.

    Those that say neither are taken as before; one that cannot be read is left out.
    """
    listed = attached(connection, key)
    sides: dict[bool, list[bytes]] = {False: [], True: []}
    for photo, small in zip(listed, previews_of(connection, listed, longest, store), strict=True):
        if small:
            sides[photo.moment == AFTER].append(small)
    return list(zip_longest(sides[False], sides[True], fillvalue=b""))


def set_moment(connection: Connection, key: str, digest: str, moment: str) -> None:
    """Say that a photo shows the damage before the repair, or after it."""
    case_id = select(cases.c.id).where(cases.c.key == key).scalar_subquery()
    connection.execute(
        update(case_files)
        .where(case_files.c.case_id == case_id, case_files.c.digest == digest)
        .values(moment=moment)
    )


def take_away(connection: Connection, key: str, digest: str) -> None:
    """Take a photo from a case; its bytes stay until unused files are cleared."""
    case_id = select(cases.c.id).where(cases.c.key == key).scalar_subquery()
    connection.execute(
        delete(case_files).where(case_files.c.case_id == case_id, case_files.c.digest == digest)
    )
