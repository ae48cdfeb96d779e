"""Loading a rule pack: from the files, or from what was compiled of the same files before."""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
import tempfile
from pathlib import Path

from advisor import __version__
from advisor.facts.faults import BadInput, Fault
from advisor.paths import PACKAGE, cache_folder, overlay_folder, rules_folder

from .pack import RulePack

#: A compiled pack is a few hundred kilobytes; more is not one of ours.
LARGEST = 20_000_000


def load_pack(folder: Path | None = None, overlay: Path | None = None) -> RulePack:
    """Load and check the pack in ``folder`` (the shipped one if None) with a shop's overlay.

    A file in the overlay stands in for the shipped file of the same name; other files
    there are added. Raises BadInput with every fault found.
    """
    base = rules_folder() if folder is None else folder
    if overlay is None and folder is None:
        overlay = overlay_folder()
    if not _is_folder(base):
        wanted = "a folder with a rule pack"
        raise BadInput(Fault(str(base), 0, 0, "", "no such folder", "", wanted))
    key = _key(base, overlay)
    kept = _kept(key)
    if kept is not None:
        return kept
    from .build import build_pack
    from .reading import read_files

    pack = build_pack(read_files(base, overlay))
    _ = pack.circuit  # so that it is kept with the pack
    _keep(key, pack)
    return pack


def _key(base: Path, overlay: Path | None) -> str:
    """Changes with any byte of the pack's files and with the program that compiles them."""
    digest = hashlib.sha256(f"{__version__} {sys.version}".encode())
    for part in ("facts", "mechanics", "rulegraph"):
        for source in sorted((PACKAGE / part).glob("*.py")):
            digest.update(f"{source} {source.stat().st_mtime_ns}".encode())
    for folder in (base, overlay):
        if folder is None or not folder.is_dir():
            continue
        for path in sorted(folder.rglob("*")):
            if path.suffix.lower() in (".yaml", ".yml") and path.is_file():
                digest.update(f"{path}\0".encode() + _content(path) + b"\0")
    return digest.hexdigest()


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:  # a name that no folder can have
        return False


def _content(path: Path) -> bytes:
    """The file's bytes; its size where reading the pack will refuse it anyway."""
    try:
        size = path.stat().st_size
        return path.read_bytes() if size < LARGEST else f"{size} bytes".encode()
    except OSError as error:
        return f"cannot be read: {error.strerror}".encode()


def _place(key: str) -> Path:
    return cache_folder() / f"pack-{key[:32]}.pickle"


def _kept(key: str) -> RulePack | None:
    """What was compiled of the same files before; None where it cannot be used."""
    try:
        pack = pickle.loads(_place(key).read_bytes())
    except Exception:  # whatever is wrong with a cache, compiling anew puts it right
        return None
    return pack if isinstance(pack, RulePack) else None


def _keep(key: str, pack: RulePack) -> None:
    """Keep a compiled pack for the next start; failing to is no fault."""
    try:
        place = _place(key)
        place.parent.mkdir(parents=True, exist_ok=True)
        for old in sorted(place.parent.glob("pack-*.pickle"), key=_age)[:-3]:
            old.unlink(missing_ok=True)
        handle, draft = tempfile.mkstemp(dir=place.parent, prefix=".pack-")
        with os.fdopen(handle, "wb") as stream:
            pickle.dump(pack, stream, protocol=pickle.HIGHEST_PROTOCOL)
        Path(draft).replace(place)
    except OSError:
        return


def _age(path: Path) -> float:
    return path.stat().st_mtime
