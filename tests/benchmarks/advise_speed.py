"""Time of ``advise`` per case after load, and how it grows; all in one run, one process.

Run with ``python tests/benchmarks/advise_speed.py``. Prints medians and ratios;
quick leaves out flips and drivers, in full has them.
"""

from __future__ import annotations

import statistics
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.conditions import AllOrAny, Condition, Within
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Charge, Method
from tests.benchmarks.floor import floor_here, milliseconds

FIELD = Path(__file__).resolve().parents[1] / "field"


def ratios(cases: list[Case], pack: RulePack) -> None:
    """Print what an advice takes, in milliseconds and in floors timed just before it."""
    floors: list[float] = []
    spent: dict[str, list[float]] = {"quick": [], "in full": []}
    for case in cases:
        floors.append(floor_here())
        spent["quick"].append(milliseconds(lambda c=case: advise(c, pack, flips=False)))  # type: ignore[misc]
        spent["in full"].append(milliseconds(lambda c=case: advise(c, pack)))  # type: ignore[misc]
    print(f"advise, 4096 worlds, all methods and question values, {len(cases)} cases; "
          f"floor {statistics.median(floors):.2f} ms")
    for what, times in spent.items():
        ratio = [one / floor for one, floor in zip(times, floors, strict=True)]
        print(f"  {what:<8} median {statistics.median(ratio):5.1f} floors, "
              f"mean {statistics.mean(ratio):5.1f}, most {max(ratio):5.1f}; "
              f"median {statistics.median(times):6.1f} ms, slowest {max(times):6.1f} ms")


def varied(condition: Condition, number: int) -> Condition:
    """A condition that holds in the same worlds and is written in no other way alike.

    Equal conditions are judged once; rules of another author would be different ones.
    """
    older = Within("vehicle.age", float(number), np.inf)
    narrower = AllOrAny((condition, older), any_will_do=False)
    return AllOrAny((condition, narrower), any_will_do=True)


def copied(method: Method, number: int) -> Method:
    """The method once more under another name, with conditions of its own."""

    def when(condition: Condition | None) -> Condition | None:
        return None if condition is None else varied(condition, number)

    def charged(charges: tuple[Charge, ...]) -> tuple[Charge, ...]:
        return tuple(replace(charge, when=when(charge.when)) for charge in charges)

    return replace(
        method,
        key=f"{method.key}.copy{number}",
        meets=(),
        requirements=tuple(
            replace(one, condition=varied(one.condition, number)) for one in method.requirements
        ),
        joints=tuple(replace(joint, when=when(joint.when)) for joint in method.joints),
        work=charged(method.work),
        materials=charged(method.materials),
    )


def larger(pack: RulePack, factor: int) -> RulePack:
    """The pack with every method, joint, charge and requirement there ``factor`` times."""
    methods = dict(pack.methods)
    for number in range(1, factor):
        copies = (copied(method, number) for method in pack.methods.values())
        methods.update({copy.key: copy for copy in copies})
    return replace(pack, methods=methods)


def every_method(case: Case, pack: RulePack) -> None:
    """Work a case out with every method in it, also those that no need asks for."""
    for outcome in work_out(case, pack, 4096).situation.outcomes.values():
        _ = outcome.joints, outcome.minutes, outcome.material


def read_cases(pack: RulePack) -> list[Case]:
    """The field cases."""
    paths = sorted(FIELD.glob("fc-*.yaml"))
    return [read_case(path, pack.facts, methods=tuple(pack.methods)) for path in paths]


def demo(pack: RulePack) -> Case:
    """The split armrest of the demo cases."""
    path = FIELD.parents[1] / "demo_cases" / "split_armrest.yaml"
    return read_case(path, pack.facts, methods=tuple(pack.methods))


def main() -> None:
    """Print the table."""
    pack = load_pack()
    cases = read_cases(pack)
    for case in cases:
        advise(case, pack)
    ratios(cases, pack)
    surprising = demo(pack).with_fact("damage.closing_pull", Span(20.0, 20.0))
    worlds = advise(surprising, pack, flips=False).worlds
    spent = milliseconds(lambda: advise(surprising, pack, flips=False), 5)
    print(f"  a measurement that few worlds fit, {worlds} drawn: {spent:.1f} ms")
    case = cases[1]
    print("growth with worlds (one case, without flips)")
    base = None
    for n in (256, 1024, 4096, 16_384, 65_536, 262_144):
        advise(case, pack, n, flips=False)
        spent = milliseconds(lambda n=n: advise(case, pack, n, flips=False), 3)
        base = base or spent
        print(f"  {n:>7} worlds {spent:8.1f} ms   x{n // 256:<5} worlds, x{spent / base:.1f} time")
    print("growth with rules (methods, joints, conditions there 1, 3 and 10 times)")
    base = None
    for factor in (1, 3, 10):
        many = larger(pack, factor)
        every_method(case, many)
        spent = milliseconds(lambda many=many: every_method(case, many), 5)
        base = base or spent
        count = len(many.methods)
        print(f"  {factor:>2} x, {count:>3} methods {spent:8.1f} ms   x{spent / base:.1f}")


if __name__ == "__main__":
    main()
