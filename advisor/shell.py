"""Between the shell and the commands: files named, what is printed, the code it leaves with."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from advisor.facts.faults import BadInput, Fault

if TYPE_CHECKING:
    from advisor.facts.case import Case
    from advisor.rulegraph.model.pack import RulePack

OWN_FAULT = 1
WRONG_USAGE = 2
BAD_INPUT = 3
#: As shells count what Ctrl+C has ended.
STOPPED = 130

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


class ReaderGone(Exception):  # noqa: N818 - no error: whoever reads has read enough
    """Standard output is read no further."""


# -- files named on the command line ----------------------------------------------------------


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


# -- what is printed --------------------------------------------------------------------------


def say(text: str, *, end: str = "\n") -> None:
    """Print text; what the terminal's or file's encoding does not have becomes ``?``."""
    _print(text + end, lambda odd: "?")


def say_json(text: str, *, end: str = "\n") -> None:
    """Print JSON; where the encoding lacks a character all that is not ASCII is escaped."""
    _print(text + end, lambda odd: json.dumps(odd.group())[1:-1])


def say_form(form: Any) -> None:
    """Print ``form`` as JSON."""
    say_json(json.dumps(form, indent=2, ensure_ascii=False, allow_nan=False))


def _print(text: str, instead: Callable[[re.Match[str]], str]) -> None:
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        text = re.sub(r"[^\x00-\x7f]", lambda odd: _kept(odd, encoding, instead), text)
    try:
        with writing("standard output"):
            click.echo(text, nl=False)
    except BadInput as bad:
        _stop_printing()
        if isinstance(bad.__cause__, BrokenPipeError):
            raise ReaderGone from None
        raise


def _kept(odd: re.Match[str], encoding: str, instead: Callable[[re.Match[str]], str]) -> str:
    try:
        odd.group().encode(encoding)
    except UnicodeEncodeError:
        return instead(odd)
    return odd.group()


def _stop_printing() -> None:
    """Nothing that is still held back is printed when Python ends."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


# -- how a command ends -----------------------------------------------------------------------


def ended(run: Callable[[], Any]) -> int:
    """Run a command; the code to leave with, after telling what went wrong."""
    try:
        code = run()
        return code if isinstance(code, int) else 0
    except click.exceptions.Exit as left:
        return int(left.exit_code)
    except ReaderGone:
        return 0
    except (click.Abort, KeyboardInterrupt):
        return STOPPED
    except click.ClickException as error:
        with contextlib.suppress(OSError):
            error.show()
        return error.exit_code
    except BadInput as bad:
        _complain(*(fault.text for fault in bad.faults))
        return BAD_INPUT
    except Exception as error:
        _own_fault(error)
        return OWN_FAULT


def _complain(*lines: str) -> None:
    with contextlib.suppress(OSError):
        click.echo("\n".join(lines), err=True)


def _own_fault(error: Exception) -> None:
    """Say that the program is at fault, and keep the working for whoever mends it."""
    import tempfile
    import traceback

    details = ""
    with contextlib.suppress(OSError), tempfile.NamedTemporaryFile(
        "w", prefix="trim-advisor-", suffix=".log", delete=False, encoding="utf-8",
        errors="backslashreplace",
    ) as log:  # fmt: skip
        traceback.print_exception(error, file=log)
        details = f" Details: {log.name}"
    _complain(
        f"The program made a mistake ({type(error).__name__}: {error}). "
        f"Nothing was written.{details}"
    )
