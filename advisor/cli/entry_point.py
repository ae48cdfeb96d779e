"""The command line. Exit codes: 0 done, 1 own fault, 2 wrong usage, 3 bad input, 130 stopped."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib import import_module

import click

from advisor import __version__
from advisor.cli.exit_codes import ended

#: Each command and the module that has it, under the same name; loaded when it is called.
COMMANDS = {
    "window": "advisor.cli.window",
    "demo": "advisor.cli.demo",
    "advise": "advisor.cli.advise",
    "rationale": "advisor.cli.rationale",
    "job": "advisor.cli.job",
    "casebook": "advisor.cli.casebook",
    "practice": "advisor.cli.practice",
    "papers": "advisor.cli.papers",
    "rules": "advisor.cli.rules",
}


class LoadedWhenCalled(click.Group):
    """A group that loads the module of a command when the command is called.

    A case file in the place of a command opens the window.
    """

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(COMMANDS[cmd_name]), cmd_name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in COMMANDS and _looks_like_a_file(args[0]):
            return "window", self.get_command(ctx, "window"), args
        return super().resolve_command(ctx, args)


def _looks_like_a_file(word: str) -> bool:
    from advisor.cli.named_files import is_a

    return word.endswith((".yaml", ".yml")) or "/" in word or "\\" in word or is_a(word, "exists")


@click.group(cls=LoadedWhenCalled, invoke_without_command=True)
@click.version_option(__version__, prog_name="trim-advisor")
@click.pass_context
def app(ctx: click.Context) -> None:
    """Which repair holds on damaged interior trim, and why.

    Without a command it opens the window; with a case file it opens that case.
    """
    if ctx.invoked_subcommand is None:
        from advisor.cli import window

        ctx.exit(window.open_window(None, None))


def main(args: Sequence[str] | None = None) -> None:
    """Entry point: runs the command and exits with its code."""
    sys.exit(
        ended(lambda: app.main(args=args, prog_name="trim-advisor", standalone_mode=False))
    )  # fmt: skip
