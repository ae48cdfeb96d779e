"""Write estimates.md: the twenty estimates that move choices most, over field and demo cases.

``--check`` only compares. Run it from anywhere, with the program installed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from advisor.advice.choosing.plans import Plan
from advisor.advice.choosing.working import Working, work_out
from advisor.facts.case import DAMAGE, PART, Case
from advisor.facts.case_file import read_case
from advisor.facts.declaration import Kind
from advisor.paths import demo_folder, rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.nodes import Array, Draw, TableDraw
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from tests.field.table import read_cases

PAGE = Path(__file__).parent / "estimates.md"
BEGIN = "<!-- estimates: written by docs/make_estimates.py, do not edit by hand -->"
END = "<!-- end of estimates -->"
WORLDS = 16384
SHOWN = 20
ESTIMATE = "estimate"
#: Standard errors beyond which a change is more than luck in the draws.
ERRORS = 3.0


@dataclass(frozen=True)
class Estimate:
    """A value of the rules that nothing published stands behind."""

    name: str
    title: str
    row: str = ""
    """Of a table, the answer that the row is for."""


@dataclass
class Moved:
    """What shifting an estimate to the lower and to the upper third of its spread changes."""

    estimate: Estimate
    leads: set[str] = field(default_factory=set)
    verdicts: set[str] = field(default_factory=set)
    cases: int = 0
    hold: float = 0.0
    """Largest change of the hold of the plan that leads, from the lower to the upper third,
    beyond luck in the draws."""
    total: float = 0.0

    @property
    def rank(self) -> tuple[int, float]:
        """Choices moved, then how far the holds moved in all."""
        return len(self.leads | self.verdicts), self.total


def cases_of(pack: RulePack) -> dict[str, Case]:
    """Field and demo cases by name."""
    demos = {
        path.stem: read_case(path, pack.facts, methods=pack.methods)
        for path in sorted(demo_folder().glob("*.yaml"))
    }
    return {**read_cases(pack), **demos}


def statuses() -> dict[tuple[str, str], str]:
    """Status of the figures in rows of tables and in files of parts, by row and column."""
    found: dict[tuple[str, str], str] = {}
    for path in sorted(rules_folder().rglob("*.yaml")):
        text = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
        rows = text.get("rows") if isinstance(text, dict) else None
        if path.parent.name == "parts":
            rows = {path.stem: text.get("values", {})}
        for row, columns in (rows or {}).items():
            for column, value in columns.items() if isinstance(columns, dict) else ():
                if isinstance(value, dict) and "status" in value:
                    found[row, column] = value["status"]
    return found


def estimates_of(pack: RulePack) -> list[Estimate]:
    """Every drawn value that is an estimate: figures, rows of tables, ranges of open quantities."""
    told = statuses()
    found = []
    for node in pack.nodes.values():
        if isinstance(node.operation, Draw) and node.status == ESTIMATE:
            found.append(Estimate(node.name, node.title))
        if isinstance(node.operation, TableDraw):
            column = node.name.rpartition(".")[2]
            decl = pack.facts[node.operation.key]
            for option in decl.options:
                names = [column, column.partition("_")[2]]
                if ESTIMATE in (told.get((option.key, name)) for name in names):
                    title = f"{node.title}: {option.title[0].lower()}{option.title[1:]}"
                    found.append(Estimate(node.name, title, option.key))
    for rule in pack.fact_rules.values():
        drawn = rule.decl.kind is Kind.QUANTITY and rule.origin is not None
        if drawn and rule.origin is not None and rule.origin.status == ESTIMATE:
            found.append(Estimate(rule.decl.name, f"{rule.decl.title}, while it is open"))
    return found


def shifted(estimate: Estimate, working: Working) -> tuple[Array, Array] | None:
    """Weights of the worlds with the estimate in its lower and in its upper third.

    None where it is known in this case, or nothing depends on it.
    """
    worlds = working.situation.worlds
    if estimate.name not in worlds.values or estimate.name in worlds.case.facts:
        return None
    column = np.asarray(worlds.values[estimate.name], dtype=np.float64)
    here = np.ones(worlds.n, dtype=np.bool_)
    operation = worlds.pack.nodes[estimate.name].operation if not _is_fact(estimate, worlds) else 0
    if isinstance(operation, TableDraw):
        code = worlds.pack.facts[operation.key].keys.index(estimate.row)
        here = worlds.values[operation.key] == code
    if not here.any() or np.ptp(column[here]) == 0.0:
        return None
    drawn = worlds.uniform(estimate.name)
    low = worlds.weights * np.where(here, 3.0 * (drawn < 1 / 3), 1.0)
    high = worlds.weights * np.where(here, 3.0 * (drawn > 2 / 3), 1.0)
    if not low.any() or not high.any():
        return None
    return low / low.sum(), high / high.sum()


def _is_fact(estimate: Estimate, worlds: object) -> bool:
    return estimate.name in worlds.pack.facts  # type: ignore[attr-defined]


def best(
    plans: Sequence[Plan], weights: Array, least: float, now: Mapping[tuple[str, ...], float]
) -> tuple[Plan, bool]:
    """The plan that leads with these weights, and whether it would be declined.

    Whatever differs from today by no more than luck in the draws stays as it is. ``now`` has
    today's holds of the plans.
    """

    def declined(plan: Plan) -> bool:
        holds, luck = over(weights, plan.holds)
        beyond = ERRORS * luck
        return holds < least + (beyond if now[plan.chosen] < least else -beyond)

    def rank(plan: Plan) -> tuple[bool, float]:
        dearer, luck = over(weights, plan.cost - plans[0].cost)
        return declined(plan), 0.0 if plan is plans[0] else dearer + ERRORS * luck

    found = min(plans, key=rank)
    return found, declined(found)


def over(weights: Array, values: Array) -> tuple[float, float]:
    """Weighted mean and its standard error."""
    mean = float((weights * values).sum())
    return mean, float(np.sqrt((weights**2 * (values - mean) ** 2).sum()))


def moved_by(pack: RulePack) -> Iterator[Moved]:
    """What each estimate moves."""
    found = {estimate: Moved(estimate) for estimate in estimates_of(pack)}
    least = pack.prices.declines_below
    for name, told in cases_of(pack).items():
        if PART not in told.facts or DAMAGE not in told.facts:
            continue
        working = work_out(pack.as_read(told), pack, WORLDS)
        worlds, plans = working.situation.worlds, working.plans
        if not plans or worlds.misfits or worlds.kept is not None:
            continue
        now = {plan.chosen: worlds.mean(plan.holds) for plan in plans}
        lead, declined = plans[0], now[plans[0].chosen] < least
        for estimate, moved in found.items():
            both = shifted(estimate, working)
            if both is None:
                continue
            moved.cases += 1
            (low, below), (high, above) = (over(w, lead.holds) for w in both)
            change = max(abs(high - low) - ERRORS * float(np.hypot(below, above)), 0.0)
            moved.hold = max(moved.hold, change)
            moved.total += change
            for weights in both:
                other, would_decline = best(plans, weights, least, now)
                if method_word(other.lead) != method_word(lead.lead):
                    moved.leads.add(name)
                if would_decline != declined:
                    moved.verdicts.add(name)
    yield from found.values()


def most_moving(pack: RulePack) -> list[Moved]:
    """The twenty that move most choices, most first."""
    every = sorted(moved_by(pack), key=lambda moved: (*moved.rank, moved.estimate.name))
    return every[::-1][:SHOWN]


def listing(found: Sequence[Moved]) -> str:
    """The table."""
    lines = [
        "| Estimate | Named in the rules | Cases it enters | Best method changes "
        "| Repaired or declined changes | Hold changes by up to |",
        "|---|---|---|---|---|---|",
    ]
    for moved in found:
        key = moved.estimate.name + (f", {moved.estimate.row}" if moved.estimate.row else "")
        lines.append(
            f"| {moved.estimate.title} | `{key}` | {moved.cases} | {len(moved.leads)} "
            f"| {len(moved.verdicts)} | {100 * moved.hold:.0f} of 100 |"
        )
    return "\n".join(lines)


def main() -> int:
    """Write the page, or with ``--check`` say whether it is fresh."""
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    fresh = f"{before}{BEGIN}\n\n{listing(most_moving(load_pack()))}\n\n{END}{after}"
    if "--check" in sys.argv:
        if fresh != page:
            print(f"{PAGE} is stale: run python docs/make_estimates.py", file=sys.stderr)
        return 0 if fresh == page else 1
    PAGE.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
