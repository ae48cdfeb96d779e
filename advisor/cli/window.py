"""``trim-advisor window``: the window, on a screen."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from advisor.cli.options import PATH, rules_option

#: One of these is set where a window can be shown, on Linux.
SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


@click.command()
@click.argument("case", type=PATH, required=False)
@rules_option
def window(case: Path | None, rules: Path | None) -> None:
    """Open the window, on a case if one is named."""
    sys.exit(open_window(case, rules))


def open_window(case: Path | None, rules: Path | None) -> int:
    """Show the window until it is closed; its exit code. Raises BadInput, UsageError."""
    check_screen()
    from advisor.gui.app import run

    return run(case, rules)


def check_screen() -> None:
    """Without a screen Qt would end the program with words that help nobody."""
    if sys.platform == "linux" and not any(os.environ.get(name) for name in SCREENS):
        raise click.UsageError(
            f"the window needs a screen, and none of {', '.join(SCREENS)} is set; "
            "advise, rationale and job work without one"
        )
