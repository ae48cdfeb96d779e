"""A compiled pack as bytes, in two parts: what the first question needs, and all the rest.

The rest is opened when something of it is first asked for, which is after the first question
stands. Conditions that both parts hold stay one object, since what they give is kept by it.
"""

from __future__ import annotations

import io
import pickle
from dataclasses import fields
from functools import partial
from typing import Any

from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.pack import FIRST, RulePack


def packed(pack: RulePack) -> bytes:
    """The bytes from which `unpacked` makes an equal pack."""
    first = {name: getattr(pack, name) for name in FIRST}
    noting = _Noting()
    noting.dump(first)
    shared = list(noting.noted)
    rest = _Sharing(shared)
    rest.dump({f.name: getattr(pack, f.name) for f in fields(pack) if f.name not in FIRST})
    whole = (first, shared, rest.bytes())
    return pickle.dumps(whole, protocol=pickle.HIGHEST_PROTOCOL)


def unpacked(content: bytes) -> RulePack:
    """A pack whose rest is opened later. Raises whatever pickle does for other bytes."""
    first, shared, rest = pickle.loads(content)
    pack = object.__new__(RulePack)
    vars(pack).update(first, _rest=partial(_opened, rest, shared))
    return pack


def _opened(content: bytes, shared: list[Condition]) -> dict[str, Any]:
    """The fields of the rest by name."""
    found: dict[str, Any] = _Joining(content, shared).load()
    return found


class _Noting(pickle.Pickler):
    """Notes every condition that is pickled."""

    def __init__(self) -> None:
        super().__init__(io.BytesIO(), pickle.HIGHEST_PROTOCOL)
        self.noted: dict[Condition, None] = {}

    def persistent_id(self, obj: Any) -> None:
        if isinstance(obj, Condition):
            self.noted[obj] = None


class _Sharing(pickle.Pickler):
    """Puts a number in the place of a condition that the first part holds."""

    def __init__(self, shared: list[Condition]) -> None:
        self._into = io.BytesIO()
        super().__init__(self._into, pickle.HIGHEST_PROTOCOL)
        self._numbers = {id(condition): i for i, condition in enumerate(shared)}

    def persistent_id(self, obj: Any) -> int | None:
        return self._numbers.get(id(obj))

    def bytes(self) -> bytes:
        """What was pickled."""
        return self._into.getvalue()


class _Joining(pickle.Unpickler):
    """Puts the conditions of the first part in the place of their numbers."""

    def __init__(self, content: bytes, shared: list[Condition]) -> None:
        super().__init__(io.BytesIO(content))
        self._shared = shared

    def persistent_load(self, pid: Any) -> Any:
        return self._shared[pid]
