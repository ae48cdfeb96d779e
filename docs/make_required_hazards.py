"""Writes the table of hazards that every rule pack is held against, from the shipped rules.

    python docs/make_required_hazards.py            write it, and show what changed in it
    python docs/make_required_hazards.py --check    only tell whether it is up to date
"""

from __future__ import annotations

import difflib
import sys

from advisor.paths import rules_folder
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.compiling.required_hazards import FILE, required_text
from advisor.rulegraph.reading.read_pack import read_files


def main() -> int:
    """Write or check; 1 where it is not up to date."""
    found = FILE.read_text(encoding="utf-8") if FILE.exists() else ""
    wanted = required_text(build_pack(read_files(rules_folder(), None), hold_hazards=False))
    if found == wanted:
        print(f"{FILE.name} is up to date.")
        return 0
    sys.stdout.writelines(
        difflib.unified_diff(found.splitlines(True), wanted.splitlines(True), "is", "would be")
    )
    if "--check" in sys.argv:
        return 1
    FILE.write_text(wanted, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
