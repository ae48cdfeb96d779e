"""Lists of cases for other programs: CSV for a spreadsheet, JSON lines for a program."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, fields
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection

from advisor.casebook.cases.versions import body
from advisor.casebook.finding.lines import CaseLine

_LEFT_OUT = {"id"}
_TIMES = {"begun", "changed", "follow_up"}
#: A spreadsheet takes a cell that begins so for a formula, and may run it (OWASP, "CSV
#: injection").
_FORMULA = ("=", "+", "-", "@", "\t", "\r")

COLUMNS = tuple(field.name for field in fields(CaseLine) if field.name not in _LEFT_OUT)


def cell(value: Any) -> str:
    """A cell that no spreadsheet takes for a formula."""
    if value is None:
        return ""
    text = str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(_FORMULA) else text


def csv_lines(lines: Iterable[CaseLine]) -> Iterator[str]:
    """Cases as CSV (RFC 4180), with a line of headings; times are UTC."""
    yield _row(COLUMNS)
    for line in lines:
        form = _plain(line)
        yield _row(cell(form[name]) for name in COLUMNS)


def json_lines(connection: Connection, lines: Iterable[CaseLine]) -> Iterator[str]:
    """Cases as JSON, one a line: what the list shows, and the last revision in full."""
    for line in lines:
        try:
            last: Any = body(connection, line.id, line.version) or None
        except ValueError as error:
            last = {"damaged": str(error)}
        form = {**_plain(line), "revision": last}
        yield json.dumps(form, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(line: CaseLine) -> dict[str, Any]:
    form = {name: value for name, value in asdict(line).items() if name in COLUMNS}
    for name in _TIMES:
        if form[name] is not None:
            form[name] = datetime.fromtimestamp(form[name] / 1000, UTC).isoformat("T", "seconds")
    return form


def _row(cells: Iterable[str]) -> str:
    out = io.StringIO()
    csv.writer(out).writerow(cells)
    return out.getvalue()
