"""How the shots of the page are told apart: colour, dash and number, the same in picture, bars and list."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen

from shortgame_gui.desktop.shot.drawing import faded
from shortgame_gui.desktop.theme import SHOT_DASHES, Colours


def pen_of(colours: Colours, place: int, *, width: float = 2.2, past: bool = False) -> QPen:
    """The pen of the shot in ``place``; colours come again after five, then with another dash.

    The ``past`` is paler.
    """
    turn, colour = place + place // len(colours.shots), colours.shot(place)
    return QPen(faded(colour, colours) if past else colour, width, SHOT_DASHES[turn % len(SHOT_DASHES)])


def badge_at(painter: QPainter, middle: QPointF, place: int) -> QRectF:
    """The box of a shot's number round ``middle``, in the painter's letters."""
    metrics = QFontMetricsF(painter.font())
    box = QRectF(0.0, 0.0, metrics.horizontalAdvance(str(place + 1)) + 8.0, metrics.height() + 2.0)
    box.moveCenter(middle)
    return box


def paint_badge(painter: QPainter, middle: QPointF, place: int, colours: Colours) -> QRectF:
    """The number of a shot in a small box round ``middle``; returns the box."""
    text, box = str(place + 1), badge_at(painter, middle, place)
    painter.setPen(QPen(colours.shot(place), 1.2))
    painter.setBrush(QColor(colours.sky))
    painter.drawRect(box)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    return box


def paint_bar(
    painter: QPainter, box: QRectF, colours: Colours, place: int, carry: float, run: float, longest: float
) -> None:
    """A bar of air (filled) and run (hatched), ``longest`` m wide; a run back lies over the air."""
    if longest <= 0.0:
        return
    scale = box.width() / longest
    colour = colours.shot(place)
    air = QRectF(box.left(), box.top(), carry * scale, box.height())
    start, end = sorted((carry, carry + run))
    ran = QRectF(box.left() + start * scale, box.top(), (end - start) * scale, box.height())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRect(air)
    painter.setPen(QPen(colour, 1.2))
    painter.setBrush(QColor(colours.base))
    painter.drawRect(ran)
    painter.setBrush(QBrush(colour, Qt.BrushStyle.BDiagPattern))
    painter.drawRect(ran)
