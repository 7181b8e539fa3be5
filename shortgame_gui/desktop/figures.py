"""Every figure of the model with its standing and source, from the table that the engine reads."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.desktop.fields import calm, describe, name
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.store.coefficients import STANDINGS as CODES
from shortgame_gui.store.coefficients import Row, rows
from shortgame_gui.words.language import N_, _
from shortgame_gui.words.text import STANDINGS

Index = QModelIndex | QPersistentModelIndex

HEADINGS = (N_("Figure"), N_("Value"), N_("Unit"), N_("Standing"), N_("Source"))
PARTS = ("name", "value", "unit", "standing", "source")
"""What each column tells of a row."""
TIPS = (
    N_("Its name in the table of coefficients, from the large to the small."),
    N_("As the table states it; the engine turns it into SI."),
    N_("The unit of the value; 1 is a plain number."),
    N_("Published, common practice without a source, or an estimate of our own."),
    N_("Where it comes from, or what it was chosen for."),
)


class FiguresModel(QAbstractTableModel):
    """The rows of the table of coefficients that are looked for, in the order that is asked for.

    It finds and sorts them itself: a model of Qt's before it asked ten times a row, for a third of a second.
    """

    def __init__(self, measures: Measures) -> None:
        super().__init__()
        self._measures = measures
        self.all = rows()
        self._rows = list(self.all)
        self._order = (-1, Qt.SortOrder.AscendingOrder)

    def look_for(self, beginnings: tuple[str, ...], words: str, standing: str) -> None:
        """Show rows whose name begins so, and that hold every word; nothing given shows all."""
        wanted = words.casefold().split()

        def fits(row: Row) -> bool:
            if (beginnings and not row.name.startswith(beginnings)) or standing not in ("", row.standing):
                return False
            told = f"{row.name} {row.unit} {row.standing} {row.source}".casefold()
            return all(word in told for word in wanted)

        self.beginResetModel()
        self._rows = self._sorted([row for row in self.all if fits(row)])
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """By the figures of ``column``; in the order of the table where it is -1."""
        self._order = column, order
        self.layoutAboutToBeChanged.emit()
        held = [(index, self._rows[index.row()].name) for index in self.persistentIndexList()]
        shown = {row.name for row in self._rows}
        self._rows = self._sorted([row for row in self.all if row.name in shown])
        place = {row.name: number for number, row in enumerate(self._rows)}
        for index, called in held:
            self.changePersistentIndex(index, self.index(place[called], index.column()))
        self.layoutChanged.emit()

    def _sorted(self, found: list[Row]) -> list[Row]:
        column, order = self._order
        if column < 0:
            return found
        down = order == Qt.SortOrder.DescendingOrder
        return sorted(found, key=lambda row: getattr(row, PARTS[column]), reverse=down)

    def row(self, number: int) -> Row:
        """The row of that number; raises IndexError."""
        return self._rows[number]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(HEADINGS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and 0 <= section < len(HEADINGS):
            if role == Qt.ItemDataRole.DisplayRole:
                return _(HEADINGS[section])
            if role == Qt.ItemDataRole.ToolTipRole:
                return _(TIPS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            told = getattr(self._rows[index.row()], PARTS[index.column()])
            return f"{told:.10g}".replace(".", self._measures.style.decimal) if index.column() == 1 else told
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() == 1:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None


class FiguresWindow(QDialog):
    """The table with a filter; it does not hold the window up, and Escape closes it."""

    def __init__(self, measures: Measures, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("What is this figure?"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._beginnings: tuple[str, ...] = ()
        self.found = FiguresModel(measures)
        self.words, self.standing, self.scope = QLineEdit(), QComboBox(), QComboBox()
        self.words.setPlaceholderText(_("Words to look for, in name or source"))
        self.words.setClearButtonEnabled(True)
        self.words.setAccessibleName(_("Words to look for"))
        self.words.setToolTip(_("Shows the figures that hold all of these words in name, unit or source."))
        self.scope.setAccessibleName(_("Figures of"))
        self.scope.setToolTip(
            _("The figures that matter for the part that had the keyboard, or all of them.")
        )
        self.standing.addItem(_("Any standing"), "")
        for standing in CODES:
            called = STANDINGS[standing]
            self.standing.addItem(f"{called[0].upper()}{called[1:]}", standing)
        name(self.standing, _("Standing"), _(TIPS[3]))
        calm(self.scope)
        calm(self.standing)
        self.view = QTableView()
        self.view.setModel(self.found)
        describe(
            self.view, _("Figures of the model"), _("Name, value, unit, standing and source of each figure.")
        )
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.view.setTabKeyNavigation(False)
        self.view.setWordWrap(False)
        self.view.verticalHeader().hide()
        self.view.horizontalHeader().setStretchLastSection(True)
        # The order of the table, until another is chosen: said before, or all is sorted once for nothing.
        self.view.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.view.setSortingEnabled(True)
        self.whole = QPlainTextEdit()
        self.whole.setReadOnly(True)
        self.whole.setTabChangesFocus(True)
        describe(self.whole, _("The figure in full"), _("The row that is chosen, with its whole source."))
        self.count = QLabel()
        self._lay_out()
        self.words.textChanged.connect(self._on_filter)
        self.standing.activated.connect(self._on_filter)
        self.scope.activated.connect(self._on_filter)
        self.view.selectionModel().currentRowChanged.connect(self._on_row)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.words, 1)
        head.addWidget(self.scope)
        head.addWidget(self.standing)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        foot = QHBoxLayout()
        foot.addWidget(self.count, 1)
        foot.addWidget(buttons)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addLayout(head)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.whole)
        layout.addLayout(foot)
        metrics = self.fontMetrics()
        wide, line = metrics.averageCharWidth(), metrics.lineSpacing()
        self.whole.setFixedHeight(4 * line)
        self.resize(125 * wide, 32 * line)
        for column, letters in enumerate((36, 12, 8)):
            self.view.setColumnWidth(column, letters * wide)
        longest = max(metrics.horizontalAdvance(standing) for standing in CODES)
        self.view.setColumnWidth(3, longest + 3 * wide)

    def show_figures(self, part: str, beginnings: list[str]) -> None:
        """Show the rows whose names begin so, as those of ``part``; all where nothing is given."""
        self._beginnings = tuple(beginnings)
        self.scope.clear()
        if beginnings:
            self.scope.addItem(part, True)
        self.scope.addItem(_("All figures"), False)
        self._on_filter()

    def _on_filter(self) -> None:
        beginnings = self._beginnings if self.scope.currentData() else ()
        self.found.look_for(beginnings, self.words.text(), self.standing.currentData())
        shown = self.found.rowCount()
        self.count.setText(_("{shown} of {all} figures").format(shown=shown, all=len(self.found.all)))
        if shown:
            self.view.selectRow(0)
            self.view.setCurrentIndex(self.found.index(0, 0))
        else:
            self.whole.setPlainText(_("No figure fits. Clear the words, or choose all figures."))

    def _on_row(self, index: QModelIndex) -> None:
        if index.isValid():
            row = self.found.row(index.row())
            value = self.found.index(index.row(), 1).data()
            unit = "" if row.unit == "1" else f" {row.unit}"
            self.whole.setPlainText(f"{row.name} = {value}{unit}\n{row.standing}: {row.source}")
