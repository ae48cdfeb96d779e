"""Learners by alias, one file each on this machine: nothing of it leaves the machine.

A file is JSON lines: a heading, then a line for each round. A round is added at the end and is
on disk before it is acknowledged; a line that was cut short by a crash is left out and said.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Literal, TypeVar

from pydantic import AwareDatetime, StringConstraints, ValidationError

from advisor.facts.faults import BadInput, Fault, printable
from advisor.facts.whole_file import private_folder, write_whole
from advisor.paths import practice_folder
from advisor.practice.records import KeptRound
from advisor.rulegraph.schema.base import Strict

FORMAT = 1
LONGEST_ALIAS = 40
ENDING = ".jsonl"
#: A file larger than this is none of ours.
MAX_BYTES = 64 * 1024 * 1024

T = TypeVar("T", bound=Strict)


class Heading(Strict):
    """The first line of a learner's file."""

    format: Literal[1]
    alias: Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_ALIAS)]
    since: AwareDatetime


@dataclass(frozen=True)
class Learner:
    """One learner with all kept rounds, oldest first."""

    alias: str
    since: datetime
    rounds: tuple[KeptRound, ...] = ()
    notes: tuple[str, ...] = field(default=(), compare=False)
    """What of the file could not be read though nothing else was wrong: a last line cut short."""

    @property
    def practised(self) -> tuple[KeptRound, ...]:
        """Rounds that were practice: no transfer test."""
        return tuple(one for one in self.rounds if not one.test)


class Learners:
    """All learners of this user. Every method raises BadInput for a file that is spoiled."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or practice_folder()

    def aliases(self) -> tuple[str, ...]:
        """Everybody who is there, in alphabetical order."""
        files = sorted(self.folder.glob("*" + ENDING)) if self.folder.is_dir() else []
        return tuple(sorted((_heading(path).alias for path in files), key=str.casefold))

    def all(self) -> tuple[Learner, ...]:
        """Every learner with all rounds."""
        return tuple(self.open(alias) for alias in self.aliases())

    def add(self, alias: str) -> Learner:
        """A new learner. BadInput where the alias is taken, empty, too long or unprintable."""
        alias = checked_alias(alias)
        path = self._path(alias)
        if path.exists():
            raise _refused(path, "this alias is taken", alias, "another alias")
        heading = Heading(format=FORMAT, alias=alias, since=datetime.now(UTC))
        try:
            private_folder(self.folder)
            write_whole(path, (heading.model_dump_json() + "\n").encode(), private=True)
        except OSError as error:
            raise _refused(path, f"cannot be written: {error.strerror}", "", "") from None
        return Learner(alias, heading.since)

    def open(self, alias: str) -> Learner:
        """A learner with all rounds. BadInput where there is none, or the file is spoiled."""
        path = self._path(alias)
        if not path.exists():
            known = ", ".join(self.aliases())
            accepted = f"one of: {known}" if known else "an alias, once there is a learner"
            raise _refused(path, "no learner has this alias", alias, accepted)
        return _read(path)

    def keep(self, alias: str, one: KeptRound) -> None:
        """Add a round; it is on disk when this returns."""
        path = self._path(alias)
        self.open(alias)
        line = (one.model_dump_json() + "\n").encode()
        try:
            with path.open("r+b") as file:
                end = file.seek(0, os.SEEK_END)
                file.seek(end - 1)
                if file.read(1) != b"\n":  # a line cut short before: it is lost anyway
                    line = b"\n" + line
                file.seek(0, os.SEEK_END)
                file.write(line)
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise _refused(path, f"cannot be written: {error.strerror}", "", "") from None

    def erase(self, alias: str) -> None:
        """Erase a learner with all rounds. BadInput where there is none.

        A spoiled file of that alias is erased as well. Copies made elsewhere are not ours.
        """
        path = self._path(alias)
        if not path.exists():
            self.open(alias)
        try:
            path.unlink()
        except OSError as error:
            raise _refused(path, f"cannot be erased: {error.strerror}", "", "") from None

    def _path(self, alias: str) -> Path:
        """By a digest, so that no alias is a bad file name and case makes no second learner."""
        digest = hashlib.sha256(checked_alias(alias).casefold().encode()).hexdigest()
        return self.folder / (digest[:16] + ENDING)


def checked_alias(alias: str) -> str:
    """An alias without blanks around it. BadInput where it cannot be one."""
    text = alias.strip()
    if not text or len(text) > LONGEST_ALIAS or printable(text, LONGEST_ALIAS) != text:
        accepted = f"1 to {LONGEST_ALIAS} printable characters; an alias, no name"
        raise BadInput(Fault("", 0, 0, "alias", "this is no alias", alias, accepted))
    return text


def _refused(path: Path, problem: str, found: str, accepted: str) -> BadInput:
    return BadInput(Fault(str(path), 0, 0, "", problem, found, accepted))


def _lines(path: Path) -> tuple[list[bytes], bool]:
    """The lines, and whether the last one is whole."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise _refused(path, "the file is too large", "", f"up to {MAX_BYTES} bytes")
        content = path.read_bytes()
    except OSError as error:
        raise _refused(path, f"cannot be read: {error.strerror}", "", "") from None
    return content.splitlines(), content.endswith(b"\n")


def _heading(path: Path) -> Heading:
    lines, _ = _lines(path)
    return _checked(path, 1, lines[0] if lines else b"", Heading)


def _read(path: Path) -> Learner:
    lines, whole = _lines(path)
    heading = _checked(path, 1, lines[0] if lines else b"", Heading)
    rounds: list[KeptRound] = []
    faults: list[Fault] = []
    notes: list[str] = []
    for number, line in enumerate(lines[1:], start=2):
        if _cut_short(line) and (number < len(lines) or not whole):
            notes.append(f"line {number} was cut short and is left out")
            continue
        try:
            rounds.append(_checked(path, number, line, KeptRound))
        except BadInput as bad:
            faults += bad.faults
    if faults:
        raise BadInput(faults[:20])
    rounds.sort(key=lambda one: one.at)
    return Learner(heading.alias, heading.since, tuple(rounds), tuple(notes))


def _cut_short(line: bytes) -> bool:
    """Begins as a round does and ends in the middle: what a crash leaves."""
    return line.startswith(b'{"at":') and not line.endswith(b"}")


def _checked(path: Path, number: int, line: bytes, form: type[T]) -> T:
    accepted = "a learner's file as this program writes it, format 1"
    try:
        data = json.loads(line)
    except ValueError:
        text = line[:60].decode(errors="replace")
        raise BadInput(Fault(str(path), number, 0, "", "no JSON", text, accepted)) from None
    if form is Heading and isinstance(data, dict) and _newer(data.get("format")):
        found = str(data["format"])
        problem = "made by a newer program"
        raise BadInput(Fault(str(path), number, 0, "format", problem, found, "format 1"))
    try:
        return form.model_validate_json(line)
    except ValidationError as error:
        raise BadInput([
            Fault(
                str(path), number, 0, ".".join(str(part) for part in one["loc"]), one["msg"],
                str(one["input"])[:60] if not isinstance(one["input"], dict) else "", accepted,
            )
            for one in error.errors(include_url=False)
        ]) from None  # fmt: skip


def _newer(number: object) -> bool:
    return isinstance(number, int) and not isinstance(number, bool) and number > FORMAT


def merged(learners: Sequence[Learner]) -> tuple[KeptRound, ...]:
    """The rounds of all, oldest first."""
    return tuple(sorted((r for one in learners for r in one.rounds), key=lambda r: r.at))
