"""Indicators can be seen, and told ticked from not ticked, on light and on dark paper."""

from typing import Any

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QFont, QImage, QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QRadioButton,
    QStyle,
    QStyleOptionViewItem,
)

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


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_a_box_on_the_chosen_row_is_empty_until_it_is_ticked(colours: Colours, qapp: Any) -> None:
    """Filled with paper it would stand out from the row and be taken for one that is ticked."""
    application()
    Theme("dark" if colours is DARK else "light")
    QApplication.processEvents()
    option = QStyleOptionViewItem()
    option.rect, option.palette = QRect(0, 0, 24, 24), QApplication.palette()
    seen = []
    for ticked in (QStyle.StateFlag.State_Off, QStyle.StateFlag.State_On):
        picture = QImage(24, 24, QImage.Format.Format_RGB32)
        picture.fill(QColor(colours.accent))
        option.state = QStyle.StateFlag.State_Enabled | QStyle.StateFlag.State_Selected | ticked
        painter = QPainter(picture)
        box = QStyle.PrimitiveElement.PE_IndicatorItemViewItemCheck
        QApplication.style().drawPrimitive(box, option, painter)
        painter.end()
        inside = picture.copy(5, 5, 14, 14)
        seen.append(colours_in(inside))
    empty, full = seen
    assert empty == {colours.accent}
    assert len(full) > 1


def test_indicators_are_as_tall_as_the_letters_beside_them(qapp: Any, qtbot: Any) -> None:
    was, sides = (
        application().font(),
        (QStyle.PixelMetric.PM_IndicatorWidth, QStyle.PixelMetric.PM_IndicatorHeight),
    )
    large = QFont(was)
    large.setPointSizeF(2.0 * was.pointSizeF())
    usual = [QApplication.style().pixelMetric(side) for side in sides]
    try:
        QApplication.setFont(large)
        application()
        box = QCheckBox("Wet grass")
        qtbot.addWidget(box)
        grown = [box.style().pixelMetric(side, None, box) for side in sides]
        assert grown == [box.fontMetrics().height()] * 2 and grown[0] >= 1.8 * usual[0]
    finally:
        QApplication.setFont(was)
        application()
    assert [QApplication.style().pixelMetric(side) for side in sides] == usual
