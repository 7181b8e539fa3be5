"""Where the letters of the ways out stand in a plan, on screen and on paper: boxes in pixels or points."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSizeF

SIZE = 4.0
"""Half the width of the square where a ball then lies, in pixels."""
AWAY = 3.0
"""From the square to its letter, in pixels."""


def box_at(middle: QPointF, size: QSizeF) -> QRectF:
    """A box with its middle at ``middle``."""
    return QRectF(middle - QPointF(0.5 * size.width(), 0.5 * size.height()), size)


def square_at(rest: QPointF, half: float = SIZE) -> QRectF:
    """The square that is drawn where a ball then lies, ``half`` of it wide to each side."""
    return box_at(rest, QSizeF(2.0 * half, 2.0 * half))


def letter_box(
    ball: QPointF, rest: QPointF, size: QSizeF, room: QRectF, told: Sequence[QRectF], half: float = SIZE
) -> QRectF:
    """Where a letter stands: beside ``rest``, clear of what is ``told``; at the border where that is beyond.

    ``half`` is that of `square_at`.
    """
    if not room.contains(rest):
        return _at_border(ball, rest, size, room)
    gap = half + AWAY
    across, down = gap + 0.5 * size.width(), gap + 0.5 * size.height()
    ends = *told, square_at(ball, half)
    sides = [(1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (1, 1), (-1, -1), (-1, 1)]
    way = rest - ball  # away from the ball, whose own place a letter would hide
    sides.sort(key=lambda side: -(side[0] * way.x() + side[1] * way.y()))
    steps = [(k * a, k * b) for k in (1.0, 2.0, 3.0) for a, b in sides]
    places = [box_at(rest + QPointF(a * across, b * down), size) for a, b in steps]

    def hides(place: QRectF) -> tuple[bool, int]:
        return not room.contains(place), sum(place.intersects(box) for box in ends)

    return min(places, key=hides)


def _at_border(ball: QPointF, rest: QPointF, size: QSizeF, room: QRectF) -> QRectF:
    """The last place on the way from ``ball`` to ``rest`` where the whole box is inside ``room``."""
    inner = room.adjusted(0.5 * size.width(), 0.5 * size.height(), -0.5 * size.width(), -0.5 * size.height())
    way, share = rest - ball, 1.0
    for start, step, low, high in (
        (ball.x(), way.x(), inner.left(), inner.right()), (ball.y(), way.y(), inner.top(), inner.bottom()),
    ):  # fmt: skip
        if step:
            share = min(share, max((low - start) / step, (high - start) / step))
    return box_at(ball + way * max(share, 0.0), size)
