"""Every figure of the model with its standing and source, from the table that the engine reads."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QSortFilterProxyModel, Qt
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
TIPS = (
    N_("Its name in the table of coefficients, from the large to the small."),
    N_("As the table states it; the engine turns it into SI."),
    N_("The unit of the value; 1 is a plain number."),
    N_("Published, common practice without a source, or an estimate of our own."),
    N_("Where it comes from, or what it was chosen for."),
)


class FiguresModel(QAbstractTableModel):
    """The rows of the table of coefficients."""

    def __init__(self, measures: Measures) -> None:
        super().__init__()
        self._measures = measures
        self._rows = rows()

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
        row = self._rows[index.row()]
        value = f"{row.value:.10g}".replace(".", self._measures.style.decimal)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return (row.name, value, row.unit, row.standing, row.source)[index.column()]
        if role == Qt.ItemDataRole.UserRole:  # to sort by
            return (row.name, row.value, row.unit, row.standing, row.source)[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() == 1:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None


class Filter(QSortFilterProxyModel):
    """Rows whose name begins as asked, and that hold every word that was typed."""

    def __init__(self, model: FiguresModel) -> None:
        super().__init__()
        self._model = model
        self.beginnings: tuple[str, ...] = ()
        self.words: tuple[str, ...] = ()
        self.standing = ""
        self.setSourceModel(model)
        self.setSortRole(Qt.ItemDataRole.UserRole)

    def look_for(self, beginnings: tuple[str, ...], words: str, standing: str) -> None:
        """Show what fits; nothing given shows all."""
        self.beginnings, self.words, self.standing = beginnings, tuple(words.casefold().split()), standing
        self.invalidate()

    def filterAcceptsRow(self, number: int, parent: Index) -> bool:
        row = self._model.row(number)
        if self.beginnings and not row.name.startswith(self.beginnings):
            return False
        if self.standing and row.standing != self.standing:
            return False
        told = f"{row.name} {row.unit} {row.standing} {row.source}".casefold()
        return all(word in told for word in self.words)


class FiguresWindow(QDialog):
    """The table with a filter; it does not hold the window up, and Escape closes it."""

    def __init__(self, measures: Measures, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("What is this figure?"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._beginnings: tuple[str, ...] = ()
        self.model = FiguresModel(measures)
        self.found = Filter(self.model)
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
        self.view.setSortingEnabled(True)
        self.view.sortByColumn(-1, Qt.SortOrder.AscendingOrder)  # the order of the table, until one is chosen
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
        self.count.setText(_("{shown} of {all} figures").format(shown=shown, all=self.model.rowCount()))
        if shown:
            self.view.selectRow(0)
            self.view.setCurrentIndex(self.found.index(0, 0))
        else:
            self.whole.setPlainText(_("No figure fits. Clear the words, or choose all figures."))

    def _on_row(self, index: QModelIndex) -> None:
        if index.isValid():
            row = self.model.row(self.found.mapToSource(index).row())
            value = self.found.index(index.row(), 1).data()
            unit = "" if row.unit == "1" else f" {row.unit}"
            self.whole.setPlainText(f"{row.name} = {value}{unit}\n{row.standing}: {row.source}")
