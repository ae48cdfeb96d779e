"""The rationale: the argued choice, for the customer, the dealer and the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.report.blocks import Document, Photo, Photos, Section
from advisor.report.content.citations import Citations
from advisor.report.content.customer_part import front
from advisor.report.content.working import working
from advisor.report.formats import html as html_form
from advisor.report.formats import pdf as pdf_form
from advisor.report.formats import text as text_form
from advisor.report.formats.any_form import checked_suffix, write_document
from advisor.report.measures import Measures
from advisor.report.status_words import ESTIMATE
from advisor.report.units import in_units_of
from advisor.wording.counts import simulated_cases

RationaleModel = Document
PhotoPair = tuple[bytes, bytes]
"""Before and after, as JPEG; empty where there is none."""

SHORT_DIGEST = 12
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip


def build_rationale(
    advice: Advice,
    case: Case,
    system: System = System.METRIC,
    today: date | None = None,
    shop: Sequence[str] = (),
    photos: Sequence[PhotoPair] = (),
) -> RationaleModel:
    """Everything the rationale says, in words and in order; renderers only lay it out.

    ``shop`` is what a shop saw of jobs like this one, said beside what is calculated; ``photos``
    are pairs of JPEGs, before the repair and after it.
    """
    measures, cites = Measures(system), Citations()
    day = today or date.today()
    provisional = advice.verdict is Verdict.ASK
    document = Document(
        language="en",
        heading="Repair advice",
        subtitle=advice.title or case.title or advice.case,
        meta=(("Case", advice.case), ("Date", f"{day.day} {MONTHS[day.month - 1]} {day.year}")),
        stamp="Provisional" if provisional else "",
        stamp_text="Questions are still open. Do not start work on this." if provisional else "",
        front=front(advice, measures, cites, shop),
        working_apart=advice.verdict in (Verdict.PLAN, Verdict.DECLINE),
        working_heading="The details",
        working_intro="What the advice rests on. Numbers in brackets point to the sources.",
        working=(*working(advice, case, measures, cites), *_photos(photos)),
        footer=ESTIMATE,
        footer_detail=(
            f"Case {advice.case}. Rules {advice.rules_version} "
            f"({advice.rules_digest[:SHORT_DIGEST]}), seed {advice.seed}, "
            f"{simulated_cases(advice.worlds)}."
            + "".join(f" {change}" for change in advice.own_rules.changes)
        ),
        author="trim-advisor",
    )
    return in_units_of(document, system)


def _photos(pairs: Sequence[PhotoPair]) -> tuple[Section, ...]:
    rows = tuple(
        (Photo("Before", before) if before else None, Photo("After", after) if after else None)
        for before, after in pairs
    )
    return (Section("Before and after", (Photos(rows),), keep=len(rows) == 1),) if rows else ()


def rationale_text(model: RationaleModel) -> str:
    """Plain text, no line longer than 88 characters."""
    return text_form.render(model)


def rationale_html(model: RationaleModel) -> str:
    """One self-contained HTML page that prints well and needs no network."""
    return html_form.render(model)


def rationale_pdf(model: RationaleModel, path: Path) -> None:
    """A PDF with page numbers, written to ``path``."""
    path.write_bytes(pdf_form.render(model))


def write_rationale(
    advice: Advice,
    case: Case,
    path: Path,
    system: System = System.METRIC,
    today: date | None = None,
    shop: Sequence[str] = (),
    photos: Sequence[PhotoPair] = (),
    paper: str = "A4",
) -> None:
    """Write the rationale to ``path``; its suffix chooses the form.

    ``shop`` and ``photos`` are as for `build_rationale`, ``paper`` one of `PAPERS`.

    The file appears whole or not at all. Raises ValueError for another suffix than
    .pdf, .html or .txt, and OSError where the folder cannot be written to.
    """
    checked_suffix(path)
    document = build_rationale(advice, case, system, today, shop, photos)
    write_document(replace(document, paper=paper), path)
