"""Every drawing of ours loads in Qt, is seen, and follows the theme."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QByteArray, QSize
from PySide6.QtSvg import QSvgRenderer

from advisor import paths
from advisor.gui import theme
from advisor.gui.app import Engine
from advisor.gui.widgets.icons import TOKENS, icon_file, picture, recoloured
from advisor.gui.widgets.pictured import PICTURED, pictogram_file

FILES = sorted(paths.asset("icons").glob("*.svg")) + sorted(paths.asset("pictograms").glob("*.svg"))


@pytest.fixture
def own_theme():
    """The theme that was in use, put back."""
    yield
    theme.use()


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
@pytest.mark.parametrize("name", theme.THEMES)
def test_every_drawing_loads_and_leaves_ink(file: Path, name: str, own_theme: None) -> None:
    theme.use(name)
    text = recoloured(file.read_text(encoding="utf-8"))
    renderer = QSvgRenderer(QByteArray(text.encode()))
    assert renderer.isValid()
    assert not renderer.defaultSize().isEmpty()
    image = picture(file, QSize(48, 48)).toImage()
    seen = sum(image.pixelColor(x, y).alpha() > 120 for x in range(48) for y in range(48))
    assert seen > 20, file


def test_what_is_drawn_in_ink_turns_light_on_dark(own_theme: None) -> None:
    lightest = {}
    for name in ("light", "dark"):
        theme.use(name)
        image = picture(icon_file("home"), QSize(48, 48)).toImage()
        lit = [image.pixelColor(x, y) for x in range(48) for y in range(48)]
        lightest[name] = max(c.lightness() for c in lit if c.alpha() > 200)
    assert lightest["light"] < 60 < 200 < lightest["dark"]


def test_every_token_of_the_drawings_is_a_colour_of_the_theme() -> None:
    for token in TOKENS.values():
        assert getattr(theme, token).startswith("#")


def test_most_kinds_have_a_picture_and_a_kind_of_another_takes_its_picture(
    engine: Engine,
) -> None:
    for name in PICTURED:
        fact = engine.pack.facts[name]
        drawn = [o.key for o in fact.options if pictogram_file(fact, o.key) is not None]
        assert len(drawn) >= 0.6 * len(fact.options), set(fact.keys) - set(drawn)
    part = engine.pack.facts["part.kind"]
    below = next(option for option in part.options if option.like)
    assert pictogram_file(part, below.key) is not None
    assert pictogram_file(engine.pack.facts["skin.material"], "leather") is None
