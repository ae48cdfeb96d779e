"""Files by their content: in a folder beside the database, or in the server's database."""

from __future__ import annotations

import hashlib
from pathlib import Path

from sqlalchemy import Connection, select

from advisor.casebook.database.engine import insert
from advisor.casebook.database.tables import case_files, files, lot_files, settings
from advisor.facts.whole_file import private_folder, write_whole

#: A file that no case and no lot has named for so long is deleted: five weekly backups are
#: younger.
UNUSED_DAYS = 42
#: What a setting is called that notes since when, and digits of the digest in it.
_UNUSED, _NOTED = "unused ", 50


class FileMissing(Exception):  # noqa: N818 - the caller shows the case without it
    """A file is not there, or is not what its digest says."""


class FileStore:
    """Where the bytes of attached files are. ``folder`` is None for a server."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder

    def add(self, connection: Connection, data: bytes, kind: str) -> str:
        """Store bytes, once however often they come; their SHA-256. Raises OSError.

        The bytes are on disk before the row that names them.
        """
        digest = hashlib.sha256(data).hexdigest()
        if self.folder is not None:
            place = self._place(digest)
            if not place.exists():
                private_folder(place.parent)
                write_whole(place, data, private=True)
        content = data if self.folder is None else None
        row = {"digest": digest, "size": len(data), "kind": kind, "content": content}
        connection.execute(insert(connection, files).values(row))
        if content is not None:
            # An import names a file before its bytes come.
            connection.execute(
                files.update().where(files.c.digest == digest).values(content=content)
            )
        return digest

    def read(self, connection: Connection, digest: str) -> bytes:
        """The bytes with this digest. Raises FileMissing."""
        if self.folder is None:
            asked = select(files.c.content).where(files.c.digest == digest)
            data: bytes | None = connection.execute(asked).scalar()
        else:
            try:
                data = self._place(digest).read_bytes()
            except OSError:
                data = None
        if data is None:
            raise FileMissing(f"file {digest[:12]} is missing")
        if hashlib.sha256(data).hexdigest() != digest:
            raise FileMissing(f"file {digest[:12]} was changed")
        return data

    def has(self, connection: Connection, digest: str) -> bool:
        """Whether there are bytes under this digest; they are not looked at."""
        if self.folder is not None:
            return self._place(digest).exists()
        asked = select(files.c.digest).where(files.c.digest == digest, files.c.content.is_not(None))
        return connection.execute(asked).first() is not None

    def unused(self, connection: Connection) -> list[str]:
        """Digests of files that no case and no lot names any more."""
        named = select(case_files.c.digest).union(select(lot_files.c.digest))
        return list(
            connection.execute(select(files.c.digest).where(files.c.digest.not_in(named))).scalars()
        )

    def note_unused(self, connection: Connection, now: int) -> list[str]:
        """Note since when nothing names a file, and forget those noted so long ago that no
        backup of the program's own needs them; their digests, to be deleted once committed.
        """
        unused = set(self.unused(connection))
        mine = settings.c.name.startswith(_UNUSED)
        noted = {row.name.removeprefix(_UNUSED): int(row.value)
                 for row in connection.execute(select(settings).where(mine))}  # fmt: skip
        old = []
        for digest in unused:
            since = noted.pop(digest[:_NOTED], None)
            name = f"{_UNUSED}{digest[:_NOTED]}"
            if since is None:
                connection.execute(insert(connection, settings).values(name=name, value=str(now)))
            elif now - since > UNUSED_DAYS * 86_400_000:
                connection.execute(settings.delete().where(settings.c.name == name))
                connection.execute(files.delete().where(files.c.digest == digest))
                old.append(digest)
        for named_again in noted:
            gone = settings.c.name == f"{_UNUSED}{named_again}"
            connection.execute(settings.delete().where(gone))
        return old

    def delete(self, digest: str) -> None:
        """Delete the bytes of a file that is forgotten. Raises OSError."""
        if self.folder is not None:
            self._place(digest).unlink(missing_ok=True)

    def _place(self, digest: str) -> Path:
        assert self.folder is not None
        return self.folder / digest[:2] / digest[2:]
