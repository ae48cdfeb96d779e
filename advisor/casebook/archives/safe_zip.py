"""Reading zip files that strangers made: nothing swells, nothing leaves its place.

Names inside are only compared, never used as paths, and every byte is counted while it is read.
"""

from __future__ import annotations

import hashlib
import stat
import zipfile
import zlib
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import IO, Self

from advisor.facts.faults import BadInput, Fault

#: Entries, bytes of one entry and of all, and how many times an entry may swell.
MOST_ENTRIES = 200_000
LARGEST_ENTRY = 100_000_000
LARGEST_WHOLE = 20_000_000_000
MOST_SWELLING = 200
_CHUNK = 1 << 16
#: Length of a local header without name and extra field (APPNOTE 4.3.7).
_HEADER = 30


class SafeZip:
    """A zip file of which every entry was looked at before one is read."""

    def __init__(self, path: Path) -> None:
        """Open and judge a file. Raises BadInput with the reason."""
        self.path = path
        try:
            self._stream: IO[bytes] = path.open("rb")
        except OSError as error:
            raise self.refused(f"cannot be read: {error.strerror or error}") from None
        try:
            self._zip = zipfile.ZipFile(self._stream)
            self._entries = self._judged(self._zip.infolist())
        except (zipfile.BadZipFile, ValueError, NotImplementedError, EOFError, OSError) as error:
            self._stream.close()
            raise self.refused(f"not a whole zip file: {error}") from None
        except BaseException:
            self._stream.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._zip.close()
        self._stream.close()

    @property
    def entries(self) -> Mapping[str, zipfile.ZipInfo]:
        """What is in it, in the order stored."""
        return self._entries

    def read(self, name: str, sha256: str | None = None) -> bytes:
        """The bytes of an entry, as many as it said and with this digest. Raises BadInput."""
        info = self._entries.get(name)
        if info is None:
            raise self.refused("an entry is missing", name)
        found = bytearray()
        try:
            with self._zip.open(info) as stream:
                while part := stream.read(_CHUNK):
                    found += part
                    if len(found) > info.file_size:
                        raise self.refused("an entry is longer than it says", name)
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError) as error:
            raise self.refused(f"an entry cannot be read ({error})", name) from None
        if len(found) != info.file_size:
            raise self.refused("an entry is shorter than it says", name)
        if sha256 is not None and hashlib.sha256(found).hexdigest() != sha256:
            raise self.refused("an entry is not what the list of contents says", name)
        return bytes(found)

    def refused(self, problem: str, found: str = "", accepted: str = "") -> BadInput:
        """The reason why this file is not taken, to be raised."""
        return BadInput(Fault(str(self.path), 0, 0, "", problem, found, accepted))

    def _judged(self, infos: list[zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
        if len(infos) > MOST_ENTRIES:
            raise self.refused("too many entries", str(len(infos)), f"up to {MOST_ENTRIES}")
        found: dict[str, zipfile.ZipInfo] = {}
        folded: set[str] = set()
        for info in infos:
            name = info.filename
            if problem := _problem(info):
                raise self.refused(problem, name)
            if name.casefold() in folded:
                raise self.refused("two entries with one name", name)
            folded.add(name.casefold())
            found[name] = info
        if sum(info.file_size for info in infos) > LARGEST_WHOLE:
            raise self.refused("too large")
        spans = sorted(
            (info.header_offset, info.header_offset + _HEADER + info.compress_size)
            for info in infos
        )
        for (_, end), (begin, _) in pairwise(spans):
            if end > begin:
                raise self.refused("entries overlap")
        return found


def _problem(info: zipfile.ZipInfo) -> str:
    name = info.filename
    parts = name.split("/")
    if not name or name[0] in "/\\" or "\\" in name or ":" in name or "\0" in name or (
        ".." in parts or "." in parts or "" in parts
    ):  # fmt: skip
        return "an entry with a name that leads elsewhere"
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        return "an entry that is a link or no file"
    if info.flag_bits & 1:
        return "an encrypted entry"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "an entry packed in a way that is not used here"
    if info.file_size > LARGEST_ENTRY:
        return "an entry that is too large"
    if info.file_size > MOST_SWELLING * max(info.compress_size, 1) and info.file_size > 10_000:
        return "an entry that swells too much"
    return ""
