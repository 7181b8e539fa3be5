"""The desktop's own drawing of what Fusion draws too faintly on dark paper: check boxes and radio buttons."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPalette, QPen
from PySide6.QtWidgets import QApplication, QProxyStyle, QStyle, QStyleOption, QWidget

Element = QStyle.PrimitiveElement
Metric = QStyle.PixelMetric
SIDES = frozenset(
    (
        Metric.PM_IndicatorWidth, Metric.PM_IndicatorHeight, Metric.PM_ExclusiveIndicatorWidth,
        Metric.PM_ExclusiveIndicatorHeight,
    )
)  # fmt: skip
"""The sides of check boxes and radio buttons."""
BOXES = (Element.PE_IndicatorCheckBox, Element.PE_IndicatorItemViewItemCheck)
OURS = (*BOXES, Element.PE_IndicatorRadioButton)


class SectionStyle(QProxyStyle):
    """Fusion, with indicators outlined in the colour of soft text."""

    def __init__(self) -> None:
        super().__init__("Fusion")

    def drawPrimitive(
        self, element: Element, option: QStyleOption, painter: QPainter, widget: QWidget | None = None
    ) -> None:
        if element not in OURS:
            super().drawPrimitive(element, option, painter, widget)
            return
        palette, state = option.palette, option.state
        size = min(option.rect.width(), option.rect.height()) - 2.0
        box = QRectF(0.0, 0.0, size, size)
        box.moveCenter(QRectF(option.rect).center())
        enabled = bool(state & QStyle.StateFlag.State_Enabled)
        line = palette.color(QPalette.ColorRole.PlaceholderText)
        strong = palette.color(QPalette.ColorRole.Accent) if enabled else line
        # On the chosen row of a table a box filled with paper would be taken for one that is ticked.
        chosen = element is Element.PE_IndicatorItemViewItemCheck and bool(
            state & QStyle.StateFlag.State_Selected
        )
        if chosen:
            line = strong = palette.color(QPalette.ColorRole.HighlightedText)
        lit = bool(state & (QStyle.StateFlag.State_MouseOver | QStyle.StateFlag.State_HasFocus)) and enabled
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(strong if lit else line, 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush if chosen else palette.color(QPalette.ColorRole.Base))
        on = bool(state & QStyle.StateFlag.State_On)
        if element in BOXES:
            painter.drawRoundedRect(box, 2.0, 2.0)
            if on:
                self._tick(painter, box, strong)
        else:
            painter.drawEllipse(box)
            if on:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(strong)
                painter.drawEllipse(box.center(), 0.26 * size, 0.26 * size)
        painter.restore()

    def _tick(self, painter: QPainter, box: QRectF, colour: QColor) -> None:
        pen = QPen(
            colour,
            max(2.0, box.width() / 7.0),
            Qt.PenStyle.SolidLine,
            Qt.PenCapStyle.RoundCap,
            Qt.PenJoinStyle.RoundJoin,
        )
        painter.setPen(pen)
        left, top, size = box.left(), box.top(), box.width()
        painter.drawPolyline(
            [QPointF(left + x * size, top + y * size) for x, y in ((0.22, 0.55), (0.42, 0.75), (0.8, 0.28))]
        )


class GrownStyle(SectionStyle):
    """The same with indicators as tall as a line of the letters beside them."""

    def pixelMetric(
        self, metric: Metric, option: QStyleOption | None = None, widget: QWidget | None = None
    ) -> int:
        usual = super().pixelMetric(metric, option, widget)
        if metric not in SIDES:
            return usual
        letters = widget.fontMetrics() if widget is not None else QFontMetrics(QApplication.font())
        return max(usual, letters.height())


def style_for(font: QFont) -> SectionStyle:
    """The style for letters of ``font``.

    Only where they ask for larger indicators is each measure asked for in Python, thousands in a window.
    """
    plain = SectionStyle()
    if QFontMetrics(font).height() > plain.pixelMetric(Metric.PM_IndicatorWidth):
        return GrownStyle()
    return plain
