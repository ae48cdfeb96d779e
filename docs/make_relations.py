"""Write the list of relations into forces-and-joints.md; ``--check`` only compares."""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import advisor.mechanics  # noqa: F401  (registers every relation)
from advisor.mechanics.relation import RELATIONS, Relation
from advisor.paths import rules_folder

PAGE = Path(__file__).parent / "forces-and-joints.md"
BEGIN = "<!-- relations: written by docs/make_relations.py, do not edit by hand -->"
END = "<!-- end of relations -->"
HEAD = (
    "| Relation | What it calculates | Inputs | Result | Holds for | Source | In the rules |\n"
    "|---|---|---|---|---|---|---|"
)
_WIRED = re.compile(r"\brelation: ([a-z][a-z0-9_]*)")
_LABEL = re.compile(r"^(\w+): (.*)$")


def wired(folder: Path) -> frozenset[str]:
    """Names of the relations that some node of the rule pack in ``folder`` uses."""
    texts = (path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml")))
    return frozenset(name for text in texts for name in _WIRED.findall(text))


def listing(relations: Collection[Relation], used: Collection[str]) -> str:
    """The tables, one for each module of ``advisor.mechanics``, in alphabetical order."""
    modules = sorted({relation.function.__module__ for relation in relations})
    parts = []
    for module in modules:
        rows = [_row(r, used) for r in relations if r.function.__module__ == module]
        file = module.replace(".", "/") + ".py"
        parts.append(f"## {_heading(module)}\n\n`{file}`\n\n{HEAD}\n" + "\n".join(rows))
    return "\n\n".join(parts)


def _heading(module: str) -> str:
    doc = sys.modules[module].__doc__ or module
    return doc.strip().splitlines()[0].rstrip(".")


def _row(relation: Relation, used: Collection[str]) -> str:
    inputs = ", ".join(f"`{name}`{_unit(unit)}" for name, unit in relation.inputs.items())
    cells = (
        f"`{relation.name}`",
        f"{relation.title}.<br>{_formula(relation)}",
        inputs,
        _unit(relation.result).strip() or "number",
        "<br>".join(_validity(relation)),
        relation.source,
        "yes" if relation.name in used else "no",
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _unit(unit: str) -> str:
    return "" if unit == "1" else f" {unit}"


def _formula(relation: Relation) -> str:
    """Second paragraph of the docstring, on one line."""
    doc = inspect.cleandoc(relation.function.__doc__ or "")
    paragraph = doc.split("\n\n")[1]
    return " ".join(paragraph.split()).replace("``", "`")


def _validity(relation: Relation) -> Iterator[str]:
    """Ranges claimed by the source, then what the docstring says of them in words."""
    for name, (low, high) in relation.valid.items():
        yield f"`{name}` {_figure(low)} to {_figure(high)}{_unit(relation.inputs[name])}"
    words = _labelled(relation, "Valid")
    if words:
        yield words


def _labelled(relation: Relation, wanted: str) -> str:
    """The docstring's paragraph behind ``wanted:``, continuation lines joined."""
    found: list[str] = []
    label = ""
    for line in inspect.cleandoc(relation.function.__doc__ or "").splitlines():
        match = _LABEL.match(line)
        if match:
            label = match.group(1)
        if label == wanted:
            found.append(match.group(2) if match else line.strip())
    return " ".join(found)


def _figure(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 10_000 else f"{value:g}"


def fresh(page: str) -> str:
    """``page`` with today's tables between its marks; ValueError where the marks are not."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"the page must hold the lines {BEGIN} and {END}")
    tables = listing(list(RELATIONS.values()), wired(rules_folder()))
    return f"{before}{BEGIN}\n\n{tables}\n\n{END}{after}"


def main(arguments: Sequence[str], page: Path = PAGE) -> int:
    """Write the page, or with ``--check`` say whether it is stale; the exit code."""
    if set(arguments) - {"--check"}:
        print("usage: python docs/make_relations.py [--check]", file=sys.stderr)
        return 2
    old = page.read_text(encoding="utf-8")
    new = fresh(old)
    if "--check" in arguments:
        if old != new:
            print(f"{page.name} is stale: run python docs/make_relations.py", file=sys.stderr)
        return int(old != new)
    page.write_text(new, encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
