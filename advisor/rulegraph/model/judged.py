"""All conditions of a circuit over all worlds at once, sixty-four worlds to a machine word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.rulegraph.model.circuit import AND, DIGIT, FROM, IS, NOT, OR, UP_TO, Circuit
from advisor.rulegraph.model.conditions import Both, Condition, Mask, Not

Bits = NDArray[np.uint8]
#: Columns over the worlds by name: choices as codes, yes/no as bool, numbers as float.
Columns = Mapping[str, NDArray[Any]]

#: Worlds in one machine word.
WORD = 64
#: Worlds judged in one go.
CHUNK = 65_536
#: Bytes read before they are packed: they stay in the processor's second cache.
READ = 350_000
#: Bytes of a row from which joining row by row beats gathering the rows of a layer.
WIDE = 4_096

_READ = {IS: np.equal, FROM: np.greater_equal, UP_TO: np.less_equal}
_JOIN = {AND: np.bitwise_and, OR: np.bitwise_or}


class Judged:
    """Which conditions, and which of their parts, hold in which of ``n`` worlds.

    ``columns`` needs an array of shape (n,) for every name the circuit reads: option codes
    (unsigned, below the number of options), bool, or float. ``table`` has shape
    (chunks, rows, bytes): the bit of a world is set where what the row stands for holds.
    """

    def __init__(self, circuit: Circuit, columns: Columns, n: int) -> None:
        self.circuit = circuit
        self.n = n
        size = min(n, CHUNK)
        width = -(-size // WORD) * WORD
        chunks = -(-n // size)
        self.table: Bits = np.empty((chunks, circuit.height, width // 8), dtype=np.uint8)
        arrays = [columns[part.name] for part in circuit.inputs]
        room = min(circuit.bottom, max(circuit.widest, READ // width))
        read = np.zeros((room, width), dtype=np.uint8)
        for chunk, rows in enumerate(self.table):
            part = arrays
            if chunks > 1:
                part = [array[chunk * size : (chunk + 1) * size] for array in arrays]
            self._read(part, rows, read, min(size, n - chunk * size))
            self._join(rows.view(np.uint64))

    def _read(self, arrays: list[NDArray[Any]], rows: Bits, read: Bits, size: int) -> None:
        """One byte a world, not zero where a bottom row holds; then eight to the byte."""
        codes = read[:, :size]
        yes = codes.view(np.bool_)
        done, room = 0, len(read)
        for part, array in zip(self.circuit.inputs, arrays, strict=True):
            start, stop = part.start - done, part.stop - done
            if stop > room:
                rows[done : part.start] = np.packbits(read[:start], axis=1)
                done, start, stop = part.start, 0, stop - start
            if part.how == DIGIT:
                np.bitwise_and(array, part.numbers, codes[start:stop])
            else:
                _READ[part.how](array, part.numbers, yes[start:stop])
        bottom = self.circuit.bottom
        rows[done:bottom] = np.packbits(read[: bottom - done], axis=1)

    def _join(self, rows: NDArray[np.uint64]) -> None:
        if rows.shape[1] * rows.itemsize >= WIDE:
            self._join_singly(list(rows))
            return
        for layer in self.circuit.layers:
            into = rows[layer.start : layer.stop]
            left = rows.take(layer.left, axis=0)
            if layer.how == NOT:
                np.invert(left, into)
            else:
                _JOIN[layer.how](left, rows.take(layer.right, axis=0), into)

    def _join_singly(self, rows: list[NDArray[np.uint64]]) -> None:
        for layer in self.circuit.layers:
            # Plain integers: they pick from a list faster than numpy's.
            left, right = layer.left.tolist(), layer.right.tolist()
            made = zip(left, right, rows[layer.start : layer.stop], strict=True)
            if layer.how == NOT:
                for one, _, into in made:
                    np.invert(rows[one], into)
            else:
                join = _JOIN[layer.how]
                for one, other, into in made:
                    join(rows[one], rows[other], into)

    def bits(self, condition: Condition) -> Bits:
        """The packed row of a condition, part or test; bits beyond the worlds mean nothing."""
        row, turned = self.circuit.row[condition]
        bits = self.table[:, row].reshape(-1)
        return np.invert(bits) if turned else bits

    def mask(self, condition: Condition) -> Mask:
        """Worlds in which a condition, part or test holds, shape (n,)."""
        return self._unpacked(self.bits(condition))

    def _unpacked(self, bits: Bits) -> Mask:
        return np.unpackbits(bits, count=self.n).view(np.bool_)

    def trace(self, condition: Condition, world: int) -> list[tuple[Condition, bool]]:
        """The condition, its parts and its tests, and whether each held in one world."""
        chunk, inside = divmod(world, min(self.n, CHUNK))
        byte, bit = divmod(inside, 8)
        column = (self.table[chunk, :, byte] & (128 >> bit)) > 0
        found = []
        for part in _parts(condition):
            row, turned = self.circuit.row[part]
            found.append((part, bool(column[row]) != turned))
        return found

    def against(self, condition: Condition) -> list[tuple[str, Mask]]:
        """Tests that speak against a condition where it does not hold, in its own order.

        Each with the name it reads and the worlds in which it does. Where any one of
        several tests would do, all of them speak against it.
        """
        everywhere = np.full_like(self.bits(condition), 255)
        found = self._against(condition, True, everywhere)
        return [(name, self._unpacked(bits)) for name, bits in found]

    def _against(self, part: Condition, wanted: bool, where: Bits) -> Iterator[tuple[str, Bits]]:
        holds = self.bits(part)
        here = where & (~holds if wanted else holds)
        if isinstance(part, Both):
            for inner in part.parts:
                yield from self._against(inner, wanted, here)
        elif isinstance(part, Not):
            yield from self._against(part.part, not wanted, here)
        else:
            yield next(part.names()), here


def _parts(condition: Condition) -> Iterator[Condition]:
    yield condition
    if isinstance(condition, Both):
        for part in condition.parts:
            yield from _parts(part)
    elif isinstance(condition, Not):
        yield from _parts(condition.part)
