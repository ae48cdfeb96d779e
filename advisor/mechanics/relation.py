"""Registering a physical relation with its units, valid range and source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

#: A float or an array of floats; relations broadcast like numpy.
Real = float | NDArray[np.float64]

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(frozen=True)
class Relation:
    """One documented relation: what goes in, what comes out, where it holds."""

    name: str
    function: Callable[..., Any]
    inputs: Mapping[str, str]
    """Argument name to unit; ``1`` for a pure number."""
    result: str
    """Unit of the result."""
    valid: Mapping[str, tuple[float, float]]
    """Argument name to the range in which the source claims it."""
    source: str
    """Citation in words."""

    @property
    def title(self) -> str:
        """First line of the docstring, without the full stop."""
        return (self.function.__doc__ or self.name).strip().splitlines()[0].rstrip(".")


RELATIONS: dict[str, Relation] = {}


def relation(
    *,
    inputs: Mapping[str, str],
    result: str,
    source: str,
    valid: Mapping[str, tuple[float, float]] | None = None,
) -> Callable[[Function], Function]:
    """Register the decorated function under its own name, so that a rule may wire it."""

    def register(function: Function) -> Function:
        name = function.__name__
        if name in RELATIONS:
            raise ValueError(f"two relations are called {name}")
        RELATIONS[name] = Relation(
            name, function, dict(inputs), result, dict(valid or {}), source
        )
        return function

    return register
