"""The small tables for what comes in numbers: points of the side profile and bands laid over the ground."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.desktop import labels
from shortgame_gui.desktop.edits import edited_band, edited_obstacle
from shortgame_gui.desktop.fields import SpinBox, calm, in_turn, name, new_gesture
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.fields import Field
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import Leaf
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import N_, _

Cell = SpinBox | QComboBox


class Row(QFrame):
    """One entry: an editor for each of its fields, and a button that removes it."""

    edited = Signal(str, object)
    removed = Signal()

    def __init__(self, leaves: list[Leaf], called: str, measures: Measures, across: int) -> None:
        super().__init__()
        self.cells: dict[str, Cell] = {}
        self.remove = QToolButton()
        self.remove.setText("\N{MULTIPLICATION SIGN}")
        self.remove.setAutoRaise(True)
        name(
            self.remove,
            _("Remove {thing}").format(thing=called),
            _("Take {thing} away.").format(thing=called),
        )
        self.remove.clicked.connect(self.removed)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 2, 0, 4)
        layout.setHorizontalSpacing(4)
        layout.setVerticalSpacing(2)
        place = 0
        for leaf in leaves:
            field = leaf.path.rsplit(".", 1)[-1]
            cell = self._number(leaf, field, measures) if leaf.kind == "number" else self._choice(leaf, field)
            name(cell, f"{called}, {labels.title_of(leaf)}", labels.meaning_of(leaf))
            self.cells[field] = cell
            if isinstance(cell, QComboBox):
                layout.addWidget(cell, 0, 0, 1, across)
                place = across
                continue
            title = QLabel(labels.title_of(leaf))
            title.setBuddy(cell)
            title.setToolTip(labels.meaning_of(leaf))
            line, column = divmod(place, across)
            layout.addWidget(title, 2 * line, column)
            layout.addWidget(cell, 2 * line + 1, column)
            layout.setColumnStretch(column, 1)
            place += 1
        layout.addWidget(self.remove, 0 if place > across else 1, across)

    def _number(self, leaf: Leaf, field: str, measures: Measures) -> SpinBox:
        spin = SpinBox(leaf, measures.of(leaf.field))
        spin.edited.connect(lambda si: self.edited.emit(field, si))
        return spin

    def _choice(self, leaf: Leaf, field: str) -> QComboBox:
        combo = QComboBox()
        for choice, label in labels.choice_labels(leaf.path, leaf.choices).items():
            combo.addItem(label, choice)
        calm(combo)
        combo.activated.connect(lambda place: self.edited.emit(field, combo.itemData(place)))
        return combo

    def show_entry(self, entry: Any) -> None:
        for field, cell in self.cells.items():
            value = getattr(entry, field)
            if isinstance(cell, SpinBox):
                cell.show_si(value)
            else:
                cell.setCurrentIndex(cell.findData(value))


class ListEditor(QWidget):
    """A table of entries with add and remove; emits the whole list, as the document keeps it."""

    edited = Signal(object, int)

    def __init__(
        self,
        field: Field,
        leaves: list[Leaf],
        called: str,
        measures: Measures,
        fresh: Callable[[Situation], Any],
        changed: Callable[[Any, str, Any], Any],
        across: int = 2,
    ) -> None:
        super().__init__()
        self.leaves, self._called, self._measures = leaves, called, measures
        self._fresh, self._changed, self._across = fresh, changed, across
        self._most = field.meta.max_length or 10_000
        self._situation = Situation()
        self._entries: tuple[Any, ...] = ()
        self.rows: list[Row] = []
        called_all, meaning = field.meta.title or field.name, field.meta.description or ""
        title = QLabel(_(called_all))
        title.setToolTip(_(meaning))
        self.add = QPushButton(_("Add {thing}").format(thing=called))
        name(self.add, self.add.text(), _(meaning))
        self.add.clicked.connect(self._on_add)
        head = QHBoxLayout()
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self.add)
        self._body = QVBoxLayout()
        self._body.setSpacing(2)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(head)
        layout.addLayout(self._body)

    def show_entries(self, entries: tuple[Any, ...], situation: Situation) -> None:
        """Show ``entries`` of ``situation``; rows are kept where they can be, so that the focus stays."""
        self._entries, self._situation = entries, situation
        while len(self.rows) > len(entries):
            row = self.rows.pop()
            self._body.removeWidget(row)
            row.hide()
            row.deleteLater()
        while len(self.rows) < len(entries):
            self._add_row()
        for row, entry in zip(self.rows, entries, strict=True):
            row.show_entry(entry)
        self.add.setEnabled(len(entries) < self._most)

    def show_units(self) -> None:
        for row in self.rows:
            for leaf in self.leaves:
                cell = row.cells[leaf.path.rsplit(".", 1)[-1]]
                if isinstance(cell, SpinBox):
                    cell.set_unit(self._measures.of(leaf.field))
        self.show_entries(self._entries, self._situation)

    def _add_row(self) -> None:
        place = len(self.rows)
        row = Row(self.leaves, f"{self._called} {place + 1}", self._measures, self._across)
        row.edited.connect(lambda field, value: self._on_edit(place, field, value))
        row.removed.connect(lambda: self._report(self._entries[:place] + self._entries[place + 1 :]))
        self._body.addWidget(row)
        before = self.rows[-1].remove if self.rows else self.add
        in_turn(before, *row.cells.values(), row.remove)
        self.rows.append(row)

    def _on_edit(self, place: int, field: str, value: Any) -> None:
        try:
            entry = self._changed(self._entries[place], field, value)
        except FieldError:  # the spin boxes keep within bounds; what is left is shown as it was
            self.show_entries(self._entries, self._situation)
            return
        self._report((*self._entries[:place], entry, *self._entries[place + 1 :]))

    def _on_add(self) -> None:
        self._report((*self._entries, self._fresh(self._situation)))

    def _report(self, entries: tuple[Any, ...]) -> None:
        self.edited.emit(entries, new_gesture())


def fresh_point(situation: Situation) -> ProfilePoint:
    """The next point: at the ball, then at the green's edge, then a few steps further each time."""
    points = situation.ground.profile
    if not points:
        return ProfilePoint(at=0.0, height=0.0)
    last = points[-1]
    further = situation.green.front if situation.green.front > last.at + 1.0 else last.at + 3.0
    return ProfilePoint(at=min(further, 150.0), height=last.height)


def fresh_band(situation: Situation) -> Band:
    """A bunker in the middle of the way to the green."""
    middle = 0.5 * situation.green.front
    return Band(surface="sand", start=max(middle - 1.5, 0.5), end=max(middle + 1.5, 2.5))


def changed_point(point: ProfilePoint, field: str, value: Any) -> ProfilePoint:
    """``point`` with one field set."""
    return replace(point, **{field: value})


def fresh_shape(situation: Situation) -> Shape:
    """A tier in the middle of the green."""
    green = situation.green
    return Shape(kind="tier", at=green.front + 0.4 * green.depth, length=3.0, height=0.4)


def fresh_obstacle(situation: Situation) -> Obstacle:
    """A hedge half-way to the green."""
    return Obstacle(at=max(0.5 * situation.green.front, 1.0), high=1.0)


def changed_shape(shape: Shape, field: str, value: Any) -> Shape:
    """``shape`` with one field set."""
    return replace(shape, **{field: value})


FRESH: dict[str, tuple[str, Callable[[Situation], Any], Callable[[Any, str, Any], Any]]] = {
    "ground.profile": (N_("point"), fresh_point, changed_point),
    "ground.bands": (N_("band"), fresh_band, edited_band),
    "ground.shapes": (N_("shape"), fresh_shape, changed_shape),
    "ground.obstacles": (N_("obstacle"), fresh_obstacle, edited_obstacle),
}
"""List -> what one entry is called, a new one, and how one field of it is set."""
