"""A thousand cases through ``advise`` on all cores, with the memory each worker holds.

Run with ``python tests/benchmarks/many_cases.py [cases]``.
"""

from __future__ import annotations

import os
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path

from advisor.advice.advise import advise
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.rulegraph.load import load_pack

FIELD = Path(__file__).resolve().parents[1] / "field"


def prepare() -> None:
    """Load the rules once in each worker."""
    global PACK
    PACK = load_pack()


def judged(case: Case) -> tuple[str, float]:
    """Verdict, and the most memory this worker has held so far, in MiB."""
    verdict = str(advise(case, PACK, flips=False).verdict)
    return verdict, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print the rate and the memory after a tenth and after all."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    prepare()
    base = [read_case(p, PACK.facts, methods=tuple(PACK.methods)) for p in FIELD.glob("fc-*.yaml")]
    cases = [replace(base[i % len(base)], name=f"{base[i % len(base)].name}-{i}")
             for i in range(count)]
    start = time.perf_counter()
    memory = []
    with ProcessPoolExecutor(os.cpu_count(), initializer=prepare) as pool:
        for done, (_, held) in enumerate(pool.map(judged, cases, chunksize=8), start=1):
            memory.append(held)
            if done % max(count // 10, 1) == 0:
                print(f"  {done} of {count}", file=sys.stderr)
    spent = time.perf_counter() - start
    print(f"{count} cases in {spent:.1f} s on {os.cpu_count()} cores: {count / spent:.0f} a second")
    print(f"memory of a worker: {max(memory[: count // 10]):.0f} MiB after a tenth, "
          f"{max(memory):.0f} MiB at the end")


if __name__ == "__main__":
    main()
