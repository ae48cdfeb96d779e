"""Reading and validating the files of a rule pack; all faults are collected."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from advisor.facts.faults import BadInput, Fault, nearest_name
from advisor.facts.marked_yaml import read_marked
from advisor.facts.text_file import read_text
from advisor.rulegraph.reading.folders import base_files, check_base, found_files, there
from advisor.rulegraph.reading.own_folder import keep_hazards, left_out
from advisor.rulegraph.reading.pack_files import PackFile, PackFiles
from advisor.rulegraph.reading.partial_files import well_formed
from advisor.rulegraph.reading.validation_faults import kind_of_file
from advisor.rulegraph.reading.variants import inherit
from advisor.rulegraph.schema.rule_files import CONTENTS, OPTIONAL

#: Bytes; more is no file of rules.
LARGEST_TEXT = 2_000_000


def _misplaced(found: PackFiles, path: Path, problem: str, *more: str) -> None:
    """Note a file that is not read where it lies; what it declares is not missed elsewhere."""
    found.faults.append(Fault(str(path), 0, 0, "", problem, *more))
    _lose(found, path)


def _lose(found: PackFiles, path: Path) -> None:
    try:
        found.lost.add(path.with_suffix(".yaml").name, read_text(path, LARGEST_TEXT))
    except BadInput:
        found.lost.untold = True


def read_files(base: Path, overlay: Path | None) -> PackFiles:
    """The files of a pack with all faults of form, and what is well formed in them.

    Raises BadInput where a folder cannot be looked into.
    """
    check_base(base)
    overlay = there(overlay)
    found = PackFiles()
    paths: dict[str, Path] = {}
    replaced: dict[str, Path] = {}
    for files in (base_files(base), {} if overlay is None else found_files(overlay)):
        # Others were meant for the pack but would be passed over for their suffix.
        named = {name: path for name, path in files.items() if path.suffix == ".yaml"}
        for path in (path for name, path in files.items() if name not in named):
            accepted = path.with_suffix(".yaml").name
            _misplaced(found, path, "the name must end in .yaml", path.name, accepted)
        replaced = {name: paths[name] for name in sorted(named.keys() & paths.keys())}
        paths |= named
        found.overlaid, found.replaced = sorted(named), list(replaced)
    for required in CONTENTS:
        if required not in OPTIONAL and not any(name.startswith(required) for name in paths):
            accepted = f"{required}*.yaml" if required.endswith("/") else required
            message = f"the rule pack lacks {required}"
            found.faults.append(Fault(str(base), 0, 0, "", message, "", accepted))
            found.lost.untold = True
    digest = hashlib.sha256()
    for name in sorted(paths):
        _read_one(found, name, paths[name], digest)
    inherit(found)
    _judge_form(found)
    found.digest = digest.hexdigest()
    _keep_what_is_replaced(found, replaced)
    return found


def _judge_form(found: PackFiles) -> None:
    """Take over what is well formed; what a variant lacks with its method is reported there."""
    said: dict[str, set[tuple[str, str]]] = {}
    for file in sorted(found.files.values(), key=lambda file: file.base is not None):
        faults = well_formed(file, found.lost)
        said[file.name] = {(fault.field, fault.problem) for fault in faults}
        known = said[file.base.name] if file.base is not None else ()
        found.faults += [one for one in faults if (one.field, one.problem) not in known]


def _keep_what_is_replaced(found: PackFiles, replaced: Mapping[str, Path]) -> None:
    """Note what own files leave out of the shipped ones, and put the hazards back."""
    shipped = PackFiles()
    for name, path in replaced.items():
        _read_one(shipped, name, path, hashlib.sha256())
    _judge_form(shipped)
    keep_hazards(found, shipped.files)
    found.hidden = [
        entry
        for name, file in shipped.files.items()
        if name in found.files
        for entry in left_out(found.files[name], file)
        if entry not in found.kept
    ]


def _read_one(found: PackFiles, name: str, path: Path, digest: Any) -> None:
    if kind_of_file(name) not in CONTENTS or name.count("/") > 1:
        near = nearest_name(name, CONTENTS)
        _misplaced(found, path, "not a file of a rule pack", name, ", ".join(CONTENTS), near)
        return
    noted: list[Fault] = []
    try:
        marked = read_marked(path, limit=LARGEST_TEXT, faults=noted)
    except BadInput as bad:
        found.faults += bad.faults
        _lose(found, path)
        return
    if noted:
        found.faults += noted
        found.lost.untold = True  # of what was given twice only the first was read
    digest.update(name.encode() + b"\0" + marked.text.encode() + b"\0")
    found.files[name] = PackFile(name, path, marked)
