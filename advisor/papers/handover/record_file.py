"""Hand-over records on disk: one file a case, with the files it names beside it."""

from __future__ import annotations

import contextlib
import hashlib
import re
import shutil
from collections.abc import Collection, Iterator
from pathlib import Path

from advisor.facts.faults import BadInput, Fault, nearest_name, one_of
from advisor.facts.marked_yaml import Marked, Where, marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.papers.burn.judge import Judged, judge
from advisor.papers.burn.record import read_burn_record
from advisor.papers.burn.rule_sets import BurnRules, shipped_rules
from advisor.papers.handover.record import HandoverRecord
from advisor.papers.yaml_record import record_in
from advisor.paths import papers_folder

BESIDE = "papers"
"""Folder beside a case file that holds its record."""
#: A file that goes along is a photo or a scan.
MOST_BYTES = 200_000_000


def kept_file(case: str) -> Path:
    """Where this user's record of a case is kept; need not exist."""
    return papers_folder() / "jobs" / _file_name(case)


def _file_name(case: str) -> str:
    plain = re.sub(r"[^A-Za-z0-9._-]", "_", case)[:60].lstrip(".") or "case"
    if plain != case:
        plain += "-" + hashlib.sha256(case.encode()).hexdigest()[:8]
    return f"{plain}.yaml"


def find_record(case: str, case_file: Path | None = None) -> Path | None:
    """The record of a case: this user's, else the one in ``papers`` beside the case file."""
    found = [kept_file(case)]
    if case_file is not None:
        found.append(case_file.parent / BESIDE / _file_name(case))
    return next((path for path in found if path.is_file()), None)


def copy_records(case_file: Path, copy: Path) -> None:
    """Copy the records beside a case file to beside a copy of it; what is there stays.

    Raises OSError.
    """
    for record in sorted((case_file.parent / BESIDE).glob("*.yaml")):
        target = copy.parent / BESIDE / record.name
        if not target.exists():
            target.parent.mkdir(exist_ok=True)
            shutil.copyfile(record, target)


def read_handover(path: Path, case: str | None = None) -> HandoverRecord:
    """The record in a file; of ``case`` where that is given. Raises BadInput."""
    text = read_text(path, MAX_BYTES)
    record = handover_in(text, str(path))
    if case is not None and record.case != case:
        line, column = marked_text(text, str(path)).mark(("case",))
        raise BadInput(Fault(
            str(path), line, column, "case", "the record of another case", record.case, case
        ))  # fmt: skip
    return record


def handover_in(text: str, file: str) -> HandoverRecord:
    """The record in the text of ``file``. Raises BadInput with all its faults."""
    faults: list[Fault] = []
    record = None
    try:
        record = record_in(text, file, HandoverRecord)
    except BadInput as bad:
        faults += bad.faults
    with contextlib.suppress(BadInput):  # said above
        faults += _unknown_names(marked_text(text, file, faults=[]), shipped_rules())
    if faults or record is None:
        raise BadInput(faults)
    return record


def _unknown_names(marked: Marked, rules: BurnRules) -> Iterator[Fault]:
    """Rule sets and tests that no burn-test record knows."""
    listed, part = marked.data.get("certificates"), marked.data.get("part")
    found: list[tuple[Where, object]] = []
    for at, certificate in enumerate(listed if isinstance(listed, list) else ()):
        if isinstance(certificate, dict):
            keys = ("rule_set", "test")
            found += [(("certificates", at, key), certificate.get(key)) for key in keys]
    if isinstance(part, dict):
        found.append((("part", "rule_set"), part.get("rule_set")))
    for path, word in found:
        names: Collection[str] = rules.tests if path[-1] == "test" else rules.sets
        problem = f"no such {str(path[-1]).replace('_', ' ')}"
        if isinstance(word, str) and word and word not in names:
            yield marked.fault(
                path, problem, found=word, accepted=one_of(names),
                nearest=nearest_name(word, names),
            )  # fmt: skip


def digest_of_file(path: Path) -> str | None:
    """The SHA-256 of a file in hexadecimal; None where there is none that can be read."""
    try:
        if not path.is_file() or path.stat().st_size > MOST_BYTES:
            return None
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except (OSError, ValueError):
        return None


def digests_of(record: HandoverRecord, folder: Path) -> dict[str, str | None]:
    """The digest of each attached file as it lies there; names are taken from ``folder`` on."""
    return {file.path: digest_of_file(folder / file.path) for file in record.files}


def burned_of(record: HandoverRecord, folder: Path) -> dict[str, Judged]:
    """The verdicts on the burn records that certificates name. Raises BadInput."""
    rules, found = shipped_rules(), {}
    for certificate in record.certificates:
        name = certificate.record
        if name is not None and (folder / name).is_file():
            found[name] = judge(read_burn_record(folder / name, rules), rules)
    return found
