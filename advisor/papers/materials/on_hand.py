"""Lots kept in the casebook: taken in, withdrawn, used in jobs, and their files.

A change of a lot is a new version of it; what it was before stays. A withdrawal is lifted by
`reinstate` alone, never by taking in a file again.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, func, select, true

from advisor.casebook.cases.chain import canonical
from advisor.casebook.database.engine import insert, upsert
from advisor.casebook.database.tables import cases, lot_files, lot_uses, lots
from advisor.casebook.photos.files import FileStore
from advisor.facts.faults import BadInput, Fault, nearest_name
from advisor.papers.burn.record import read_burn_record
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.materials.lot import Lot, ReadLots, Withdrawn, lot_of
from advisor.papers.yaml_record import plain_text

LOTS_FILE = "lots.yaml"
#: A scan of a paper has no more bytes.
LARGEST_SCAN = 20_000_000
_SCANS = {
    ".pdf": "application/pdf", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg",
}  # fmt: skip
_BEGINS = {"application/pdf": b"%PDF-", "image/png": b"\x89PNG", "image/jpeg": b"\xff\xd8\xff"}
_BURN_RECORD = "application/yaml"


class Became(StrEnum):
    """What taking in a lot did."""

    ADDED = "added"
    CHANGED = "changed"
    SAME = "as it was"


@dataclass(frozen=True)
class KeptFile:
    """A file of a lot: the digest of its bytes, and what it is."""

    name: str
    role: str
    """``scan`` or ``burn_record``."""
    digest: str


@dataclass(frozen=True)
class KeptLot:
    """A lot as it is kept now."""

    lot: Lot
    number: int
    """Which version, from 1."""
    at: int
    """When it became so, in milliseconds since 1970, UTC."""
    author: str
    files: tuple[KeptFile, ...]


@dataclass(frozen=True)
class Use:
    """A lot used in a job."""

    lot: str
    key: str
    """Key of the case."""
    job: str
    """What the case was called then."""
    amount: str
    number: int
    """The version that the lot had then."""
    at: int
    author: str
    called: str | None = None
    """What the case is called now; None where it is not in the casebook any more."""
    lead: str | None = None
    binned: bool = False


# -- files ------------------------------------------------------------------------------------


def files_named(read: ReadLots, folder: Path) -> dict[tuple[int, str], tuple[bytes, str, str]]:
    """The bytes, kind and role of each file that a lot names, by the lot's place and the name.

    Names are taken from ``folder``. Raises BadInput with all that cannot be used.
    """
    found: dict[tuple[int, str], tuple[bytes, str, str]] = {}
    faults: list[Fault] = []
    for index, lot in enumerate(read.lots):
        for place, name in enumerate(lot.scans):
            try:
                found[index, name] = (*_scan(folder / name), "scan")
            except ValueError as error:
                fault = read.fault(index, ("scans", place), str(error), found=name)
                faults.append(fault)
        if lot.burn_record is not None:
            path = folder / lot.burn_record
            try:
                read_burn_record(path, shipped_rules())
                found[index, lot.burn_record] = (path.read_bytes(), _BURN_RECORD, "burn_record")
            except BadInput as bad:
                faults += bad.faults
    if faults:
        raise BadInput(faults)
    return found


def _scan(path: Path) -> tuple[bytes, str]:
    kind = _SCANS.get(path.suffix.lower())
    if kind is None:
        raise ValueError("not a scan; its name ends in .pdf, .png or .jpg")
    try:
        if not path.is_file():
            raise ValueError("there is no such file")
        if path.stat().st_size > LARGEST_SCAN:
            raise ValueError(f"too large; at most {LARGEST_SCAN // 1_000_000} MB")
        data = path.read_bytes()
    except OSError as error:
        raise ValueError(f"cannot be read: {error.strerror}") from None
    if not data.startswith(_BEGINS[kind]):
        raise ValueError(f"its content is not {kind}")
    return data, kind


# -- lots -------------------------------------------------------------------------------------


def take_in(
    connection: Connection, read: ReadLots, folder: Path, store: FileStore, at: int, author: str
) -> list[tuple[str, Became]]:
    """Keep lots that were read, with their files; what became of each. Raises BadInput.

    A lot that is withdrawn stays so, whatever the file says.
    """
    bytes_of = files_named(read, folder)
    became = []
    for index, lot in enumerate(read.lots):
        named = [
            KeptFile(Path(name).name, role, store.add(connection, data, kind))
            for (place, name), (data, kind, role) in bytes_of.items()
            if place == index
        ]
        became.append((lot.lot, put(connection, lot, named, at, author)))
    return became


def change(
    connection: Connection, read: ReadLots, folder: Path, store: FileStore, at: int, author: str
) -> Became:
    """Keep one lot as it was read, with the files it names besides those it has already.

    Raises BadInput.
    """
    lot = read.lots[0]
    before = _latest(connection, [lot.lot]).get(lot.lot)
    named = [
        KeptFile(Path(name).name, role, store.add(connection, data, kind))
        for (_, name), (data, kind, role) in files_named(read, folder).items()
    ]
    new = {one.name for one in named}
    replaced = any(one.role == "burn_record" for one in named)
    old = [
        one for one in (before.files if before else ())
        if one.name not in new and not (replaced and one.role == "burn_record")
    ]  # fmt: skip
    return put(connection, lot, [*old, *named], at, author)


def put(
    connection: Connection, lot: Lot, files: Iterable[KeptFile], at: int, author: str
) -> Became:
    """Keep one lot with files that are stored already."""
    kept = {one.name: one for one in files}
    names = {
        "scans": tuple(name for name, one in kept.items() if one.role == "scan"),
        "burn_record": next((n for n, one in kept.items() if one.role == "burn_record"), None),
    }
    before = _latest(connection, [lot.lot]).get(lot.lot)
    if before is not None and lot.withdrawn is None:
        names["withdrawn"] = before.lot.withdrawn  # type: ignore[assignment]
    lot = lot.model_copy(update=names)
    listed = tuple(sorted(kept.values(), key=lambda one: (one.role, one.name)))
    if before is not None and (before.lot, before.files) == (lot, listed):
        return Became.SAME
    _write(connection, KeptLot(lot, (before.number if before else 0) + 1, at, author, listed))
    return Became.ADDED if before is None else Became.CHANGED


def _write(connection: Connection, kept: KeptLot) -> None:
    row = {
        "name": kept.lot.lot, "number": kept.number, "at": kept.at, "author": kept.author,
        "body": canonical(kept.lot.form()).decode(),
    }  # fmt: skip
    done: Any = connection.execute(lots.insert().values(row)).inserted_primary_key
    for one in kept.files:
        file = {"lot_id": done[0], "name": one.name, "role": one.role, "digest": one.digest}
        connection.execute(insert(connection, lot_files).values(file))


def all_lots(connection: Connection) -> list[KeptLot]:
    """Every lot as it is now, by name."""
    return sorted(_latest(connection).values(), key=lambda kept: kept.lot.lot)


def lot_named(connection: Connection, name: str) -> KeptLot:
    """The lot of a name. Raises BadInput where there is none."""
    found = _latest(connection, [name]).get(name)
    if found is None:
        known = list(connection.execute(select(lots.c.name).distinct()).scalars())
        near = nearest_name(name, known)
        accepted = "the name of a lot; papers lots list shows them"
        raise BadInput(Fault("lots", 0, 0, "", "no such lot", name, accepted, near))
    return found


def versions_of(connection: Connection, name: str) -> list[KeptLot]:
    """All that a lot was, the first version first."""
    asked = select(lots).where(lots.c.name == name).order_by(lots.c.number)
    return _kept(connection, connection.execute(asked).all())


def withdraw(
    connection: Connection, name: str, withdrawn: Withdrawn, at: int, author: str
) -> list[Use]:
    """Note that a lot may not be used any more; the jobs that used it. Raises BadInput."""
    _changed(connection, name, withdrawn, at, author)
    return jobs_that_used(connection, name)


def reinstate(connection: Connection, name: str, at: int, author: str) -> None:
    """Lift a withdrawal. Raises BadInput."""
    _changed(connection, name, None, at, author)


def _changed(
    connection: Connection, name: str, withdrawn: Withdrawn | None, at: int, author: str
) -> None:
    now = lot_named(connection, name)
    if now.lot.withdrawn != withdrawn:
        lot = now.lot.model_copy(update={"withdrawn": withdrawn})
        _write(connection, KeptLot(lot, now.number + 1, at, author, now.files))


def _latest(connection: Connection, names: Sequence[str] | None = None) -> dict[str, KeptLot]:
    newest = select(func.max(lots.c.id)).group_by(lots.c.name)
    if names is not None:
        newest = newest.where(lots.c.name.in_(names))
    rows = connection.execute(select(lots).where(lots.c.id.in_(newest))).all()
    return {kept.lot.lot: kept for kept in _kept(connection, rows)}


def _kept(connection: Connection, rows: Sequence[Row[Any]]) -> list[KeptLot]:
    files: dict[int, list[KeptFile]] = {row.id: [] for row in rows}
    asked = select(lot_files).where(lot_files.c.lot_id.in_(list(files)))
    for row in connection.execute(asked.order_by(lot_files.c.role, lot_files.c.name)):
        files[row.lot_id].append(KeptFile(row.name, row.role, row.digest))
    return [
        KeptLot(lot_of(json.loads(row.body)), row.number, row.at, row.author,
                tuple(files[row.id]))
        for row in rows
    ]  # fmt: skip


def written_out(connection: Connection, store: FileStore) -> dict[str, bytes]:
    """All lots as they are now as a file ``lots.yaml``, and the files it names, by name.

    Read in again they are the same. A file of several lots, or of the same name with other
    bytes, has the name of its lot before it. Raises FileMissing for one that is damaged.
    """
    found: dict[str, bytes] = {}
    forms = []
    for kept in all_lots(connection):
        form, scans = kept.lot.form(), []
        for file in kept.files:
            data, name = store.read(connection, file.digest), file.name
            if found.get(name, data) != data or name == LOTS_FILE:
                name = f"{re.sub(r'[^A-Za-z0-9._-]', '_', kept.lot.lot)}-{name}"
            found[name] = data
            if file.role == "scan":
                scans.append(name)
            else:
                form["burn_record"] = name
        if scans:
            form["scans"] = scans
        forms.append(form)
    text = plain_text({"format": "1", "lots": forms})
    return {LOTS_FILE: text.encode("utf-8"), **found}


# -- jobs -------------------------------------------------------------------------------------


def use(
    connection: Connection, name: str, key: str, job: str, at: int, author: str, amount: str = ""
) -> KeptLot:
    """Note that a lot was used in the job with the case ``key``; the lot. Raises BadInput.

    Said again for the same job it takes the place of what was said before. What was used is
    noted even where it should not have been: see `warnings`.
    """
    kept = lot_named(connection, name)
    row = {
        "lot": name, "case_key": key, "job": job, "amount": amount, "number": kept.number,
        "at": at, "author": author,
    }  # fmt: skip
    upsert(connection, lot_uses, row)
    return kept


def not_used(connection: Connection, name: str, key: str) -> bool:
    """Take back that a lot was used in a job; whether it was noted."""
    gone = lot_uses.delete().where(lot_uses.c.lot == name, lot_uses.c.case_key == key)
    return connection.execute(gone).rowcount > 0


def jobs_that_used(connection: Connection, name: str) -> list[Use]:
    """The jobs in which a lot was used, the last first; those in the bin or deleted too."""
    return _uses(connection, lot_uses.c.lot == name)


def uses_by_lot(connection: Connection) -> dict[str, list[Use]]:
    """The jobs of every lot, the last first."""
    found: dict[str, list[Use]] = {}
    for one in _uses(connection, true()):
        found.setdefault(one.lot, []).append(one)
    return found


def uses_of_job(connection: Connection, key: str) -> list[Use]:
    """The lots used in a job."""
    return _uses(connection, lot_uses.c.case_key == key)


def lots_of_job(connection: Connection, key: str) -> list[tuple[Use, KeptLot]]:
    """The lots used in a job as they are now, each with its use."""
    used = uses_of_job(connection, key)
    now: Mapping[str, KeptLot] = _latest(connection, [one.lot for one in used])
    return [(one, now[one.lot]) for one in used]


def _uses(connection: Connection, where: Any) -> list[Use]:
    asked = (
        select(lot_uses, cases.c.called, cases.c.lead, cases.c.binned)
        .select_from(lot_uses.outerjoin(cases, cases.c.key == lot_uses.c.case_key))
        .where(where)
        .order_by(lot_uses.c.at.desc(), lot_uses.c.lot, lot_uses.c.case_key)
    )
    return [
        Use(row.lot, row.case_key, row.job, row.amount, row.number, row.at, row.author,
            row.called, row.lead, row.binned is not None)
        for row in connection.execute(asked)
    ]  # fmt: skip
