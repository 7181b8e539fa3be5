"""The ranked table: every shot that could be played, best first, those too close to call in a bracket."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QSortFilterProxyModel,
    Qt,
)
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.measures import Measures, Unit
from shortgame_gui.desktop.session import Session, key_of
from shortgame_gui.desktop.shot.drawing import shot_pen
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import TECHNIQUES, shot_name

Index = QModelIndex | QPersistentModelIndex
SORT_ROLE = Qt.ItemDataRole.UserRole
TIE_ROLE = Qt.ItemDataRole.UserRole + 1
PLACE_ROLE = Qt.ItemDataRole.UserRole + 2


@dataclass(frozen=True)
class Look:
    """What a cell needs besides its shot."""

    style: Style
    hole: float
    """Distance to the hole in m."""
    near: float
    """Radius in m of the ring whose chance is shown."""
    counts: str
    """What counts today, as the player says."""
    unit: Unit
    """The unit of distances, which stands in the heading."""

    def distance(self, metres: float) -> str:
        """A distance without its unit."""
        return self.style.number(self.unit.shown(metres), 1)


@dataclass(frozen=True)
class Column:
    """One column: heading, what it means, the value it sorts by, and its text."""

    code: str
    heading: str
    text: str
    value: Callable[[Shot, Look], Any]
    shown: Callable[[Shot, Look], str]
    longest: str
    """As much text as a cell of the column is likely to hold."""


def lands_text(shot: Shot, look: Look) -> str:
    """Where it lands against the green's edge, in few letters."""
    if shot.technique == "putt":
        return "rolls"
    past = shot.landing_past_edge
    if past is None:
        return look.distance(shot.carry)
    return f"{look.distance(abs(past))} {'on' if past >= 0.0 else 'short'}"


def inside(shot: Shot, look: Look) -> float:
    """Chance of finishing inside the ring, from the sampled finishes."""
    x, y = shot.finishes
    return float((np.hypot(x - look.hole, y) <= look.near).mean())


def behind_text(shot: Shot, look: Look) -> str:
    """How far behind the best shot in what counts today: strokes, or the chance of missing the aim."""
    if shot.rank == 1:
        return "best"
    if look.counts != "average":
        return f"+{look.style.percent(shot.behind_best)}"
    return f"+{look.style.strokes(shot.behind_best)}"


def name_lines(shot: Shot) -> str:
    """Club and technique, one under the other."""
    club, technique = shot.club.name, TECHNIQUES[shot.technique]
    return f"{club[0].upper()}{club[1:]}\n{technique}"


COLUMNS: tuple[Column, ...] = (
    Column("rank", "", "Place in the order of strokes; a bracket joins shots that are too close to call.",
           lambda s, look: s.rank, lambda s, look: str(s.rank), "00"),
    Column("shot", "Shot", "Club and technique.",
           lambda s, look: shot_name(s.club.name, s.technique).casefold(), lambda s, look: name_lines(s),
           "60-degree wedge"),
    Column("strokes", "Strokes",
           "Strokes to hole out, this one counted, on average; under it, how far behind the best.",
           lambda s, look: s.expected_strokes,
           lambda s, look: f"{look.style.strokes(s.expected_strokes)}\n{behind_text(s, look)}", "+9.99"),
    Column("lands", "Lands, {unit}", "Where the ball lands, against the green's near edge.",
           lambda s, look: s.landing[0], lands_text, "99.9 short"),
    Column("runs", "Runs, {unit}", "How far it goes on after landing; negative when it spins back.",
           lambda s, look: s.run, lambda s, look: look.distance(s.run), "-99.9"),
    Column("inside", "In {near}", "Chance of finishing within {near} of the hole, or in it.",
           inside, lambda s, look: look.style.percent(inside(s, look)), "100 %"),
    Column("two", "In two", "Chance of being down in two strokes, this one counted.",
           lambda s, look: s.down_in_two, lambda s, look: look.style.percent(s.down_in_two), "100 %"),
)  # fmt: skip


class RankedModel(QAbstractTableModel):
    """The session's advice as a table; rows are shots in the order of their rank."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session, self._theme, self._measures = session, theme, measures
        self._shots: tuple[Shot, ...] = ()
        self._look: Look | None = None
        self._take()
        session.advice_changed.connect(self._on_advice)
        session.picked.connect(self._repaint)
        theme.changed.connect(self._repaint)
        measures.changed.connect(self._on_units)

    def shot(self, row: int) -> Shot:
        """The shot in ``row``; raises IndexError."""
        return self._shots[row]

    def row_of(self, shot: Shot) -> int:
        """The row of ``shot``, or -1."""
        return next((row for row, other in enumerate(self._shots) if other is shot), -1)

    def _take(self) -> None:
        advice = self._session.advice
        self._shots = advice.shots if advice else ()
        self._look = None

    def _on_advice(self) -> None:
        advice = self._session.advice
        if advice is not None and advice.shots is not self._shots:
            self.beginResetModel()
            self._take()
            self.endResetModel()
        else:
            self._repaint()

    def _on_units(self) -> None:
        self._look = None
        self._repaint()

    def _repaint(self) -> None:
        if self._shots:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._shots) - 1, len(COLUMNS) - 1))
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(self._shots)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        column = COLUMNS[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.heading.format(near=self._near(), unit=self._measures.distance.suffix.strip())
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            return column.text.format(near=self._near())
        return None

    @property
    def look(self) -> Look:
        """Units, hole and ring of the advice that is shown."""
        if self._look is None:
            self._look = self._make_look()
        return self._look

    def _make_look(self) -> Look:
        advice = self._session.advice
        situation = advice.situation if advice else self._session.situation
        near = self._measures.short.si(6.0 if self._measures.yards else 2.0)
        return Look(
            self._measures.style,
            situation.hole.distance,
            near,
            situation.player.counts,
            self._measures.distance,
        )

    def _near(self) -> str:
        look = self.look
        return look.style.short(look.near, 0)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or not 0 <= index.row() < len(self._shots):
            return None
        shot, column = self._shots[index.row()], COLUMNS[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return column.shown(shot, self.look)
            case Qt.ItemDataRole.AccessibleTextRole:
                return column.shown(shot, self.look).replace("\n", ", ")
            case Qt.ItemDataRole.ToolTipRole:
                return self._tip(shot, column)
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignLeft if column.code == "shot" else Qt.AlignmentFlag.AlignRight
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.ForegroundRole if not self._session.current:
                return QColor(self._theme.colours.soft_text)
            case Qt.ItemDataRole.CheckStateRole if column.code == "shot":
                marked = self._session.is_marked(key_of(shot))
                return Qt.CheckState.Checked if marked else Qt.CheckState.Unchecked
        if role == SORT_ROLE:
            return column.value(shot, self.look)
        if role == TIE_ROLE:
            return shot.tie
        if role == PLACE_ROLE:
            shown = self._session.shown
            return next((place for place, other in enumerate(shown) if other is shot), -1)
        return None

    def _tip(self, shot: Shot, column: Column) -> str:
        tip = column.text.format(near=self._near())
        if column.code == "strokes":
            own, paired = (
                self._measures.style.number(e, 3) for e in (shot.standard_error, shot.behind_best_error)
            )
            tip += f"\nStandard error {own}, of the difference {paired}, from {shot.n} balls."
        if column.code == "shot":
            tip += "\nTick to draw it beside the one in front."
        return tip

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.CheckStateRole or COLUMNS[index.column()].code != "shot":
            return False
        self._session.mark(key_of(self._shots[index.row()]), Qt.CheckState(value) == Qt.CheckState.Checked)
        return True

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        if index.isValid() and COLUMNS[index.column()].code == "shot":
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags


class BracketDelegate(QStyledItemDelegate):
    """The first column: the rank, a sample of the shot's line, and the bracket of a tie."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        super().paint(painter, option, index)
        box, colours = option.rect, self._theme.colours
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = index.data(PLACE_ROLE)
        if place >= 0:
            painter.setPen(shot_pen(colours, place))
            y = box.bottom() - 3.0
            painter.drawLine(QPointF(box.left() + 9, y), QPointF(box.right() - 1, y))
        if index.data(TIE_ROLE):
            chosen = bool(option.state & QStyle.StateFlag.State_Selected)
            painter.setPen(QPen(QColor(colours.on_accent if chosen else colours.accent), 2.0))
            x = box.left() + 3.0
            above, below = (index.sibling(index.row() + step, 0) for step in (-1, 1))
            top, bottom = float(box.top()), float(box.bottom() + 1)
            if not (above.isValid() and above.data(TIE_ROLE)):
                top += 3.0
                painter.drawLine(QPointF(x, top), QPointF(x + 5, top))
            if not (below.isValid() and below.data(TIE_ROLE)):
                bottom -= 3.0
                painter.drawLine(QPointF(x, bottom), QPointF(x + 5, bottom))
            painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        painter.restore()


class RankedTable(QTableView):
    """The table; the row that is chosen comes forward in all views."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session = session
        self.ranked = RankedModel(session, theme, measures)
        self.sorted = QSortFilterProxyModel(self)
        self.sorted.setSourceModel(self.ranked)
        self.sorted.setSortRole(SORT_ROLE)
        self.setModel(self.sorted)
        self._bracket = BracketDelegate(theme)
        self.setItemDelegateForColumn(0, self._bracket)
        self.setAccessibleName("Ranked shots")
        self.setAccessibleDescription("Every shot that could be played, best first.")
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setSortingEnabled(True)
        self.setTabKeyNavigation(False)
        self.setFrameShape(self.Shape.NoFrame)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(2 * self.fontMetrics().height() + 6)
        self.horizontalHeader().setSortIndicator(0, Qt.SortOrder.AscendingOrder)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setMinimumSectionSize(20)
        self.selectionModel().currentRowChanged.connect(self._on_row)
        self.ranked.modelReset.connect(self._follow)
        session.picked.connect(self._follow)
        measures.changed.connect(self._set_widths)
        self._set_widths()
        self._follow()

    def _set_widths(self) -> None:
        """Columns as wide as their headings and longest texts, the name of the shot with what is left."""
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for column in range(len(COLUMNS)):
            self.setColumnWidth(column, self._width_of(column))
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)

    def _width_of(self, column: int) -> int:
        metrics = self.fontMetrics()
        if column == 0:
            return metrics.horizontalAdvance("00") + 20
        texts = (self.ranked.headerData(column, Qt.Orientation.Horizontal), COLUMNS[column].longest)
        return max(metrics.horizontalAdvance(text) for text in texts) + 14

    def _follow(self) -> None:
        front = self._session.front
        row = self.ranked.row_of(front) if front is not None else -1
        if row >= 0:
            there = self.sorted.mapFromSource(self.ranked.index(row, 1))
            if there.row() != self.currentIndex().row():
                self.setCurrentIndex(there)

    def _on_row(self, current: QModelIndex, previous: QModelIndex) -> None:
        # A reset of the model selects nothing; only a row that somebody chose comes forward.
        if current.isValid():
            shot = self.ranked.shot(self.sorted.mapToSource(current).row())
            if shot is not self._session.front:
                self._session.bring_forward(key_of(shot))
