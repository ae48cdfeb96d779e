"""What a binder said, kept so that the next one can tell what has changed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from pathlib import Path

from advisor.facts.faults import BadInput, Fault
from advisor.facts.whole_file import private_folder, write_whole
from advisor.papers.binder.self_check import AuditState, CheckedItem, State, self_check
from advisor.papers.materials.warnings import warning
from advisor.paths import papers_folder

#: Where several are kept, the newest that is so much older is taken for that of last year.
LAST_YEAR = timedelta(days=180)


@dataclass(frozen=True)
class Snapshot:
    """A binder in short."""

    until: str
    since: str
    items: Mapping[str, str]
    """States of the items by name."""
    jobs: tuple[str, ...]
    people: tuple[str, ...]
    tools: tuple[str, ...]
    lots: tuple[str, ...]
    agreements: tuple[str, ...]


def snapshot_of(state: AuditState, items: Sequence[CheckedItem]) -> Snapshot:
    """What a binder says, in short."""
    return Snapshot(
        state.until.isoformat(), state.since.isoformat(),
        {one.name: one.state.value for one in items},
        tuple(job.case for job in state.jobs), state.people,
        tuple(" ".join(filter(None, (tool.name, tool.number))) for tool in state.shop.tools),
        tuple(state.lots), tuple(one.station for one in state.shop.agreements),
    )  # fmt: skip


def kept_folder() -> Path:
    """Where snapshots are kept; need not exist."""
    return papers_folder() / "binders"


def keep(snapshot: Snapshot, folder: Path | None = None) -> None:
    """Keep it under its last day. Raises BadInput."""
    place = (folder or kept_folder()) / f"{snapshot.until}.json"
    text = json.dumps({"format": 1, **asdict(snapshot)}, indent=1, ensure_ascii=False) + "\n"
    try:
        private_folder(place.parent)
        write_whole(place, text.encode(), private=True)
    except OSError as error:
        problem = f"cannot be written: {error.strerror or error}"
        raise BadInput(Fault(str(place), 0, 0, "", problem, "", "")) from None


def last_kept(before: date, folder: Path | None = None) -> Snapshot | None:
    """That of last year, else the newest that is older. Raises BadInput for a damaged one."""
    place = folder or kept_folder()
    days = sorted(path.stem for path in place.glob("????-??-??.json")) if place.is_dir() else []
    older = [day for day in days if day < before.isoformat()]
    last_year = [day for day in older if day <= (before - LAST_YEAR).isoformat()]
    if not older:
        return None
    path = place / f"{(last_year or older)[-1]}.json"
    try:
        said = json.loads(path.read_text("utf-8"))
        lists = {
            name: tuple(map(str, said[name]))
            for name in ("jobs", "people", "tools", "lots", "agreements")
        }  # fmt: skip
        return Snapshot(said["until"], said["since"], dict(said["items"]), **lists)
    except (OSError, ValueError, KeyError, TypeError) as error:
        problem = f"this is no snapshot of a binder: {error}"
        accepted = "one that the program has written; delete it to begin anew"
        raise BadInput(Fault(str(path), 0, 0, "", problem, "", accepted)) from None


def changes(now: Snapshot, last: Snapshot) -> list[str]:
    """What is different, a line each."""
    titles = {name: item.title for name, item in self_check().items.items()}
    gap = State.GAP.value
    found = []
    for name, state in now.items.items():
        before = last.items.get(name)
        title = titles.get(name, name)
        if before == gap and state != gap:
            found.append(f"Closed: {title}")
        elif state == gap and before != gap:
            found.append(f"New gap: {title}")
        elif state == gap:
            found.append(f"Still a gap: {title}")
    for word in ("people", "tools", "lots", "agreements"):
        there, was = set(getattr(now, word)), set(getattr(last, word))
        if there - was:
            found.append(f"{word.capitalize()} added: {', '.join(sorted(there - was))}")
        if was - there:
            found.append(f"{word.capitalize()} gone: {', '.join(sorted(was - there))}")
    found.append(f"Regulated jobs: {len(now.jobs)}, then {len(last.jobs)}")
    return found


def lots_to_heed(state: AuditState) -> dict[str, str]:
    """Warnings about lots on the last day, by name."""
    told = {name: warning(lot, state.until) for name, lot in state.lots.items()}
    return {name: heed.text for name, heed in told.items() if heed is not None}
