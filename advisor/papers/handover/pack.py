"""The pack: one PDF, the files, the record and a list of hashes, in a folder of its own."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import zip_longest
from pathlib import Path

from advisor.facts.faults import BadInput, Fault
from advisor.papers.handover.from_lots import filled
from advisor.papers.handover.judge import JudgedPack, PackVerdict, judge_pack
from advisor.papers.handover.page import build_pack_page
from advisor.papers.handover.record import HandoverRecord
from advisor.papers.handover.record_file import burned_of, digest_of_file, digests_of
from advisor.papers.materials.lot import Lot
from advisor.papers.yaml_record import record_text
from advisor.report.formats.pdf import render

HASHES = "hashes.txt"
ON_PAGE = 900
"""Longest side of a photo in the PDF, px; the file itself goes along as it is."""
#: The day that files of a pack are given where its record has none: the first a zip can hold.
EARLIEST = date(1980, 1, 1)


@dataclass(frozen=True)
class Prepared:
    """A case made ready: the verdict on its papers, and where its files lie."""

    judged: JudgedPack
    title: str
    case_text: str
    folder: Path
    """Files that the record names are taken from here on."""


def prepare(
    record: HandoverRecord, folder: Path, vehicle: str | None, title: str, case_text: str,
    stops: tuple[str, ...] = (), open_hazards: tuple[str, ...] = (),
    lots: Mapping[str, Lot] | None = None,
) -> Prepared:  # fmt: skip
    """Judge a record with its files as they lie there now. Raises BadInput.

    ``lots`` are the shop's own by name; what they say fills the record's blanks.
    """
    record = filled(record, lots or {})
    judged = judge_pack(
        record, vehicle, stops=stops, open_hazards=open_hazards,
        burned=burned_of(record, folder), digests=digests_of(record, folder),
        lots=lots,
    )  # fmt: skip
    return Prepared(judged, title, case_text, folder)


def pack_files(prepared: Prepared) -> dict[str, bytes]:
    """Every file of the pack by its name in it; the same case gives the same bytes.

    Where something is missing, the PDF is called ``not-complete.pdf`` and says so.
    """
    record = prepared.judged.record
    found: dict[str, bytes] = {}
    called: dict[str, str] = {}
    for number, file in enumerate(record.files, 1):
        source = prepared.folder / file.path
        if digest_of_file(source) is not None:
            plain = re.sub(r"[^A-Za-z0-9._-]", "_", source.name)[-60:].lstrip(".")
            called[file.path] = f"files/{number:02}-{file.what}-{plain}"
            found[called[file.path]] = source.read_bytes()
    for number, name in enumerate(
        dict.fromkeys(one.record for one in record.certificates if one.record), 1
    ):
        source = prepared.folder / name
        if source.is_file():
            called[name] = f"files/burn-record-{number:02}.yaml"
            found[called[name]] = source.read_bytes()
    found["record.yaml"] = record_text(_as_in_pack(record, called)).encode()
    if prepared.case_text:
        found["case.yaml"] = prepared.case_text.encode()
    listed = [(name, _digest(content)) for name, content in found.items()]
    page = build_pack_page(prepared.judged, prepared.title, listed, _pictures(prepared))
    found[pdf_name(prepared.judged)] = render(page)
    lines = [f"{_digest(content)}  {name}\n" for name, content in sorted(found.items())]
    found[HASHES] = "".join(lines).encode()
    return found


def _as_in_pack(record: HandoverRecord, called: Mapping[str, str]) -> HandoverRecord:
    """The record with the names that its files have in the pack, not those on this machine."""
    files = tuple(
        file.model_copy(update={"path": called.get(file.path, Path(file.path).name)})
        for file in record.files
    )
    certificates = tuple(
        one.model_copy(update={"record": called.get(one.record, Path(one.record).name)})
        if one.record else one for one in record.certificates
    )  # fmt: skip
    return record.model_copy(update={"files": files, "certificates": certificates})


def _pictures(prepared: Prepared) -> list[tuple[bytes, bytes]]:
    """The photos before and after, made small for the page; what is no photo is left out."""
    from advisor.casebook.photos.pictures import preview

    sides: dict[str, list[bytes]] = {"photo_before": [], "photo_after": []}
    for file in prepared.judged.record.files:
        if file.what in sides:
            with contextlib.suppress(OSError, ValueError):
                data = (prepared.folder / file.path).read_bytes()
                sides[file.what].append(preview(data, ON_PAGE))
    return list(zip_longest(sides["photo_before"], sides["photo_after"], fillvalue=b""))


def pdf_name(judged: JudgedPack) -> str:
    """What the PDF is called: never as if it were complete where it is not."""
    whole = judged.verdict in (PackVerdict.READY, PackVerdict.REVIEW)
    return "hand-over.pdf" if whole else "not-complete.pdf"


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def write_pack(prepared: Prepared, folder: Path) -> list[str]:
    """Write the pack into a new or empty folder, all of it or nothing; the names in it.

    What was handed over is not written over. Raises BadInput where it may not be written:
    the papers are stopped or do not agree with their files, or the folder holds something.
    """
    judged = prepared.judged
    if not judged.may_be_written:
        raise BadInput(
            Fault(str(folder), 0, 0, one.field, f"nothing is written: {one.text}", "", "")
            for one in judged.lacking if one.kind is judged.verdict
        )  # fmt: skip
    files = pack_files(prepared)
    record = judged.record
    day = record.prepared_on or record.work.completed or EARLIEST
    moment = max(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp(), 0.0)
    draft = folder.with_name(f".{folder.name}-{secrets.token_hex(6)}")
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            problem = "this folder is not empty, and a pack is not written over"
            raise BadInput(Fault(str(folder), 0, 0, "", problem, "", "a new or empty folder"))
        draft.mkdir(parents=True)
        for name, content in files.items():
            (draft / name).parent.mkdir(exist_ok=True)
            (draft / name).write_bytes(content)
            os.utime(draft / name, (moment, moment))
        if folder.exists():
            folder.rmdir()
        draft.replace(folder)
    except OSError as error:
        problem = f"cannot be written: {error.strerror or error}"
        accepted = "a folder where files may be made"
        raise BadInput(Fault(str(folder), 0, 0, "", problem, "", accepted)) from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return list(files)


def changed_since(folder: Path) -> list[str]:
    """What in a pack differs from its list of hashes, a line each; nothing where it is whole.

    Raises BadInput where there is no list.
    """
    listed: dict[str, str] = {}
    path = folder / HASHES
    try:
        for line in path.read_text(encoding="utf-8").splitlines():
            digest, _, name = line.partition("  ")
            listed[name] = digest
    except (OSError, UnicodeDecodeError):
        problem = "there is no list of hashes here"
        raise BadInput(Fault(str(path), 0, 0, "", problem, "", "the folder of a pack")) from None
    there = {
        path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()
    } - {HASHES}
    found = [f"{name}: is missing" for name in sorted(listed.keys() - there)]
    found += [f"{name}: is not in the list" for name in sorted(there - listed.keys())]
    for name in sorted(there & listed.keys()):
        if digest_of_file(folder / name) != listed[name]:
            found.append(f"{name}: was changed")
    return found
