"""What all tables of shots share: columns with a heading and a meaning, one row a shot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from shortgame_gui.words.language import _

Index = QModelIndex | QPersistentModelIndex


class Headed(Protocol):
    """A column as far as its head goes."""

    @property
    def heading(self) -> str: ...

    @property
    def text(self) -> str:
        """What the column means."""
        ...


class ColumnModel(QAbstractTableModel):
    """A table with fixed ``columns``; a subclass has the rows and may fill in units."""

    def __init__(self, columns: Sequence[Headed]) -> None:
        super().__init__()
        self._columns = columns

    def count(self) -> int:
        """The number of rows."""
        return 0

    def filled(self, words: str) -> str:
        """``words`` of a column's head with the player's units in their places."""
        return words

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else self.count()

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  Qt's own signature
        return 0 if parent.isValid() else len(self._columns)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return self.filled(_(column.heading))
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            return self.filled(_(column.text))
        return None
