"""The bench sheet: what the technician has beside the work. No price stands on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from advisor.facts.quantity import System
from advisor.job.model import VehicleJob
from advisor.report.blocks import Document
from advisor.report.content.bench_page import part_on_bench, withheld_on_bench
from advisor.report.content.job_sections import timeline_sections
from advisor.report.formats.any_form import write_document
from advisor.report.quote import day_text
from advisor.report.rationale import SHORT_DIGEST
from advisor.report.status_words import ESTIMATE
from advisor.report.units import in_units_of


def build_bench_sheet(
    job: VehicleJob, system: System = System.METRIC, today: date | None = None
) -> Document:
    """What to lay ready, what to draw, cut and do in order, for every part that may be done."""
    live = [sheet for sheet in job.sheets if not sheet.withheld]
    first = (live or list(job.sheets))[0]
    several = len(job.sheets) > 1
    sections = [withheld_on_bench(sheet) for sheet in job.sheets if sheet.withheld]
    for sheet in live:
        sections += part_on_bench(sheet, system, named=several)
    title = first.title or first.case
    if several:
        title = f"{title}, and {len(job.sheets) - 1} more"
    provisional = any(sheet.provisional for sheet in live)
    document = Document(
        language="en",
        heading="Bench sheet" if live else "No bench sheet",
        subtitle=title,
        meta=(
            ("Case", ", ".join(sheet.case for sheet in job.sheets)),
            ("Date", day_text(today or date.today())),
        ),
        stamp="Provisional" if provisional else "",
        stamp_text="Questions are still open. Do not start work on this." if provisional else "",
        front=(*sections, *(timeline_sections(job) if live else ())),
        working_apart=False,
        working_heading="",
        working_intro="",
        working=(),
        footer=ESTIMATE,
        footer_detail=f"Rules {first.rules_version} ({first.rules_digest[:SHORT_DIGEST]}).",
        author="trim-advisor",
    )
    return in_units_of(document, system)


def write_bench_sheet(
    job: VehicleJob, path: Path, system: System = System.METRIC, today: date | None = None,
    paper: str = "A4",
) -> None:  # fmt: skip
    """Write the bench sheet to ``path``, as `write_document` does."""
    write_document(replace(build_bench_sheet(job, system, today), paper=paper), path)

