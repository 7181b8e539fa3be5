"""The shown shots played back together: a clock, and the bar with which it is run."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from typing import Generic, Literal, TypeVar

from PySide6.QtCore import (
    QElapsedTimer,
    QObject,
    QPointF,
    QRectF,
    QSize,
    Qt,
    QTimer,
    Signal,
    SignalInstance,
)
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QSlider, QToolButton, QWidget

from shortgame_gui.desktop.fields import calm, name
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.shot.motion import Moving, reading
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.language import N_, _

TICK = 16
"""Milliseconds between two pictures."""
PACES: dict[str, float] = {N_("Real time"): 1.0, N_("Half speed"): 0.5, N_("Quarter speed"): 0.25}
LEAST_LINES = 2
"""How long the way of the moment is at least, in lines."""
SAME = 1e-4
"""Times in s closer than this are the same."""


Ball = TypeVar("Ball", bound=Moving)


class Playback(QObject, Generic[Ball]):
    """The time since the strike, for all shown shots alike; None while nothing is played back."""

    moved = Signal()
    """The time is another one."""
    changed = Signal()
    """It runs or stands still, the pace or the shots are others."""

    def __init__(self, shown: Callable[[], tuple[Ball, ...]], *others: SignalInstance) -> None:
        """``shown`` gives the balls, the one in front first; ``others`` tell that there are others."""
        super().__init__()
        self._shown = shown
        self.ways: tuple[Ball, ...] = ()
        self.time: float | None = None
        self.pace = 1.0
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(TICK)
        self._timer.timeout.connect(lambda: self.advance(0.001 * self._clock.restart()))
        for signal in others:
            signal.connect(self._on_shots)
        self._on_shots()

    @property
    def playing(self) -> bool:
        return self._timer.isActive()

    @property
    def end(self) -> float:
        """When the last ball is at rest, in s."""
        return max((float(way.time[-1]) for way in self.ways), default=0.0)

    @property
    def stops(self) -> tuple[float, ...]:
        """Strike, landings, start of the roll and end of the shot in front, in s."""
        return self.ways[0].stops if self.ways else ()

    def play_or_pause(self) -> None:
        """Run from where it stands, from the strike when it is at the end; or stand still."""
        if self.playing:
            self._timer.stop()
        elif self.ways:
            if self.time is None or self.time >= self.end - SAME:
                self.seek(0.0)
            self._clock.start()
            self._timer.start()
        self.changed.emit()

    def advance(self, seconds: float) -> None:
        """Let ``seconds`` of real time go by; it stops by itself when all balls are at rest."""
        self.seek((self.time or 0.0) + seconds * self.pace)
        if self.playing and self.time is not None and self.time >= self.end - SAME:
            self._timer.stop()
            self.changed.emit()

    def seek(self, time: float) -> None:
        """Show the balls ``time`` s after the strike."""
        if not self.ways:
            return
        self.time = min(max(time, 0.0), self.end)
        self.moved.emit()

    def step(self, steps: int) -> None:
        """Go to the next stop of the shot in front (1), or to the one before (-1), and stand still."""
        stops, now = self.stops, self.time or 0.0
        if not stops:
            return
        at = bisect_right(stops, now + SAME) if steps > 0 else bisect_left(stops, now - SAME) - 1
        self.pause()
        self.seek(stops[min(max(at, 0), len(stops) - 1)])

    def pause(self) -> None:
        """Stand still."""
        if self.playing:
            self.play_or_pause()

    def set_pace(self, pace: float) -> None:
        """How fast time runs: 1 is real time."""
        if pace != self.pace:
            self.pace = pace
            self.changed.emit()

    def reset(self) -> None:
        """Nothing is played back any more."""
        self._timer.stop()
        self.time = None
        self.moved.emit()
        self.changed.emit()

    def _on_shots(self) -> None:
        self.ways = self._shown()
        if self.playing and self.ways:
            self.changed.emit()  # the balls go on, along their new ways
        else:
            self.reset()


class PlaybackBar(QWidget):
    """Play and pause, steps from landing to landing, the moment, and the pace."""

    def __init__(self, playback: Playback, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._playback, self._theme, self._measures = playback, theme, measures
        self.back = self._button(
            _("Landing before"), _("Back to the landing before"), lambda: playback.step(-1)
        )
        self.play = self._button(_("Play"), _("Play or pause (space in the views)"), playback.play_or_pause)
        self.on = self._button(_("Next landing"), _("On to the next landing"), lambda: playback.step(1))
        self.moment = QSlider(Qt.Orientation.Horizontal)
        self.moment.setAccessibleName(_("Moment of the playback"))
        self.moment.setToolTip(_("Time since the strike: drag to any moment."))
        self.moment.valueChanged.connect(self._on_slider)
        self.pace = QComboBox()
        self.pace.addItems([_(pace) for pace in PACES])
        name(self.pace, _("Pace of the playback"), _("How fast the balls are played back."))
        calm(self.pace)
        self.pace.activated.connect(lambda row: playback.set_pace(list(PACES.values())[row]))
        self._parts = QGridLayout(self)
        self._parts.setContentsMargins(4, 2, 4, 2)
        self._parts.setSpacing(4)
        for column, part in enumerate((self.back, self.play, self.on, self.moment, self.pace)):
            self._parts.addWidget(part, 0, column)
        self._parts.setColumnStretch(3, 1)
        playback.moved.connect(self._on_moved)
        playback.changed.connect(self._on_changed)
        theme.changed.connect(self._on_changed)
        self._on_changed()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The moment goes under the rest where it would be too short to drag."""
        super().resizeEvent(event)
        others = sum(part.sizeHint().width() + 4 for part in (self.back, self.play, self.on, self.pace))
        if others + LEAST_LINES * self.fontMetrics().lineSpacing() + 8 > self.width():
            self._parts.addWidget(self.moment, 1, 0, 1, 5)
        else:
            self._parts.addWidget(self.moment, 0, 3)

    def _button(self, name: str, tip: str, do: object) -> QToolButton:
        button = QToolButton()
        button.setAccessibleName(name)
        button.setToolTip(tip)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(do)
        return button

    def _on_slider(self, value: int) -> None:
        self._playback.pause()
        self._playback.seek(0.001 * value)

    def _on_moved(self) -> None:
        time = self._playback.time
        self.moment.blockSignals(True)
        self.moment.setValue(round(1000.0 * (time or 0.0)))
        self.moment.blockSignals(False)
        words = ""
        if time is not None and self._playback.ways:
            words = reading(self._playback.ways[0].at(time), self._measures.style)
        self.moment.setAccessibleDescription(words)

    def _on_changed(self) -> None:
        playback = self._playback
        self.moment.blockSignals(True)
        self.moment.setRange(0, round(1000.0 * playback.end))
        self.moment.setSingleStep(20)
        self.moment.setPageStep(200)
        self.moment.blockSignals(False)
        for part in (self.back, self.play, self.on, self.moment):
            part.setEnabled(bool(playback.ways))
        self.pace.setCurrentIndex(list(PACES.values()).index(playback.pace))
        ink = QColor(self._theme.colours.text)
        faint = QColor(self._theme.colours.line)
        side = max(16, self.fontMetrics().height())
        kinds: tuple[Sign, ...] = ("back", "pause" if playback.playing else "play", "on")
        for button, kind in zip((self.back, self.play, self.on), kinds, strict=True):
            button.setIconSize(QSize(side, side))
            icon = QIcon(_sign(kind, ink, side))
            icon.addPixmap(_sign(kind, faint, side), QIcon.Mode.Disabled)  # Qt's own looks alive on dark
            button.setIcon(icon)
        self.play.setAccessibleName(_("Pause") if playback.playing else _("Play"))
        self._on_moved()


Sign = Literal["play", "pause", "back", "on"]


def _sign(kind: Sign, ink: QColor, side: int) -> QPixmap:
    """A sign in ``ink``, ``side`` pixels large and sharp at 200 %."""
    pixmap = QPixmap(2 * side, 2 * side)
    pixmap.setDevicePixelRatio(2.0)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.scale(side / 16.0, side / 16.0)
    if kind == "pause":
        painter.drawRect(QRectF(3, 3, 4, 10))
        painter.drawRect(QRectF(9, 3, 4, 10))
    else:
        if kind == "back":
            painter.translate(16, 0)
            painter.scale(-1, 1)
        tip = 13.0 if kind == "play" else 10.5
        painter.drawPolygon(QPolygonF([QPointF(3, 2.5), QPointF(tip, 8), QPointF(3, 13.5)]))
        if kind != "play":
            painter.drawRect(QRectF(11, 2.5, 2, 11))
    painter.end()
    return pixmap
