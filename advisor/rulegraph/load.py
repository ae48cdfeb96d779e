"""Loading a rule pack: from the files, or from what was compiled of the same files before."""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import os
import stat
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from advisor import __version__
from advisor.facts.faults import BadInput
from advisor.facts.whole_file import private_folder, write_whole
from advisor.paths import PACKAGE, cache_folder, overlay_folder, rules_folder, seal_key_file
from advisor.rulegraph.kept_pack import packed, unpacked
from advisor.rulegraph.model.own_rules import OwnRules
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.reading.folders import base_files, check_base, found_files, there

#: A compiled pack is a few hundred kilobytes; more is not one of ours.
LARGEST = 20_000_000
#: Bytes of the seal behind a kept pack, and of the key it is made with.
SEAL = 32


def load_without_own(bad: BadInput) -> RulePack:
    """The shipped rules, where the shop's own folder has the faults of ``bad``.

    Raises ``bad`` again where that would remove a hazard of the shop's own, or where there is
    no such folder.
    """
    from advisor.rulegraph.reading.own_folder import may_hold_hazards

    overlay = overlay_folder()
    broken = {
        Path(fault.file).relative_to(overlay).as_posix()
        for fault in bad.faults
        if Path(fault.file).is_relative_to(overlay)
    }
    if not os.path.lexists(overlay) or may_hold_hazards(overlay, rules_folder()):
        raise bad
    # A fault may show in a shipped file that names what an own file no longer has.
    broken = broken or set(found_files(overlay))
    return replace(load_pack(rules_folder()), own=OwnRules(broken=tuple(sorted(broken))))


def load_pack(folder: Path | None = None, overlay: Path | None = None) -> RulePack:
    """Load and check the pack in ``folder`` (the shipped one if None) with a shop's overlay.

    A file in the overlay stands in for the shipped file of the same name; other files
    there are added. Raises BadInput with every fault found, also where a folder cannot
    be looked into: without the shop's own gates nothing is worked out.
    """
    base = rules_folder() if folder is None else folder
    if overlay is None and folder is None:
        overlay = overlay_folder()
    check_base(base)
    overlay = there(overlay)
    key = _key(base, overlay)
    kept = _kept(key)
    if kept is not None:
        return kept
    from advisor.rulegraph.compiling.pack import build_pack
    from advisor.rulegraph.reading.read_pack import read_files

    pack = build_pack(read_files(base, overlay))
    if _key(base, overlay) == key:  # nobody changed a file meanwhile
        _keep(key, pack)
    return pack


def _key(base: Path, overlay: Path | None) -> str:
    """Changes with any byte of the pack's files and with the program that compiles them."""
    digest = hashlib.sha256(f"{__version__} {sys.version}".encode())
    for part in ("facts", "mechanics", "rulegraph"):
        digest.update("".join(sorted(_sources(PACKAGE / part))).encode())
    for files in (base_files(base), {} if overlay is None else found_files(overlay)):
        for path in files.values():
            digest.update(f"{path}\0".encode(errors="surrogateescape") + _content(path) + b"\0")
    return digest.hexdigest()


def _sources(folder: Path) -> Iterator[str]:
    """Every source of a part of the program with the time of its last change."""
    with contextlib.suppress(FileNotFoundError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.endswith(".py"):
                yield f"{entry.path} {entry.stat().st_mtime_ns}\n"
            elif entry.name != "__pycache__" and entry.is_dir():
                yield from _sources(Path(entry.path))


def _content(path: Path) -> bytes:
    """The file's bytes; its size where reading the pack will refuse it anyway."""
    try:
        info = path.stat()
        whole = stat.S_ISREG(info.st_mode) and info.st_size < LARGEST
        return path.read_bytes() if whole else f"{info.st_mode} {info.st_size} bytes".encode()
    except OSError as error:
        return f"cannot be read: {error.strerror}".encode()


def _place(key: str) -> Path:
    return cache_folder() / f"pack-{key[:32]}.pickle"


def _kept(key: str) -> RulePack | None:
    """What was compiled of the same files before; None where it cannot be used.

    A pickle can run anything, so only one is opened that bears this user's own seal.
    """
    try:
        secret = _secret()
        whole = _place(key).read_bytes()
        content, seal = whole[:-SEAL], whole[-SEAL:]
        if secret is None or not hmac.compare_digest(seal, _seal(secret, key, content)):
            return None
        return unpacked(content)
    except Exception:  # whatever is wrong with a cache, compiling anew puts it right
        return None


def _seal(secret: bytes, key: str, content: bytes) -> bytes:
    """What only this user can put behind a kept pack, and only behind a whole one."""
    return hmac.digest(secret, key.encode() + content, "sha256")


def _secret(*, make: bool = False) -> bytes | None:
    """The key of the seal; None where there is none that this user alone can read.

    Raises OSError where it cannot be read, or made.
    """
    place = seal_key_file()
    if make and not place.exists():
        private_folder(place.parent)
        import secrets

        write_whole(place, secrets.token_bytes(SEAL), private=True)
    with place.open("rb") as stream:
        info = os.fstat(stream.fileno())
        # Windows has neither owner nor rights here; the folder is the user's own.
        if hasattr(os, "getuid") and (info.st_uid != os.getuid() or info.st_mode & 0o077):
            return None
        found = stream.read(SEAL + 1)
    return found if len(found) == SEAL else None


def _keep(key: str, pack: RulePack) -> None:
    """Keep a compiled pack for the next start; failing to is no fault."""
    try:
        secret = _secret(make=True)
        if secret is None:
            seal_key_file().unlink()
            secret = _secret(make=True)
        if secret is None:
            return
        place = _place(key)
        private_folder(place.parent)
        for old in sorted(place.parent.glob("pack-*.pickle"), key=_age)[:-3]:
            old.unlink(missing_ok=True)
        content = packed(pack)
        write_whole(place, content + _seal(secret, key, content), private=True)
    except OSError:
        return


def _age(path: Path) -> float:
    return path.stat().st_mtime
