"""What is compared, what is held equal, and what if: the settings of a board, beside its views."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QSignalBlocker, QSize, Qt
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QComboBox,
    QDoubleSpinBox,
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSlider,
    QToolButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.advice.compare import HELD
from shortgame_gui.advice.rules import KINDS
from shortgame_gui.desktop import labels
from shortgame_gui.desktop.fields import ChoiceEditor, Editor, NumberEditor, calm, describe, name
from shortgame_gui.desktop.measures import METRES_A_SECOND, MILES_AN_HOUR, Measures, Unit
from shortgame_gui.desktop.side_by_side.board import WHAT_IF, Board, Key
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import get, leaves
from shortgame_gui.model.situation import Situation
from shortgame_gui.words import compare as words
from shortgame_gui.words.language import _
from shortgame_gui.words.text import TECHNIQUES, not_advised

RANGES = {"landing": (0.5, 110.0), "finish": (1.0, 120.0), "swing": (1.0, 45.0)}
"""What can be held, in m and m/s."""
KEY = Qt.ItemDataRole.UserRole


class PickList(QTreeWidget):
    """A tick for every club and the ways it is played, by technique; what is odd here is paler."""

    def __init__(self, board: Board, theme: Theme) -> None:
        super().__init__()
        self._board, self._theme = board, theme
        self.setHeaderHidden(True)
        self.setAccessibleName(_("Shots to compare"))
        self.setToolTip(_("Tick any number of clubs, under the technique they are played with."))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setIndentation(14)
        self.items: dict[Key, QTreeWidgetItem] = {}
        self._made_of: Bag | None = None
        self._ticking = False
        self._opened: set[str] = set()
        """Techniques whose group was opened for its ticks, and not by hand."""
        self.itemChanged.connect(self._on_tick)
        board.set_changed.connect(self.show_picks)
        theme.changed.connect(self.show_picks)
        self.show_picks()

    def _fill(self) -> None:
        """All shots of the bag."""
        self.clear()
        self.items = {}
        self._opened.clear()
        clubs = sorted(self._board.setting.bag.clubs, key=lambda club: (-club.loft, club.name))
        for technique, kinds in KINDS.items():
            names = [club.name for club in clubs if club.kind in kinds]
            if not names:
                continue
            group = QTreeWidgetItem(self, [_upper(TECHNIQUES[technique])])
            group.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
            for club in names:
                item = QTreeWidgetItem(group, [_upper(club)])
                item.setFlags(group.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                item.setData(0, KEY, (club, technique))
                self.items[club, technique] = item

    def show_picks(self) -> None:
        """Ticks as they are set, and what the rules say of each shot here."""
        with QSignalBlocker(self):
            if self._made_of != self._board.setting.bag:
                self._made_of = self._board.setting.bag
                self._fill()
            for key, item in self.items.items():
                ticked = key in self._board.picks
                item.setCheckState(0, Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
                reason = self._board.refusal(key)
                item.setForeground(0, self._theme.colours.ink(soft=reason is not None))
                text = not_advised(reason) if reason else ""
                item.setToolTip(0, text)
                if ticked and not self._ticking and not item.parent().isExpanded():
                    item.parent().setExpanded(True)
                    self._opened.add(key[1])
            if not self._ticking:
                self._close_groups()

    def _close_groups(self) -> None:
        """Close what was opened for shots that gave way to others."""
        empty = self._opened - {technique for _club, technique in self._board.picks}
        self._opened -= empty
        for (_club, technique), item in self.items.items():
            if technique in empty:
                item.parent().setExpanded(False)

    def _on_tick(self, item: QTreeWidgetItem) -> None:
        key = item.data(0, KEY)
        if key is not None:
            # A group that somebody closed stays closed while he ticks in another.
            self._ticking = True
            self._board.pick((key[0], key[1]), item.checkState(0) == Qt.CheckState.Checked)
            self._ticking = False


class HeldEditor(QWidget):
    """What is held equal, and at what: a list, a number with its unit, back to usual, and a slider."""

    def __init__(self, board: Board, measures: Measures) -> None:
        super().__init__()
        self._board, self._measures = board, measures
        self.choice, self.spin, self.usual = QComboBox(), QDoubleSpinBox(), QToolButton()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        for held in HELD:
            self.choice.addItem(words.HELD[held], held)
        name(
            self.choice, _("Held equal"), _("What all shots have in common; the rest follows from the club.")
        )
        self.usual.setText("↺")
        self.usual.setAutoRaise(True)
        name(self.usual, _("Usual value"), _("Back to a usual value for this situation."))
        self.spin.setKeyboardTracking(False)
        self.spin.setCorrectionMode(QAbstractSpinBox.CorrectionMode.CorrectToNearestValue)
        self.spin.setAlignment(Qt.AlignmentFlag.AlignRight)
        for part in (self.choice, self.spin, self.slider):
            calm(part)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setVerticalSpacing(2)
        layout.addWidget(self.choice, 0, 0, 1, 2)
        layout.addWidget(self.spin, 1, 0)
        layout.addWidget(self.usual, 1, 1)
        layout.addWidget(self.slider, 2, 0, 1, 2)
        layout.setColumnStretch(0, 1)
        self.choice.activated.connect(lambda place: board.hold(self.choice.itemData(place)))
        self.spin.valueChanged.connect(lambda shown: board.set(value=self.unit.si(shown)))
        self.slider.valueChanged.connect(self._on_slider)
        self.usual.clicked.connect(lambda: board.set(value=None))
        board.set_changed.connect(self.show_value)
        board.shots_changed.connect(self.show_value)
        measures.changed.connect(self.show_value)
        self.show_value()

    @property
    def unit(self) -> Unit:
        """The unit of what is held."""
        if self._board.setting.held == "swing":
            return MILES_AN_HOUR if self._measures.yards else METRES_A_SECOND
        return self._measures.distance

    def _on_slider(self, tick: int) -> None:
        self._board.set(value=self.unit.si(round(tick * self.unit.step, 9)))

    def show_value(self) -> None:
        """The value that is set, or the usual one as soon as the shots tell it."""
        setting, unit, found = self._board.setting, self.unit, self._board.comparison
        value = setting.value
        if value is None and found is not None and found.held == setting.held:
            value = found.value
        low, high = (unit.shown(end) for end in RANGES[setting.held])
        called = words.HELD[setting.held]
        ends = [unit.text(end) for end in RANGES[setting.held]]
        text = _("{held}, from {low} to {high}.").format(held=called, low=ends[0], high=ends[1])
        with QSignalBlocker(self.choice), QSignalBlocker(self.spin), QSignalBlocker(self.slider):
            self.choice.setCurrentIndex(self.choice.findData(setting.held))
            self.spin.setDecimals(unit.decimals)
            self.spin.setSuffix(unit.suffix)
            self.spin.setSingleStep(unit.step)
            self.spin.setRange(math.ceil(low * 10.0) / 10.0, math.floor(high * 10.0) / 10.0)
            self.slider.setRange(math.ceil(low / unit.step), math.floor(high / unit.step))
            if value is not None:
                self.spin.setValue(unit.shown(value))
                self.slider.setValue(round(unit.shown(value) / unit.step))
        self.usual.setEnabled(setting.value is not None)
        name(self.spin, called, text)
        name(self.slider, _("{value}, slider").format(value=called), text)


class WhatIf(QWidget):
    """Sliders that move every shot together and leave the document alone."""

    def __init__(self, board: Board, measures: Measures) -> None:
        super().__init__()
        self._board = board
        self.editors: dict[str, Editor] = {}
        self.back = QPushButton(_("As in the situation"))
        name(self.back, _("As in the situation"), _("Take back everything that was tried here."))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        known = {leaf.path: leaf for leaf in leaves(Situation)}
        for path in WHAT_IF:
            leaf = known[path]
            editor = NumberEditor(leaf, measures) if leaf.kind == "number" else ChoiceEditor(leaf)
            self.editors[path] = editor
            editor.edited.connect(partial(self._on_edit, path))
            layout.addWidget(editor)
        layout.addWidget(self.back)
        self.back.clicked.connect(board.reset)
        board.set_changed.connect(self.show_values)
        measures.changed.connect(self._on_units)
        self.show_values()

    def show_values(self) -> None:
        """What is tried; a value's own reset goes back to what the document says."""
        setting = self._board.setting
        for path, editor in self.editors.items():
            offered = labels.OFFERED.get(path)
            if offered is not None:
                editor.offer(offered(setting.changed))
            editor.leaf = replace(editor.leaf, default=get(setting.situation, path))
            editor.show_value(get(setting.changed, path))
        self.back.setEnabled(bool(setting.changes))

    def _on_units(self) -> None:
        for editor in self.editors.values():
            editor.show_units()

    def _on_edit(self, path: str, value: object, _gesture: int) -> None:
        self._board.what_if(path, value)


class Controls(QScrollArea):
    """All settings of a board in one column."""

    def __init__(self, board: Board, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self.picks, self.held = PickList(board, theme), HeldEditor(board, measures)
        self.what_if = WhatIf(board, measures)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        describe(self, _("What is compared"), _("Which shots, what they have in common, and what if."))
        inner = self._inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(8, 6, 8, 8)
        column.setSpacing(4)
        for title, part, share in (
            (_("Shots"), self.picks, 1), (_("Held equal"), self.held, 0), (_("What if ..."), self.what_if, 0),
        ):  # fmt: skip
            heading = QLabel(title)
            bold = heading.font()
            bold.setBold(True)
            heading.setFont(bold)
            column.addWidget(heading)
            column.addWidget(part, share)
        self.picks.setMinimumHeight(150)
        self.setWidget(inner)

    def minimumSizeHint(self) -> QSize:
        """As wide as the widest setting, with the scroll bar: nothing here scrolls sideways."""
        bar, frame = self.verticalScrollBar().sizeHint().width(), super().minimumSizeHint()
        return QSize(self._inner.minimumSizeHint().width() + bar, frame.height())


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
