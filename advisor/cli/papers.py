"""``trim-advisor papers``: what a station or an authority reads."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.cli.casebook import book_option, opened
from advisor.cli.named_files import check_target, read_cases, writing
from advisor.cli.options import PATH, json_option, load_rules, rules_option
from advisor.cli.papers_lots import lots
from advisor.cli.printing import say, say_form
from advisor.facts.faults import BadInput, Fault

if TYPE_CHECKING:
    from advisor.papers.materials.lot import Lot


DAY = click.DateTime(["%Y-%m-%d"])


@click.group()
def papers() -> None:
    """Burn tests, hand-over papers, materials on hand. Nothing here is an approval."""


papers.add_command(lots)


@papers.command()
@click.argument("record", type=PATH)
@json_option
def burn(record: Path, as_json: bool) -> None:
    """Compare the burn test in RECORD (docs/burn-record.md) with its limits."""
    from advisor.papers.burn.judge import judge
    from advisor.papers.burn.record import read_burn_record
    from advisor.papers.burn.rule_sets import shipped_rules

    rules = shipped_rules()
    judged = judge(read_burn_record(record, rules), rules)
    if as_json:
        from advisor.papers.burn.json_form import burn_json

        say_form(burn_json(judged))
    else:
        from advisor.papers.burn.page import build_page
        from advisor.report.formats.text import render

        say(render(build_page(judged)), end="")


@papers.command()
@click.argument("case", type=PATH)
@click.option("--record", "record_path", type=PATH, help="Record of the hand-over (YAML).")
@click.option("--to", "target", type=PATH, help="New or empty folder for the pack.")
@json_option
@rules_option
@book_option
def handover(
    case: Path, record_path: Path | None, target: Path | None, as_json: bool, rules: Path | None,
    place: str | None,
) -> None:  # fmt: skip
    """What the papers of CASE lack, and with --to the pack for the station.

    The record is that kept for the case, else the one in the folder papers beside it
    (docs/hand-over.md).
    """
    from advisor.advice.advise import advise_quick
    from advisor.facts.case import VEHICLE
    from advisor.facts.case_writer import case_text
    from advisor.papers.handover.json_form import handover_json
    from advisor.papers.handover.pack import pdf_name, prepare, write_pack
    from advisor.papers.handover.page import build_pack_page
    from advisor.papers.handover.record import HandoverRecord
    from advisor.papers.handover.record_file import find_record, read_handover
    from advisor.papers.handover.stops import stops_of
    from advisor.report.formats.text import render

    pack = load_rules(rules)
    (told,) = read_cases([case], pack)
    found = record_path or find_record(told.name, case)
    record = read_handover(found, told.name) if found else HandoverRecord(case=told.name)
    stops, hazards = stops_of(advise_quick(told, pack).advice)
    prepared = prepare(
        record, found.parent if found else case.parent, told.choice(VEHICLE),
        told.title, case_text(replace(told, photos=()), pack.facts), stops, hazards,
        _lots_of(place) if any(one.lot for one in record.materials) else {},
    )  # fmt: skip
    names = write_pack(prepared, target) if target is not None else []
    if as_json:
        say_form(handover_json(prepared.judged, names))
    elif target is not None:
        say(f"{target / pdf_name(prepared.judged)} written, {len(names)} files in all.")
        for one in prepared.judged.lacking:
            say(f"{one.kind.value}: {one.text} (from {one.who})")
    else:
        say(render(build_pack_page(prepared.judged, told.title, ())), end="")
        if found is None:
            say("\nNo record is kept for this case: --record names one, the window makes one.")


@papers.command()
@click.argument("case", type=PATH)
@click.option("--rule-set", default=None, help="As the station gave it; never guessed.")
@click.option("--item", default=None, help="Class of the item in that rule set.")
@click.option("--operator", default=None, help="Rule that the operator of an aircraft flies under.")
@click.option("--passengers", type=click.IntRange(0, 2000), default=None, help="Seats.")
@json_option
@rules_option
@book_option
def needs(
    case: Path, rule_set: str | None, item: str | None, operator: str | None,
    passengers: int | None, as_json: bool, rules: Path | None, place: str | None,
) -> None:  # fmt: skip
    """Which papers the repair of CASE needs, for each material that it adds (docs/materials.md).

    Rule set and operator are taken from its hand-over record where they are not named here.
    """
    from advisor.advice.advise import advise_quick
    from advisor.facts.case import VEHICLE
    from advisor.papers.handover.record_file import find_record, read_handover
    from advisor.papers.needs.evidence import layers_of, needs_of, rivals_of
    from advisor.papers.needs.json_form import needs_json
    from advisor.papers.needs.page import build_needs_page
    from advisor.report.formats.text import render

    pack = load_rules(rules)
    (told,) = read_cases([case], pack)
    found = find_record(told.name, case)
    if found is not None:
        record = read_handover(found, told.name)
        rule_set, operator = rule_set or record.part.rule_set, operator or record.operator.rule
    advice = advise_quick(told, pack).advice
    vehicle = told.choice(VEHICLE) or ""
    listed = needs_of(
        vehicle, layers_of(advice), rule_set=rule_set, item=item, passengers=passengers,
        operator=operator, rivals=rivals_of(advice), lots=_lots_of(place).values(),
    )  # fmt: skip
    if as_json:
        say_form(needs_json(listed, told.name))
        return
    options = {option.key: option.title for option in pack.facts[VEHICLE].options}
    called = options.get(vehicle, vehicle or "not given")
    say(render(build_needs_page(listed, called, told.name, told.title)), end="")


def _lots_of(place: str | None) -> dict[str, Lot]:
    """The shop's lots by name."""
    from advisor.papers.materials.on_hand import all_lots

    with opened(place) as book:
        return {kept.lot.lot: kept.lot for kept in book.read(all_lots)}


@papers.command()
@click.argument("folder", type=PATH)
@json_option
def verify(folder: Path, as_json: bool) -> None:
    """Whether the pack in FOLDER is still what its list of hashes says."""
    from advisor.papers.handover.pack import HASHES, changed_since

    changed = changed_since(folder)
    if as_json:
        say_form({"format": 1, "unchanged": not changed, "changed": changed})
        return
    if changed:
        raise BadInput(Fault(str(folder / HASHES), 0, 0, "", one, "", "") for one in changed)
    say(f"{folder}: every file is as listed.")


@papers.command()
@click.option("--to", "target", type=PATH, required=True, help=".pdf, .html or .txt")
@click.option("--since", type=DAY, help="First day; left out, a year before the last.")
@click.option("--until", type=DAY, help="Last day; left out, today.")
@json_option
@book_option
def binder(
    target: Path, since: datetime | None, until: datetime | None, as_json: bool, place: str | None
) -> None:
    """The binder for the station's yearly visit: gaps first, then what is kept.

    What the shop says of itself is in papers/shop.yaml of your own folder
    (docs/audit-binder.md).
    """
    from advisor.papers.binder.jobs import jobs_of, regulated_rows
    from advisor.papers.binder.page import build_binder, gap_lines
    from advisor.papers.binder.self_check import AuditState
    from advisor.papers.binder.shop_record import read_shop
    from advisor.papers.binder.snapshot import keep, last_kept, snapshot_of
    from advisor.papers.materials.on_hand import all_lots
    from advisor.paths import settings_file
    from advisor.report.formats.any_form import write_document
    from advisor.session.audit_shop import practised
    from advisor.session.shop_settings import read_settings

    check_target(target, ())
    last_day = until.date() if until else date.today()
    first_day = since.date() if since else last_day - timedelta(days=365)
    if first_day > last_day:
        raise click.BadParameter("the first day comes after the last", param_hint="--since")
    settings, shop = read_settings(settings_file()), read_shop()
    with opened(place) as book:
        lots = {kept.lot.lot: kept.lot for kept in book.read(all_lots)}
        rows = book.read(regulated_rows)
    jobs = tuple(jobs_of(rows, first_day, last_day, lots))
    told = practised(first_day, last_day)
    state = AuditState(shop, settings.people, jobs, lots, first_day, last_day, told)
    last = last_kept(last_day)
    document, items = build_binder(state, settings.name, last)
    with writing(target):
        write_document(document, target)
    keep(snapshot_of(state, items))
    if as_json:
        from advisor.papers.binder.json_form import binder_json

        say_form(binder_json(state, items, last))
        return
    lines = gap_lines(items)
    say(f"{target} written. Gaps: {len(lines)}.")
    for line in lines:
        say(line)


@papers.command()
@click.option("--to", "target", type=PATH, required=True, help=".pdf, .html or .txt")
@click.option("--station", default="", help="Name of the repair station.")
@click.option("--shop", default="", help="Name of the shop; left out, that of its settings.")
def agreement(target: Path, station: str, shop: str) -> None:
    """A starting text for an agreement with a station, for the station's own counsel."""
    from advisor.papers.agreement.page import build_agreement
    from advisor.paths import settings_file
    from advisor.report.formats.any_form import write_document
    from advisor.session.shop_settings import read_settings

    check_target(target, ())
    document = build_agreement(shop or read_settings(settings_file()).name, station)
    with writing(target):
        write_document(document, target)
    say(f"{target} written. It is a starting text for the station's own counsel.")
