"""Two guards against the binding, put up before any module of the window is loaded.

It looks through the source of every module that is imported later, for a feature that nothing
here uses, and the interpreter keeps what it read: 20 MB of source for as long as the window
is open. Loading this module stops that; a release that does it in another way goes on as before.

And it forgets to count ``None``, ``True`` and ``False``. PySide6 6.12.0 hands ``None`` back
from every call without a result and does not count it; some calls lose ``True`` or ``False``.
From Python 3.12 on that is harmless, for these are never freed there (PEP 683). On older
Pythons the count runs down by one a call, and the interpreter aborts after some twenty thousand
calls: in this window, after a few minutes. Releases up to 6.11.3 count rightly.
"""

from __future__ import annotations

import sys

from PySide6.QtCore import QObject

_FEATURE = sys.modules.get("shibokensupport.feature")
if hasattr(_FEATURE, "_mod_uses_pyside"):
    setattr(_FEATURE, "_mod_uses_pyside", lambda _module: False)  # noqa: B010 - not typed

PROBES = 64
LOST = (None, True, False, NotImplemented)
#: More than a window could use up in years, and far from overflowing the counter.
AHEAD = 1 << 40 if sys.maxsize > 1 << 32 else 1 << 29


def loses_none() -> bool:
    """Whether calls without a result lower the count of ``None``."""
    probe = QObject()
    before = sys.getrefcount(None)
    for _ in range(PROBES):
        probe.setObjectName("probe")
    return sys.getrefcount(None) <= before - PROBES // 2


def guard_singletons() -> bool:
    """Count far ahead what the binding loses; returns whether that was needed."""
    if sys.version_info >= (3, 12) or not loses_none():
        return False
    import ctypes

    for lost in LOST:
        if sys.getrefcount(lost) < AHEAD // 2:
            # The count is the first field of every object (Include/object.h).
            ctypes.c_ssize_t.from_address(id(lost)).value += AHEAD
    return True
