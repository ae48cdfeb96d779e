"""Files of rules laid out for reading: same data, same comments, whole or not at all."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.facts.faults import BadInput, Fault
from advisor.facts.marked_yaml import marked_text
from advisor.facts.text_file import read_text
from advisor.facts.whole_file import write_whole
from advisor.facts.yaml_layout import comment_words, laid_out
from advisor.rulegraph.reading.folders import check_base, found_files
from advisor.rulegraph.reading.read_pack import LARGEST_TEXT
from advisor.rulegraph.reading.validation_faults import kind_of_file
from advisor.rulegraph.schema.rule_files import CONTENTS


@dataclass(frozen=True)
class Layout:
    """A file of rules as it is, and as it ought to be formatted."""

    path: Path
    before: str
    after: str

    @property
    def changes(self) -> bool:
        """Whether the file is to be written."""
        return self.before != self.after

    @property
    def first_line(self) -> int:
        """The first line that is to change, from 1."""
        pairs = zip(self.before.split("\n"), self.after.split("\n"), strict=False)
        return 1 + next((i for i, (old, new) in enumerate(pairs) if old != new), 0)

    def write(self) -> None:
        """Write the file as it ought to be, if that changes it. Raises OSError."""
        if self.changes:
            write_whole(self.path, self.after.encode("utf-8"))


def layouts(paths: Iterable[Path]) -> list[Layout]:
    """How the files, and those in the folders, ought to be formatted.

    Raises BadInput with the faults of all files together.
    """
    found: list[Layout] = []
    faults: list[Fault] = []
    for path in paths:
        try:
            for file in _files(path):
                try:
                    found.append(_layout(file))
                except BadInput as bad:
                    faults += bad.faults
        except BadInput as bad:
            faults += bad.faults
    if faults:
        raise BadInput(faults)
    return found


def _files(path: Path) -> Iterator[Path]:
    if not os.path.isdir(path):  # noqa: PTH112 - False, too, for what no file can be called
        yield path
        return
    check_base(path)
    inside = found_files(path)
    if not inside:
        raise BadInput(Fault(str(path), 0, 0, "", "no rules in this folder", "", "*.yaml"))
    yield from inside.values()


def _layout(path: Path) -> Layout:
    before = read_text(path, LARGEST_TEXT)
    data = marked_text(before, str(path)).data
    order = _key_order(path)
    after = laid_out(before, order)
    again = marked_text(after, str(path)).data
    same = _written(data, order) == _written(again, order)
    if not same or comment_words(before) != comment_words(after) or laid_out(after, order) != after:
        problem = "this file cannot be formatted without changing what it says"
        raise BadInput(Fault(str(path), 1, 1, "", problem, "", "a plainer way of writing it"))
    return Layout(path, before, after)


def _key_order(path: Path) -> tuple[str, ...]:
    """The keys of such a file in the order of its schema; none where it holds names."""
    model = CONTENTS.get(kind_of_file(f"{path.parent.name}/{path.name}"))
    return tuple(getattr(model, "model_fields", ()))


def _written(data: dict[str, Any], order: tuple[str, ...]) -> str:
    """The data as text, keys in their order but for those that are put in order."""
    ordered = {key: data[key] for key in order if key in data}
    return json.dumps(ordered | data)
