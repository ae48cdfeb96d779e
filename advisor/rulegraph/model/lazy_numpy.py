"""numpy, loaded with the first array: a window shows its first question before it has one."""

from __future__ import annotations

from typing import Any


class _LoadedWhenUsed:
    """What is taken from it stays, so that it costs no more than the module itself."""

    def __getattr__(self, name: str) -> Any:
        import numpy

        value = getattr(numpy, name)
        setattr(self, name, value)
        return value


np: Any = _LoadedWhenUsed()
