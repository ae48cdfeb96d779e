"""The design tokens: colours, type and spacing, and the style sheet made of them. Knows no Qt.

Three themes, *light*, *dark* and *sunlight*, and a text size from 100 to 200 %. Every pair of
text and ground reaches a contrast of 7:1 (WCAG 2.1, success criterion 1.4.6), every outline
3:1 (1.4.11), and no colour carries a meaning alone: bars, arrows and states also differ by
word, hatch or line. The names below hold the colours of the theme in use; ``use`` sets them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FONT = "Open Sans"
"""Face of the window: all of Latin, figures of one width."""
FALLBACK = "DejaVu Sans"
THEMES = ("light", "dark", "sunlight")
TEXT_SIZES = (100, 125, 150, 175, 200)
"""Text sizes in percent."""
RADIUS = 8

INK = QUIET = PAPER = GROUND = SUNK = LINE = HAIR = OFF = ""
ACCENT = ACCENT_SOFT = ON_ACCENT = FOCUS = ""
GOOD = GOOD_SOFT = BAD = BAD_SOFT = WARN = WARN_SOFT = ""
RAIL = RAIL_INK = RAIL_QUIET = RAIL_HERE = RAIL_HERE_INK = THREAD = ""
SKIN = GRAIN = BACKING = FOAM = CELLS = CARRIER = HATCH = VOID = ""
NAME = ""
"""The theme in use."""
PERCENT = 100
"""Text size in use."""
GROWN = 1.0
"""How much larger than named everything is drawn, because the window is large."""
LARGEST = 200
"""Text size that nothing grows beyond, percent."""
TEXT = 15
"""Size of running text, px."""
SMALL = 13
"""Smallest text anywhere, px."""
TARGET = 46
"""Least height of anything to touch, px; WCAG 2.1 criterion 2.5.5 asks for 44."""
BORDER = 1
"""Width of a divider, px."""

#: Colours by name: light, dark, sunlight.
_COLOURS: Mapping[str, tuple[str, str, str]] = MappingProxyType({
    "INK": ("#15191c", "#f0f3f2", "#000000"),
    "QUIET": ("#43484d", "#c0cacd", "#000000"),
    "PAPER": ("#ffffff", "#182125", "#ffffff"),
    "GROUND": ("#eeebe4", "#0f1518", "#ffffff"),
    "SUNK": ("#f7f5f0", "#131b1f", "#ffffff"),
    "LINE": ("#767168", "#84939a", "#000000"),
    "HAIR": ("#d6d1c6", "#34424a", "#000000"),
    "OFF": ("#43484d", "#c0cacd", "#000000"),
    "ACCENT": ("#0a4f63", "#8ad4e4", "#00303f"),
    "ACCENT_SOFT": ("#dceaed", "#1c3b45", "#ffe9a6"),
    "ON_ACCENT": ("#ffffff", "#06232c", "#ffffff"),
    "FOCUS": ("#b84a00", "#ffa04d", "#9e3a00"),
    "GOOD": ("#0b5631", "#86dba6", "#003f20"),
    "GOOD_SOFT": ("#ddefe3", "#17382a", "#ffffff"),
    "BAD": ("#8a1a15", "#ffb5ab", "#6b0000"),
    "BAD_SOFT": ("#fae1dd", "#46201c", "#ffffff"),
    "WARN": ("#6a4000", "#f3c46b", "#4a2b00"),
    "WARN_SOFT": ("#faeacb", "#3c2e10", "#fff3d0"),
    "RAIL": ("#10262d", "#0a1013", "#000000"),
    "RAIL_INK": ("#f1f4f2", "#f1f4f2", "#ffffff"),
    "RAIL_QUIET": ("#b6c6c9", "#aebec2", "#ffffff"),
    "RAIL_HERE": ("#1f424c", "#1f424c", "#ffffff"),
    "RAIL_HERE_INK": ("#f1f4f2", "#f1f4f2", "#000000"),
    "THREAD": ("#e0a526", "#f0bc4a", "#ffc93c"),
    "SKIN": ("#6a3b2a", "#8c543e", "#3e2015"),
    "GRAIN": ("#96604a", "#b77e63", "#7a4a38"),
    "BACKING": ("#cdb894", "#b8a582", "#b89c6c"),
    "FOAM": ("#f3e0ae", "#cdb981", "#ffe9ae"),
    "CELLS": ("#c9ac62", "#8e7a45", "#7a5f1c"),
    "CARRIER": ("#a9b4b9", "#7f8c92", "#b9c2c6"),
    "HATCH": ("#77848a", "#56636a", "#3d474c"),
    "VOID": ("#ffffff", "#182125", "#ffffff"),
})

#: Text on ground, as drawn somewhere in the window, by the names of the colours.
TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    ("INK", "PAPER"), ("INK", "GROUND"), ("INK", "SUNK"), ("QUIET", "PAPER"),
    ("QUIET", "GROUND"), ("QUIET", "SUNK"), ("INK", "ACCENT_SOFT"), ("QUIET", "ACCENT_SOFT"),
    ("ACCENT", "PAPER"), ("ACCENT", "GROUND"), ("ACCENT", "ACCENT_SOFT"), ("ON_ACCENT", "ACCENT"),
    ("GOOD", "PAPER"), ("GOOD", "GOOD_SOFT"), ("INK", "GOOD_SOFT"), ("GOOD", "ACCENT_SOFT"),
    ("BAD", "PAPER"), ("BAD", "BAD_SOFT"), ("PAPER", "BAD"), ("BAD", "ACCENT_SOFT"),
    ("WARN", "PAPER"), ("WARN", "WARN_SOFT"), ("INK", "WARN_SOFT"), ("QUIET", "WARN_SOFT"),
    ("WARN", "ACCENT_SOFT"), ("OFF", "PAPER"), ("OFF", "GROUND"), ("PAPER", "OFF"),
    ("OFF", "ACCENT_SOFT"), ("RAIL_INK", "RAIL"), ("RAIL_QUIET", "RAIL"),
    ("RAIL_HERE_INK", "RAIL_HERE"),
)  # fmt: skip

#: Outlines, focus and marks on their ground: 3:1.
LINE_PAIRS: tuple[tuple[str, str], ...] = (
    ("LINE", "PAPER"), ("LINE", "GROUND"), ("FOCUS", "PAPER"), ("FOCUS", "GROUND"),
    ("FOCUS", "ACCENT_SOFT"), ("THREAD", "RAIL"),
)  # fmt: skip


def px(size: float) -> int:
    """A size that grows with the text, in px."""
    return round(size * min(PERCENT * GROWN, max(LARGEST, PERCENT)) / 100)


def grown_for(width: int, height: int) -> float:
    """How much larger everything is drawn in a window of that size, px."""
    for factor, wide, high in ((1.5, 2300, 1300), (1.25, 1600, 960)):
        if width >= wide and height >= high:
            return factor
    return 1.0


def colour(name: str, theme: str) -> str:
    """The colour of that name in a theme. KeyError, ValueError for none such."""
    return _COLOURS[name][THEMES.index(theme)]


def use(theme: str = "light", percent: int = 100, grown: float = 1.0) -> None:
    """Take up a theme, a text size and how much larger a large window draws.

    Whoever draws from now on draws so.

    ValueError for a theme or a size that is not offered.
    """
    if theme not in THEMES or percent not in TEXT_SIZES:
        raise ValueError(f"no such theme or text size: {theme}, {percent}")
    names = globals()
    names.update({name: colour(name, theme) for name in _COLOURS})
    names.update(NAME=theme, PERCENT=percent, GROWN=grown, BORDER=2 if theme == "sunlight" else 1)
    names.update(TEXT=px(15), SMALL=px(13), TARGET=max(46, px(40)))


use()


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
    """The style sheet of the whole window, in the theme and text size in use."""
    stage = "bold" if max(TEXT_SIZES) > PERCENT else "normal"  # seven names beside each other
    return f"""
* {{ font-family: "{FONT}", "{FALLBACK}"; font-size: {TEXT}px; color: {INK}; }}
QMainWindow, QDialog, QMessageBox, QWidget#ground {{ background: {GROUND}; }}
QWidget#places, QWidget#topbar {{ background: {RAIL}; }}
QWidget#card, QFrame#card {{ background: {PAPER}; border: {BORDER}px solid {HAIR};
  border-radius: 10px; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: {PAPER}; border: none; }}
QScrollArea#bare, QScrollArea#bare > QWidget > QWidget {{ background: transparent; }}
QLabel {{ background: transparent; border: none; }}
QLabel#question {{ font-size: {px(21)}px; font-weight: bold; }}
QLabel#headline {{ font-size: {px(20)}px; font-weight: bold; }}
QLabel#verdict {{ font-size: {px(24)}px; font-weight: bold; }}
QLabel#figure {{ font-size: {px(22)}px; font-weight: bold; }}
QLabel#section {{ font-size: {px(16)}px; font-weight: bold; color: {INK}; }}
QLabel#quiet {{ color: {QUIET}; }}
QLabel#small {{ color: {QUIET}; font-size: {SMALL}px; }}
QLabel#railname {{ color: {RAIL_INK}; font-weight: bold; }}
QLabel#railsmall {{ color: {RAIL_QUIET}; font-size: {SMALL}px; }}
QLabel#fault {{ color: {BAD}; background: {BAD_SOFT}; border-left: 5px solid {BAD};
  padding: 6px 8px; font-weight: bold; }}
QLabel#now {{ color: {INK}; background: {ACCENT_SOFT}; border-left: 5px solid {ACCENT};
  padding: 6px 8px; }}
QLabel#refer {{ color: {PAPER}; background: {BAD}; padding: 12px; font-size: {px(19)}px;
  font-weight: bold; border-radius: 8px; }}
QFrame#moved {{ background: {ACCENT_SOFT}; border-left: 5px solid {ACCENT};
  padding: 5px 8px; }}
QLabel#new {{ font-weight: bold; }}
QLabel#finding {{ color: {INK}; background: {WARN_SOFT}; border: 2px solid {WARN};
  border-radius: 4px; padding: 8px 10px; }}
QLabel#caution, QLabel#weak {{ color: {INK}; background: {WARN_SOFT};
  border-left: 5px solid {WARN}; padding: 6px 10px; }}
QPushButton, QToolButton {{ background: {PAPER}; border: 1.5px solid {LINE};
  border-radius: {RADIUS}px; padding: 4px 14px; min-height: {TARGET - 12}px; }}
QPushButton:hover, QToolButton:hover {{ border-color: {ACCENT}; background: {ACCENT_SOFT}; }}
QPushButton:pressed {{ border-bottom-width: 3px; }}
QPushButton:focus, QToolButton:focus, QLineEdit:focus, QTreeWidget:focus, QTableWidget:focus,
QPlainTextEdit:focus, QComboBox:focus, QListWidget:focus,
QGraphicsView:focus {{ border: 3px solid {FOCUS}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {OFF}; border-style: dashed; }}
QPushButton:checked {{ background: {ACCENT_SOFT}; border: 2px solid {ACCENT}; font-weight: bold; }}
QPushButton#main {{ background: {ACCENT}; color: {ON_ACCENT}; border-color: {ACCENT};
  font-weight: bold; }}
QPushButton#main:disabled {{ background: {OFF}; color: {PAPER}; border: none; }}
QPushButton#main:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#stage {{ border-radius: 0; border: 2px solid transparent; padding: 2px 4px 10px 4px;
  min-height: {TARGET - 8}px; background: transparent; color: {RAIL_QUIET}; }}
QPushButton#stage:checked {{ background: {RAIL_HERE}; font-weight: {stage};
  color: {RAIL_HERE_INK}; border-radius: 6px; }}
QPushButton#stage:hover {{ border-color: {RAIL_QUIET}; }}
QPushButton#stage:disabled {{ color: {RAIL_QUIET}; }}
QPushButton#stage:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#places, QToolButton#places {{ border-radius: 6px; border: 2px solid transparent;
  padding: 2px 6px; background: transparent; color: {RAIL_INK}; font-size: {SMALL}px; }}
QPushButton#places:hover, QToolButton#places:hover {{ border-color: {RAIL_QUIET}; }}
QToolButton#places:checked {{ background: {RAIL_HERE}; color: {RAIL_HERE_INK};
  font-weight: bold; }}
QPushButton#places:disabled, QToolButton#places:disabled {{ color: {RAIL_QUIET}; border: none; }}
QPushButton#places:focus, QToolButton#places:focus {{ border: 3px solid {FOCUS}; }}
QToolButton#places::menu-indicator {{ image: none; width: 0; }}
QPushButton#link {{ border: none; background: transparent; color: {ACCENT};
  text-decoration: underline; padding: 4px 8px; }}
QPushButton#link:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#row {{ text-align: left; padding: 4px 10px; border: 1px solid {LINE}; }}
QPushButton#row:focus {{ border: 3px solid {FOCUS}; }}
QPushButton#hazards {{ background: {WARN_SOFT}; color: {INK}; border: 2px solid {WARN};
  font-weight: bold; text-align: left; padding: 4px 12px; }}
QPushButton#hazards:focus {{ border: 3px solid {FOCUS}; }}
QLineEdit, QComboBox, QPlainTextEdit, QAbstractSpinBox {{ background: {PAPER};
  border: 1.5px solid {LINE}; border-radius: {RADIUS}px; padding: 4px 8px;
  min-height: {TARGET - 14}px;
  selection-background-color: {ACCENT}; selection-color: {ON_ACCENT};
  placeholder-text-color: {OFF}; }}
QAbstractSpinBox QLineEdit {{ border: none; padding: 0 8px; min-height: 0; }}
QTextEdit {{ background: {PAPER}; border: 1px solid {HAIR}; padding: 4px;
  selection-background-color: {ACCENT}; selection-color: {ON_ACCENT}; }}
QTextEdit:focus {{ border: 3px solid {FOCUS}; }}
QProgressBar {{ background: {SUNK}; border: 1px solid {LINE}; text-align: center; }}
QProgressBar::chunk {{ background: {ACCENT_SOFT}; }}
QAbstractSpinBox:focus {{ border: 3px solid {FOCUS}; }}
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ width: 0; border: none; }}
QComboBox::drop-down {{ border: none; width: 30px; }}
QComboBox::down-arrow {{ image: none; width: 0; height: 0; border-left: 6px solid {PAPER};
  border-right: 6px solid {PAPER}; border-top: 8px solid {INK}; }}
QComboBox QAbstractItemView {{ background: {PAPER}; selection-background-color: {ACCENT_SOFT};
  selection-color: {INK}; }}
QCalendarWidget QAbstractItemView {{ background: {PAPER}; selection-color: {ON_ACCENT};
  selection-background-color: {ACCENT}; }}
QLineEdit#amount {{ font-size: {px(22)}px; }}
QLineEdit > QToolButton {{ border: none; background: transparent; padding: 0; min-height: 0; }}
QCheckBox {{ min-height: {TARGET - 8}px; spacing: 10px; background: transparent;
  border: 3px solid transparent; }}
QCheckBox::indicator {{ width: 22px; height: 22px; border: 2px solid {INK}; background: {PAPER}; }}
QCheckBox::indicator:checked {{ background: {ACCENT}; }}
QCheckBox:focus {{ border-color: {FOCUS}; }}
QTreeWidget, QTableView, QListWidget {{ background: {PAPER}; border: 1px solid {HAIR};
  alternate-background-color: {SUNK}; selection-background-color: {ACCENT_SOFT};
  selection-color: {INK}; gridline-color: {HAIR}; }}
QTreeWidget::item, QTableWidget::item, QListWidget::item {{ padding: 5px; }}
QHeaderView::section {{ background: {GROUND}; border: none; border-bottom: 2px solid {LINE};
  padding: 6px; font-weight: bold; }}
QMenuBar, QMenu {{ background: {PAPER}; }}
QMenu {{ border: 1px solid {LINE}; }}
QMenuBar::item {{ padding: 13px 16px; }}
QMenu::item {{ padding: {px(12)}px 28px; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {ACCENT_SOFT}; color: {INK}; }}
QScrollBar:vertical {{ width: 18px; background: {SUNK}; }}
QScrollBar:horizontal {{ height: 18px; background: {SUNK}; }}
QScrollBar::handle:horizontal {{ background: {LINE}; min-width: 46px; border-radius: 4px;
  margin: 4px; }}
QScrollBar::handle:vertical {{ background: {LINE}; min-height: 46px; border-radius: 4px;
  margin: 4px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
QSlider {{ background: transparent; border: 3px solid transparent; border-radius: 6px; }}
QSlider:focus {{ border-color: {FOCUS}; }}
QSlider::groove:horizontal {{ height: 8px; border-radius: 4px; background: {LINE}; }}
QSlider::sub-page:horizontal {{ height: 8px; border-radius: 4px; background: {ACCENT}; }}
QSlider::handle:horizontal {{ width: 24px; height: 24px; margin: -10px 0; border-radius: 13px;
  background: {ACCENT}; border: 2px solid {PAPER}; }}
QSplitter::handle {{ background: {GROUND}; }}
QToolTip {{ background: {PAPER}; color: {INK}; border: 1px solid {LINE}; padding: 4px; }}
"""
