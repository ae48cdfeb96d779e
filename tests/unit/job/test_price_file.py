"""The shop's price file: changed in place, checked like the file, nothing else touched."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.job.price_file import (
    PriceFile,
    Stock,
    changed,
    check_text,
    read_price_file,
    scalar_yaml,
    share_text,
    spread_text,
    spread_yaml,
    stock_in,
    text_yaml,
    value_at,
)
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack

RATE, TAX = ("hourly_rate",), ("quote", "tax_rate")
THREAD = "Bonded sewing thread"


@pytest.fixture
def file(tmp_path: Path) -> PriceFile:
    """The prices of a shop without a file of its own."""
    return read_price_file(None, tmp_path / "own")


def test_what_ships_stands_in_until_the_shop_has_its_own(file: PriceFile) -> None:
    assert not file.own
    assert file.text == file.example == (rules_folder() / "prices.yaml").read_text("utf-8")
    assert not file.target.exists()


def test_figures_are_shown_as_they_are_written_again(file: PriceFile) -> None:
    for where in (RATE, ("call_out_minimum",), ("material_markup",)):
        shown = spread_text(value_at(file.text, where))
        again = changed(file, {where: spread_yaml(shown)})
        assert spread_text(value_at(again, where)) == shown
    assert share_text(0.2) == "20"
    assert share_text(value_at(file.text, ("material_markup",))) == "20 / 30 / 40"


def test_only_what_is_changed_changes(file: PriceFile) -> None:
    text = changed(file, {RATE: spread_yaml("82"), TAX: scalar_yaml("19", 0.01)})
    before, after = file.text.splitlines(), text.splitlines()
    moved = [line for old, line in zip(before, after, strict=True) if old != line]
    assert len(moved) == 4  # head, rate, tax, note
    assert value_at(text, RATE)["value"] == 82
    assert value_at(text, TAX) == 0.19
    assert after[0].startswith("# The shop's own prices and rates.")
    assert "# How the shop quotes, and what it has to order." in after


def test_the_new_prices_are_in_force_once_saved(file: PriceFile) -> None:
    own = Stock(THREAD, "1 / 2 / 3", True, "from the chandler")
    stock = [*stock_in(file.text).values(), own]
    text = changed(file, {RATE: spread_yaml("82"), ("quote", "shop"): text_yaml("Quay: 4")}, stock)
    checked = check_text(text, file)
    file.target.parent.mkdir()
    file.target.write_text(text, "utf-8")
    pack = load_pack(rules_folder(), file.target.parent)
    assert pack.digest == checked.digest
    assert pack.prices.hourly_rate.mean == 82
    assert pack.prices.quote.shop == "Quay: 4"
    assert not pack.prices.quote.examples
    assert pack.prices.quote.stock[THREAD].price == (1.0, 2.0, 3.0)
    assert pack.prices.quote.stock[THREAD].special_order
    again = read_price_file(None, file.target.parent)
    assert again.own
    assert stock_in(again.text)[THREAD] == own


def test_a_file_of_the_shops_own_keeps_its_comments_and_its_head(tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    head = "# Harbour shop, agreed in March\n"
    body = (rules_folder() / "prices.yaml").read_text("utf-8").partition("\n")[2]
    (own / "prices.yaml").write_text(
        head + body.replace("tax_rate: 0.2", "tax_rate: 0.2  # since spring"), "utf-8"
    )
    file = read_price_file(None, own)
    text = changed(file, {TAX: scalar_yaml("21", 0.01)}, [Stock(THREAD, "4")])
    assert text.startswith(head)
    assert "tax_rate: 0.21  # since spring" in text
    assert list(stock_in(text)) == [THREAD]
    assert text.rstrip().endswith("note: Example figures, not a shop's prices")
    check_text(text, file)


@pytest.mark.parametrize(
    "quote", ["quote: {}", "quote: {tax_label: VAT, stock: []}", "quote:\n  shop: A"]
)
def test_keys_that_are_missing_are_added(file: PriceFile, quote: str) -> None:
    head, _, rest = file.text.partition("quote:")
    tail = rest[rest.index("note: Example") :]
    short = PriceFile(f"{head}{quote}\n{tail}", file.example, file.target, own=True)
    values = {("quote", "shop"): text_yaml("B"), TAX: scalar_yaml("7", 0.01)}
    text = changed(short, values, [Stock(THREAD, "4"), Stock("Flexible filler", "", True)])
    pack = check_text(text, short)
    assert pack.prices.quote.shop == "B"
    assert pack.prices.quote.tax_rate == pytest.approx(0.07)
    assert set(pack.prices.quote.stock) == {THREAD, "Flexible filler"}
    emptied = changed(PriceFile(text, text, file.target, own=True), {}, [])
    assert check_text(emptied, short).prices.quote.stock == {}


def test_a_file_without_a_quote_gets_one(file: PriceFile) -> None:
    head, _, rest = file.text.partition("# How the shop quotes")
    short = head + rest[rest.index("note: Example") :]
    bare = PriceFile(short, file.example, file.target, own=True)
    text = changed(bare, {("quote", "shop"): text_yaml("B")}, [Stock(THREAD, "4")])
    assert check_text(text, bare).prices.quote.shop == "B"


def test_faults_are_those_of_the_file_all_at_once_and_nothing_is_written(file: PriceFile) -> None:
    values = {RATE: spread_yaml("abc"), TAX: scalar_yaml("190", 0.01)}
    text = changed(file, values, [Stock("Bonded sewing tread", "3"), Stock(THREAD, "9 / 2 / 3")])
    with pytest.raises(BadInput) as caught:
        check_text(text, file)
    said = str(caught.value)
    for part in ("hourly_rate", '"abc"', "quote.tax_rate", "low, typical and high must not fall"):
        assert part in said, part
    assert all(fault.file == str(file.target) and fault.line for fault in caught.value.faults)
    assert not file.target.exists()
    file.target.parent.mkdir(exist_ok=True)
    file.target.write_text(text, "utf-8")
    with pytest.raises(BadInput) as as_file:
        load_pack(rules_folder(), file.target.parent)
    assert as_file.value.faults == caught.value.faults


def test_a_material_no_method_names_is_refused_with_the_nearest(file: PriceFile) -> None:
    text = changed(file, {}, [Stock("Bonded sewing tread", "3")])
    with pytest.raises(BadInput, match="did you mean Bonded sewing thread"):
        check_text(text, file)


@pytest.mark.parametrize("written", ["nan", "inf", "1e999", "", "7,5", "{a: 1}", '"', "a\nb"])
def test_whatever_is_typed_stays_one_value(file: PriceFile, written: str) -> None:
    text = changed(file, {RATE: spread_yaml(written), ("quote", "shop"): text_yaml(written)})
    assert value_at(text, ("quote", "shop")) == written.strip()
    with pytest.raises(BadInput) as caught:
        check_text(text, file)
    assert {fault.field.partition(".")[0] for fault in caught.value.faults} == {"hourly_rate"}
