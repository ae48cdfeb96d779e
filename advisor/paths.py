"""Where the program finds its rules, demo cases and fonts, and keeps its own files."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def _shipped(name: str) -> Path:
    """Folder inside the installed package, or beside it in a checkout."""
    inside = PACKAGE / "_data" / name
    return inside if inside.is_dir() else PACKAGE.parent / name


def rules_folder() -> Path:
    """The rule pack that ships with the program."""
    return _shipped("rules")


def demo_folder() -> Path:
    """The demo cases that ship with the program."""
    return _shipped("demo_cases")


def docs_folder() -> Path:
    """Pages of help that ship with the program."""
    return _shipped("docs")


def asset(name: str) -> Path:
    """A font or other file shipped in ``advisor/assets``."""
    return PACKAGE / "assets" / name


def _user_folder(kind: str) -> Path:
    from platformdirs import user_config_path, user_data_path

    base = user_config_path if kind == "rules" else user_data_path
    return base("trim-advisor", appauthor=False) / kind


def cache_folder() -> Path:
    """What may be deleted at any time; need not exist."""
    from platformdirs import user_cache_path

    return user_cache_path("trim-advisor", appauthor=False)


def overlay_folder() -> Path:
    """The shop's own changes to the rule pack; need not exist."""
    return _user_folder("rules")


def settings_file() -> Path:
    """What the shop said once about itself and the window; need not exist."""
    from platformdirs import user_config_path

    return user_config_path("trim-advisor", appauthor=False) / "shop.json"


def autosave_folder() -> Path:
    """Where the window keeps answers not yet saved; created on first use.

    Raises BadInput where it cannot be.
    """
    return _made(_user_folder("autosave"))


def casebook_folder() -> Path:
    """Where this user's cases are kept; need not exist."""
    return _user_folder("casebook")


def papers_folder() -> Path:
    """Hand-over records, and what the shop says of itself for the audit; need not exist."""
    return _user_folder("papers")


def practice_folder() -> Path:
    """Where this user's learners are kept, one file each; need not exist."""
    return _user_folder("practice")


def journal_file() -> Path:
    """The answers of this machine that are not in the casebook yet; need not exist."""
    return casebook_folder() / "journal.sqlite"


def casebook_address_file() -> Path:
    """One line: where the shop's casebook is, where that is not this user's folder."""
    return overlay_folder().parent / "casebook.txt"


def casebook_place() -> str:
    """The casebook: a folder, or the address of a server.

    ``TRIM_ADVISOR_CASEBOOK`` names it, else the file above, else it is this user's folder.
    """
    named = os.environ.get("TRIM_ADVISOR_CASEBOOK", "").strip()
    if not named:
        with contextlib.suppress(OSError, UnicodeDecodeError):
            named = casebook_address_file().read_text(encoding="utf-8").strip()
    return named or str(casebook_folder())


def seal_key_file() -> Path:
    """The key of this user that seals what the cache keeps; need not exist."""
    return _user_folder("seal") / "key"


def demo_copies_folder() -> Path:
    """Where demo cases are copied to when they are opened; created on first use.

    Raises BadInput where it cannot be.
    """
    return _made(_user_folder("demo"))


def _made(folder: Path) -> Path:
    from advisor.facts.faults import BadInput, Fault
    from advisor.facts.whole_file import private_folder

    try:
        private_folder(folder)
    except OSError as error:
        problem = f"this folder cannot be made: {error.strerror}"
        accepted = "a home folder that may be written to"
        raise BadInput(Fault(str(folder), 0, 0, "", problem, "", accepted)) from None
    return folder
