"""Files named on the command line: cases that are read, a target that is written."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from advisor.facts.faults import BadInput, Fault

if TYPE_CHECKING:
    from advisor.facts.case import Case
    from advisor.rulegraph.model.pack import RulePack

#: What helps where a file cannot be written, by the reason.
_ACCEPTED = {
    errno.EACCES: "a place that may be written to",
    errno.EPERM: "a place that may be written to",
    errno.EROFS: "a place that may be written to",
    errno.EISDIR: "the name of a file",
    errno.ENAMETOOLONG: "a shorter name",
    errno.ENOENT: "a folder that exists",
    errno.ENOTDIR: "a folder that exists",
    errno.ENOSPC: "a disk with room on it",
}


def is_a(path: str | Path, what: Literal["exists", "is_dir"]) -> bool:
    """Whether it exists or is a folder; no for what no file can be called."""
    try:
        return bool(getattr(Path(path), what)())
    except (OSError, ValueError):
        return False


def read_cases(paths: Sequence[Path], pack: RulePack, *, once: bool = False) -> list[Case]:
    """Read every case, a folder standing for those in it.

    With ``once`` a file that is named again is a fault. Raises BadInput with the faults of
    all files together.
    """
    from advisor.facts.case_file import read_case

    faults: list[Fault] = []
    cases = []
    known: set[str] = set()
    for path in paths:
        try:
            for file in _case_files(path):
                real = os.path.realpath(file)
                if once and real in known:
                    faults.append(Fault(str(file), 0, 0, "", "named twice", "", "each case once"))
                known.add(real)
                try:
                    cases.append(read_case(file, pack.facts, methods=pack.methods))
                except BadInput as bad:
                    faults += bad.faults
        except BadInput as bad:
            faults += bad.faults
    if faults:
        raise BadInput(faults)
    return cases


def _case_files(path: Path) -> list[Path]:
    """The file, or the case files in the folder. Names with a point in front are no cases."""
    if not is_a(path, "is_dir"):
        return [path]
    try:
        inside = sorted(
            file
            for file in path.iterdir()
            if file.suffix.lower() in (".yaml", ".yml") and not file.name.startswith(".")
            and not file.is_dir()
        )  # fmt: skip
    except OSError as error:
        problem = f"this folder cannot be read: {error.strerror}"
        raise BadInput(Fault(str(path), 0, 0, "", problem, "", "")) from None
    if not inside:
        problem = "no case files in this folder"
        raise BadInput(Fault(str(path), 0, 0, "", problem, "", "*.yaml"))
    return inside


def check_target(target: Path, cases: Sequence[Path]) -> None:
    """Refuse to write over a case that is read. Raises BadInput; wrong usage for the name."""
    if target.suffix.lower() not in (".pdf", ".html", ".txt"):
        raise click.BadParameter(f"{target}: the name must end in .pdf, .html or .txt")
    for case in cases:
        with contextlib.suppress(OSError):
            if target.samefile(case):
                problem = "this is the case itself and is not written over"
                raise BadInput(Fault(str(target), 0, 0, "", problem, "", "another name"))


@contextlib.contextmanager
def writing(target: Path | str) -> Iterator[None]:
    """Tell what cannot be written as a fault: raises BadInput in place of OSError."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        accepted = _ACCEPTED.get(error.errno or 0, "a folder that exists")
        fault = Fault(str(target), 0, 0, "", f"cannot be written: {reason}", "", accepted)
        raise BadInput(fault) from error
