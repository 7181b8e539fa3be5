"""Indicators can be seen, and told ticked from not ticked, on light and on dark paper."""

from typing import Any

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QAbstractButton, QApplication, QCheckBox, QRadioButton

from shortgame_gui.desktop.app import application
from shortgame_gui.desktop.theme import DARK, LIGHT, Colours, Theme


def colours_in(picture: QImage) -> set[str]:
    return {
        picture.pixelColor(x, y).name() for x in range(0, picture.width()) for y in range(0, picture.height())
    }


@pytest.mark.parametrize("kind", [QCheckBox, QRadioButton])
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_an_indicator_shows_its_state(
    colours: Colours, kind: type[QAbstractButton], qapp: Any, qtbot: Any
) -> None:
    application()
    Theme("dark" if colours is DARK else "light")
    QApplication.processEvents()
    button = kind("")
    qtbot.addWidget(button)
    button.resize(24, 24)
    off = colours_in(button.grab().toImage())
    assert colours.accent not in off
    assert colours.base in off
    button.setChecked(True)
    assert colours.accent in colours_in(button.grab().toImage())
    button.setEnabled(False)
    assert colours.accent not in colours_in(button.grab().toImage())
