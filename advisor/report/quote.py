"""The quote a customer reads and signs; the full job sheet behind it where it is asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from advisor.facts.quantity import System
from advisor.job.model import VehicleJob
from advisor.report.blocks import Document
from advisor.report.content.job_sections import workshop_sections
from advisor.report.content.quote_page import front_sections
from advisor.report.formats import text as text_form
from advisor.report.formats.any_form import checked_suffix, write_document
from advisor.report.rationale import MONTHS, SHORT_DIGEST
from advisor.report.status_words import ESTIMATE
from advisor.report.units import in_units_of


def build_quote(
    job: VehicleJob, system: System = System.METRIC, today: date | None = None, *,
    annex: bool = False,
) -> Document:  # fmt: skip
    """One page for the customer, with ``annex`` the job sheet behind it.

    A withheld job says why.
    """
    day = today or date.today()
    live = [sheet for sheet in job.sheets if not sheet.withheld]
    first = (live or list(job.sheets))[0]
    title = first.title or first.case
    if len(job.sheets) > 1:
        title = f"{title}, and {len(job.sheets) - 1} more"
    provisional = any(sheet.provisional for sheet in live)
    until = day + timedelta(days=job.valid_days)
    meta = [("Case", ", ".join(s.case for s in job.sheets)), ("Date", day_text(day))]
    if live:
        meta.append(("Valid until", day_text(until)))
    if job.shop:
        meta.insert(0, ("From", job.shop))
    document = Document(
        language="en",
        heading="Quote" if live else "No quote",
        subtitle=title,
        meta=tuple(meta),
        stamp="Provisional" if provisional else "",
        stamp_text="Questions are still open. The price may change." if provisional else "",
        front=tuple(front_sections(job, live)),
        working_apart=True,
        working_heading="Job sheet",
        working_intro=(
            "For the workshop. Likely figure first, low to high in brackets. Where no source "
            "is named the figure is calculated."
        ),
        working=tuple(workshop_sections(job, system)) if live and annex else (),
        footer=ESTIMATE,
        footer_detail=(
            f"Rules {first.rules_version} ({first.rules_digest[:SHORT_DIGEST]}). "
            + ("Prices are examples." if job.example_prices else "")
            + "".join(f" {change}" for change in first.own_rules.changes)
        ),
        author="trim-advisor",
        front_on_one_page=True,
    )
    return in_units_of(document, system)


def day_text(day: date) -> str:
    """A day as the papers write it: ``4 May 2026``."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def write_quote(
    job: VehicleJob, path: Path, system: System = System.METRIC, today: date | None = None,
    paper: str = "A4", *, annex: bool = False,
) -> None:  # fmt: skip
    """Write the quote to ``path``; .pdf, .html or .txt by suffix.

    The file appears whole or not at all. Raises ValueError for another suffix, OSError
    where the folder cannot be written to.
    """
    checked_suffix(path)
    document = build_quote(job, system, today, annex=annex)
    write_document(replace(document, paper=paper), path)


def job_text(job: VehicleJob, system: System = System.METRIC) -> str:
    """Quote and job sheet for the terminal."""
    return text_form.render(build_quote(job, system, annex=True))
