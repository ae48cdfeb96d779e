"""Says that figures are rough, while more simulated cases are worked out in the background."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from advisor.facts.case import Case
from advisor.gui import theme
from advisor.gui.navigator import Navigator

#: Milliseconds between two looks at the background.
LOOK = 30
WORKING = "The measurements agree with few simulated cases. More are being calculated; until " \
          "then the figures are rough"
ROUGH = "Rough figures: the measurements agree with few of the simulated cases."


class RoughBanner(QWidget):
    """Starts the work where it is needed, shows how far it is, and lets it be stopped."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self.said = QLabel(self)
        self.said.setObjectName("now")
        self.said.setWordWrap(True)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(120)
        self.bar.setAccessibleName("More simulated cases are being calculated")
        self.button = QPushButton(self)
        self.button.setMinimumHeight(theme.TARGET)
        self.button.clicked.connect(self._pressed)
        row = QHBoxLayout(self)
        row.setContentsMargins(2, 0, 2, 0)
        row.addWidget(self.said, 1)
        row.addWidget(self.bar)
        row.addWidget(self.button)
        self._look = QTimer(self)
        self._look.timeout.connect(self.look)
        for signal in (navigator.changed, navigator.moved, navigator.tried):
            signal.connect(self.redraw)
        self.redraw()

    @property
    def _wanted(self) -> Case | None:
        """The case whose figures on the screen are rough."""
        session, trial = self._navigator.session, self._navigator.trial
        if not session.thorough.possible:
            return None
        if trial is not None and trial.after is not None and trial.after.rough:
            return trial.case
        if not session.rough or session.advice.verdict == "refer":
            return None  # a job that is stopped is not calculated any closer
        return session.case

    def redraw(self) -> None:
        """Begin or end the work as the case on the screen demands."""
        session, rough = self._navigator.session, self._wanted
        thorough = session.thorough
        working = rough is not None and rough is not thorough.waved_off
        going_on = session.unfinished and session.case is not thorough.waved_off
        wanted = rough if working else session.case if going_on else None
        if wanted is None:
            thorough.stop()
            self._look.stop()
        elif thorough.case is not wanted:
            thorough.start(wanted)
        if thorough.case is not None and not self._look.isActive():
            self._look.start(LOOK)
        self._say(working, rough=rough is not None)

    def _say(self, working: bool, rough: bool) -> None:
        doing = self._navigator.session.thorough.doing
        self.said.setText(f"{WORKING}: {doing}." if working and doing
                          else f"{WORKING}." if working else ROUGH)
        self.button.setText("Stop" if working else "Calculate them")
        self.bar.setVisible(working)
        self.setVisible(rough)

    def look(self) -> None:
        """Take over what the background has found."""
        navigator, session = self._navigator, self._navigator.session
        trial, thorough = navigator.trial, session.thorough
        if trial is not None and trial.case is not None and thorough.case is trial.case:
            quick, _ = thorough.take(trial.case)
            if quick is not None:
                thorough.stop()
                navigator.trial = replace(trial, after=quick.advice)
                navigator.tried.emit()
            else:
                self.redraw()
        elif session.take_thorough():
            navigator.changed.emit()
        else:
            self.redraw()

    def _pressed(self) -> None:
        """Stop the work, or begin it after all."""
        thorough, wanted = self._navigator.session.thorough, self._wanted
        thorough.waved_off = None if thorough.waved_off is wanted else wanted
        self.redraw()
