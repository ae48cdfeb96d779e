"""What a command prints, on a terminal or into a pipe that may be closed."""

from __future__ import annotations

import contextlib
import json
import os
import re
import sys
from collections.abc import Callable
from typing import Any

import click

from advisor.cli.exit_codes import ReaderGone
from advisor.cli.named_files import writing
from advisor.facts.faults import BadInput


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
