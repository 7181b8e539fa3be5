"""The editors of single values: a number, a choice, a yes or no, a text. Each shows one leaf.

An editor never changes the document: it emits `edited` with the SI value, and is told what to show.
"""

from __future__ import annotations

import math
from itertools import count, pairwise
from typing import Any

from PySide6.QtCore import QEvent, QLocale, QObject, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QRadioButton,
    QSizePolicy,
    QSlider,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.desktop import labels
from shortgame_gui.desktop.labels import meaning_of, title_of
from shortgame_gui.desktop.measures import Measures, Unit
from shortgame_gui.model.leaves import Leaf
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import _

_gestures = count(1)


def new_gesture() -> int:
    """A number for the steps of one drag or one visit of an editor."""
    return next(_gestures)


class Calm(QObject):
    """Keeps an editor from taking what is meant for others.

    The wheel scrolls the panel, and changes a value only in the editor that has the focus. Ctrl+Z takes back
    the document's last edit, unless letters were typed that are no edit yet.
    """

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Wheel and isinstance(watched, QWidget) and not watched.hasFocus():
            event.ignore()
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            undo, redo = (event.matches(keys) for keys in (_KEYS.Undo, _KEYS.Redo))
            if (undo and not _has_letters(watched, "Undo")) or (redo and not _has_letters(watched, "Redo")):
                event.ignore()
                return True
        return super().eventFilter(watched, event)


_KEYS = QKeySequence.StandardKey


def _has_letters(watched: QObject, way: str) -> bool:
    """Whether the text in ``watched`` has something of its own to undo or redo."""
    text = watched.findChild(QLineEdit) if isinstance(watched, QAbstractSpinBox) else watched
    if isinstance(text, QPlainTextEdit):
        return bool(getattr(text.document(), f"is{way}Available")())
    return isinstance(text, QLineEdit) and bool(getattr(text, f"is{way}Available")())


def calm(widget: QWidget) -> None:
    """Let the wheel and Ctrl+Z pass ``widget`` by where they are not meant for it."""
    widget.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    widget.installEventFilter(Calm(widget))


def name(widget: QWidget, title: str, text: str) -> None:
    """Give ``widget`` its accessible name, its meaning and its tool tip."""
    widget.setAccessibleName(title)
    widget.setAccessibleDescription(text)
    widget.setToolTip(text)


def describe(widget: QWidget, title: str, text: str) -> None:
    """As `name`, for what is large or shows tool tips of its own: a tool tip would lie over what it shows."""
    widget.setAccessibleName(title)
    widget.setAccessibleDescription(text)
    widget.setWhatsThis(text)


def in_turn(*parts: QWidget) -> None:
    """Have Tab go from part to part: what is made later would come last in the whole window."""
    for before, after in pairwise(parts):
        QWidget.setTabOrder(before, after)


def tick(button: QAbstractButton) -> None:
    """Check one button of a group, and have Tab stop there and nowhere else in the group."""
    button.setChecked(True)
    for one in button.group().buttons():
        one.setFocusPolicy(Qt.FocusPolicy.StrongFocus if one is button else Qt.FocusPolicy.ClickFocus)


class SpinBox(QDoubleSpinBox):
    """A number in the unit that the player chose, kept as SI: showing it rounded does not change it."""

    edited = Signal(float)
    """The SI value that was typed or stepped to, within the bounds."""

    def __init__(self, leaf: Leaf, unit: Unit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._leaf, self._unit = leaf, unit
        self._low, self._high = leaf.low or 0.0, leaf.high or 0.0
        self.setKeyboardTracking(False)
        self.setCorrectionMode(QAbstractSpinBox.CorrectionMode.CorrectToNearestValue)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        zero = labels.LOWEST_MEANS.get(leaf.path)
        if zero:
            self.setSpecialValueText(zero)
        calm(self)
        self.set_unit(unit)
        self.valueChanged.connect(self._on_value)

    @property
    def unit(self) -> Unit:
        return self._unit

    def set_unit(self, unit: Unit) -> None:
        """Show numbers in ``unit`` from now on; the value must be shown anew after this."""
        self._unit = unit
        grain = 10.0**unit.decimals
        with QSignalBlocker(self):
            self.setLocale(QLocale())
            self.setDecimals(unit.decimals)
            self.setSuffix(unit.suffix)
            # Bounds are rounded inwards, so that every number that can be typed is allowed.
            self.setRange(
                math.ceil(unit.shown(self._low) * grain - 1e-6) / grain,
                math.floor(unit.shown(self._high) * grain + 1e-6) / grain,
            )
            self.setSingleStep(unit.step)

    def validate(self, text: str, place: int) -> object:
        """Point and comma both count as the decimal sign, whichever of them is shown."""
        sign = self.locale().decimalPoint()
        body = text.removesuffix(self.suffix())
        return super().validate(body.replace(",", sign).replace(".", sign) + text[len(body) :], place)

    def show_si(self, si: float) -> None:
        with QSignalBlocker(self):
            self.setValue(self._unit.shown(si))

    def bounded(self, shown: float) -> float:
        """``shown`` as SI within the leaf's bounds."""
        return min(max(self._unit.si(shown), self._low), self._high)

    def _on_value(self, shown: float) -> None:
        self.edited.emit(self.bounded(shown))


class Editor(QWidget):
    """One leaf with its widget; what a kind of leaf has no use for stays empty.

    `edited` carries the SI value and the gesture (0: a step of its own).
    """

    edited = Signal(object, int)

    def __init__(self, leaf: Leaf, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.leaf = leaf
        self._gesture = new_gesture()

    def show_value(self, value: Any) -> None:
        """Show the leaf's value without reporting an edit."""

    def show_units(self) -> None:
        """Units changed; the value follows through `show_value`."""

    def offer(self, choices: tuple[str, ...]) -> None:
        """Offer only ``choices``, for an editor that lets one choose."""

    def see(self, situation: Situation) -> None:
        """Look at the rest of the situation, for an editor that draws it."""

    def add_doubt(self, switch: QWidget, row: QWidget) -> None:
        """Place the switch that says that the value is not sure, and below everything what it opens."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            self._gesture = new_gesture()
        return super().eventFilter(watched, event)


class FoldingRow(QWidget):
    """Buttons in a row, or in two where the width does not do for one."""

    def __init__(self, buttons: tuple[QAbstractButton, ...]) -> None:
        super().__init__()
        self._buttons, self._columns = buttons, 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(2)
        for button in buttons:
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._fold(len(buttons))

    def _needs(self, columns: int) -> int:
        """The width of so many columns, in pixels."""
        wide = [max(b.minimumSizeHint().width() for b in self._buttons[k::columns]) for k in range(columns)]
        return sum(wide) + (columns - 1) * self._grid.spacing()

    def _fold(self, columns: int) -> None:
        if columns != self._columns:
            self._columns = columns
            for number, button in enumerate(self._buttons):
                self._grid.addWidget(button, number // columns, number % columns)

    def minimumSizeHint(self) -> QSize:
        return QSize(self._needs((len(self._buttons) + 1) // 2), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        count = len(self._buttons)
        self._fold(count if self._needs(count) <= event.size().width() else (count + 1) // 2)


class NumberEditor(Editor):
    """A title, the word for the value, a spin box with its unit, a reset, a slider, and presets in words."""

    def __init__(self, leaf: Leaf, measures: Measures, parent: QWidget | None = None) -> None:
        super().__init__(leaf, parent)
        self._measures, self._value = measures, 0.0
        unit = measures.of(leaf.field)
        self.title = QLabel()
        self.spin = SpinBox(leaf, unit)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.reset = QToolButton()
        self.title.setBuddy(self.spin)
        self.title.setWordWrap(True)
        self.reset.setText("↺")
        self.reset.setAutoRaise(True)
        calm(self.slider)
        for part in (self.spin, self.slider):
            part.installEventFilter(self)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setHorizontalSpacing(4)
        layout.setVerticalSpacing(0)
        layout.addWidget(self.title, 0, 0)
        layout.addWidget(self.spin, 0, 1)
        layout.addWidget(self.reset, 0, 2)
        layout.addWidget(self.slider, 1, 0, 1, 3)
        layout.setColumnStretch(0, 1)
        self._grid = layout
        self.presets: dict[str, QToolButton] = {}
        self._add_presets()
        policy = self.reset.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.reset.setSizePolicy(policy)
        self.show_units()
        self.spin.edited.connect(self._report)
        self.slider.sliderPressed.connect(self._start)
        self.slider.valueChanged.connect(self._on_slider)
        self.reset.clicked.connect(self._on_reset)

    def _add_presets(self) -> None:
        """A button for each value that golfers have a word for."""
        for word, si in labels.PRESETS.get(self.leaf.path, ()):
            button = self.presets[word] = QToolButton()
            button.setText(_(word))
            button.clicked.connect(lambda on=False, si=si: self._set(si))
        if self.presets:
            self._grid.addWidget(FoldingRow(tuple(self.presets.values())), 2, 0, 1, 3)

    def add_doubt(self, switch: QWidget, row: QWidget) -> None:
        self._grid.addWidget(self.slider, 1, 0)
        self._grid.addWidget(switch, 1, 1, 1, 2, Qt.AlignmentFlag.AlignRight)
        self._grid.addWidget(row, 3, 0, 1, 3)

    def show_units(self) -> None:
        unit = self._measures.of(self.leaf.field)
        self.spin.set_unit(unit)
        step, low, high = unit.step, self.spin.minimum(), self.spin.maximum()
        with QSignalBlocker(self.slider):
            self.slider.setRange(math.ceil(low / step - 1e-6), math.floor(high / step + 1e-6))
            self.slider.setPageStep(max(1, (self.slider.maximum() - self.slider.minimum()) // 10))
        low_text, high_text = unit.text(self.leaf.low or 0.0), unit.text(self.leaf.high or 0.0)
        title = title_of(self.leaf)
        between = _("From {low} to {high}.").format(low=low_text, high=high_text)
        about = f"{meaning_of(self.leaf)}\n{between}"
        name(self.spin, title, about)
        name(self.slider, _("{value}, slider").format(value=title), about)
        usual = labels.LOWEST_MEANS.get(self.leaf.path) or unit.text(self.leaf.default)
        name(
            self.reset, _("Reset {value}").format(value=title),
            _("Back to the usual value: {usual}.").format(usual=usual),
        )  # fmt: skip
        for word, si in labels.PRESETS.get(self.leaf.path, ()):
            name(self.presets[word], f"{title}: {_(word)}", f"{title} {unit.text(si)}.")
        self.title.setToolTip(about)
        self.show_value(self._value)

    def show_value(self, value: float) -> None:
        self._value = value
        self.spin.show_si(value)
        with QSignalBlocker(self.slider):
            self.slider.setValue(round(self.spin.unit.shown(value) / self.spin.unit.step))
        word = labels.SPOKEN.get(self.leaf.path)
        title = title_of(self.leaf)
        self.title.setText(f"{title}: {word(value)}" if word else title)
        self.reset.setVisible(value != self.leaf.default)

    def _start(self) -> None:
        self._gesture = new_gesture()

    def _on_slider(self, tick: int) -> None:
        self._report(self.spin.bounded(round(tick * self.spin.unit.step, 9)))

    def _on_reset(self) -> None:
        self._set(self.leaf.default)

    def _set(self, si: float) -> None:
        """Go to a value in one step of its own."""
        self._start()
        self._report(si)

    def _report(self, si: float) -> None:
        self.edited.emit(si, self._gesture)


class ChoiceEditor(Editor):
    """A title beside a drop-down list, or beside radio buttons where there are two choices."""

    def __init__(self, leaf: Leaf, parent: QWidget | None = None) -> None:
        super().__init__(leaf, parent)
        self.labels = labels.choice_labels(leaf.path, leaf.choices)
        title = QLabel(title_of(leaf))
        title.setToolTip(meaning_of(leaf))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        title.setWordWrap(True)
        layout.addWidget(title, 1)
        self.combo: QComboBox | None = None
        self._offered: tuple[str, ...] = ()
        self.buttons: dict[str, QRadioButton] = {}
        if len(leaf.choices) == 2:
            group = QButtonGroup(self)
            for choice, label in self.labels.items():
                button = QRadioButton(label)
                name(button, f"{title_of(leaf)}: {label}", meaning_of(leaf))
                button.clicked.connect(lambda on=False, choice=choice: self.edited.emit(choice, 0))
                group.addButton(button)
                layout.addWidget(button)
                self.buttons[choice] = button
        else:
            self.combo = combo = QComboBox()
            self.offer(leaf.choices)
            name(self.combo, title_of(leaf), meaning_of(leaf))
            calm(self.combo)
            title.setBuddy(self.combo)
            layout.addWidget(self.combo)
            combo.activated.connect(lambda place: self.edited.emit(combo.itemData(place), 0))

    def offer(self, choices: tuple[str, ...]) -> None:
        if self.combo is None or choices == self._offered:
            return
        self._offered = choices
        self.combo.clear()
        for choice in choices:
            self.combo.addItem(self.labels[choice], choice)

    def show_value(self, value: str) -> None:
        if self.combo is not None:
            if self.combo.findData(value) < 0:  # a file may hold what is not offered here
                self.combo.addItem(self.labels[value], value)
                self._offered = ()
            self.combo.setCurrentIndex(self.combo.findData(value))
        else:
            tick(self.buttons[value])


class FlagEditor(Editor):
    """One check box."""

    def __init__(self, leaf: Leaf, parent: QWidget | None = None) -> None:
        super().__init__(leaf, parent)
        self.box = QCheckBox(title_of(leaf))
        name(self.box, title_of(leaf), meaning_of(leaf))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.box)
        self.box.clicked.connect(lambda on: self.edited.emit(on, 0))

    def show_value(self, value: bool) -> None:
        self.box.setChecked(value)


class TextEditor(Editor):
    """One line, or several for a text that may hold line ends."""

    def __init__(self, leaf: Leaf, parent: QWidget | None = None) -> None:
        super().__init__(leaf, parent)
        self.line: QLineEdit | QPlainTextEdit
        most = leaf.field.meta.max_length or 1
        if most > 200:
            self.line = QPlainTextEdit()
            self.line.setTabChangesFocus(True)
            self.line.setFixedHeight(4 * self.fontMetrics().lineSpacing())
            self.line.textChanged.connect(self._on_text)
        else:
            self.line = QLineEdit()
            self.line.setMaxLength(most)
            self.line.textEdited.connect(self._on_text)
        self.line.installEventFilter(self)
        calm(self.line)
        name(self.line, title_of(leaf), meaning_of(leaf))
        title = QLabel(title_of(leaf))
        title.setBuddy(self.line)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(title)
        layout.addWidget(self.line)

    @property
    def text(self) -> str:
        return self.line.text() if isinstance(self.line, QLineEdit) else self.line.toPlainText()

    def show_value(self, value: str) -> None:
        if self.text == value:  # writing it anew would move the cursor under the typing hand
            return
        with QSignalBlocker(self.line):
            if isinstance(self.line, QLineEdit):
                self.line.setText(value)
                self.line.setCursorPosition(0)  # a long text is read from its beginning
            else:
                self.line.setPlainText(value)

    def _on_text(self) -> None:
        self.edited.emit(self.text, self._gesture)
