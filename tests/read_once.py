"""The files of the shipped rules, taken apart once for all packs that tests load.

Hundreds of tests load the shipped pack with one line of one file changed. Every file is
still read from where it lies; one that says, byte for byte, what a shipped file says is not
taken apart and validated again.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from advisor.facts.faults import Fault
from advisor.facts.marked_yaml import Marked
from advisor.facts.text_file import read_text
from advisor.paths import rules_folder
from advisor.rulegraph.reading import read_pack
from advisor.rulegraph.reading.pack_files import Lost, PackFile


@contextmanager
def shipped_files_read_once() -> Iterator[None]:
    """As long as this is open."""
    shipped = {path.read_text(encoding="utf-8") for path in rules_folder().rglob("*.yaml")}
    marked_of: dict[str, Marked] = {}
    content_of: dict[tuple[str, str], Any] = {}
    read_whole, form_whole = read_pack.read_marked, read_pack.well_formed

    def read_marked(
        path: Path, *, limit: int = read_pack.LARGEST_TEXT, faults: list[Fault] | None = None
    ) -> Marked:
        text = read_text(path, limit)
        if text in marked_of:
            return replace(marked_of[text], file=str(path))
        marked = read_whole(path, limit=limit, faults=faults)
        if text in shipped and not faults:
            marked_of[text] = marked
        return marked

    def well_formed(file: PackFile, lost: Lost) -> list[Fault]:
        key, known = (file.name, file.marked.text), marked_of.get(file.marked.text)
        if known is None or file.marked.data is not known.data:
            return form_whole(file, lost)
        if key not in content_of:
            faults = form_whole(file, lost)
            if faults or file.repairs:
                return faults
            content_of[key] = file.content
        file.content = content_of[key]
        return []

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(read_pack, "read_marked", read_marked)
        patch.setattr(read_pack, "well_formed", well_formed)
        yield
