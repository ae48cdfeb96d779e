"""YAML laid out anew for reading: the same data and comments in lines of at most 100 characters.

A mapping or list stands on one line where it is short and at most two deep, else in block
style; text that does not fit on a line is folded; quotation marks stand where YAML needs
them. Own code, since the libraries that keep comments keep the old layout with them, and
break lines only after their limit.
"""

from __future__ import annotations

import io
import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml.emitter import Emitter
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from advisor.facts.marked_yaml import scalar

#: Characters in a line. Only a single word that is longer goes beyond.
WIDTH = 100
#: Characters of a text that still reads well inside brackets.
LONGEST_IN_BRACKETS = 60
#: Characters of a text in a list in brackets that goes over several lines.
LONGEST_IN_FILLED = 40
#: Levels of brackets on a line.
DEEPEST_IN_BRACKETS = 2
_STEP = 2
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_COMMENT = re.compile(r"(?:(?<=\s)|(?<![^\n]))#[^\n]*")
_BREAKABLE = re.compile(r"(?<=[^ ]) (?=[^ ])")
_TEXT_TAG = "tag:yaml.org,2002:str"
_analyst: Any = Emitter(io.StringIO(), allow_unicode=True)
_resolver: Any = yaml.SafeLoader("")


@dataclass(eq=False)
class _Entry:
    """A key with its value, or a value in a list, and the comments that belong to it."""

    key: str | None
    value: Any
    """A `ScalarNode`, or the entries of a mapping or list (`_Branch`)."""
    column: int
    start: int
    first_line: int
    last_line: int
    above: list[str] = field(default_factory=list)
    """Comments on lines of their own before it; "" is an empty line."""
    beside: str = ""
    below: list[str] = field(default_factory=list)
    """Comments after it that are indented deeper than what follows."""
    gap: bool = False
    """An empty line stands before it."""


@dataclass
class _Branch:
    entries: list[_Entry]
    is_list: bool


@dataclass
class _Comment:
    text: str
    start: int
    line: int
    column: int
    alone: bool


def laid_out(text: str, order: Sequence[str] = ()) -> str:
    """The YAML mapping in ``text``, laid out anew; laying out the result changes nothing.

    ``order`` names keys of the mapping in the order in which they come; others follow as
    they stand. ``text`` must be what `advisor.facts.marked_yaml` accepts: no anchors, no tags.
    """
    text = re.sub("\r\n?", "\n", text)
    root = yaml.compose(text, Loader=_LOADER)
    assert root is not None
    branch = _branch(root)
    _attach(branch, text, list(_comments(root, text)))
    _lift(branch)
    _sort(branch.entries, order)
    lines = _block(branch, 0)
    while lines and not lines[0]:
        del lines[0]
    return "\n".join(lines) + "\n"


def comment_words(text: str) -> list[str]:
    """Every word in the comments of a YAML text, sorted: laying out moves none away."""
    text = re.sub("\r\n?", "\n", text)
    root = yaml.compose(text, Loader=_LOADER)
    assert root is not None
    found = [word for one in _comments(root, text) for word in one.text.lstrip("#").split()]
    return sorted(found)


# -- what is there ----------------------------------------------------------------------------


def _branch(node: Node) -> _Branch:
    if isinstance(node, MappingNode):
        pairs = [(key, value, key.start_mark) for key, value in node.value]
    else:
        pairs = [(None, value, value.start_mark) for value in node.value]
    column = node.start_mark.column
    entries = []
    for key, value, mark in pairs:
        inside = value if isinstance(value, ScalarNode) else _branch(value)
        name = None if key is None else key.value
        in_block = isinstance(inside, _Branch) and not value.flow_style
        last_line = mark.line if in_block else value.end_mark.line
        entries.append(_Entry(name, inside, column, mark.index, mark.line, last_line))
    return _Branch(entries, isinstance(node, SequenceNode))


def _comments(root: Node, text: str) -> Iterator[_Comment]:
    """Every comment: what begins with # outside of the scalars."""
    lines_before = 0
    counted = 0
    edges = [0, *_scalar_edges(root, text), len(text)]
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        for found in _COMMENT.finditer(text, start, end):
            lines_before += text.count("\n", counted, found.start())
            counted = found.start()
            column = found.start() - (text.rfind("\n", 0, found.start()) + 1)
            alone = not text[found.start() - column : found.start()].strip()
            yield _Comment(found.group().rstrip(), found.start(), lines_before, column, alone)


def _scalar_edges(root: Node, text: str) -> list[int]:
    """Where each scalar begins and ends, in their order in the text."""
    edges: list[int] = []
    todo = [root]
    while todo:
        node = todo.pop()
        if isinstance(node, ScalarNode):
            begin = node.start_mark.index
            if node.style in ("|", ">"):  # a comment may stand beside the sign
                begin = text.find("\n", begin)
            edges += (begin, node.end_mark.index)
        elif isinstance(node, MappingNode):
            todo += [part for pair in node.value for part in pair]
        else:
            todo += node.value
    return sorted(edges)


def _attach(root: _Branch, text: str, comments: list[_Comment]) -> None:
    """Give every comment and empty line to the entry that it belongs to."""
    lines = text.split("\n")
    chains = list(_chains(root, ()))
    starts = [chain[-1].start for chain in chains]
    for comment in comments:
        place = bisect_left(starts, comment.start)
        before = chains[place - 1] if place else ()
        after = chains[place] if place < len(chains) else ()
        if not comment.alone:
            beside = _beside(chains[:place], comment)
            if beside is not None:
                more = comment.text.lstrip("# ") if beside.beside else comment.text
                beside.beside = f"{beside.beside} {more}".strip()
                continue
        holder = _deeper(before, after, comment)
        into = after[-1].above if holder is None else holder.below
        if comment.alone and comment.line and not lines[comment.line - 1].strip():
            if into or holder is not None:
                into.append("")
            else:
                after[-1].gap = True
        into.append(comment.text)
    for chain in chains:
        entry = chain[-1]
        line = lines[entry.first_line]
        leads = not line[: len(line) - len(line.lstrip())].strip()
        if entry.first_line and leads and not lines[entry.first_line - 1].strip():
            if entry.above:
                entry.above.append("")
            else:
                entry.gap = True


def _chains(branch: _Branch, above: tuple[_Entry, ...]) -> Iterator[tuple[_Entry, ...]]:
    """Every entry with those that it is inside of, outermost first.

    Of entries that begin at the same place only the outermost is reported.
    """
    for entry in branch.entries:
        chain = (*above, entry)
        if not above or entry.start != above[-1].start:
            yield chain
        if isinstance(entry.value, _Branch):
            yield from _chains(entry.value, chain)


def _sort(entries: list[_Entry], order: Sequence[str]) -> None:
    """Put the keys in order; what stands at the head of the file stays there."""
    if not order:
        return
    place = {key: number for number, key in enumerate(order)}
    heading, entries[0].above = entries[0].above, []
    entries.sort(key=lambda entry: place.get(entry.key or "", len(place)))
    for entry in entries:
        entry.gap = bool(entry.above)
    entries[0].above = heading + entries[0].above


def _lift(branch: _Branch) -> None:
    """Comments on what begins on the line of a dash go above the dash."""
    for entry in branch.entries:
        if isinstance(entry.value, _Branch):
            _lift(entry.value)
            for first in entry.value.entries[:1] if entry.key is None else ():
                entry.above += first.above + ([first.beside] if first.beside else [])
                first.above, first.beside = [], ""


def _beside(chains: list[tuple[_Entry, ...]], comment: _Comment) -> _Entry | None:
    """The outermost entry that begins or ends on the line of a comment, before it."""
    last = chains[-1] if chains else ()
    line = [chain[-1] for chain in chains if chain[-1].first_line == comment.line]
    line += [entry for entry in last if entry.last_line == comment.line]
    return min(line, key=lambda entry: entry.start, default=None)


def _deeper(
    before: tuple[_Entry, ...], after: tuple[_Entry, ...], comment: _Comment
) -> _Entry | None:
    """The entry below which a comment stands, None where it belongs to the next one."""
    if after and (not comment.alone or comment.column <= after[-1].column):
        return None
    left = [entry for entry in before if entry not in after]
    fitting = [entry for entry in left if entry.column <= comment.column]
    if not after:
        return fitting[-1] if fitting else before[0]
    # The next one on the same level takes it.
    return fitting[-1] if fitting and before.index(fitting[-1]) != len(after) - 1 else None


# -- what is written --------------------------------------------------------------------------


def _block(branch: _Branch, indent: int) -> list[str]:
    lines: list[str] = []
    longer = False
    pad = " " * indent
    for entry in branch.entries:
        written = _entry_lines(entry, indent)
        set_off = not indent and (len(written) > 1 or longer)
        longer = len(written) > 1
        if (entry.gap or set_off) and entry is not branch.entries[0]:
            lines.append("")
        for comment in entry.above:
            lines += _comment_lines(comment, pad)
        lines += written
        for comment in entry.below:
            lines += _comment_lines(comment, pad)
    return lines


def _entry_lines(entry: _Entry, indent: int) -> list[str]:
    lead = " " * indent
    lead += "-" if entry.key is None else f"{_text_in_line(entry.key, in_brackets=False)}:"
    value = entry.value
    in_line = None if entry.key is None and _has_one_key(value) else _in_line(value)
    if in_line is not None and len(f"{lead} {in_line}{_beside_text(entry)}") <= WIDTH:
        return [f"{lead} {in_line}{_beside_text(entry)}"]
    stays = in_line is None and (entry.key is not None or isinstance(value, ScalarNode))
    if entry.beside and not (stays and len(lead + _beside_text(entry)) <= WIDTH - _STEP):
        entry.above.append(entry.beside)
        entry.beside = ""
        return _entry_lines(entry, indent)
    if isinstance(value, ScalarNode):
        return _long_text(lead, _beside_text(entry), value, indent + _STEP)
    if value.is_list and not entry.beside and all(map(_fills, value.entries)):
        return _filled(lead, [str(_in_line(inside.value, 1)) for inside in value.entries])
    lines = _block(value, indent + _STEP)
    if entry.key is None:
        return [lead + lines[0][indent + 1 :], *lines[1:]]
    return [lead + _beside_text(entry), *lines]


def _has_one_key(value: Any) -> bool:
    """Whether it is a mapping that takes one line without brackets behind a dash."""
    return isinstance(value, _Branch) and not value.is_list and len(value.entries) == 1


def _beside_text(entry: _Entry) -> str:
    return f"  {entry.beside}" if entry.beside else ""


def _fills(entry: _Entry) -> bool:
    """Whether it may stand in brackets among others, over several lines."""
    bare = not (entry.above or entry.beside or entry.below)
    value = entry.value
    short = isinstance(value, ScalarNode) and len(value.value) <= LONGEST_IN_FILLED
    return bare and short and _in_line(value, 1) is not None


def _filled(lead: str, words: list[str]) -> list[str]:
    """A list in brackets over as many lines as it takes."""
    lines = [f"{lead} ["]
    pad = " " * len(lines[0])
    for word, end in zip(words, [", "] * (len(words) - 1) + ["]"], strict=True):
        if len(lines[-1] + word + end.rstrip()) > WIDTH and lines[-1].strip(" "):
            lines[-1] = lines[-1].rstrip()
            lines.append(pad)
        lines[-1] += word + end
    return lines


def _in_line(value: Any, levels: int = 0) -> str | None:
    """A value as it stands on one line inside ``levels`` brackets; None where it should not."""
    if isinstance(value, ScalarNode):
        text = value.value
        if not _is_text(value):
            return text or "null"
        if "\n" in text or (levels and len(text) > LONGEST_IN_BRACKETS):
            return None
        return _text_in_line(text, in_brackets=levels > 0)
    if levels == DEEPEST_IN_BRACKETS and value.entries:
        return None
    if value.is_list and any(isinstance(entry.value, _Branch) for entry in value.entries):
        return None
    parts = []
    for entry in value.entries:
        inside = _in_line(entry.value, levels + 1)
        if inside is None or entry.above or entry.beside or entry.below:
            return None
        name = "" if value.is_list else f"{_text_in_line(entry.key, in_brackets=True)}: "
        parts.append(name + inside)
    left, right = "[]" if value.is_list else "{}"
    return left + ", ".join(parts) + right


def _is_text(node: ScalarNode) -> bool:
    return bool(node.style) or isinstance(scalar(node.value), str)


def _text_in_line(text: str, *, in_brackets: bool) -> str:
    """Text on one line, in quotation marks where it needs them."""
    nature = _analyst.analyze_scalar(text)
    plain = nature.allow_flow_plain if in_brackets else nature.allow_block_plain
    alike = isinstance(scalar(text), str)
    if plain and alike and _resolver.resolve(ScalarNode, text, (True, False)) == _TEXT_TAG:
        return text
    return _quoted(text)


def _quoted(text: str) -> str:
    return yaml.dump(text, default_style='"', allow_unicode=True, width=10**9).rstrip("\n")


def _long_text(lead: str, beside: str, node: ScalarNode, indent: int) -> list[str]:
    """Text over several lines: folded, or as it is where it has lines of its own."""
    text = node.value
    pad = " " * indent
    nature = _analyst.analyze_scalar(text)
    own = text.removesuffix("\n").split("\n")
    sign = "" if text.endswith("\n") else "-"
    if not _is_text(node):
        return [f"{lead} {text}{beside}"]
    if not nature.allow_block or not all(line and line == line.strip() for line in own):
        first, *more = _wrapped(_quoted(text), WIDTH - indent, WIDTH - len(lead) - 1)
        lines = [f"{lead} {first}", *(pad + line for line in more)]
        return [*lines[:-1], lines[-1] + beside]
    if len(own) > 1:
        return [f"{lead} |{sign}{beside}", *(pad + line for line in own)]
    return [f"{lead} >{sign}{beside}", *(pad + line for line in _wrapped(own[0], WIDTH - indent))]


def _comment_lines(comment: str, pad: str) -> list[str]:
    if len(pad + comment) <= WIDTH or not comment:
        return [pad + comment if comment else ""]
    return [f"{pad}# {line}" for line in _wrapped(comment[1:].strip(), WIDTH - len(pad) - 2)]


def _wrapped(text: str, width: int, first_width: int | None = None) -> list[str]:
    """Lines of at most ``width`` characters, broken where a single space stands."""
    lines: list[str] = []
    for word in _BREAKABLE.split(text):
        room = width if first_width is None or len(lines) > 1 else first_width
        if lines and len(lines[-1]) + 1 + len(word) <= room:
            lines[-1] += " " + word
        else:
            lines.append(word)
    return lines
