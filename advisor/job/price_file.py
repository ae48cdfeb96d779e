"""The shop's prices.yaml: what stands in it, changed in place, and checked like the file."""

from __future__ import annotations

import json
import math
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from advisor.facts.faults import BadInput, Fault
from advisor.paths import overlay_folder, rules_folder
from advisor.rulegraph.model.pack import RulePack

NAME = "prices.yaml"
Where = tuple[str, ...]
OWN_HEAD = (
    "# The shop's own prices and rates. What was never changed is still the program's example.\n"
)
OWN_NOTE = "The shop's own figures"


@dataclass(frozen=True)
class PriceFile:
    """The prices in force: the shop's own file, or the one that ships."""

    text: str
    example: str
    """The file that ships."""
    target: Path
    """Where the shop's own file stands, or will stand."""
    own: bool
    """True where the shop has a file of its own."""


@dataclass(frozen=True)
class Stock:
    """What a shop says about one material; empty texts leave the pack's example."""

    what: str
    price: str = ""
    special_order: bool = False
    note: str = ""


def read_price_file(base: Path | None = None, overlay: Path | None = None) -> PriceFile:
    """The prices in force. Raises OSError where a file cannot be read."""
    example = (base or rules_folder()) / NAME
    target = (overlay or overlay_folder()) / NAME
    shipped = example.read_text("utf-8")
    if target.is_file():
        return PriceFile(target.read_text("utf-8"), shipped, target, True)
    return PriceFile(shipped, shipped, target, False)


# -- what stands in it -----------------------------------------------------------------


def value_at(text: str, where: Where) -> Any:
    """The plain value at ``where``; None where there is none."""
    found = _parsed(text)
    for key in where:
        if not isinstance(found, dict):
            return None
        found = found.get(key)
    return found


@lru_cache(maxsize=2)  # the shop's and the example, each asked for every figure shown
def _parsed(text: str) -> Any:
    import yaml

    return yaml.safe_load(text)


def spread_text(value: Any) -> str:
    """``70``, or ``55 / 70 / 90`` for low, typical and high; "" for nothing."""
    if not isinstance(value, dict):
        return "" if value is None else _plain(value)
    if "value" in value:
        return _plain(value["value"])
    return " / ".join(_plain(value.get(key)) for key in ("low", "typical", "high"))


def share_text(value: Any) -> str:
    """A share as a percentage: 0.2 as ``20``; what is no number stays as it is."""
    if isinstance(value, dict):
        return spread_text({key: _percent(part) for key, part in value.items()})
    return "" if value is None else _plain(_percent(value))


def _percent(value: Any) -> Any:
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return round(100.0 * value, 6) if number else value


def _plain(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def stock_in(text: str) -> dict[str, Stock]:
    """The stock list by material; entries that are no mapping are left out."""
    listed = value_at(text, ("quote", "stock")) or []
    found = {}
    for entry in listed if isinstance(listed, list) else []:
        if isinstance(entry, dict) and "what" in entry:
            what = str(entry["what"])
            price = spread_text(entry.get("price"))
            order, note = bool(entry.get("special_order")), str(entry.get("note") or "")
            found[what] = Stock(what, price, order, note)
    return found


# -- what is written into it --------------------------------------------------------------


def spread_yaml(written: str, factor: float = 1.0, *, sourced: bool = True) -> str:
    """``70`` or ``55 / 70 / 90`` as the file has it; what is no number goes in as it is.

    A figure the advice calculates with names its source; one of the stock list has none.
    """
    parts = [_scalar(part.strip(), factor) for part in written.split("/")]
    figures = f"value: {_scalar(written.strip(), factor)}"
    if len(parts) == 3:
        figures = f"low: {parts[0]}, typical: {parts[1]}, high: {parts[2]}"
    origin = f", source: estimate, status: estimate, note: {json.dumps(OWN_NOTE)}"
    return f"{{{figures}{origin if sourced else ''}}}"


def scalar_yaml(written: str, factor: float = 1.0) -> str:
    """A number times ``factor``; what is no number goes in as text."""
    return _scalar(written.strip(), factor)


def text_yaml(written: str) -> str:
    """Text in quotes, whatever it looks like."""
    return json.dumps(written.strip(), ensure_ascii=False)


def _scalar(written: str, factor: float) -> str:
    try:
        value = float(written)
    except ValueError:
        return text_yaml(written)
    if not math.isfinite(value):
        return text_yaml(written)
    value = round(value * factor, 10) if factor != 1.0 else value
    return f"{value:.0f}" if value.is_integer() and abs(value) < 1e15 else repr(value)


def stock_yaml(stock: Sequence[Stock]) -> list[str]:
    """One line a material; a material of which nothing is said is left out."""
    lines = []
    for item in stock:
        parts = [f"what: {text_yaml(item.what)}"]
        if item.price.strip():
            parts.append(f"price: {spread_yaml(item.price, sourced=False)}")
        if item.special_order:
            parts.append("special_order: yes")
        if item.note.strip():
            parts.append(f"note: {text_yaml(item.note)}")
        if len(parts) > 1:
            lines.append(f"{{{', '.join(parts)}}}")
    return lines


def changed(
    file: PriceFile, values: Mapping[Where, str], stock: Sequence[Stock] | None = None
) -> str:
    """The file's text with ``values`` (YAML by place) and the stock list put in.

    Everything else stays as it is written, comments too. A file made of the shipped one
    gets a head that says whose it is.
    """
    text = file.text
    for where, written in values.items():
        text = _put(text, where, written)
    if stock is not None:
        text = _put_list(text, ("quote", "stock"), stock_yaml(stock))
    if not file.own:
        body = text.lstrip()
        while body.startswith("#"):
            body = body.partition("\n")[2]
        text = _put(OWN_HEAD + body, ("note",), json.dumps(OWN_NOTE))
    return text


def _put(text: str, where: Where, written: str) -> str:
    """``written`` in the place of the value at ``where``; the key is added where missing."""
    import yaml

    node = yaml.compose(text, Loader=yaml.SafeLoader)
    for depth, key in enumerate(where):
        if not isinstance(node, yaml.MappingNode):
            break
        below = next((value for name, value in node.value if name.value == key), None)
        if below is None:
            rest = where[depth + 1 :]
            value = "".join(f"{{{part}: " for part in rest) + written + "}" * len(rest)
            return _insert(text, node, key, value)
        node = below
    start, end = _span(text, node)
    return text[:start] + written + text[end:]


def _insert(text: str, node: Any, key: str, written: str) -> str:
    """A new key as the first of a mapping, which may be empty."""
    at = node.start_mark.index
    if node.flow_style:
        comma = ", " if node.value else ""
        return f"{text[: at + 1]}{key}: {written}{comma}{text[at + 1 :]}"
    return f"{text[:at]}{key}: {written}\n{' ' * node.start_mark.column}{text[at:]}"


def _put_list(text: str, where: Where, lines: Sequence[str]) -> str:
    """A list, an entry a line, in the place of what stands there."""
    import yaml

    node = yaml.compose(text, Loader=yaml.SafeLoader)
    for key in where:
        found = node.value if isinstance(node, yaml.MappingNode) else []
        node = next((value for name, value in found if name.value == key), None)
        if node is None:
            break
    block = isinstance(node, yaml.SequenceNode) and not node.flow_style
    if not lines:
        return _put(text, where, "[]")
    if node is not None and block:
        pad = " " * node.start_mark.column
        return _put(text, where, f"\n{pad}".join(f"- {line}" for line in lines))
    inside = ",\n      ".join(lines)
    return _put(text, where, f"[\n      {inside}]")


def _span(text: str, node: Any) -> tuple[int, int]:
    """Where a value stands; a block ends before the comments and blank lines after it."""
    start, end = node.start_mark.index, node.end_mark.index
    lines = text[start:end].splitlines(keepends=True)
    while len(lines) > 1 and (not lines[-1].strip() or lines[-1].lstrip().startswith("#")):
        lines.pop()
    kept = "".join(lines)
    return start, start + len(kept.rstrip())


# -- checked like the file ------------------------------------------------------------------


def check_text(text: str, file: PriceFile, base: Path | None = None) -> RulePack:
    """The pack with these prices. Raises BadInput with the faults the file would have."""
    from advisor.rulegraph.compiling.pack import build_pack
    from advisor.rulegraph.reading.read_pack import read_files

    with tempfile.TemporaryDirectory(prefix="trim-advisor-") as folder:
        draft = Path(folder)
        if file.target.parent.is_dir():
            shutil.copytree(file.target.parent, draft, dirs_exist_ok=True)
        (draft / NAME).write_text(text, "utf-8")
        try:
            return build_pack(read_files(base or rules_folder(), draft))
        except BadInput as bad:
            placed = [_placed(fault, draft, file.target.parent) for fault in bad.faults]
            raise BadInput(placed) from None


def _placed(fault: Fault, draft: Path, target: Path) -> Fault:
    """A fault in the draft named by the file it will be in."""
    path = Path(fault.file)
    if not path.is_relative_to(draft):
        return fault
    return replace(fault, file=str(target / path.relative_to(draft)))
