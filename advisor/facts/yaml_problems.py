"""What a YAML parser finds wrong, in words for whoever wrote the file."""

from __future__ import annotations

import re
from typing import Any

import yaml

from advisor.facts.faults import Fault

_BLOCK_HEAD = ("comment or line break", "comment or a line break", "chomping or indentation")
_NAME_ALONE = re.compile(r"\s+[\w.-]+")


def yaml_fault(file: str, text: str, error: yaml.YAMLError) -> Fault:
    """The finding of either parser as a fault of ``file``, which holds ``text``."""
    mark: Any = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    begun: Any = getattr(error, "context_mark", None) or mark
    problem = getattr(error, "problem", None) or "it cannot be understood"
    context = getattr(error, "context", None) or ""
    if mark is None:
        return Fault(file, 0, 0, "", f"not valid YAML: {problem}", "", "")
    lines = text.splitlines()
    line = lines[mark.line] if mark.line < len(lines) else ""
    if "quoted scalar" in context and "end of stream" in problem:
        mark, problem = begun, "a quotation mark is not closed"
    elif "quoted scalar" in context and ("escape" in problem or "hexdec" in problem):
        mark = begun
        problem = "a backslash between double quotation marks has a meaning; use single ones"
    elif "expected ':'" in problem:
        mark, problem = begun, "no colon behind the name, or no value"
    elif "',' or" in problem:
        bracket = "]" if "sequence" in context else "}"
        place = f"line {begun.line + 1}, column {begun.column + 1}"
        problem = f"a comma or the closing {bracket} is missing in what begins in {place}"
    else:
        problem = _plain(problem, line[: mark.column], line[mark.column : mark.column + 1])
    return Fault(file, mark.line + 1, mark.column + 1, "", f"not valid YAML: {problem}", "", "")


def _plain(problem: str, before: str, character: str) -> str:
    """A finding in plain words, from the line ``before`` it and the character there."""
    if "tab character" in problem or character == "\t":
        return "a tab is where spaces are needed"
    if "mapping values are not allowed" in problem:
        if _NAME_ALONE.fullmatch(before):
            return "this line begins further right than the names it belongs to"
        return "a second colon on this line; put the text in quotation marks"
    if any(words in problem for words in _BLOCK_HEAD):
        return "put quotation marks around text that begins with > or |"
    if "cannot start any token" in problem:
        return f"put quotation marks around text that begins with {character}"
    if "alphabetic or numeric character" in problem:
        return "put quotation marks around text that begins with & or *"
    if "sequence entries are not allowed" in problem:
        return "a list begins on a line of its own, or is written [a, b]"
    if "expected key" in problem or "block end" in problem or "'-' indicator" in problem:
        if before.strip():
            return "text goes on behind the closing quotation mark or bracket"
        return "this line begins neither where those above it do nor inside one of them"
    if "node content" in problem:
        return "a value is missing, or a bracket is too many"
    return problem
