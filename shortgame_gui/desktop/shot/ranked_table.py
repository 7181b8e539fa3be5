"""The ranked table: every shot that could be played, best first, those too close to call in a bracket."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QEvent, QModelIndex, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPen,
    QResizeEvent,
    QStaticText,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QMenu,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.columns import ColumnModel, Index
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session, key_of
from shortgame_gui.desktop.shot.drawing import shot_pen
from shortgame_gui.desktop.shot.ranked_columns import CODES, COLUMNS, LEFT, USUAL, Column, Look
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.language import _, plural
from shortgame_gui.words.text import caution_text

TIE_ROLE = Qt.ItemDataRole.UserRole
PLACE_ROLE = Qt.ItemDataRole.UserRole + 1
RANK, SHOT, STROKES = (CODES.index(code) for code in ("rank", "shot", "strokes"))
TICK, BESIDE_TICK = 30, 16
"""Room for the box that is ticked, in pixels, and beside a box that grew with the letters."""
MARGIN = 10
"""Room beside the words of a cell, in pixels."""
SIDE = 3
"""Room on each side of the words of a cell, as the style leaves it."""
MOST_LINES = 2000
"""Laid out lines that are kept."""
FOCUSED, CHOSEN = QStyle.StateFlag.State_HasFocus.value, QStyle.StateFlag.State_Selected.value
FLAGS = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren
TICKED_FLAGS = FLAGS | Qt.ItemFlag.ItemIsUserCheckable


class RankedModel(ColumnModel):
    """The session's advice as a table; rows are shots in the order of their rank until they are sorted.

    It sorts itself: a sorting model before it would double all that the table asks for at each painting.
    """

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__(COLUMNS)
        self._session, self._theme, self._measures = session, theme, measures
        self._shots: list[Shot] = []
        self._by = (RANK, Qt.SortOrder.AscendingOrder)
        self._look: Look | None = None
        self._texts: dict[tuple[int, str], str] = {}
        self._taken: tuple[Shot, ...] = ()
        self._take()
        session.advice_changed.connect(self._on_advice)
        session.picked.connect(self._on_look)
        theme.changed.connect(self._on_look)
        measures.changed.connect(self._on_units)

    def shot(self, row: int) -> Shot:
        """The shot in ``row``; raises IndexError."""
        return self._shots[row]

    def row_of(self, shot: Shot) -> int:
        """The row of ``shot``, or -1."""
        return next((row for row, other in enumerate(self._shots) if other is shot), -1)

    def _take(self) -> None:
        advice = self._session.advice
        self._taken = advice.shots if advice else ()
        self._look = None
        self._texts.clear()
        self._shots = self._in_order()

    def _in_order(self) -> list[Shot]:
        number, order = self._by
        if number == RANK and order == Qt.SortOrder.AscendingOrder:
            return list(self._taken)
        look, value = self.look, COLUMNS[number].value
        backwards = order == Qt.SortOrder.DescendingOrder
        return sorted(self._taken, key=lambda shot: value(shot, look), reverse=backwards)

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by the values of ``column``; by rank where there is no such column."""
        self._by = (column, order) if column >= 0 else (RANK, Qt.SortOrder.AscendingOrder)
        self.layoutAboutToBeChanged.emit()
        kept = [(place, self._shots[place.row()]) for place in self.persistentIndexList()]
        self._shots = self._in_order()
        for place, shot in kept:
            self.changePersistentIndex(place, self.index(self.row_of(shot), place.column()))
        self.layoutChanged.emit()

    def _on_advice(self) -> None:
        advice = self._session.advice
        if advice is not None and advice.shots is not self._taken:
            self.beginResetModel()
            self._take()
            self.endResetModel()
        else:
            self._on_look()

    def _on_units(self) -> None:
        self._look = None
        self._texts.clear()
        self.sort(*self._by)  # the rings are others
        self._repaint([])
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)

    def _on_look(self) -> None:
        """Colours, marks or lines are others; words and order are not."""
        self._repaint([Qt.ItemDataRole.ForegroundRole, Qt.ItemDataRole.CheckStateRole, PLACE_ROLE])

    def _repaint(self, roles: list[int]) -> None:
        if self._shots:
            last = self.index(len(self._shots) - 1, len(COLUMNS) - 1)
            self.dataChanged.emit(self.index(0, 0), last, roles)

    def count(self) -> int:
        return len(self._shots)

    def filled(self, words: str) -> str:
        """``words`` with the player's unit and rings in their places."""
        style = self.look.style
        rings = {f"ring{k}": style.short(radius, 0) for k, radius in enumerate(style.rings, start=1)}
        return words.format(unit=self._measures.distance.suffix.strip(), **rings)

    @property
    def look(self) -> Look:
        """Units, and what counts in the advice that is shown."""
        if self._look is None:
            self._look = self._make_look()
        return self._look

    def _make_look(self) -> Look:
        advice = self._session.advice
        situation = advice.situation if advice else self._session.situation
        return Look(self._measures.style, situation.player.counts, self._measures.distance)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or not 0 <= index.row() < len(self._shots):
            return None
        shot, column = self._shots[index.row()], COLUMNS[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self.text(index.row(), index.column())
            case Qt.ItemDataRole.AccessibleTextRole:
                return self.text(index.row(), index.column()).replace("\n", ", ")
            case Qt.ItemDataRole.ToolTipRole:
                return self._tip(shot, column)
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignLeft if column.code in LEFT else Qt.AlignmentFlag.AlignRight
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.ForegroundRole if not self._session.current:
                return QColor(self._theme.colours.soft_text)
            case Qt.ItemDataRole.CheckStateRole if column.code == "shot":
                marked = self._session.is_marked(key_of(shot))
                return Qt.CheckState.Checked if marked else Qt.CheckState.Unchecked
        if role == TIE_ROLE:
            return shot.tie
        if role == PLACE_ROLE:
            shown = self._session.shown
            return next((place for place, other in enumerate(shown) if other is shot), -1)
        return None

    def text(self, row: int, column: int) -> str:
        """What stands in a cell; kept, for the whole table is painted anew when it becomes pale."""
        shot, code = self._shots[row], COLUMNS[column].code
        found = self._texts.get((shot.rank, code))
        if found is None:
            found = self._texts[shot.rank, code] = COLUMNS[column].shown(shot, self.look)
        return found

    def _tip(self, shot: Shot, column: Column) -> str:
        tip = self.filled(_(column.text))
        if column.code == "strokes":
            own, paired = (
                self._measures.style.number(e, 3) for e in (shot.standard_error, shot.behind_best_error)
            )
            told = _("Standard error {own}, of the difference {paired}, from {n} balls.")
            tip += "\n" + told.format(own=own, paired=paired, n=shot.n)
        if column.code == "shot":
            tip += "\n" + _("Tick to draw it beside the one in front.")
            if "lip" in shot.cautions:
                tip += f"\n{caution_text('lip')}"
        return tip

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.CheckStateRole or COLUMNS[index.column()].code != "shot":
            return False
        self._session.mark(key_of(self._shots[index.row()]), Qt.CheckState(value) == Qt.CheckState.Checked)
        return True

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return super().flags(index)
        return TICKED_FLAGS if index.column() == SHOT else FLAGS


class CellDelegate(QStyledItemDelegate):
    """Paints the cells, as the style would and in a fifth of its time: the table is painted at each answer.

    The style asks the model for ten things a cell, and lays its text out twice.
    """

    def __init__(self, ranked: RankedModel, session: Session, theme: Theme) -> None:
        super().__init__()
        self._ranked, self._session, self._theme = ranked, session, theme
        self._parts: dict[tuple[int, int], tuple[QRect, QRect]] = {}
        self._lines: dict[tuple[str, int], tuple[QStaticText, int]] = {}

    def forget(self) -> None:
        """The font or the style is another one: nothing that was laid out fits any more."""
        self._parts.clear()
        self._lines.clear()

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        state = option.state.value
        if state & FOCUSED:
            super().paint(painter, option, index)  # with the frame of the focus
        else:
            self._cell(painter, option, index, chosen=bool(state & CHOSEN))
        if index.column() == RANK:
            self._bracket(painter, option, index)

    def _cell(self, painter: QPainter, option: QStyleOptionViewItem, index: Index, *, chosen: bool) -> None:
        colours, column, room = self._theme.colours, index.column(), option.rect
        if chosen:
            painter.fillRect(room, QColor(colours.accent))
        if column == SHOT:
            room = self._box(painter, option, index)
        ink = QColor(colours.on_accent) if chosen else colours.ink(soft=not self._session.current)
        painter.setPen(ink)
        metrics, lines = option.fontMetrics, self._ranked.text(index.row(), column).split("\n")
        left, width, height = room.left() + SIDE, room.width() - 2 * SIDE, metrics.height()
        top = room.top() + (room.height() - len(lines) * height) // 2
        at_left = COLUMNS[column].code in LEFT
        for number, line in enumerate(lines):
            laid, need = self._lines.get((line, width)) or self._lay(line, width, option)
            painter.drawStaticText(left if at_left else left + width - need, top + number * height, laid)

    def _lay(self, line: str, width: int, option: QStyleOptionViewItem) -> tuple[QStaticText, int]:
        """``line`` shortened to ``width`` and laid out, and how wide it is; kept, as most come again."""
        if len(self._lines) > MOST_LINES:
            self._lines.clear()
        metrics: QFontMetrics = option.fontMetrics
        shown = metrics.elidedText(line, option.textElideMode, width)
        head, comma, share = line.rpartition(", ")
        if comma and shown != line:
            end = comma + share
            room = width - metrics.horizontalAdvance(end)
            if room > metrics.horizontalAdvance(f"{head[0]}..."):
                shown = metrics.elidedText(head, Qt.TextElideMode.ElideRight, room) + end
        laid = QStaticText(shown)
        laid.setTextFormat(Qt.TextFormat.PlainText)
        laid.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
        found = self._lines[line, width] = laid, metrics.horizontalAdvance(shown)
        return found

    def _box(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> QRect:
        """Paint the box that is ticked, and say where the words beside it stand."""
        cell, style, table = option.rect, option.widget.style(), option.widget
        size = (cell.width(), cell.height())
        if size not in self._parts:
            whole, part = QStyleOptionViewItem(option), QStyle.SubElement
            self.initStyleOption(whole, index)
            box = style.subElementRect(part.SE_ItemViewItemCheckIndicator, whole, table)
            room = style.subElementRect(part.SE_ItemViewItemText, whole, table)
            self._parts[size] = box.translated(-cell.topLeft()), room.translated(-cell.topLeft())
        box, room = self._parts[size]
        ticked = index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
        own = QStyleOptionViewItem(option)
        own.rect = box.translated(cell.topLeft())
        own.state |= QStyle.StateFlag.State_On if ticked else QStyle.StateFlag.State_Off
        style.drawPrimitive(QStyle.PrimitiveElement.PE_IndicatorItemViewItemCheck, own, painter, table)
        return room.translated(cell.topLeft())

    def _bracket(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """A sample of the shot's line, and the bracket of a tie."""
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

    columns_changed = Signal()
    """Somebody chose other columns."""
    copied = Signal(str)
    """The table is on the clipboard; a sentence that says so."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session = session
        self.ranked = RankedModel(session, theme, measures)
        self.setModel(self.ranked)
        self._cells = CellDelegate(self.ranked, session, theme)
        self.setItemDelegate(self._cells)
        describe(self, _("Ranked shots"), _("Every shot that could be played, best first."))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)  # the end of a name may be the share of the lip
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
        measures.changed.connect(self._on_units)
        self.columns_menu = self._make_menu()
        header = self.horizontalHeader()
        # The arrow of the sorted column needs room beside its heading.
        header.sortIndicatorChanged.connect(self._set_widths)
        header.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        header.customContextMenuRequested.connect(
            lambda spot: self.columns_menu.popup(header.viewport().mapToGlobal(spot))
        )
        self.show_columns(USUAL)
        self._follow()

    # --- columns ---------------------------------------------------------------------------------

    def _make_menu(self) -> QMenu:
        """The menu of columns; it is that of the window's menu bar and of the heading alike."""
        menu = QMenu(_("&Columns"), self)
        self._choices = {}
        for column in COLUMNS:
            if column.name:
                action = menu.addAction(self.ranked.filled(_(column.name)))
                action.setObjectName(f"column_{column.code}")
                action.setCheckable(True)
                action.setToolTip(self.ranked.filled(_(column.text)))
                action.triggered.connect(self._on_choice)
                self._choices[column.code] = action
        menu.addSeparator()
        usual = menu.addAction(_("&Usual columns"))
        usual.setObjectName("usual_columns")
        usual.setToolTip(_("Show the columns that a first start shows."))
        usual.triggered.connect(self._on_usual)
        menu.setToolTipsVisible(True)
        return menu

    @property
    def columns(self) -> tuple[str, ...]:
        """Codes of the columns that are shown."""
        return tuple(code for k, code in enumerate(CODES) if not self.isColumnHidden(k))

    def show_columns(self, codes: Sequence[str]) -> None:
        """Show the columns ``codes`` and those that are always there."""
        for k, column in enumerate(COLUMNS):
            self.setColumnHidden(k, bool(column.name) and column.code not in codes)
            if column.code in self._choices:
                self._choices[column.code].setChecked(column.code in codes)
        self._set_widths()

    def _on_choice(self) -> None:
        self.show_columns([code for code, action in self._choices.items() if action.isChecked()])
        self.columns_changed.emit()

    def _on_usual(self) -> None:
        self.show_columns(USUAL)
        self.columns_changed.emit()

    def _on_units(self) -> None:
        for column in COLUMNS:
            if column.code in self._choices:
                self._choices[column.code].setText(self.ranked.filled(_(column.name)))
        self._set_widths()

    def _set_widths(self) -> None:
        """Columns as wide as their headings and longest texts."""
        for column in range(len(COLUMNS)):
            self.setColumnWidth(column, self._width_of(column))
        self._fit_name()

    def _fit_name(self) -> None:
        """Give the name of the shot what the other columns leave, and no less than a name needs."""
        others = sum(self.columnWidth(k) for k in range(len(COLUMNS)) if k != SHOT)
        need, mode = self._width_of(SHOT), QHeaderView.ResizeMode
        fits = others + need <= self.viewport().width()
        self.horizontalHeader().setSectionResizeMode(SHOT, mode.Stretch if fits else mode.Interactive)
        if not fits:
            self.setColumnWidth(SHOT, need)

    def sizeHint(self) -> QSize:
        """As wide as all the columns that are shown, whichever is sorted, and the scroll bar."""
        shown = [k for k in range(len(COLUMNS)) if not self.isColumnHidden(k)]
        columns = sum(self._width_of(k) for k in shown) + (
            0 if self.horizontalHeader().sortIndicatorSection() in shown[1:] else self._arrow
        )
        return QSize(columns + self.verticalScrollBar().sizeHint().width(), super().sizeHint().height())

    @property
    def least(self) -> int:
        """How wide it is with rank, shot and strokes alone, and the scroll bar, in pixels."""
        columns = sum(self._width_of(k) for k in (RANK, SHOT, STROKES))
        return columns + self.verticalScrollBar().sizeHint().width()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_name()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._cells.forget()
        super().changeEvent(event)

    def _width_of(self, column: int) -> int:
        metrics = self.fontMetrics()
        if column == 0:
            return metrics.horizontalAdvance("00") + 20
        heading = metrics.horizontalAdvance(self.ranked.headerData(column, Qt.Orientation.Horizontal))
        if column == self.horizontalHeader().sortIndicatorSection():
            heading += self._arrow
        beside = MARGIN
        if column == SHOT:
            box = self.style().pixelMetric(QStyle.PixelMetric.PM_IndicatorWidth, None, self)
            beside = max(TICK, box + BESIDE_TICK)
        return max(heading, metrics.horizontalAdvance(COLUMNS[column].longest)) + beside

    @property
    def _arrow(self) -> int:
        """Room that the arrow of the sorted column takes beside its heading, in pixels."""
        header, metric = self.horizontalHeader(), QStyle.PixelMetric
        parts = (metric.PM_HeaderMarkSize, metric.PM_HeaderMargin)
        return sum(header.style().pixelMetric(one, None, header) for one in parts)

    # --- copying ---------------------------------------------------------------------------------

    def as_text(self) -> str:
        """Headings and rows as they are shown, with tabs between the cells."""
        columns = [k for k in range(len(COLUMNS)) if not self.isColumnHidden(k)]
        model, across = self.model(), Qt.Orientation.Horizontal
        rows = [[model.headerData(k, across) or _("Rank") for k in columns]]
        for row in range(model.rowCount()):
            rows.append([model.index(row, k).data(Qt.ItemDataRole.AccessibleTextRole) for k in columns])
        return "\n".join("\t".join(cells) for cells in rows)

    def copy(self) -> None:
        """Put the table on the clipboard as text."""
        QGuiApplication.clipboard().setText(self.as_text())
        rows = self.model().rowCount()
        self.copied.emit(plural("{n} shot copied.", "{n} shots copied.", rows).format(n=rows))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
            event.accept()
            return
        super().keyPressEvent(event)

    # --- the shot in front -----------------------------------------------------------------------

    def _follow(self) -> None:
        front = self._session.front
        row = self.ranked.row_of(front) if front is not None else -1
        if row >= 0 and row != self.currentIndex().row():
            sideways = self.horizontalScrollBar().value()
            self.setCurrentIndex(self.ranked.index(row, SHOT))
            self.horizontalScrollBar().setValue(sideways)  # the row alone is followed

    def _on_row(self, current: QModelIndex, previous: QModelIndex) -> None:
        # A reset of the model selects nothing; only a row that somebody chose comes forward.
        if current.isValid():
            shot = self.ranked.shot(current.row())
            if shot is not self._session.front:
                self._session.bring_forward(key_of(shot))
