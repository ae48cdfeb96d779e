"""Colours, sizes and the style sheet: made for sunlight and cold fingers. Knows no Qt.

Every text pair reaches a contrast of 7:1 (WCAG 2.1, success criterion 1.4.6), and no
colour carries a meaning alone: bars, arrows and states also differ by word, hatch or line.
"""

from __future__ import annotations

FONT = "DejaVu Sans"
TARGET = 46
"""Least height of anything to touch, px; WCAG 2.1 criterion 2.5.5 asks for 44."""
TEXT = 15
"""Size of running text, px."""

INK = "#14181c"
QUIET = "#3d464e"
PAPER = "#ffffff"
GROUND = "#eceeea"
LINE = "#7a848c"
ACCENT = "#0b4a6f"
ACCENT_SOFT = "#dcebf3"
FOCUS = "#c24d00"
GOOD = "#0b522f"
BAD = "#8f1414"
BAD_SOFT = "#fbe6e3"
WARN = "#6b3d00"
WARN_SOFT = "#fdeccd"
OFF = "#454d54"

#: Text on ground, as drawn somewhere in the window.
TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    (INK, PAPER), (INK, GROUND), (QUIET, PAPER), (QUIET, GROUND), (PAPER, ACCENT),
    (ACCENT, PAPER), (ACCENT, ACCENT_SOFT), (INK, ACCENT_SOFT), (GOOD, PAPER), (BAD, PAPER),
    (BAD, BAD_SOFT), (PAPER, BAD), (WARN, PAPER), (WARN, WARN_SOFT), (INK, WARN_SOFT),
    (OFF, PAPER), (PAPER, OFF), (OFF, GROUND), (OFF, ACCENT_SOFT), (QUIET, ACCENT_SOFT),
    (QUIET, WARN_SOFT), (ACCENT, GROUND), (GOOD, ACCENT_SOFT), (BAD, ACCENT_SOFT),
    (WARN, ACCENT_SOFT),
)


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb``, 0 to 1 (WCAG 2.1 definition)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1 definition)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def style_sheet() -> str:
    """The style sheet of the whole window."""
    return f"""
* {{ font-family: "{FONT}"; font-size: {TEXT}px; color: {INK}; }}
QMainWindow, QDialog, QMessageBox, QWidget#ground {{ background: {GROUND}; }}
QWidget#card, QFrame#card {{ background: {PAPER}; border: 1px solid {LINE}; border-radius: 6px; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: {PAPER}; border: none; }}
QScrollArea#bare, QScrollArea#bare > QWidget > QWidget {{ background: transparent; }}
QLabel {{ background: transparent; border: none; }}
QLabel#question {{ font-size: 21px; font-weight: bold; }}
QLabel#headline {{ font-size: 20px; font-weight: bold; }}
QLabel#section {{ font-size: {TEXT}px; font-weight: bold; color: {ACCENT}; }}
QLabel#quiet {{ color: {QUIET}; }}
QLabel#small {{ color: {QUIET}; font-size: 13px; }}
QLabel#fault {{ color: {BAD}; background: {BAD_SOFT}; border-left: 5px solid {BAD};
  padding: 6px 8px; font-weight: bold; }}
QLabel#now {{ color: {INK}; background: {WARN_SOFT}; border-left: 5px solid {WARN};
  padding: 6px 8px; }}
QLabel#refer {{ color: {PAPER}; background: {BAD}; padding: 12px; font-size: 19px;
  font-weight: bold; border-radius: 4px; }}
QFrame#moved {{ background: {ACCENT_SOFT}; border-left: 5px solid {ACCENT};
  padding: 5px 8px; }}
QLabel#new {{ font-weight: bold; }}
QLabel#finding {{ color: {INK}; background: {WARN_SOFT}; border: 2px solid {WARN};
  border-radius: 4px; padding: 8px 10px; }}
QLabel#caution {{ color: {INK}; background: {WARN_SOFT}; border-left: 5px solid {WARN};
  padding: 5px 8px; }}
QPushButton, QToolButton {{ background: {PAPER}; border: 2px solid {LINE}; border-radius: 6px;
  padding: 4px 14px; min-height: {TARGET - 12}px; }}
QPushButton:hover, QToolButton:hover {{ border-color: {ACCENT}; }}
QPushButton:focus, QToolButton:focus, QLineEdit:focus, QTreeWidget:focus, QTableWidget:focus,
QPlainTextEdit:focus, QComboBox:focus, QListWidget:focus,
QGraphicsView:focus {{ border: 3px solid {FOCUS}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {OFF}; border-style: dashed; }}
QPushButton#main {{ background: {ACCENT}; color: {PAPER}; border-color: {ACCENT};
  font-weight: bold; }}
QPushButton#main:disabled {{ background: {OFF}; color: {PAPER}; border: none; }}
QPushButton#main:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#stage {{ border-radius: 0; border: none; border-bottom: 5px solid {LINE};
  padding: 2px 4px; min-height: {TARGET + 2}px; background: {PAPER}; }}
QPushButton#stage:checked {{ border-bottom-color: {ACCENT}; background: {ACCENT_SOFT};
  font-weight: bold; color: {ACCENT}; }}
QPushButton#stage:disabled {{ color: {OFF}; }}
QPushButton#stage:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#link {{ border: none; background: transparent; color: {ACCENT};
  text-decoration: underline; padding: 4px 8px; }}
QPushButton#link:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#row {{ text-align: left; padding: 4px 10px; border-width: 1px; }}
QPushButton#row:focus {{ border: 3px solid {FOCUS}; }}
QLineEdit, QComboBox, QPlainTextEdit {{ background: {PAPER}; border: 2px solid {LINE};
  border-radius: 4px; padding: 4px 8px; min-height: {TARGET - 14}px;
  selection-background-color: {ACCENT}; selection-color: {PAPER};
  placeholder-text-color: {OFF}; }}
QComboBox::drop-down {{ border: none; width: 30px; }}
QComboBox::down-arrow {{ image: none; width: 0; height: 0; border-left: 6px solid {PAPER};
  border-right: 6px solid {PAPER}; border-top: 8px solid {INK}; }}
QLineEdit#amount {{ font-size: 22px; }}
QLineEdit > QToolButton {{ border: none; background: transparent; padding: 0; min-height: 0; }}
QCheckBox {{ min-height: {TARGET - 8}px; spacing: 10px; background: transparent;
  border: 3px solid transparent; }}
QCheckBox::indicator {{ width: 22px; height: 22px; border: 2px solid {INK}; background: {PAPER}; }}
QCheckBox::indicator:checked {{ background: {ACCENT}; }}
QCheckBox:focus {{ border-color: {FOCUS}; }}
QTreeWidget, QTableWidget, QListWidget {{ background: {PAPER}; border: 1px solid {LINE};
  alternate-background-color: {GROUND}; selection-background-color: {ACCENT_SOFT};
  selection-color: {INK}; gridline-color: {LINE}; }}
QTreeWidget::item, QTableWidget::item, QListWidget::item {{ padding: 5px; }}
QHeaderView::section {{ background: {GROUND}; border: none; border-bottom: 2px solid {LINE};
  padding: 6px; font-weight: bold; }}
QMenuBar, QMenu {{ background: {PAPER}; }}
QMenuBar::item {{ padding: 13px 16px; }}
QMenu::item {{ padding: 14px 28px; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {ACCENT_SOFT}; color: {INK}; }}
QScrollBar:vertical {{ width: 18px; background: {GROUND}; }}
QScrollBar::handle:vertical {{ background: {LINE}; min-height: 46px; border-radius: 4px;
  margin: 2px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
QSplitter::handle {{ background: {GROUND}; }}
QToolTip {{ background: {PAPER}; color: {INK}; border: 1px solid {LINE}; padding: 4px; }}
"""
