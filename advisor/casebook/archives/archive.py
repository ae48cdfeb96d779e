"""Archives of cases with their photos: one file to hand on, or the whole casebook.

A zip with ``manifest.json``: format, program, and size and SHA-256 of every other entry;
``cases/0001.jsonl`` and so on, one case a line; ``files/<sha256>``. No customer and no vehicle
is in it; photos are kept without place and names.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from sqlalchemy import Connection, RowMapping

from advisor import __version__
from advisor.casebook.archives.safe_zip import SafeZip
from advisor.casebook.archives.whole_case import (
    HEX,
    Imported,
    WholeCase,
    store,
    whole_of,
    written,
)
from advisor.casebook.cases.described import Vocabulary
from advisor.casebook.photos.files import FileMissing, FileStore
from advisor.casebook.photos.pictures import opened

FORMAT = 1
MANIFEST = "manifest.json"
KIND = "trim-advisor casebook"
#: Cases of an entry.
A_PAGE = 500


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    name: str
    size: int = Field(ge=0)
    sha256: str = Field(pattern=HEX)


class _Manifest(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    kind: str
    format: int
    program: str
    cases: int = Field(ge=0)
    entries: list[_Entry]
    heads: dict[str, str]


def write_archive(
    connection: Connection, rows: Iterable[RowMapping], photos: FileStore, to: Path
) -> int:
    """Write cases into a new file, whole or not at all; how many. Raises OSError.

    A photo that is missing or damaged is left out, as it is in the casebook.
    """
    draft = to.with_name(f".{to.name}.part")
    entries: list[dict[str, Any]] = []
    heads: dict[str, str] = {}
    try:
        with zipfile.ZipFile(draft, "w", zipfile.ZIP_DEFLATED) as out:

            def put(name: str, data: bytes, how: int = zipfile.ZIP_DEFLATED) -> None:
                out.writestr(name, data, how)
                digest = hashlib.sha256(data).hexdigest()
                entries.append({"name": name, "size": len(data), "sha256": digest})

            digests: dict[str, None] = {}
            for number, page in enumerate(_pages(written(connection, rows)), start=1):
                heads |= {key: case.head.hex() for key, case in page}
                digests |= {each.digest: None for _, case in page for each in case.files}
                lines = [case.model_dump_json() for _, case in page]
                put(f"cases/{number:04}.jsonl", "\n".join(lines).encode())
            for digest in digests:
                with contextlib.suppress(FileMissing):
                    put(f"files/{digest}", photos.read(connection, digest), zipfile.ZIP_STORED)
            manifest = {"kind": KIND, "format": FORMAT, "program": __version__,
                        "cases": len(heads), "entries": entries, "heads": heads}  # fmt: skip
            out.writestr(MANIFEST, json.dumps(manifest))
        with draft.open("rb+") as whole:
            os.fsync(whole.fileno())
        draft.replace(to)
    finally:
        draft.unlink(missing_ok=True)
    return len(heads)


def import_archive(
    connection: Connection, path: Path, photos: FileStore, pack: Vocabulary
) -> Counter[Imported]:
    """Take in an archive; what became of its cases, counted.

    Raises BadInput with the reason where anything in it is wrong: the transaction is then
    undone, and nothing of it is there.
    """
    became: Counter[Imported] = Counter()
    with SafeZip(path) as archive:
        contents = _contents(archive)
        named: dict[str, str] = {}
        for entry in contents.entries:
            if not entry.name.startswith("cases/"):
                continue
            lines = archive.read(entry.name, entry.sha256).split(b"\n")
            page = [_judged(archive, contents, line) for line in lines]
            named |= {each.digest: each.kind for case in page for each in case.files}
            became.update(_stored(archive, connection, page, pack))
        if sum(became.values()) != contents.cases:
            raise archive.refused("not as many cases as it says", str(sum(became.values())))
        there = {digest: kind for digest, kind in named.items()
                 if f"files/{digest}" in archive.entries}  # fmt: skip
        for digest in there:  # all are looked at before the first is written
            _check_photo(archive, f"files/{digest}", archive.read(f"files/{digest}", digest))
        for digest, kind in there.items():
            photos.add(connection, archive.read(f"files/{digest}", digest), kind)
    return became


def _contents(archive: SafeZip) -> _Manifest:
    if MANIFEST not in archive.entries:
        raise archive.refused("not an archive of cases", "", f"a zip with {MANIFEST}")
    try:
        data = json.loads(archive.read(MANIFEST))
        if isinstance(data, dict) and isinstance(data.get("format"), int) and (
            data["format"] > FORMAT
        ):  # fmt: skip
            problem = "made by a newer program"
            raise archive.refused(problem, f"format {data['format']}", f"format {FORMAT}")
        contents = _Manifest.model_validate(data)
    except (ValidationError, ValueError) as error:
        reason = error.errors()[0]["msg"] if isinstance(error, ValidationError) else str(error)
        raise archive.refused(f"its list of contents cannot be used: {reason}") from None
    if contents.kind != KIND:
        raise archive.refused("not an archive of cases", contents.kind, KIND)
    listed = {entry.name for entry in contents.entries} | {MANIFEST}
    if more := sorted(archive.entries.keys() - listed):
        raise archive.refused("an entry that its list of contents does not name", more[0])
    for entry in contents.entries:
        if entry.name in archive.entries and archive.entries[entry.name].file_size != entry.size:
            raise archive.refused("an entry of another size than listed", entry.name)
    return contents


def _judged(archive: SafeZip, contents: _Manifest, line: bytes) -> WholeCase:
    try:
        case = whole_of(line)
    except ValueError as error:
        raise archive.refused(f"a case in it cannot be used: {error}") from None
    if contents.heads.get(case.key) != case.head.hex():
        raise archive.refused("a case is not the one that is listed", case.key)
    return case


def _stored(
    archive: SafeZip, connection: Connection, page: list[WholeCase], pack: Vocabulary
) -> list[Imported]:
    try:
        return store(connection, page, pack)
    except ValueError as error:
        raise archive.refused(f"a case in it cannot be used: {error}") from None


def _check_photo(archive: SafeZip, name: str, data: bytes) -> None:
    try:
        opened(data)
    except ValueError as error:
        raise archive.refused(f"a file in it is {error}", name) from None


def _pages(found: Iterable[tuple[str, WholeCase]]) -> Iterator[list[tuple[str, WholeCase]]]:
    page: list[tuple[str, WholeCase]] = []
    for each in found:
        page.append(each)
        if len(page) == A_PAGE:
            yield page
            page = []
    if page:
        yield page
