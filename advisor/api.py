"""The front door for programs: load rules, read or build a case, advise, job sheet, rationale.

What ``__all__`` names is stable from now on, and so are the fields that ``docs/api.md``
lists; the rest of the package may change. Everything returned is frozen data, and the same
input gives the same answer. Figures are estimates, not test results, and never an approval.

    >>> from advisor import api
    >>> rules = api.load_rules()
    >>> case = api.build_case("HB-2041", rules, {
    ...     "part.kind": "armrest",
    ...     "vehicle.kind": "bus",
    ...     "damage.kind": "seam_open",
    ...     "damage.length": "90 mm",
    ... })
    >>> advice = api.advise(case, rules)
    >>> advice.verdict
    <Verdict.ASK: 'ask'>
    >>> advice.ask[0].gate  # hazards are asked about before anything else
    True

Bad input raises `BadInput` with every fault at once, each with its place:

    >>> api.build_case("HB-2041", rules, {"part.kind": "arm_rest"})
    Traceback (most recent call last):
        ...
    advisor.facts.faults.BadInput: HB-2041: part.kind: ...
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Literal

from advisor.advice.result import (
    Advice,
    Flip,
    GateAdvice,
    GateState,
    Load,
    MethodAdvice,
    PlanAdvice,
    Question,
    Reason,
    Source,
    Status,
    Step,
    Verdict,
)
from advisor.facts.case import Case, EarlierRepair, Span
from advisor.facts.faults import BadInput, Fault
from advisor.job.model import JobSheet, Price
from advisor.rulegraph.model.pack import RulePack as Rules
from advisor.wording.figures import Range

__all__ = [
    "Advice", "BadInput", "Case", "EarlierRepair", "Fault", "Flip", "GateAdvice", "GateState",
    "JobSheet", "Load", "MethodAdvice", "PlanAdvice", "Price", "Question", "Range", "Reason",
    "Rules", "Source", "Span", "Status", "Step", "Units", "Verdict", "advise", "build_case",
    "job_sheet", "load_rules", "rationale", "read_case", "write_rationale",
]  # fmt: skip

Units = Literal["metric", "imperial"]
#: From fewer simulated cases no share is worth stating.
FEWEST = 64


def load_rules(folder: Path | str | None = None) -> Rules:
    """The rules in ``folder``; without one the shipped rules with the shop's own folder.

    Raises BadInput with every fault of every file.

        >>> rules = load_rules()
        >>> rules.facts["skin.thickness"].unit
        'mm'
        >>> "hand_stitch" in rules.methods
        True
    """
    from advisor.rulegraph.load import load_pack

    return load_pack(None if folder is None else Path(folder))


def read_case(path: Path | str, rules: Rules) -> Case:
    """The case in a case file (``docs/case-file.md``). Raises BadInput with all faults.

        >>> from advisor.paths import demo_folder
        >>> read_case(demo_folder() / "split_armrest.yaml", load_rules()).facts["part.kind"]
        ('armrest',)
    """
    from advisor.facts import case_file

    return case_file.read_case(Path(path), rules.facts, methods=rules.methods)


def build_case(
    name: str,
    rules: Rules,
    facts: Mapping[str, object],
    *,
    title: str = "",
    earlier_repairs: Sequence[Mapping[str, str]] | None = None,
    photos: Sequence[str] = (),
    note: str = "",
) -> Case:
    """A case from answers as a case file would hold them; what is not given is open.

    A quantity is text with its unit (``"90 mm"``, ``"3 to 4 in"``), a choice one of its
    options or a list of those that are possible, yes and no are booleans.
    ``earlier_repairs`` is None where nobody was asked and empty where nothing was tried; a
    repair has ``method`` and perhaps ``what``, ``result``, ``lasted``. The name seeds the
    simulated cases. Raises BadInput with all faults, each with the fact's name as ``field``.

        >>> case = build_case("HB-2041", load_rules(), {"skin.thickness": "1 to 1.2 mm"})
        >>> case.facts["skin.thickness"].low, case.facts["skin.thickness"].high
        (1.0, 1.2)
    """
    from advisor.facts.case_file import case_of

    entries: dict[str, object] = {
        "case": name, "title": title, "facts": dict(facts), "photos": list(photos), "note": note,
    }  # fmt: skip
    if earlier_repairs is not None:
        entries["earlier_repairs"] = [dict(repair) for repair in earlier_repairs]
    return case_of(entries, rules.facts, methods=rules.methods)


def advise(
    case: Case, rules: Rules, *, simulated_cases: int = 4096, in_full: bool = True
) -> Advice:
    """What the rules say about ``case``.

    Everything that is not known exactly is drawn ``simulated_cases`` times, 64 or more; more
    where few of the draws fit what was measured. ``in_full=False`` leaves out ``flips`` and
    ``drivers``, which take about half of the time. Raises ValueError for too few.

        >>> from advisor.paths import demo_folder
        >>> rules = load_rules()
        >>> case = read_case(demo_folder() / "split_armrest.yaml", rules)
        >>> advice = advise(case, rules, in_full=False)
        >>> advice.plan.lead
        'hand_stitch'
        >>> 0.5 < advice.plan.hold_probability <= 1.0
        True
    """
    from advisor.advice import advise as advising

    if simulated_cases < FEWEST:
        raise ValueError(f"{simulated_cases} simulated cases; accepted: {FEWEST} or more")
    return advising.advise(case, rules, simulated_cases, flips=in_full)




def job_sheet(case: Case, rules: Rules, advice: Advice) -> JobSheet:
    """Quantities, steps, times and price of the plan that leads in ``advice``.

    ``advice`` must be of the same case and rules. Where there is no plan, or the job is
    referred or declined, the sheet is empty and ``withheld`` says why.

        >>> from advisor.paths import demo_folder
        >>> rules = load_rules()
        >>> case = read_case(demo_folder() / "split_armrest.yaml", rules)
        >>> sheet = job_sheet(case, rules, advise(case, rules, in_full=False))
        >>> sheet.withheld
        ''
        >>> sheet.lead, sheet.price.currency == rules.currency
        ('hand_stitch', True)
    """
    from advisor.job import sheet

    _same(case, rules, advice)
    return sheet.job_sheet(case, rules, advice)


def rationale(advice: Advice, case: Case, *, units: Units = "metric") -> str:
    """The argued choice as plain text, no line longer than 88 characters.

        >>> from advisor.paths import demo_folder
        >>> rules = load_rules()
        >>> case = read_case(demo_folder() / "split_armrest.yaml", rules)
        >>> text = rationale(advise(case, rules), case)
        >>> "Estimate, not a test result" in text
        True
    """
    from advisor.facts.quantity import System
    from advisor.report.rationale import build_rationale, rationale_text

    return rationale_text(build_rationale(advice, case, System(units)))


def write_rationale(
    advice: Advice, case: Case, path: Path | str, *, units: Units = "metric"
) -> None:
    """Write the argued choice as .pdf, .html or .txt, whole or not at all.

    Raises ValueError for another suffix, OSError where the place cannot be written to.

        >>> import tempfile
        >>> from advisor.paths import demo_folder
        >>> rules = load_rules()
        >>> case = read_case(demo_folder() / "split_armrest.yaml", rules)
        >>> advice = advise(case, rules, in_full=False)
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     write_rationale(advice, case, Path(folder) / "HB.txt")
        ...     len((Path(folder) / "HB.txt").read_text(encoding="utf-8")) > 1000
        True
    """
    from advisor.facts.quantity import System
    from advisor.report import rationale as report

    report.write_rationale(advice, case, Path(path), System(units))


def _same(case: Case, rules: Rules, advice: Advice) -> None:
    """An advice of another case or other rules would be priced in silence."""
    for what, ours, theirs in (
        ("case", case.name, advice.case), ("rules", rules.digest, advice.rules_digest),
    ):  # fmt: skip
        if ours != theirs:
            raise ValueError(f"the advice is of other {what}: {theirs}; accepted: {ours}")
