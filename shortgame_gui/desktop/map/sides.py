"""The choosers of one side of the map: which condition, from where to where, in how many steps."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QWidget,
)

from shortgame_gui import units
from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import MOST_STEPS, STEPS, Scale
from shortgame_gui.desktop.fields import calm, name
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.axes import MEANINGS, TITLES, shown, unit_of
from shortgame_gui.words.language import N_, _

WIDEST = 10_000.0
SURVEYED = N_("on a surveyed ground ball and hole stay where they are; choose another condition.")


def _can_change(situation: Situation, axis: str) -> bool:
    """Whether ``situation`` can have another value of ``axis``."""
    try:
        AXES[axis].put(situation, AXES[axis].usual(situation)[0])
    except FieldError:
        return False
    return True


class Side(QWidget):
    """One side; ``changed`` tells that another map is wanted."""

    changed = Signal()

    def __init__(self, side: str, usual: tuple[str, ...], measures: Measures) -> None:
        """``usual`` are conditions, of which the first stands that a situation can have otherwise."""
        super().__init__()
        self._measures, self._usual = measures, usual
        self._own_axis = False
        """Whether the player has chosen the condition."""
        self._ends = (0.0, 1.0)
        """The range in SI."""
        self._own_range = False
        """Whether the player has set the range; else it follows the situation."""
        self.axis_box, self.low, self.high = QComboBox(), QDoubleSpinBox(), QDoubleSpinBox()
        self.steps = QSpinBox()
        for code in AXES:
            self.axis_box.addItem(TITLES[code], code)
        self.axis_box.setCurrentIndex(self.axis_box.findData(usual[0]))
        self.steps.setRange(2, MOST_STEPS)
        self.steps.setValue(STEPS)
        for box in (self.low, self.high, self.steps):
            box.setKeyboardTracking(False)
        self.title, self.range = QLabel(side), QWidget()
        row = QHBoxLayout(self.range)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.low)
        row.addWidget(QLabel(_("to")))
        row.addWidget(self.high)
        row.addWidget(self.steps)
        row.addWidget(QLabel(_("steps")))
        row.addStretch(1)
        self._parts = QGridLayout(self)
        self._parts.setContentsMargins(0, 0, 0, 0)
        self._parts.addWidget(self.title, 0, 0)
        self._parts.addWidget(self.axis_box, 0, 1, Qt.AlignmentFlag.AlignLeft)
        self._parts.setColumnStretch(2, 1)
        self.fold(under=False)
        where = side.rstrip(":").lower()
        name(
            self.axis_box,
            _("Condition {side}").format(side=where),
            _("What changes {side}.").format(side=where),
        )
        name(
            self.low,
            _("From, {side}").format(side=where),
            _("Where the range {side} begins.").format(side=where),
        )
        name(
            self.high,
            _("To, {side}").format(side=where),
            _("Where the range {side} ends.").format(side=where),
        )
        name(
            self.steps,
            _("Steps, {side}").format(side=where),
            _("How many values {side} has.").format(side=where),
        )
        for part in (self.axis_box, self.low, self.high, self.steps):
            calm(part)
        self.axis_box.currentIndexChanged.connect(self._on_axis)
        self.low.valueChanged.connect(self._on_range)
        self.high.valueChanged.connect(self._on_range)
        self.steps.valueChanged.connect(self.changed)
        measures.changed.connect(self._show)

    @property
    def axis(self) -> str:
        return str(self.axis_box.currentData())

    @property
    def unfolded(self) -> int:
        """How wide it is in one row, in pixels."""
        parts = [self.title, self.axis_box] + ([] if AXES[self.axis].choices else [self.range])
        gaps = (len(parts) - 1) * self._parts.horizontalSpacing()
        return sum(part.sizeHint().width() for part in parts) + gaps

    def fold(self, *, under: bool) -> None:
        """Put the range under the condition, where one row has no room for both, or beside it."""
        if under:
            self._parts.addWidget(self.range, 1, 1, 1, 2)
        else:
            self._parts.addWidget(self.range, 0, 2)

    def follow(self, situation: Situation) -> None:
        """Take the usual condition and range for ``situation``, unless the player has set them."""
        if not self._own_axis:
            fits = (axis for axis in self._usual if _can_change(situation, axis))
            with QSignalBlocker(self.axis_box):
                self.axis_box.setCurrentIndex(self.axis_box.findData(next(fits, self._usual[0])))
        if not self._own_range and not AXES[self.axis].choices:
            self._ends = AXES[self.axis].usual(situation)
        self._show()

    def scale(self, situation: Situation) -> Scale:
        """The side as it is set; raises ValueError with a sentence."""
        axis = AXES[self.axis]
        if axis.choices:
            return Scale(self.axis, axis.choices)
        low, high = self._ends
        if not low < high:
            raise ValueError(_("{condition}: the range must go upwards.").format(condition=TITLES[self.axis]))
        for end in (low, high):
            try:
                axis.put(situation, end)
            except FieldError as error:
                problem = _(SURVEYED) if error.field == "survey" else f"{self._measures.problem(error)}."
                raise ValueError(f"{TITLES[self.axis]}: {problem}") from error
        return Scale(self.axis, axis.steps(low, high, self.steps.value()))

    def _show(self) -> None:
        numbers = not AXES[self.axis].choices
        self.range.setVisible(numbers)
        self.axis_box.setToolTip(MEANINGS[self.axis])
        if not numbers:
            return
        yards = self._measures.style.yards
        unit = unit_of(self.axis, yards)
        for box, end in zip((self.low, self.high), self._ends, strict=True):
            with QSignalBlocker(box):
                box.setDecimals(unit.decimals)
                box.setRange(-WIDEST, WIDEST)
                box.setSuffix(unit.suffix)
                box.setValue(shown(self.axis, end, yards))

    def _on_axis(self) -> None:
        self._own_axis, self._own_range = True, False
        self.changed.emit()

    def _on_range(self) -> None:
        unit = unit_of(self.axis, self._measures.style.yards)
        ends = [units.parse(f"{box.value()!r} {unit.key}", unit.quantity) for box in (self.low, self.high)]
        # What was not touched keeps its digits behind those that are seen.
        self._ends = (
            self._ends[0] if self.sender() is self.high else ends[0],
            self._ends[1] if self.sender() is self.low else ends[1],
        )
        self._own_range = True
        self.changed.emit()
