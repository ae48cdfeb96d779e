"""The quote a customer reads and signs, with the job sheet for the bench behind it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from advisor.facts.quantity import System
from advisor.report import html_form, pdf_form, text_form, words
from advisor.report.blocks import (
    Box,
    Column,
    Document,
    Item,
    Items,
    Pairs,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.report.quote_bench import bench_sections
from advisor.report.rationale import MONTHS, SHORT_DIGEST, write_whole
from advisor.work.model import JobSheet, Price, VehicleJob

#: Cautions the customer is told; those at the steps are for the bench.
LINE = "." * 46


def build_quote(
    job: VehicleJob, system: System = System.METRIC, today: date | None = None
) -> Document:
    """One page for the customer, the bench's pages behind it; a withheld job says why."""
    day = today or date.today()
    live = [sheet for sheet in job.sheets if not sheet.withheld]
    first = (live or list(job.sheets))[0]
    title = first.title or first.case
    if len(job.sheets) > 1:
        title = f"{title}, and {len(job.sheets) - 1} more"
    provisional = any(sheet.provisional for sheet in live)
    until = day + timedelta(days=job.valid_days)
    meta = [("Case", ", ".join(s.case for s in job.sheets)), ("Date", _day(day))]
    if live:
        meta.append(("Valid until", _day(until)))
    if job.shop:
        meta.insert(0, ("From", job.shop))
    return Document(
        language="en",
        heading="Quote" if live else "No quote",
        subtitle=title,
        meta=tuple(meta),
        stamp="Provisional" if provisional else "",
        stamp_text="Questions are still open. The price may change." if provisional else "",
        front=tuple(_front(job, live)),
        working_apart=True,
        working_heading="Job sheet",
        working_intro="For the bench: quantities, steps, times. Low to high in brackets.",
        working=tuple(bench_sections(job, system)) if live else (),
        footer=words.ESTIMATE,
        footer_detail=(
            f"Rules {first.rules_version} ({first.rules_digest[:SHORT_DIGEST]}). "
            + ("Prices are examples." if job.example_prices else "")
        ),
        author="trim-advisor",
        front_on_one_page=True,
    )


def _day(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _front(job: VehicleJob, live: list[JobSheet]) -> list[Section]:
    sections = [
        Section("", (Box(f"No work on {s.title or s.case}", s.withheld, Tone.BAD),))
        for s in job.sheets
        if s.withheld
    ]
    sections += [_work(sheet, len(live) > 1) for sheet in live]
    if job.price is None:
        return sections
    sections.append(_price(job, job.price))
    if len(live) == 1 and live[0].choices:
        sections.append(_choices(live[0], job.price.currency))
    sections.append(_terms(job, live))
    sections.append(_sign(job.price))
    return sections


def _work(sheet: JobSheet, several: bool) -> Section:
    rows = [("The damage", f"{sheet.damage}.")] if sheet.damage else []
    rows += [
        ("What we do" if i == 0 else "Then", _done(sheet, key, title))
        for i, (key, title) in enumerate(zip(sheet.methods, sheet.titles, strict=True))
    ]
    if sheet.why:
        rows.append(("Why", words.sentence(sheet.why)))
    share = words.of_hundred(sheet.hold_probability)
    rows.append(("Will it hold", f"In {share} computed cases like yours."))
    return Section((sheet.title or sheet.case) if several else "", (Pairs(tuple(rows)),))


def _done(sheet: JobSheet, key: str, title: str) -> str:
    """A method with the work it is made of."""
    parts = [_small(item.title) for item in sheet.items if item.method == key]
    return f"{title}: {'; '.join(parts)}." if parts else f"{title}."


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _price(job: VehicleJob, price: Price) -> Section:
    def money(value: float) -> str:
        return f"{value:.2f}"

    rows = [Row((line.title, money(line.amount))) for line in price.lines]
    rows.append(Row(("Quote before tax", money(price.quote)), strong=bool(price.tax)))
    if price.tax > 0.0:
        rows.append(Row((price.tax_label or "Tax", money(price.tax))))
        rows.append(Row(("Quote in all", money(price.total.high)), strong=True))
    head = (Column("Price", 0.75), Column(price.currency, 0.25, right=True))
    blocks: list[Box | Table | Text] = [Box("Price", _range_said(price)), Table(head, tuple(rows))]
    if job.saved >= 0.5:
        said = f"Done in one visit this is {price.currency} {job.saved:.0f} less than apart."
        blocks.append(Text(said))
    if job.example_prices:
        text = "These prices are the program's examples, not this shop's."
        blocks.append(Text(text, Tone.SMALL))
    return Section("", tuple(blocks))


def _range_said(price: Price) -> str:
    top = f"{price.currency} {price.total.high:.2f}"
    tax = f" with {price.tax_label or 'tax'}" if price.tax > 0.0 else ""
    if price.minimum_applies:
        return f"{top}{tax}. This is our least charge for a call-out; the work fits into it."
    low = f"{price.currency} {price.total.low:.0f}"
    if round(price.total.low) == round(price.total.typical):
        return f"{top}{tax} at most, unless we call you first; expected is {low}."
    return (
        f"{top}{tax} at most, unless we call you first. Between {low} and that is likely; "
        f"expected is {price.currency} {price.total.typical:.0f}."
    )


def _choices(sheet: JobSheet, currency: str) -> Section:
    head = (
        Column("What else could be done", 0.46),
        Column(f"{currency} before tax", 0.18, right=True),
        Column("Lasts, years", 0.18, right=True),
        Column(f"{currency} a year", 0.18, right=True),
    )
    rows = []
    for choice in sheet.choices:
        title = f"This quote: {_small(choice.title)}" if choice.key == "repair" else choice.title
        if choice.key == "nothing":
            title = f"{title}. {choice.note}"
        yearly = "" if choice.per_year is None else f"{choice.per_year:.0f}"
        if choice.key == "nothing" and choice.per_year is not None:
            yearly = f"later {yearly}"
        years = f"{choice.years.low:g} to {choice.years.high:g}"
        rows.append(Row((title, f"{choice.price:.0f}", years, yearly)))
    blocks: list[Table | Text] = [Table(head, tuple(rows))]
    if sheet.advice_on_choice:
        blocks.append(Text(sheet.advice_on_choice, Tone.SMALL))
    return Section("", tuple(blocks))


def _terms(job: VehicleJob, live: list[JobSheet]) -> Section:
    rows = []
    price = job.price
    if job.deposit is not None and price is not None:
        factor = 1.0 + (price.tax / price.quote if price.quote > 0.0 else 0.0)
        text = f"{price.currency} {job.deposit.amount * factor:.0f} before we order. "
        rows.append(("Deposit", text + job.deposit.because))
    uses = [w for sheet in live for w in sheet.waits if w.before == "use"]
    hands = sum(sheet.minutes.at(price.certainty) for sheet in live) if price is not None else 0.0
    text = f"About {words.duration(hands)} of work."
    if uses:
        last = max(uses, key=lambda w: w.minutes.typical)
        text += f" Then leave it alone for {_long(last.minutes.typical)}: {_small(last.title)}."
    rows.append(("Time", text))
    covered = dict.fromkeys(text for sheet in live for text in sheet.not_covered)
    blocks: list[Pairs | Items | Text] = [Pairs(tuple(rows))]
    if covered:
        blocks.append(Text("Not covered", strong=True))
        blocks.append(Items(tuple(Item(text) for text in covered)))
    gates = dict.fromkeys(
        text for sheet in live for text in sheet.cautions
        if not any(text in step.cautions for step in sheet.steps)
    )  # fmt: skip
    if gates:
        blocks.append(Text("Caution", strong=True))
        blocks.append(Items(tuple(Item(words.sentence(text)) for text in gates)))
    return Section("", tuple(blocks))


def _long(minutes: float) -> str:
    """``5 min``, ``2 h``, ``3 days``."""
    if minutes >= 2880:
        return f"{round(minutes / 1440):d} days"
    return "1 day" if minutes >= 1440 else words.duration(minutes)


def _sign(price: Price) -> Section:
    said = f"I agree to this work at {price.currency} {price.total.high:.2f} at most."
    rows = (("Agreed", said), ("Name", LINE), ("Signature, date", LINE))
    return Section("", (Pairs(rows),), keep=True)


WRITERS: dict[str, Callable[[Document], bytes]] = {
    ".pdf": pdf_form.render,
    ".html": lambda model: html_form.render(model).encode("utf-8"),
    ".txt": lambda model: text_form.render(model).encode("utf-8"),
}


def write_quote(
    job: VehicleJob, path: Path, system: System = System.METRIC, today: date | None = None
) -> None:
    """Write quote and job sheet to ``path``; .pdf, .html or .txt by suffix.

    The file appears whole or not at all. Raises ValueError for another suffix, OSError
    where the folder cannot be written to.
    """
    writer = WRITERS.get(path.suffix.lower())
    if writer is None:
        found = path.suffix or "no suffix"
        raise ValueError(f"{path}: cannot write {found}; accepted: {', '.join(WRITERS)}")
    write_whole(path, writer(build_quote(job, system, today)))


def job_text(job: VehicleJob, system: System = System.METRIC) -> str:
    """Quote and job sheet for the terminal."""
    return text_form.render(build_quote(job, system))
