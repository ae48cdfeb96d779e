"""Revisions in a chain of digests: each holds the digest of the one before.

What the chain shows: that no revision was changed, left out or put elsewhere since the head of
the case was written down somewhere else (on an invoice, in a backup). What it does not show:
who wrote it and when, for whoever can write the file can calculate every digest anew.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterable
from typing import Any, NamedTuple

import rfc8785

#: What the first revision follows.
START = bytes(32)
#: A body that swells beyond this is none of ours, in bytes.
LARGEST = 20_000_000


class Link(NamedTuple):
    """One stored revision."""

    number: int
    previous: bytes
    digest: bytes
    body: bytes
    """Deflated; the digest is of what it inflates to."""


def canonical(data: Any) -> bytes:
    """JSON that is written the same by everybody (RFC 8785).

    Raises ValueError for what has no such form: whole numbers from 2^53, infinite ones.
    """
    return rfc8785.dumps(data)


def link(number: int, previous: bytes, data: Any) -> Link:
    """The revision that follows the one with the digest ``previous``."""
    written = canonical(data)
    digest = hashlib.sha256(previous + written).digest()
    return Link(number, previous, digest, zlib.compress(written, 6))


def inflated(body: bytes) -> bytes:
    """The very bytes that were digested. Raises ValueError where they are damaged."""
    try:
        reader = zlib.decompressobj()
        written = reader.decompress(body, LARGEST)
    except zlib.error as error:
        raise ValueError(f"cannot be inflated: {error}") from None
    if not reader.eof:
        raise ValueError("cannot be inflated: cut short, or too large")
    return written


def content(body: bytes) -> dict[str, Any]:
    """What a revision says. Raises ValueError where it is damaged."""
    data = json.loads(inflated(body))
    if not isinstance(data, dict):
        raise ValueError("not the content of a revision")
    return data


def broken(links: Iterable[Link], head: bytes) -> str:
    """What is wrong with the chain of one case, in words; empty where all is whole."""
    previous, expected = START, 1
    for each in links:
        if each.number != expected:
            return f"revision {expected} is missing"
        if each.previous != previous:
            return f"revision {each.number} does not follow the one before it"
        try:
            written = inflated(each.body)
        except ValueError as error:
            return f"revision {each.number} {error}"
        if hashlib.sha256(previous + written).digest() != each.digest:
            return f"revision {each.number} was changed"
        previous, expected = each.digest, expected + 1
    if previous != head:
        return "the last revision is not the one that the case names"
    return ""
