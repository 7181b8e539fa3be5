"""The page of details: how the shots that are drawn are delivered, fly and end, beside each other."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QLayout,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.words.details import DETAILS, name_of
from shortgame_gui.words.language import _
from shortgame_gui.words.text import TECHNIQUES

Index = QModelIndex | QPersistentModelIndex


class DetailsModel(QAbstractTableModel):
    """A row a figure, a column a shot that is drawn, the one in front first."""

    def __init__(self, session: Session, measures: Measures) -> None:
        super().__init__()
        self._session, self._measures = session, measures
        self._shots: tuple[Shot, ...] = session.shown
        session.advice_changed.connect(self._take)
        session.picked.connect(self._take)
        measures.changed.connect(self._take)

    def _take(self) -> None:
        self.beginResetModel()
        self._shots = self._session.shown
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(DETAILS)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(self._shots)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Vertical and 0 <= section < len(DETAILS):
            detail = DETAILS[section]
            if role == Qt.ItemDataRole.DisplayRole:
                return name_of(detail, self._measures.style)
            return _(detail.meaning) if role == Qt.ItemDataRole.ToolTipRole else None
        if orientation == Qt.Orientation.Horizontal and 0 <= section < len(self._shots):
            shot = self._shots[section]
            if role == Qt.ItemDataRole.DisplayRole:
                return f"{shot.rank}: {shot.club.name}\n{TECHNIQUES[shot.technique]}"
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.column() >= len(self._shots):
            return None
        detail, shot = DETAILS[index.row()], self._shots[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return detail.shown(shot, self._measures.style) or "\u2013"
            case Qt.ItemDataRole.ToolTipRole:
                return _(detail.meaning)
            case Qt.ItemDataRole.AccessibleTextRole:
                style = self._measures.style
                return f"{name_of(detail, style)}: {detail.shown(shot, style) or _('none')}"
        return None


class Details(QDialog):
    """Stands beside the window without holding it up, and follows what is drawn; Escape closes it."""

    def __init__(self, session: Session, measures: Measures, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Details of the shots"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.model = DetailsModel(session, measures)
        self.view = QTableView()
        self.view.setModel(self.model)
        describe(
            self.view, _("Details of the shots"),
            _("How the shots that are drawn are delivered, fly and end."),
        )  # fmt: skip
        self.view.setShowGrid(False)
        self.view.setAlternatingRowColors(True)
        self.view.setCornerButtonEnabled(False)
        self.view.setTabKeyNavigation(False)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.setFrameShape(self.view.Shape.NoFrame)
        self.view.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.view.horizontalHeader().setHighlightSections(False)
        across = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        self.view.verticalHeader().setDefaultAlignment(across)
        self.view.verticalHeader().setHighlightSections(False)
        self.view.horizontalHeader().setDefaultAlignment(across)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self.view)
        layout.addWidget(buttons)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Close), self, self.reject)
        self.model.modelReset.connect(self._fit)
        self._fit()
        self.resize(self.sizeHint())

    def _fit(self) -> None:
        """No column narrower than its longest text."""
        metrics, model = self.fontMetrics(), self.model
        texts = [
            str(model.index(row, column).data())
            for row in range(model.rowCount())
            for column in range(model.columnCount())
        ]
        least = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        self.view.horizontalHeader().setMinimumSectionSize(least + 2 * metrics.averageCharWidth())

    def sizeHint(self) -> QSize:
        """Wide enough for three shots and tall enough for all rows."""
        down, across = self.view.verticalHeader(), self.view.horizontalHeader()
        around = 4 * self.fontMetrics().averageCharWidth() + self.view.verticalScrollBar().sizeHint().width()
        wide = down.sizeHint().width() + 3 * across.minimumSectionSize() + around
        return QSize(wide, down.length() + across.sizeHint().height() + self.fontMetrics().height() + 50)
