"""What stops the job, said over every screen that does not say it itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QRect, Qt, QTimer
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QLabel, QWidget

from advisor.wording.sentences import sentence

if TYPE_CHECKING:
    from advisor.advice.result import Advice

STOP = "Stop: refer this job."
WHY = "The Verdict stage says why."
SHARE = 3
"""The alarm takes at most one part in so many of the height there is."""


@dataclass(frozen=True)
class Stopping:
    """A hazard that stops the job, and why in a sentence."""

    title: str
    why: str


def stopping(advice: Advice) -> list[Stopping]:
    """The gates that stop the job, each with why."""
    return [
        Stopping(gate.title, sentence(gate.text))
        for gate in advice.gates if gate.state == "closed"
    ]


def wordings(stops: Sequence[Stopping]) -> tuple[str, ...]:
    """What may be said, from the fullest to the shortest; empty where nothing stops the job."""
    if not stops:
        return ()
    full = " ".join(f"{stop.title}: {stop.why}" for stop in stops)
    titles = " ".join(f"{stop.title}." for stop in stops)
    more = f" And {len(stops) - 1} more." if len(stops) > 1 else ""
    found = (f"{STOP} {full}", f"{STOP} {titles} {WHY}", f"{STOP} {stops[0].title}.{more} {WHY}")
    return tuple(dict.fromkeys(found))


class StopBanner(QLabel):
    """Says as much as a third of the height has room for; the question must not be lost."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("refer")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self._wordings: tuple[str, ...] = ()
        parent.installEventFilter(self)

    def say(self, stops: Sequence[Stopping]) -> None:
        """Say these; nothing where there are none."""
        self._wordings = wordings(stops)
        self._fit()

    def _fit(self) -> None:
        parent = self.parentWidget()
        assert parent is not None
        high, wide = parent.height() // SHARE, parent.width()
        fitting = (text for text in self._wordings if self._height(text, wide) <= high)
        last = self._wordings[-1] if self._wordings else ""
        self.setText(next(fitting, last))

    def _height(self, text: str, wide: int) -> int:
        """Height in px of ``text`` on ``wide`` px."""
        self.ensurePolished()
        edge = self.contentsMargins()
        room = QRect(0, 0, wide - edge.left() - edge.right(), 9999)
        wrap = int(Qt.TextFlag.TextWordWrap)
        words = QFontMetrics(self.font()).boundingRect(room, wrap, text)
        return words.height() + edge.top() + edge.bottom()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """More room or less."""
        if watched is self.parentWidget() and isinstance(event, QResizeEvent):
            self._fit()
            # The layout that gives the room is at work and would not look again.
            QTimer.singleShot(0, self, self.updateGeometry)
        return super().eventFilter(watched, event)
