"""Where in the files of the rules something stands, for whoever wants to read it or change it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.rulegraph.model.rules import METHOD, USAGE

#: Folders in which a name is declared rather than used, in the order they are looked through.
DECLARED_IN = ("facts", "loads", "methods", "parts", "materials")


def rule_place(name: str, folders: Sequence[Path]) -> str:
    """``loads/people.yaml, line 168`` for a name of a load path; empty where none is found.

    ``name`` is a fact, a node, a method or a usage of one. What stands in the first of
    ``folders`` goes before what the later ones have.
    """
    for called in _less_and_less(name):
        for folder in folders:
            for sub in DECLARED_IN:
                for path in sorted((folder / sub).glob("*.yaml")):
                    line = _names_in(path).get(called) if _holds(path, called) else None
                    if line is not None:
                        return f"{sub}/{path.name}, line {line}"
    return ""


def _less_and_less(name: str) -> Iterator[str]:
    """The name, then what it is a part of: an input has no entry of its own, and a variant
    takes modes over from another file."""
    yield name
    called = name.removeprefix(METHOD).removeprefix(USAGE)
    while called:
        yield called
        called = called.rpartition(".")[0]


def _holds(path: Path, called: str) -> bool:
    """True where the last part of a name is written in a file: only such files are read whole."""
    return called.rpartition(".")[2] in _text(path)


@lru_cache(maxsize=512)
def _text(path: Path) -> str:
    try:
        return read_text(path, MAX_BYTES)
    except BadInput:
        return ""


@lru_cache(maxsize=512)
def _names_in(path: Path) -> Mapping[str, int]:
    """Names that a file declares, with their lines from 1; a method's modes as its usages."""
    try:
        marked = marked_text(_text(path), str(path), faults=[])
    except BadInput:
        return {}
    heads = ("method", "variant_of", "variant")
    method = ".".join(str(marked.data[head]) for head in heads if head in marked.data)
    head = "variant" if "variant" in marked.data else "method"
    found: dict[str, int] = {}
    for where, (line, _) in marked.key_marks.items():
        key = str(where[-1])
        if where == (head,):
            found[method] = line
        elif "modes" in where[-2:-1]:
            found.update({f"{of}{method}.{key}": line for of in (USAGE, "")})
        elif "." in key:
            found.setdefault(key, line)
    return found
