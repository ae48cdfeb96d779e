"""Rule packs as they were when they advised: a zip of their files, kept once by digest."""

from __future__ import annotations

import hashlib
import io
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

from sqlalchemy import Connection, select

from advisor.casebook.database.engine import insert
from advisor.casebook.database.tables import packs
from advisor.facts.faults import BadInput
from advisor.facts.text_file import read_text
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.reading.folders import base_files, found_files

#: Bytes of all files of a pack; more is none of ours.
LARGEST = 50_000_000
_BASE, _OWN = "rules/", "own/"


class CannotRead(Exception):  # noqa: N818 - says what is told
    """This version of the program cannot read that pack, or the casebook does not have it."""


def zipped(base: Path, own: Path | None) -> bytes:
    """The files of a pack and of a shop's own folder, in one zip that is always the same."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for prefix, files in (
            (_BASE, base_files(base)), (_OWN, {} if own is None else found_files(own)),
        ):  # fmt: skip
            for name in sorted(files):
                entry = zipfile.ZipInfo(prefix + name)
                entry.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(entry, files[name].read_bytes())
    return out.getvalue()


def keep(connection: Connection, pack: RulePack, base: Path, own: Path | None) -> bool:
    """Store a pack unless it is stored already; whether it is now.

    The files of a pack that is long loaded may have been changed since, and own files with
    faults were left out of it: what is not that pack is not stored. Raises OSError where its
    files are gone, BadInput where a folder cannot be looked into.
    """
    there = select(packs.c.digest).where(packs.c.digest == pack.digest)
    if connection.execute(there).first() is not None:
        return True
    besides = own if own is not None and own.is_dir() else None
    for each in dict.fromkeys((besides, None)):
        if _digest(base, each) == pack.digest:
            values = {"digest": pack.digest, "version": pack.version, "content": zipped(base, each)}
            connection.execute(insert(connection, packs).values(values))
            return True
    return False


def _digest(base: Path, own: Path | None) -> str:
    """The digest of a pack of these files, as `read_files` makes it."""
    files = base_files(base) | ({} if own is None else found_files(own))
    digest = hashlib.sha256()
    for name in sorted(files):
        digest.update(name.encode() + b"\0" + read_text(files[name], LARGEST).encode() + b"\0")
    return digest.hexdigest()


def files_of(base: Path, own: Path | None) -> dict[str, bytes]:
    """The files of a pack and of a shop's own folder, by their names in a zip."""
    return _files(zipped(base, own))


def files_stored(connection: Connection, digest: str) -> dict[str, bytes]:
    """The files of the pack with this digest. Raises CannotRead where it is not stored."""
    asked = select(packs.c.content).where(packs.c.digest == digest)
    content = connection.execute(asked).scalar()
    if content is None:
        raise CannotRead(f"the rules {digest[:12]} are not stored in this casebook")
    return _files(content)


def pack_of(files: Mapping[str, bytes], digest: str = "") -> RulePack:
    """The pack of these files, compiled by this version of the program.

    Raises CannotRead where it does not read them, or they have another digest.
    """
    from advisor.rulegraph.compiling.pack import build_pack
    from advisor.rulegraph.reading.read_pack import read_files

    with tempfile.TemporaryDirectory(prefix="trim-advisor-rules-") as made:
        folder = Path(made).resolve()
        for name, content in files.items():
            place = (folder / name).resolve()
            if not place.is_relative_to(folder):
                raise CannotRead("the stored rules name a file elsewhere")
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        own = folder / _OWN
        try:
            pack = build_pack(read_files(folder / _BASE, own if own.is_dir() else None))
        except BadInput as bad:
            reason = bad.faults[0].in_file_text
            problem = f"this version of the program cannot read the rules {digest[:12]}: {reason}"
            raise CannotRead(problem) from None
    if digest and pack.digest != digest:
        raise CannotRead(f"the stored rules {digest[:12]} were changed")
    return pack


def _files(content: bytes) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if sum(info.file_size for info in archive.infolist()) > LARGEST:
                raise CannotRead("the stored rules are too large")
            return {name: archive.read(name) for name in archive.namelist()}
    except zipfile.BadZipFile as error:
        raise CannotRead(f"the stored rules are damaged: {error}") from None
