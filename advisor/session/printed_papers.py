"""The papers of the case in the window: who reads each, whether there is one, written to a file.

Knows no Qt. Each module that lays a paper out is loaded when one is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.session.case_session import Session
from advisor.session.shop_settings import ShopSettings
from advisor.session.vehicle_job import CaseJob

if TYPE_CHECKING:
    from advisor.job.model import VehicleJob
    from advisor.report.content.invoice import InvoicePage


class Paper(StrEnum):
    """One paper, by its key."""

    QUOTE = "quote"
    BENCH = "bench"
    INVOICE = "invoice"
    RATIONALE = "rationale"


#: Title of each paper, and who reads it and what for.
PAPERS = {
    Paper.QUOTE: ("Quote", "One page for the customer: the work, the price, a place to sign"),
    Paper.BENCH: ("Bench sheet", "For the technician: drawings, steps, cautions; no price"),
    Paper.INVOICE: ("Page for the invoice", "One page: why this repair, in plain words"),
    Paper.RATIONALE: ("Rationale", "The full working behind the choice, several pages"),
}


@dataclass(frozen=True)
class InvoiceFields:
    """What goes on the page for the invoice and is in no case; empty fields are left out."""

    customer: str
    vehicle: str
    invoice: str
    day: date


class CasePapers:
    """Writes the papers of one session's case."""

    def __init__(self, session: Session, of_case: CaseJob) -> None:
        self._session = session
        self._of_case = of_case

    def refused(self, paper: Paper, shop: ShopSettings) -> str:
        """Why there is no such paper now; empty where there is."""
        if paper is Paper.RATIONALE:
            return ""
        if paper is Paper.INVOICE:
            return self.invoice_page(shop).refused
        job = self._of_case.job()
        if job is None:
            return "These rules have no prices and no job sheet."
        first = job.sheets[0]
        if first.withheld:
            asked = "; ".join(one.title for one in first.open_hazards)
            return f"{first.withheld} {asked}".strip()
        return ""

    def invoice_page(self, shop: ShopSettings) -> InvoicePage:
        """The page for the invoice with the head of the shop."""
        from advisor.drawing.section_layers import layers_of
        from advisor.report.invoice_page import ShopHead, build_invoice_page, years_of

        session = self._session
        head = ShopHead(shop.name, shop.address, shop.logo, paper=shop.paper,
                        warranty=shop.warranty)  # fmt: skip
        layers = layers_of(session.advice, session.pack) if session.begun else None
        return build_invoice_page(session.advice, session.case, head, layers, session.system,
                                  years_of(self._of_case.sheet()))  # fmt: skip

    def write(
        self, paper: Paper, path: Path, shop: ShopSettings, fields: InvoiceFields | None = None,
        *, annex: bool = False, photos: Sequence[tuple[bytes, bytes]] = (),
    ) -> None:  # fmt: skip
        """Write a paper; ``annex`` puts the full job sheet behind the quote.

        ``photos`` are pairs before and after, empty where there is none.

        Raises ValueError for a suffix that is not offered or where the paper is refused,
        OSError where the folder cannot be written to.
        """
        refused = self.refused(paper, shop)
        if refused:
            raise ValueError(refused)
        session, system = self._session, self._session.system
        if paper is Paper.RATIONALE:
            from advisor.report.rationale import write_rationale

            advice = session.full_advice
            write_rationale(advice, session.case, path, system, paper=shop.paper, photos=photos,
                            shop=session.shop_saw(advice.plan))  # fmt: skip
        elif paper is Paper.INVOICE:
            photo = next((before for before, _ in photos if before), b"")
            self._write_invoice(path, shop, fields, photo)
        elif paper is Paper.QUOTE:
            from advisor.report.quote import write_quote

            write_quote(self._job(shop), path, system, paper=shop.paper, annex=annex)
        else:
            from advisor.report.bench_sheet import write_bench_sheet

            write_bench_sheet(self._job(shop), path, system, paper=shop.paper)

    def _job(self, shop: ShopSettings) -> VehicleJob:
        """The job under the name that the shop gave itself, else under that of its prices."""
        job = self._of_case.job()
        assert job is not None  # else the paper was refused
        head = ", ".join(line for line in (shop.name, shop.address) if line)
        return replace(job, shop=head) if head else job

    def _write_invoice(
        self, path: Path, shop: ShopSettings, fields: InvoiceFields | None, photo: bytes
    ) -> None:
        from advisor.report.invoice_page import write_invoice_page

        page = self.invoice_page(shop)
        if photo:
            page = replace(page, photo=photo)
        if fields is not None:
            head = replace(page.head, customer=fields.customer, vehicle=fields.vehicle,
                           invoice=fields.invoice, day=fields.day)  # fmt: skip
            page = replace(page, head=head)
        write_invoice_page(page, path)
