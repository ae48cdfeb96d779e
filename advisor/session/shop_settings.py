"""What is said once for the whole shop: its head, its people, tools, units and how it reads.

Kept as JSON in the user's own folder. What is missing has its usual value; a file that cannot
be read is told of and left as it is.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from advisor.facts.faults import BadInput, Fault

UNITS = ("metric", "imperial")
PAPERS = ("A4", "Letter")
ACCEPTED = "a JSON file as the program writes it; delete it to begin anew"
MOST_RECENT = 12


@dataclass(frozen=True)
class ShopSettings:
    """Answers of the first start, and what was changed since."""

    name: str = ""
    address: str = ""
    logo: str = ""
    """Path of a picture, or empty."""
    people: tuple[str, ...] = ()
    """Who works here, for the papers and the records."""
    at_work: str = ""
    """Who of them works with this window, for revisions, outcomes and papers."""
    tools: tuple[str, ...] = ()
    """Tools that the shop owns, by the names of the questions that take them."""
    units: str = "metric"
    paper: str = "A4"
    theme: str = "light"
    text: int = 100
    """Text size in percent."""
    warranty: str = ""
    """The shop's own words; printed only where there are any."""
    asked: bool = False
    """Whether the questions of the first start were answered or passed over."""
    recent: tuple[str, ...] = ()
    """Paths of the cases opened or saved last, the newest first."""

    @property
    def who(self) -> str:
        """Who works with this window: the one chosen, the only one there is, or nobody known."""
        if self.at_work in self.people:
            return self.at_work
        return self.people[0] if len(self.people) == 1 else ""

    def with_recent(self, path: Path) -> ShopSettings:
        """The same with a case on top of those opened last."""
        text = str(path.absolute())
        rest = [one for one in self.recent if one != text]
        return replace(self, recent=(text, *rest)[:MOST_RECENT])


def read_settings(path: Path) -> ShopSettings:
    """The settings kept at ``path``; the usual ones where there is no file.

    Raises BadInput where it cannot be read or holds what is not accepted.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return ShopSettings()
    except OSError as error:
        raise _bad(path, f"cannot be read: {error.strerror}") from None
    except json.JSONDecodeError as error:
        raise _bad(path, f"is no JSON: {error.msg}", error.lineno, error.colno) from None
    except UnicodeDecodeError:
        raise _bad(path, "is not written in UTF-8") from None
    if not isinstance(data, dict):
        raise _bad(path, "holds no settings")
    return _settings(data, path)


def _settings(data: Mapping[str, object], path: Path) -> ShopSettings:
    usual = asdict(ShopSettings())
    found: dict[str, object] = {}
    for key, value in data.items():
        if key not in usual:
            continue  # of a newer program
        wanted = usual[key]
        if isinstance(wanted, tuple):
            good = isinstance(value, list) and all(isinstance(one, str) for one in value)
            value = tuple(value) if isinstance(value, list) else value
        else:
            good = type(value) is type(wanted)
        if not good:
            raise _bad(path, f"“{key}” holds {value!r}")
        found[key] = value
    settings = replace(ShopSettings(), **found)  # type: ignore[arg-type]
    for key, value, accepted in (
        ("units", settings.units, UNITS), ("paper", settings.paper, PAPERS)
    ):
        if value not in accepted:
            raise _bad(path, f"“{key}” holds {value!r}; accepted: {', '.join(accepted)}")
    return settings


def write_settings(settings: ShopSettings, path: Path) -> None:
    """Keep them. Raises BadInput where the folder cannot be written to."""
    from advisor.facts.whole_file import private_folder, write_whole

    text = json.dumps(asdict(settings), indent=2, ensure_ascii=False) + "\n"
    try:
        private_folder(path.parent)
        write_whole(path, text.encode("utf-8"))
    except OSError as error:
        raise _bad(path, f"cannot be written: {error.strerror}") from None


def _bad(path: Path, problem: str, line: int = 0, column: int = 0) -> BadInput:
    return BadInput(Fault(str(path), line, column, "", problem, "", ACCEPTED))
