"""Streams of uniform draws: one a name, stratified, shifted from case to case."""

from __future__ import annotations

import hashlib
from functools import lru_cache

import numpy as np

from advisor.rulegraph.model.nodes import Array

#: Uniforms of more worlds than this are drawn anew each time: kept, they would fill the memory.
KEPT_WORLDS = 8_192


def shifted(base: Array, seed: int, name: str) -> Array:
    """``base`` turned round in (0, 1) by what belongs to a case's seed and a name."""
    turned = base + _shift(seed, name)
    return np.asarray(np.subtract(turned, np.floor(turned), out=turned))


def base_of(name: str, n: int) -> Array:
    """Stratified uniforms for one name, the same every time; read only."""
    if n > KEPT_WORLDS:
        return fresh_base(name, n)
    bases = _kept_bases(n)
    if name not in bases:
        bases[name] = fresh_base(name, n)
    return bases[name]


@lru_cache(maxsize=2)
def _kept_bases(n: int) -> dict[str, Array]:
    return {}


def fresh_base(name: str, n: int) -> Array:
    """Stratified uniforms for one name: one point in each of n equal cells, shuffled."""
    digest = hashlib.sha256(name.encode()).digest()
    rng = np.random.Generator(np.random.PCG64(int.from_bytes(digest[:8], "big")))
    base = (rng.permutation(n) + rng.random(n)) / n
    base.setflags(write=False)
    return np.asarray(base)


@lru_cache(maxsize=2048)
def _shift(seed: int, name: str) -> float:
    digest = hashlib.sha256(f"{seed}/{name}".encode()).digest()
    return int.from_bytes(digest[:8], "big") / 2.0**64
