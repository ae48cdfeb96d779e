"""Reading a text file that anyone may have written."""

from __future__ import annotations

import re
import stat
from pathlib import Path

from advisor.facts.faults import BadInput, Fault

#: No file of rules or of a case has more.
MAX_BYTES = 2_000_000
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def read_text(path: Path, limit: int) -> str:
    """The text of a file of at most ``limit`` bytes, without a byte order mark.

    Raises BadInput, with the place where there is one, for a missing file, a folder or
    device, one that cannot be read or is too large, and for what is not UTF-8 text.
    """

    def bad(problem: str, accepted: str = "", line: int = 0, column: int = 0) -> BadInput:
        return BadInput(Fault(str(path), line, column, "", problem, "", accepted))

    try:
        info = path.stat()
        if stat.S_ISDIR(info.st_mode):
            raise bad("this is a folder", "a text file")
        if not stat.S_ISREG(info.st_mode):
            raise bad("not a regular file", "a text file")
        if info.st_size > limit:
            raise bad(f"too large: {info.st_size:,} bytes", f"at most {limit:,} bytes")
        with path.open("rb") as stream:
            raw = stream.read(limit + 1)
    except FileNotFoundError:
        raise bad("there is no such file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a usable file name"
        raise bad(f"cannot be read: {reason}") from None
    if len(raw) > limit:
        raise bad(f"too large: more than {limit:,} bytes", f"at most {limit:,} bytes")
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise bad("this is UTF-16 text", "text in UTF-8; save it anew as UTF-8")
    if b"\0" in raw:
        raise bad("this is not a text file", "text in UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, column = _place(raw[: error.start].decode("utf-8", "replace"))
        raise bad("this is not UTF-8 text", "text in UTF-8", line, column) from None
    odd = _NOT_TEXT.search(text)
    if odd:
        line, column = _place(text[: odd.start()])
        problem = f"a control character (U+{ord(odd.group()):04X}) is in the text"
        raise bad(problem, "text in UTF-8", line, column)
    return text


def _place(before: str) -> tuple[int, int]:
    """Line and column of what follows ``before``."""
    lines = re.split("\r\n|[\r\n\x85\u2028\u2029]", before)
    return len(lines), len(lines[-1]) + 1


def read_beginning(path: Path, limit: int) -> tuple[str, Fault | None]:
    """The text of a file as far as it is whole lines of text, and why no further.

    What can be read of a file that was cut short or spoiled: a last line without its end
    may lack characters that change what it says, so it is left out. Raises BadInput where
    the file cannot be read at all.
    """
    try:
        text, fault = read_text(path, limit), None
    except BadInput as error:
        (fault,) = error.faults
        try:
            raw = path.read_bytes()[:limit] if path.is_file() else b""
        except OSError:
            raise error from None
        text = raw.split(b"\0", 1)[0].decode("utf-8", "replace")
        odd = re.search(f"{_NOT_TEXT.pattern}|\ufffd", text)
        text = text[: odd.start()] if odd else text
        text = text[: text.rfind("\n") + 1]
        if not text.strip():
            raise
    if text and not text.endswith("\n"):
        whole = text.rfind("\n") + 1
        line = text.count("\n") + 1
        fault = fault or Fault(str(path), line, 0, "", "this line is cut short", text[whole:], "")
        text = text[:whole]
    return text, fault
