"""The Shot workspace put together: the answer on top, the views in the middle, the words on the right."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.explain import Explanation, Headline, WaysOut
from shortgame_gui.desktop.shot.motion import Way, shown_ways
from shortgame_gui.desktop.shot.plan_view import PlanView
from shortgame_gui.desktop.shot.playback import Playback, PlaybackBar
from shortgame_gui.desktop.shot.ranked_table import RankedTable
from shortgame_gui.desktop.shot.side_view import SideView
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.desktop.turns import Turns
from shortgame_gui.desktop.workspace import Workspace
from shortgame_gui.words.language import N_

AXIS_WIDTH, AXIS_LINES = 54, 2.8
"""Width of the upright axes in pixels, and for large letters in lines."""
PICTURES_WIDTH, PICTURES_LINES = 250, 17
"""Least width of the views in pixels, and for large letters in lines: up to here the table takes of it.

For rank, shot and strokes it takes more, down to the pixels.
"""


class ShotWorkspace(Workspace):
    """Views of one session; none of them knows another."""

    picture_wanted = Signal(object)
    """This view shall be written into a picture file."""

    code = "shot"
    title = N_("Shot")
    tip = N_("What to play here: the shots, ranked.")

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self.headline = Headline(session, theme, measures)
        self.side = SideView(session, theme, measures)
        self.plan = PlanView(session, theme, measures)
        self.table = RankedTable(session, theme, measures)
        self.explanation = Explanation(session, theme, measures)
        self.plan.setXLink(self.side)
        self.side.least_width = self.plan.least_width
        self.side.fitted.connect(self.plan.centre)
        self.plan.getViewBox().sigResized.connect(self.side.fit)
        self.turns = Turns(self)
        for view in (self.side, self.plan):
            view.take_turns(self.turns)
            # The same, so that a landing stands under itself; a name and three digits have room.
            large = round(AXIS_LINES * self.fontMetrics().lineSpacing())
            view.getAxis("left").setWidth(max(AXIS_WIDTH, large))
        self.playback: Playback[Way] = Playback(
            lambda: shown_ways(session), session.advice_changed, session.picked, session.pictured
        )
        self.bar = PlaybackBar(self.playback, theme, measures)
        self.playback.moved.connect(self._on_playback)
        for view in (self.side, self.plan):
            view.play_wanted.connect(self.playback.play_or_pause)
            view.escaped.connect(self.playback.reset)
            view.save_wanted.connect(partial(self.picture_wanted.emit, view))
        self.views = _splitter(Qt.Orientation.Vertical, self.side, self.plan, 3, 2)
        self._pictures = QWidget()
        column = QVBoxLayout(self._pictures)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.views, 1)
        column.addWidget(self.bar)
        ranked = QWidget()
        foot = QVBoxLayout(ranked)
        foot.setContentsMargins(0, 0, 0, 0)
        foot.setSpacing(0)
        foot.addWidget(self.table, 1)
        foot.addWidget(WaysOut(session, theme, measures))
        self.words = _splitter(Qt.Orientation.Vertical, ranked, self.explanation, 1, 1)
        self.halves = _splitter(Qt.Orientation.Horizontal, self._pictures, self.words, 1, 0)
        self.halves.setSizes([500, self.table.sizeHint().width()])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.headline)
        layout.addWidget(self.halves, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        left = event.size().width() - self.halves.handleWidth() - self.table.least
        lines = PICTURES_LINES * self.fontMetrics().lineSpacing()
        self._pictures.setMinimumWidth(max(PICTURES_WIDTH, min(lines, left)))
        super().resizeEvent(event)

    def _on_playback(self) -> None:
        for view in (self.side, self.plan):
            view.show_moment(self.playback.ways, self.playback.time)

    def splitters(self) -> dict[str, QSplitter]:
        return {"views": self.views, "words": self.words, "halves": self.halves}


def _splitter(
    direction: Qt.Orientation, first: QWidget, second: QWidget, share: int, other: int
) -> QSplitter:
    made = QSplitter(direction)
    made.addWidget(first)
    made.addWidget(second)
    made.setStretchFactor(0, share)
    made.setStretchFactor(1, other)
    made.setChildrenCollapsible(False)
    made.setHandleWidth(6)
    return made
