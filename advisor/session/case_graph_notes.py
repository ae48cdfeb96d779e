"""What a box of the rule graph is worked out from, in words. Knows no Qt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from advisor.advice.result import Figure
from advisor.rulegraph.model.nodes import Draw, Fold, Node, Operation, Pick, Ref, TableDraw
from advisor.wording.figures import to_digits
from advisor.wording.sentences import capital, sentence

FOLDS = {
    "sum": "Sum of", "product": "Product of", "least": "The least of", "largest": "The largest of",
}
#: A number that changes nothing in a sum or product is not named.
IDLE = {"sum": 0.0, "product": 1.0}


class FiguresOfCase(Protocol):
    """Title and figure of anything in the rule graph, for one case."""

    def title(self, name: str, /) -> str:
        """What it is called."""
        ...

    def numbers(self, name: str, /) -> Figure:
        """Its figure, with spread and source."""
        ...

    def short_of(self, name: str, /) -> str:
        """Its figure in a few letters, for beside its title."""
        ...


def made_of(node: Node, scope: FiguresOfCase) -> Iterator[str]:
    """Sentences: "Product of: Drag of the arm, 0.31 N/mm; Factor for the number of uses, 1.2."

    None where a node reads nothing, as a usual range that is the same for every case.
    """
    operation = node.operation
    refs = [Ref(name) for name in dict.fromkeys(operation.names())]
    if isinstance(operation, Fold):
        refs = [ref for ref in operation.refs if _counts(operation, ref, scope)]
    if refs:
        yield sentence(f"{_lead(operation, len(refs))}: {_listed(refs, node, scope)}")
    if node.when is not None:
        refs = [Ref(name) for name in dict.fromkeys(node.when.names())]
        yield sentence(f"Whether it counts depends on: {_listed(refs, node, scope)}")


def _listed(refs: Sequence[Ref], node: Node, scope: FiguresOfCase) -> str:
    return "; ".join(_part(ref, node, scope) for ref in refs)


def _lead(operation: Operation, count: int) -> str:
    """Words before the ``count`` things that an operation reads."""
    if isinstance(operation, Fold):
        return FOLDS[operation.kind] if count > 1 else "Taken from"
    if isinstance(operation, (Draw, TableDraw)):
        return "Usual range, by"
    return "Depends on" if isinstance(operation, Pick) else "Calculated from"


def _counts(fold: Fold, ref: Ref, scope: FiguresOfCase) -> bool:
    """Whether a part is worth naming."""
    if ref.name is None:
        return ref.constant != IDLE.get(fold.kind)
    value = scope.numbers(ref.name).value
    return fold.kind != "sum" or value.low != 0.0 or value.high != 0.0


def _part(ref: Ref, node: Node, scope: FiguresOfCase) -> str:
    """A part with its figure; an input that the rule itself gives is called as in the relation."""
    if ref.name is None:
        return to_digits(ref.constant)
    title = scope.title(ref.name)
    if ref.name.startswith(f"{node.name}."):
        title = capital(title.rpartition(": ")[2])
    return f"{title}, {scope.short_of(ref.name)}"
