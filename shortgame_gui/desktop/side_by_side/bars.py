"""A row for each shot: its bar of air and run, and the figures of the chain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from shortgame_gui.advice.compare import Compared, NotDone
from shortgame_gui.desktop.columns import ColumnModel, Index
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.side_by_side.board import Board
from shortgame_gui.desktop.side_by_side.look import paint_badge, paint_bar
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.compare import bar_text, ended_text, figure, not_done_text
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import TECHNIQUES, not_advised

Row = Compared | NotDone


@dataclass(frozen=True)
class Column:
    """One column: heading, what it means, and what it shows of a shot that was played."""

    code: str
    heading: str
    text: str
    shown: Callable[[Compared, Style], str]
    longest: str
    under: str = ""
    """Code of the column whose figure stands under this one's where the table is narrow."""
    both: str = ""
    """Heading of the two."""


def long_bar_text(shot: Compared, style: Style) -> str:
    """The bar in words, for those who do not see it."""
    if shot.putt:
        return figure("run", shot.run, style)
    air = _("{carry} in the air").format(carry=style.long(shot.carry, 1))
    return f"{air}, {figure('run', shot.run, style)}"


ENDS = Phrases({"in_water": N_("in water"), "out_of_bounds": N_("out"), "rolled_away": N_("rolls on")})
"""How a ball ended that did not come to rest, in few letters."""


def end_text(shot: Compared, style: Style) -> str:
    """Time to stop, or how it ended otherwise."""
    if shot.ending == "at_rest":
        return f"{style.number(shot.stop_time, 1)} s"
    return ENDS[shot.ending]


def _flies(text: Callable[[Compared, Style], str]) -> Callable[[Compared, Style], str]:
    """``text`` for shots that leave the ground."""
    return lambda shot, style: text(shot, style) if shot.bounces else "-"


COLUMNS: tuple[Column, ...] = (
    Column("shot", N_("Shot"), N_("Club and technique. Ticked: the two that are explained below."),
           lambda s, style: "", "60-degree wedge"),
    Column("bar", N_("Air (filled),\nrun (hatched)"),
           N_("How far it goes in the air, and after the landing."),
           bar_text, "88.8 + 88.8 yd"),
    Column("launch", N_("Leaves\nat"), N_("Angle at which the ball leaves the ground."),
           _flies(lambda s, style: style.degrees(s.launch)), "88°", "landing_angle", N_("Leaves,\nlands at")),
    Column("landing_angle", N_("Lands\nat"), N_("Angle at which the ball comes down: 90° is straight down."),
           _flies(lambda s, style: style.degrees(s.landing_angle)), "88°"),
    Column("spin", N_("Spin,\n{spin}"), N_("Backspin as it leaves the club."),
           _flies(lambda s, style: _bare(figure("spin", s.spin, style))), "88880", "stop_time",
           N_("Spin, {spin};\nstops\nafter")),
    Column("forward_after", N_("After\nbounce,\n{speed}"),
           N_("Speed along the ground after the first bounce."),
           _flies(lambda s, style: _bare(style.speed(s.forward_after, 1))), "-88.8"),
    Column("stop_time", N_("Stops\nafter"), N_("Time from the first landing until the ball rests."), end_text,
           "rolls on"),
)  # fmt: skip
PLACES = {column.code: k for k, column in enumerate(COLUMNS)}
BAR = PLACES["bar"]
BELOW = frozenset(PLACES[column.under] for column in COLUMNS if column.under)
"""Columns that are hidden where the table is narrow, as their figures stand under others."""


MARGIN = 7
"""What stands free left and right of a name, in pixels."""
LINE_END = "\u2028"
"""What ends a line in a cell; Qt knows no other there."""


def _bare(text: str) -> str:
    """A number without its unit, which stands in the heading."""
    return text.split(" ")[0]


def name_lines(row: Row) -> str:
    """Club and technique, one under the other."""
    club = row.club.name
    return f"{club[:1].upper()}{club[1:]}\n{TECHNIQUES[row.technique]}"


class BarsModel(ColumnModel):
    """The shots of a board in the order picked, those that could not be done with the reason."""

    def __init__(self, board: Board, measures: Measures) -> None:
        super().__init__(COLUMNS)
        self._board, self._measures = board, measures
        self.rows: tuple[Row, ...] = ()
        self.paired = False
        """Whether two figures stand in a column, one under the other."""
        board.shots_changed.connect(self._take)
        board.set_changed.connect(self._take)
        measures.changed.connect(self._repaint)
        self._take()

    def _take(self) -> None:
        self.beginResetModel()
        found = self._board.comparison
        rows: list[Row] = []
        if found is not None:
            # What was taken away goes at once, what was added comes with its figures.
            played: dict[tuple[str, str], Row] = {shot.key: shot for shot in found.shots}
            played |= {shot.key: shot for shot in found.not_done}
            rows = [played[key] for key in self._board.picks if key in played]
        self.rows = tuple(rows)
        self.endResetModel()

    def _repaint(self) -> None:
        self.beginResetModel()
        self.endResetModel()

    def place(self, row: int) -> int:
        """Number of the shot in ``row`` among all picked."""
        return self._board.place(self.rows[row])

    def count(self) -> int:
        return len(self.rows)

    def pair(self, paired: bool) -> None:
        """Put two figures into a column, or give each its own."""
        if paired != self.paired:
            self.paired = paired
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)
            if self.rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, len(COLUMNS) - 1))

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if self.paired and orientation == Qt.Orientation.Horizontal:
            column = COLUMNS[section]
            if column.under and role == Qt.ItemDataRole.DisplayRole:
                return self.filled(_(column.both))
            if column.under and role in (
                Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole,
            ):  # fmt: skip
                return "\n".join(_(c.text) for c in (column, COLUMNS[PLACES[column.under]]))
        return super().headerData(section, orientation, role)

    def filled(self, words: str) -> str:
        style = self._measures.style
        units = {"spin": style.spin(0.0), "speed": style.speed(0.0)}
        return words.format(**{k: v.split(" ")[1] for k, v in units.items()})

    def flags(self, index: Index) -> Qt.ItemFlag:
        found = super().flags(index)
        if index.isValid() and index.column() == 0 and isinstance(self.rows[index.row()], Compared):
            found |= Qt.ItemFlag.ItemIsUserCheckable
        return found

    def marked(self, row: int) -> bool:
        """Whether the shot in ``row`` is one of the two that are explained."""
        return any(shot.key == self.rows[row].key for shot in self._board.marked or ())

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], COLUMNS[index.column()]
        if role == Qt.ItemDataRole.CheckStateRole and column.code == "shot" and isinstance(row, Compared):
            return Qt.CheckState.Checked if self.marked(index.row()) else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.TextAlignmentRole and column.code not in ("shot", "bar"):
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(row) or _(column.text)
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        if column.code == "shot":
            return name_lines(row)
        if isinstance(row, NotDone):
            return not_done_text(row, self._measures.style) if column.code == "bar" else ""
        if column.code == "bar" and role == Qt.ItemDataRole.AccessibleTextRole:
            return long_bar_text(row, self._measures.style)
        shown = column.shown(row, self._measures.style)
        if self.paired and column.under:
            shown += "\n" + COLUMNS[PLACES[column.under]].shown(row, self._measures.style)
        return shown

    def _tip(self, row: Row) -> str:
        """What is odd about a shot: it did not stop by itself, or the rules would not offer it."""
        if isinstance(row, NotDone):
            return not_done_text(row, self._measures.style)
        notes = []
        if row.obstacle or row.ending != "at_rest":
            notes.append(_("It {ended}.").format(ended=ended_text(row)))
        if row.refused:
            notes.append(f"{not_advised(row.refused)} {_('Shown all the same.')}")
        return "\n".join(notes)

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.CheckStateRole or index.column() != 0:
            return False
        self._board.mark(self.rows[index.row()].key)
        return True


class BarDelegate(QStyledItemDelegate):
    """Paints the number in front of the name, and the bars on one scale."""

    def __init__(self, board: Board, model: BarsModel, theme: Theme, parent: QAbstractItemView) -> None:
        super().__init__(parent)
        self._board, self._model, self._theme, self._view = board, model, theme, parent

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        super().initStyleOption(option, index)
        if index.column() != 0:
            return
        # The club is cut: wrapped, a long one took the line of the technique and the number's place.
        letters, part = option.fontMetrics, QStyle.SubElement.SE_ItemViewItemText
        room = self._view.style().subElementRect(part, option, self._view).width() - MARGIN
        if not self._model.paired:
            room -= round(1.8 * letters.height())
        club, technique = option.text.splitlines()
        rows = option.rect.height() // letters.lineSpacing()
        wraps = rows > 2 and letters.horizontalAdvance(technique) <= room
        club = letters.elidedText(club, Qt.TextElideMode.ElideMiddle, round(1.9 * room) if wraps else room)
        option.text = f"{club}{LINE_END}{technique}"

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        row = self._model.rows[index.row()]
        if index.column() == BAR and isinstance(row, Compared):
            self._bar(painter, option, index, row)
            return
        if index.column() == BAR:  # a reason is read without scrolling
            option.rect = option.rect.intersected(self._view.viewport().rect())
        super().paint(painter, option, index)
        if index.column() == 0 and not self._model.paired:
            painter.save()
            painter.setFont(option.font)
            middle = QPointF(
                option.rect.right() - 0.9 * option.fontMetrics.height(), option.rect.center().y()
            )
            paint_badge(painter, middle, self._model.place(index.row()), self._theme.colours)
            painter.restore()

    def _bar(self, painter: QPainter, option: QStyleOptionViewItem, index: Index, shot: Compared) -> None:
        painter.save()
        colours = self._theme.colours
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, option.palette.highlight())
        letters = QFontMetrics(option.font)
        line = letters.height()
        box = QRectF(option.rect).adjusted(6.0, 0.0, -6.0, 0.0)
        painter.setFont(option.font)
        bar = QRectF(box.left(), box.top() + 0.2 * line, box.width(), 0.75 * line)
        below = bar.bottom() + 1.0
        if self._model.paired:  # the number has no room beside the name
            spot = QPointF(box.left() + 0.4 * line, bar.center().y())
            badge = paint_badge(painter, spot, self._model.place(index.row()), colours)
            bar.setLeft(badge.right() + 4.0)
            below = badge.bottom()
        longest = max((max(s.total, s.carry) for s in self._board.shots), default=0.0)
        paint_bar(painter, bar, colours, self._model.place(index.row()), shot.carry, shot.run, longest)
        lit = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.setPen(option.palette.highlightedText().color() if lit else QColor(colours.text))
        text = str(index.data())
        if letters.horizontalAdvance(text) > box.width():
            text = text.rpartition(" ")[0]  # the unit goes before a figure does
        text = letters.elidedText(text, Qt.TextElideMode.ElideRight, round(box.width()))
        painter.drawText(QPointF(box.left(), below + letters.ascent()), text)
        painter.restore()


class Bars(QTableView):
    """The rows of a board."""

    def __init__(self, board: Board, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._board = board
        self.bars = BarsModel(board, measures)
        self.setModel(self.bars)
        self.setItemDelegate(BarDelegate(board, self.bars, theme, self))
        describe(
            self, _("Air, run and figures of every shot"),
            _("A row a shot: how far it flies and runs, and how it leaves, lands and stops."),
        )  # fmt: skip
        self.setFrameShape(self.Shape.NoFrame)
        self.setShowGrid(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        self.clicked.connect(self._on_click)
        theme.changed.connect(self.viewport().update)
        self.bars.modelReset.connect(self.lay_out)
        self.lay_out()

    def lay_out(self) -> None:
        """Widths and heights for the font as it is."""
        self.clearSpans()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setMinimumSectionSize(20)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self._fit()
        for number, row in enumerate(self.bars.rows):
            if isinstance(row, NotDone):  # the reason needs the room of the figures
                self.setSpan(number, 1, 1, len(COLUMNS) - 1)

    def _widths(self, *, paired: bool) -> dict[int, int]:
        """What the columns need in pixels; a name may be wrapped where two figures stand in a column."""
        letters = QFontMetrics(self.font())
        found = {}
        for number, column in enumerate(COLUMNS):
            if paired and number in BELOW:
                continue
            heading = self.bars.filled(_(column.both if paired and column.under else column.heading))
            words = [column.longest, *heading.splitlines()]
            if paired and column.under:
                words.append(COLUMNS[PLACES[column.under]].longest)
            extra = 7 if paired else 12
            if column.code == "shot":
                extra += self._tick()
                if paired:
                    words = " ".join([heading, *map(name_lines, self.bars.rows)]).split()
                else:
                    extra += round(2.2 * letters.height())  # the number
            found[number] = max(map(letters.horizontalAdvance, words)) + extra
        return found

    def _tick(self) -> int:
        """Width of a tick box with its margins."""
        return self.style().pixelMetric(QStyle.PixelMetric.PM_IndicatorWidth, None, self) + 8

    def least_width(self) -> int:
        """The width in pixels from which nothing is scrolled sideways."""
        return sum(self._widths(paired=True).values()) + self.verticalScrollBar().sizeHint().width()

    def _fit(self) -> None:
        """Two figures in a column where each has no room by itself; names and bars take what is left."""
        room, letters = self.viewport().width(), QFontMetrics(self.font())
        widths = self._widths(paired=False)
        paired = sum(widths.values()) > room
        lines = 2.25
        if paired:
            widths = self._widths(paired=True)
            names = [line for row in self.bars.rows for line in name_lines(row).splitlines()]
            whole = max(map(letters.horizontalAdvance, names), default=0) + 7 + self._tick()
            widths[0] = min(max(whole, widths[0]), max(widths[0], widths[0] + room - sum(widths.values())))
            if whole > widths[0]:
                lines = 3.25
        widths[BAR] = max(widths[BAR], widths[BAR] + room - sum(widths.values()))
        self.bars.pair(paired)
        for number in range(len(COLUMNS)):
            self.setColumnHidden(number, number not in widths)
            if number in widths:
                self.setColumnWidth(number, widths[number])
        self.verticalHeader().setDefaultSectionSize(round(lines * letters.lineSpacing()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def minimumSizeHint(self) -> QSize:
        """Two rows can be read, whatever else wants room."""
        bar = self.horizontalScrollBar().sizeHint().height()
        rows = 2 * self.verticalHeader().defaultSectionSize()
        return QSize(
            super().minimumSizeHint().width(), self.horizontalHeader().sizeHint().height() + rows + bar
        )

    def sizeHint(self) -> QSize:
        tall = self.horizontalHeader().sizeHint().height()
        tall += max(self.bars.rowCount(), 2) * self.verticalHeader().defaultSectionSize() + 4
        return QSize(600, tall)

    def _on_click(self, index: QModelIndex) -> None:
        """A click anywhere in a row marks its shot; the tick box does so by itself."""
        row = self.bars.rows[index.row()]
        if isinstance(row, Compared) and index.column() != 0:
            self._board.mark(row.key)
