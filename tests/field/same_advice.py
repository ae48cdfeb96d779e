"""Whether two states of the program say the same of every demo and field case.

    python -m tests.field.same_advice write FOLDER      all outputs of this checkout
    python -m tests.field.same_advice compare OLD NEW   "same", or what differs

Each case is advised, priced and reasoned on the command line, as JSON and as text, on a
fixed day. A figure, verdict, order or key that differs is listed as DIFFERENT and makes the
command fail; a sentence that only differs in words is listed old beside new. The digest of
the rules is left out: writing the same rule in another way changes it.
"""

from __future__ import annotations

import contextlib
import datetime
import difflib
import io
import json
import os
import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
NUMBER = re.compile(r"(?<![\w.])[-−]?\d[\d,]*(?:\.\d+)?")
LEFT_OUT = {"digest"}
#: Equal words between two changes of wording that are listed as one.
SAME_SENTENCE = 12


class OneDay(datetime.date):
    """Every report is written on the same day."""

    @classmethod
    def today(cls) -> OneDay:
        return cls(2026, 11, 30)


def case_files() -> list[Path]:
    """The demo cases, then the field cases."""
    return [
        *sorted((ROOT / "demo_cases").glob("*.yaml")),
        *sorted((ROOT / "tests" / "field").glob("fc-*.yaml")),
    ]


def write(folder: Path) -> None:
    """Write what the program says of every case into ``folder``."""
    for place in ("XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME"):
        os.environ[place] = tempfile.mkdtemp()
    datetime.date = OneDay  # type: ignore[misc]
    folder.mkdir(parents=True, exist_ok=True)
    os.chdir(ROOT)
    for file in case_files():
        case = str(file.relative_to(ROOT))
        for kind, words in {
            "advise.json": ["advise", case, "--json"],
            "advise.txt": ["advise", case],
            "job.json": ["job", case, "--json"],
            "job.txt": ["job", case, "--units", "imperial"],
            "quote.txt": ["job", case, "--to"],
            "rationale.txt": ["rationale", case, "--to"],
        }.items():
            target = folder / f"{file.stem}.{kind}"
            if words[-1] == "--to":
                run([*words, str(target)])
            else:
                target.write_text(run(words), encoding="utf-8")
        print(file.stem, flush=True)


def run(words: Sequence[str]) -> str:
    """What a command prints; a code other than 0 is part of it."""
    from advisor.cli import main

    printed = io.StringIO()
    code: object = 0
    with contextlib.redirect_stdout(printed):
        try:
            main(list(words))
        except SystemExit as left:
            code = left.code
    if code:
        raise RuntimeError(f"{' '.join(words)} left with {code}")
    return printed.getvalue()


def compare(old: Path, new: Path) -> int:
    """Print what differs; the number of figures, orders and keys that do."""
    differ: list[str] = []
    sentences: dict[tuple[str, str], str] = {}
    names = {path.name for path in old.iterdir()} | {path.name for path in new.iterdir()}
    for name in sorted(names):
        before, after = old / name, new / name
        if not before.exists() or not after.exists():
            differ.append(f"{name}: only in {'new' if after.exists() else 'old'}")
            continue
        was, now = before.read_text("utf-8"), after.read_text("utf-8")
        if was == now:
            continue
        if name.endswith(".json"):
            pairs = list(in_json(json.loads(was), json.loads(now), name))
        else:
            pairs = list(in_text(was, now, name))
        for where, one, other in pairs:
            if not isinstance(one, str) or not isinstance(other, str) or "_" in f"{one}{other}":
                differ.append(f"{where}: {one!r} -> {other!r}")
            elif figures(one) != figures(other):
                differ.append(f"{where}: figures\n    {one}\n    {other}")
            else:
                sentences.setdefault((template(one), template(other)), where)
    for line in differ:
        print("DIFFERENT", line)
    for (one, other), where in sentences.items():
        print(f"  {where}\n    - {one}\n    + {other}")
    words = f"{len(sentences)} sentences differ in words alone" if sentences else "same"
    print(f"{len(differ)} figures, keys or orders differ; {words}; {len(names)} outputs")
    return len(differ)


def in_json(was: Any, now: Any, where: str) -> Iterator[tuple[str, Any, Any]]:
    """Places where two JSON values differ."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key in (*was, *(key for key in now if key not in was)):
            if key not in LEFT_OUT:
                missing = object()
                one, other = was.get(key, missing), now.get(key, missing)
                if missing in (one, other):
                    yield f"{where}.{key}", one is not missing, other is not missing
                else:
                    yield from in_json(one, other, f"{where}.{key}")
        if list(was) != list(now):
            yield f"{where}: order of keys", list(was), list(now)
    elif isinstance(was, list) and isinstance(now, list):
        if len(was) != len(now):
            yield f"{where}: length", len(was), len(now)
        for i, (one, other) in enumerate(zip(was, now, strict=False)):
            yield from in_json(one, other, f"{where}[{i}]")
    elif type(was) is not type(now) or was != now:
        yield where, was, now


def in_text(was: str, now: str, where: str) -> Iterator[tuple[str, str, str]]:
    """Runs of words that differ between two texts, however they are broken into lines.

    Each with the words around it, so that a sentence can be recognised. Runs close to each
    other are one: a figure that two wordings share may lie between them.
    """
    one, other = words_of(was), words_of(now)
    matcher = difflib.SequenceMatcher(None, one, other, autojunk=False)
    runs: list[list[int]] = []
    for tag, a, b, c, d in matcher.get_opcodes():
        if tag == "equal":
            continue
        if runs and a - runs[-1][1] <= SAME_SENTENCE:
            runs[-1][1], runs[-1][3] = b, d
        else:
            runs.append([a, b, c, d])
    for a, b, c, d in runs:
        around = one[max(0, a - 3) : b + 3], other[max(0, c - 3) : d + 3]
        yield where, " ".join(around[0]), " ".join(around[1])


def words_of(text: str) -> list[str]:
    """The words of a text without rules, bars and digests."""
    words = re.sub(r"\b[0-9a-f]{10,64}\b", "DIGEST", text).split()
    return [word for word in words if not re.fullmatch(r"[-=|#.·─━█▓▒░]+", word)]


def figures(text: str) -> list[str]:
    """Every number of a text, without thousands separators."""
    return [number.replace(",", "").rstrip(".") for number in NUMBER.findall(text)]


def template(text: str) -> str:
    """A sentence with its numbers taken out, so that it is listed once."""
    return NUMBER.sub("#", text)


if __name__ == "__main__":
    if sys.argv[1:2] == ["write"] and len(sys.argv) == 3:
        write(Path(sys.argv[2]).absolute())
    elif sys.argv[1:2] == ["compare"] and len(sys.argv) == 4:
        sys.exit(min(1, compare(Path(sys.argv[2]), Path(sys.argv[3]))))
    else:
        sys.exit(__doc__)
