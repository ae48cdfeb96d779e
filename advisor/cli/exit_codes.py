"""How a command ends: the code it leaves with, and what is said where it went wrong."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

import click

from advisor.facts.faults import BadInput

OWN_FAULT = 1
WRONG_USAGE = 2
BAD_INPUT = 3
#: As shells count what Ctrl+C has ended.
STOPPED = 130


class ReaderGone(Exception):  # noqa: N818 - no error: whoever reads has read enough
    """Standard output is read no further."""


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
    """Say that the program is at fault, and keep the details for whoever fixes it."""
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
