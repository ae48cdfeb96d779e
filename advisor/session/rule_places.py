"""Where in the files of the rules something stands, for whoever wants to read it or change it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from advisor.rulegraph.model.rules import METHOD, USAGE

#: Folders in which a name is declared rather than used, in the order they are looked through.
DECLARED_IN = ("facts", "loads", "methods", "parts", "materials")
KEY = re.compile(r"^\s*(?:- )?([a-z_]\w*(?:\.\w+)+):(?: |$)")
HEAD = re.compile(r"^(method|variant_of|variant): *([\w.]+) *$")


def rule_place(name: str, folders: Sequence[Path]) -> str:
    """``loads/people.yaml, line 168`` for a name of a load path; empty where none is found.

    ``name`` is a fact, a node, a method or a usage of one. What stands in the first of
    ``folders`` goes before what the later ones have.
    """
    for called in _less_and_less(name):
        for folder in folders:
            found = _index(folder).get(called)
            if found is not None:
                return f"{found[0]}, line {found[1]}"
    return ""


def _less_and_less(name: str) -> Iterator[str]:
    """The name, then what it is a part of: an input has no entry of its own, and a variant
    takes modes over from another file."""
    yield name
    called = name.removeprefix(METHOD) if name.startswith(METHOD) else name.removeprefix(USAGE)
    while called:
        yield called
        called = called.rpartition(".")[0]


@lru_cache(maxsize=4)
def _index(folder: Path) -> Mapping[str, tuple[str, int]]:
    """Each name with its file, below ``folder``, and its line."""
    found: dict[str, tuple[str, int]] = {}
    for sub in DECLARED_IN:
        for path in sorted((folder / sub).glob("*.yaml")):
            for name, line in _names_in(path):
                found.setdefault(name, (f"{sub}/{path.name}", line))
    return found


def _names_in(path: Path) -> Iterator[tuple[str, int]]:
    """Names that a file declares, with their lines from 1; a method's modes as its usages."""
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return
    heads = {match[1]: match[2] for line in lines if (match := HEAD.match(line))}
    of = heads.get("method") or heads.get("variant_of")
    method = ".".join(part for part in (of, heads.get("variant")) if part)
    for number, line in enumerate(lines, 1):
        if (key := KEY.match(line)) is not None:
            yield key[1], number
        head = HEAD.match(line)
        if head is not None and head[1] == ("variant" if "variant" in heads else "method"):
            yield method, number
        elif method and (mode := re.match(r"^\s+(\w+):$", line)) is not None:
            yield f"{USAGE}{method}.{mode[1]}", number
            yield f"{method}.{mode[1]}", number
