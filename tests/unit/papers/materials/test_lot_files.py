"""Files of lots: YAML and CSV say the same, and every fault is told with its line and field."""

from __future__ import annotations

import re
from datetime import date

import pytest

from advisor.facts.faults import BadInput
from advisor.papers.materials.lot import (
    Lot,
    lasting_until,
    lot_of,
    lots_in_csv,
    lots_in_yaml,
)
from advisor.papers.materials.warnings import Heed, warning, warnings
from advisor.paths import docs_folder
from advisor.rulegraph.model.layers import LAYERS

YAML = """\
format: 1
lots:
  - lot: HB-L-7
    layer: adhesive
    material: contact adhesive
    maker: Harbour Chemicals
    reference: HC-40
    batch: 0417
    made: 2026-01-31
    shelf_life: 1 month
    certificates:
      - {kind: conformity, number: C-1, batch: 0417}
      - {kind: burn_test, number: B-9, issued_by: Quay test house, date: 2026-02-01,
         test: vertical_12, says: "25.853(a)", thickness: 1.20 mm}
    scans: [c-1.pdf, b-9.png]
"""
CSV = """\
lot,layer,material,maker,reference,batch,made,shelf_life,conformity.number,conformity.batch,\
burn_test.number,burn_test.issued_by,burn_test.date,burn_test.test,burn_test.says,\
burn_test.thickness,scans
HB-L-7,adhesive,contact adhesive,Harbour Chemicals,HC-40,0417,2026-01-31,1 month,C-1,0417,B-9,\
Quay test house,2026-02-01,vertical_12,25.853(a),1.20 mm,c-1.pdf | b-9.png
"""


def faults(text: str, kind: str = "yaml") -> list[str]:
    read = lots_in_csv if kind == "csv" else lots_in_yaml
    with pytest.raises(BadInput) as caught:
        read(text, f"lots.{kind}")
    return [fault.text for fault in caught.value.faults]


def test_yaml_and_csv_say_the_same() -> None:
    (lot,) = lots_in_yaml(YAML, "lots.yaml").lots
    assert lots_in_csv(CSV, "lots.csv").lots == (lot,)
    assert lots_in_csv(CSV.replace(",", ";"), "lots.csv").lots == (lot,)
    assert lot.batch == "0417"  # as it was written, not a number
    assert lot_of(lot.form()) == lot


def test_the_examples_of_the_page_can_be_read_and_its_list_of_layers_is_whole() -> None:
    page = (docs_folder() / "materials.md").read_text(encoding="utf-8")
    skin, glue = lots_in_yaml(page.split("```yaml\n")[1].split("```")[0], "lots.yaml").lots
    told = page.split("## A file in CSV")[1].split("```\n")[1]
    (again,) = lots_in_csv(told, "lots.csv").lots
    assert (again.lot, again.last_day) == (glue.lot, glue.last_day)
    assert skin.certificates[1].test == "vertical_12"
    row = next(line for line in page.splitlines() if line.startswith("| `layer`"))
    assert re.findall("`([a-z_]+)`", row)[1:] == list(LAYERS)


def test_all_faults_of_a_yaml_file_are_told_with_line_and_field() -> None:
    said = faults(
        "format: 1\nlots:\n  - {lot: A, layer: skn, material: cloth, made: 31.01.2026}\n"
        "  - lot: B\n    layer: foam\n    material: foam\n    colr: grey\n    use_by: 2026-02-30\n"
        "  - {lot: C, layer: foam, material: x, shelf_life: long, certificates: [{kind: conformity,"
        " number: C, test: vertical_6}]}\n"
    )
    wanted = [
        'lots.yaml:3:21: lots.0.layer: not one of the accepted words; found "skn"; accepted: ',
        'lots.yaml:3:49: lots.0.made: not a day; found "31.01.2026"; accepted: a day such as 2026-',
        'lots.yaml:7:5: lots.1.colr: unknown key; found "colr"; accepted: ',
        'lots.yaml:8:13: lots.1.use_by: not a day; found "2026-02-30"; accepted: a day such as ',
        'lots.yaml:9:52: lots.2.shelf_life: not a shelf life; found "long"; accepted: such as 90 ',
        'lots.yaml:9:109: lots.2.certificates.0.test: no such test; found "vertical_6"; accepted:',
    ]
    assert len(said) == len(wanted), said
    for line, words in zip(said, wanted, strict=True):
        assert line.startswith(words), line


def test_all_faults_of_a_csv_file_are_told_with_line_and_field() -> None:
    said = faults(
        'lot,layer,material,note,made,colr\nA,skn,cloth,"two\nlines",soon,\n\nB,foam,x,,,,extra\n',
        "csv",
    )
    wanted = [
        'lots.csv:1: no such column; found "colr"; accepted: one of lot, layer, ',
        'lots.csv:2: lots.0.layer: not one of the accepted words; found "skn"; accepted: ',
        'lots.csv:2: lots.0.made: not a day; found "soon"; accepted: a day such as 2026-11-12',
        "lots.csv:5: 7 values under 6 columns; accepted: a value with the separator",
    ]
    assert len(said) == len(wanted), said
    for line, words in zip(said, wanted, strict=True):
        assert line.startswith(words), line


@pytest.mark.parametrize(("text", "said"), [
    ("", "lots.csv:1: there are no columns; accepted: a first line with names of columns: one"),
    ("layer,material\nskin,x\n", "lots.csv:1: the column lot is missing"),
    ("lot,layer,material\n", "lots.csv:1:1: lots: no lots are listed"),
    ("lot,layer,material,lot\nA,skin,x,A\n", "lots.csv:1: this column is there twice"),
    ("lot,layer,material\nA,skin,x\nA,foam,y\n",
     "lots.csv:3: lots[1].lot: a lot of this name stands in the file before; found \"A\"; "
     "accepted: another name than in line 2"),
    ("lot,layer,material,burn_test.batch\nA,skin,x,7\n",
     "lots.csv:2: lots.0.certificates.0: number is missing"),
    ("lot,layer,material,use_by,shelf_life,made\nA,skin,x,none stated,1 year,2026-01-01\n",
     "lots.csv:2: lots.0: the shelf life is given twice"),
    ("lot,layer,material,shelf_life\nA,skin,x,1 year\n",
     "lots.csv:2: lots.0: a shelf life counts from a day"),
    ('lot,layer,material\nA,skin,"x\n', "lots.csv:2: not valid CSV: "),
])  # fmt: skip
def test_what_a_csv_file_may_not_say(text: str, said: str) -> None:
    assert any(line.startswith(said) for line in faults(text, "csv")), faults(text, "csv")


@pytest.mark.parametrize(("made", "lasts", "until"), [
    # A month later is the same day, or the last of a shorter month; computed by hand.
    ("2026-01-31", "1 month", "2026-02-28"), ("2024-01-31", "1 month", "2024-02-29"),
    ("2024-02-29", "1 year", "2025-02-28"), ("2026-11-15", "2 months", "2027-01-15"),
    ("2026-12-30", "2 days", "2027-01-01"), ("2026-01-01", "2 weeks", "2026-01-15"),
    ("2026-10-31", "18 months", "2028-04-30"),
])  # fmt: skip
def test_how_long_a_shelf_life_lasts(made: str, lasts: str, until: str) -> None:
    assert lasting_until(date.fromisoformat(made), lasts) == date.fromisoformat(until)


def _lot(name: str = "A", **given: object) -> Lot:
    return lot_of({"lot": name, "layer": "foam", "material": "x", **given})


def test_the_last_day_is_within_and_the_gravest_warning_stands_first() -> None:
    today = date(2026, 11, 30)
    assert warning(_lot(use_by="2026-12-31"), today) is None
    assert warning(_lot(use_by="none stated"), today) is None
    last = warning(_lot(use_by="2026-11-30"), today)
    assert last is not None and (last.kind, last.text) == (
        Heed.SOON, "use by 2026-11-30: today is its last day")  # fmt: skip
    lots = [
        _lot("D"), _lot("C", use_by="2026-12-30"), _lot("B", use_by="2026-11-29"),
        _lot("A", use_by="2020-01-01",
             withdrawn={"on": "2026-11-01", "why": "maker's notice", "by": "maker"}),
    ]  # fmt: skip
    assert [(one.lot.lot, one.kind) for one in warnings(lots, today)] == [
        ("A", Heed.WITHDRAWN), ("B", Heed.EXPIRED), ("C", Heed.SOON), ("D", Heed.NOT_KNOWN),
    ]  # fmt: skip
    assert [one.lot.lot for one in warnings(lots, today, soon=29)] == ["A", "B", "D"]
