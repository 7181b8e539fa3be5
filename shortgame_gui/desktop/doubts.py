"""The *not sure* switch of a value that can be doubted, and the spread that it opens."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel

from shortgame_gui.desktop.fields import Editor, SpinBox, name
from shortgame_gui.desktop.labels import meaning_of, title_of
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.model.leaves import Leaf
from shortgame_gui.words.language import _


class DoubtEditor(Editor):
    """How far off a value may be: nothing while the switch is off, else a spread either way.

    The switch stands beside the value itself: whoever shows that one places `switch` and, below, this row.
    """

    def __init__(self, leaf: Leaf, of: str, usual: float, measures: Measures) -> None:
        super().__init__(leaf)
        self._measures, self._usual, self._value = measures, usual, 0.0
        self.switch = QCheckBox(_("Not sure"))
        name(
            self.switch, _("Not sure: {value}").format(value=of),
            f"{meaning_of(leaf)} {_('The advice is then for any of the values that this may be.')}",
        )  # fmt: skip
        self.spin = SpinBox(leaf, measures.of(leaf.field))
        self.spin.setPrefix("± ")
        self.spin.installEventFilter(self)
        title = QLabel(_("give or take"))
        title.setBuddy(self.spin)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addStretch(1)
        layout.addWidget(title)
        layout.addWidget(self.spin)
        self.show_units()
        self.setVisible(False)
        self.switch.clicked.connect(self._on_switch)
        self.spin.edited.connect(lambda si: self.edited.emit(si, self._gesture))

    def show_units(self) -> None:
        unit = self._measures.of(self.leaf.field)
        self.spin.set_unit(unit)
        within = _("About two times in three the truth lies within this.")
        most = _("Up to {most}.").format(most=unit.text(self.leaf.high or 0.0))
        name(self.spin, title_of(self.leaf), f"{meaning_of(self.leaf)} {within}\n{most}")
        self.show_value(self._value)

    def show_value(self, value: float) -> None:
        self._value = value
        self.spin.show_si(value)
        with QSignalBlocker(self.switch):
            self.switch.setChecked(value > 0.0)
        self.setVisible(value > 0.0)

    def _on_switch(self, on: bool) -> None:
        self.edited.emit(self._usual if on else 0.0, 0)
