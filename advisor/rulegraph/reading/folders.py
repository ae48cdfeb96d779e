"""The files of a rule pack as they lie in its folders; none is passed over unsaid."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NoReturn

from advisor.facts.faults import BadInput, Fault

#: A folder with none of these holds no whole rule pack.
MARKS = ("pack.yaml", "sources.yaml", "needs.yaml", "hazards.yaml", "prices.yaml")


def found_files(folder: Path) -> dict[str, Path]:
    """Every file that is, or is meant as, one of rules, by its name within ``folder``.

    Links to folders are followed, each folder once. Names that begin with a point are left
    out: they are what editors and file systems keep for themselves. Raises BadInput where
    a folder cannot be looked into, since what lies there would be missed without a word.
    """
    found: dict[str, Path] = {}
    seen: set[str] = set()
    for top, inside, names in os.walk(folder, onerror=_unreadable, followlinks=True):
        real = os.path.realpath(top)
        inside[:] = [] if real in seen else sorted(n for n in inside if not n.startswith("."))
        if real in seen:
            continue
        seen.add(real)
        for name in names:
            path = Path(top) / name
            if path.suffix.lower() in (".yaml", ".yml") and not name.startswith("."):
                found[path.relative_to(folder).as_posix()] = path
    return dict(sorted(found.items()))


def base_files(folder: Path) -> dict[str, Path]:
    """The files of a whole pack; none where it is another kind of folder, maybe a vast one."""
    return found_files(folder) if any((folder / name).exists() for name in MARKS) else {}


def check_base(folder: Path) -> None:
    """Raises BadInput where ``folder`` is none that can be looked into."""
    try:
        with os.scandir(folder):
            return
    except PermissionError as error:
        _unreadable(error)
    except (OSError, ValueError):  # missing, a file, or a name that no folder can have
        wanted = "a folder with a rule pack"
        raise BadInput(Fault(str(folder), 0, 0, "", "no such folder", "", wanted)) from None


def there(overlay: Path | None) -> Path | None:
    """The shop's own folder, None where there is none.

    Raises BadInput where something is there that cannot be used: going on without it would
    leave out the shop's own gates and prices.
    """
    if overlay is None:
        return None
    try:
        overlay.lstat()
        with os.scandir(overlay):
            return overlay
    except (FileNotFoundError, NotADirectoryError):
        if not os.path.lexists(overlay):
            return None
        accepted = "a folder with your own rules, or nothing of this name"
        raise BadInput(Fault(str(overlay), 0, 0, "", "not a folder", "", accepted)) from None
    except OSError as error:
        _unreadable(error)


def _unreadable(error: OSError) -> NoReturn:
    problem = f"this folder cannot be read: {error.strerror}"
    accepted = "a folder that may be read"
    raise BadInput(Fault(str(error.filename), 0, 0, "", problem, "", accepted)) from None
