"""How the window looks, and what the shop said of itself: taken up at the start, kept when changed.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.session.case_session import Session
from advisor.session.shop_settings import ShopSettings, read_settings, write_settings


class Look:
    """The shop's settings as the window uses them; without ``path`` nothing is kept."""

    def __init__(self, path: Path | None = None) -> None:
        """Raises BadInput where the settings at ``path`` cannot be used."""
        self.path = path
        self.settings = read_settings(path) if path is not None else ShopSettings()
        self.grown = 1.0
        """How much larger the window draws, for it is large."""
        self._units_taken = False

    def take_up(self, session: Session) -> None:
        """Dress what is drawn from now on; tell the session of tools and, once, of units."""
        wanted = self.settings
        name = wanted.theme if wanted.theme in theme.THEMES else theme.THEMES[0]
        percent = wanted.text if wanted.text in theme.TEXT_SIZES else theme.TEXT_SIZES[0]
        theme.use(name, percent, self.grown)
        session.tools = frozenset(wanted.tools)
        if session.keeping is not None:
            session.keeping.keeper.answers_as(wanted.who)
        if not self._units_taken and self.path is not None:
            session.system = System(wanted.units)
        self._units_taken = True

    def change(self, **settings: object) -> None:
        """Take up other settings and keep them. Raises BadInput where they cannot be kept."""
        self.settings = replace(self.settings, **settings)  # type: ignore[arg-type]
        if self.path is not None:
            write_settings(self.settings, self.path)

    def next(self, by: int) -> int:
        """The text size one step up or down, in percent."""
        sizes = theme.TEXT_SIZES
        here = sizes.index(theme.PERCENT)
        return sizes[min(max(here + by, 0), len(sizes) - 1)]
