"""What must hold of any lot: written and read again it is the same, and its warnings are in order.

Own rules of this project.
"""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from advisor.papers.materials.lot import (
    COLUMNS,
    NONE_STATED,
    Lot,
    lasting_until,
    lot_of,
    lots_in_csv,
    lots_in_yaml,
)
from advisor.papers.materials.warnings import Heed, warning
from advisor.papers.yaml_record import plain_text
from advisor.rulegraph.model.layers import LAYERS
from tests.property.given_cases import examples

DAYS = st.dates(date(2000, 1, 1), date(2090, 12, 31))
WORDS = st.text("abc ÄÖ0417.,;:|#'\"-/()[]{}", min_size=1, max_size=20).filter(
    lambda text: text.strip()
)
LIVES = st.builds(
    lambda count, unit: f"{count} {unit}{'s' if count > 1 else ''}",
    st.integers(1, 60), st.sampled_from(["day", "week", "month", "year"]),
)  # fmt: skip


@st.composite
def forms(draw: st.DrawFn) -> dict[str, Any]:
    """Lots as a file has them, with one certificate of a kind at the most."""
    form: dict[str, Any] = {
        "lot": draw(WORDS), "layer": draw(st.sampled_from(LAYERS)), "material": draw(WORDS)
    }  # fmt: skip
    for name in ("maker", "reference", "batch", "colour", "amount"):
        if draw(st.booleans()):
            form[name] = draw(WORDS)
    life = draw(st.sampled_from(["none", "use_by", "stated", "counted"]))
    if life == "use_by":
        form["use_by"] = draw(DAYS).isoformat()
    elif life == "stated":
        form["use_by"] = NONE_STATED
    elif life == "counted":
        form |= {"made": draw(DAYS).isoformat(), "shelf_life": draw(LIVES)}
    papers = [
        {"kind": kind, "number": draw(WORDS), "batch": draw(WORDS)}
        for kind in ("conformity", "burn_test") if draw(st.booleans())
    ]  # fmt: skip
    return {**form, "certificates": papers} if papers else form


def as_csv(form: dict[str, Any]) -> str:
    """The same lot as a line under its columns."""
    cells = {name: value for name, value in form.items() if name != "certificates"}
    for paper in form.get("certificates", []):
        cells |= {f"{paper['kind']}.{name}": paper[name] for name in ("number", "batch")}
    held = io.StringIO()
    writer = csv.DictWriter(held, [name for name in COLUMNS if name in cells])
    writer.writeheader()
    writer.writerow(cells)
    return held.getvalue()


@given(forms())
@examples(60)
def test_a_lot_is_the_same_in_yaml_in_csv_and_as_it_is_kept(form: dict[str, Any]) -> None:
    (lot,) = lots_in_yaml(plain_text({"format": "1", "lots": [form]}), "lots.yaml").lots
    assert lots_in_csv(as_csv(form), "lots.csv").lots == (lot,)
    assert lot_of(lot.form()) == lot


@given(forms(), DAYS)
@examples(60)
def test_a_later_day_never_lessens_a_warning(form: dict[str, Any], today: date) -> None:
    lot: Lot = lot_of(form)
    order = [None, Heed.SOON, Heed.EXPIRED]
    now, later = warning(lot, today), warning(lot, today + timedelta(days=1))
    kinds = [None if one is None else one.kind for one in (now, later)]
    if lot.last_day is not None:
        assert order.index(kinds[0]) <= order.index(kinds[1])  # type: ignore[arg-type]
        last = warning(lot, lot.last_day)
        assert last is not None and last.kind is Heed.SOON
        if lot.last_day < date.max:
            gone = warning(lot, lot.last_day + timedelta(days=1))
            assert gone is not None and gone.kind is Heed.EXPIRED
    else:
        assert kinds[0] == kinds[1] and kinds[0] in (None, Heed.NOT_KNOWN)


@given(DAYS, LIVES, LIVES)
@examples(60)
def test_a_later_day_of_manufacture_never_ends_a_shelf_life_earlier(
    made: date, life: str, other: str
) -> None:
    """Months end with their last day, so two days may share one; never in the other order."""
    assert lasting_until(made, life) >= made
    assert lasting_until(made + timedelta(days=1), life) >= lasting_until(made, life)
    count, unit = life.split()
    twice = f"{2 * int(count)} {unit.rstrip('s')}s"
    assert lasting_until(made, twice) >= lasting_until(made, life)
    assert lasting_until(made, other) >= made
