"""The settings on one page: what is shown, what new situations begin with, and what is remembered.

Every choice holds at once; there is nothing to confirm. Units and colours are those of the *View* menu: the
page triggers the same actions, so that the two never differ.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGroupBox,
    QLabel,
    QLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.desktop import labels
from shortgame_gui.desktop.fields import calm, name
from shortgame_gui.desktop.measures import SYSTEMS, Measures
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.theme import MODES
from shortgame_gui.model.player import LEVELS
from shortgame_gui.words.language import N_, Phrases, _

SIGNS = Phrases({"desktop": N_("As the desktop"), "point": N_("Point: 1.5"), "comma": N_("Comma: 1,5")})


class SettingsBox(QDialog):
    """Does not hold the window up; Escape closes it."""

    def __init__(
        self, settings: Settings, measures: Measures, actions: Mapping[str, QAction], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._settings, self._measures, self._actions = settings, measures, actions
        self._mirrors: list[QComboBox] = []
        self.setWindowTitle(_("Settings"))
        self.setProperty("help_page", "settings")
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self._shown())
        layout.addWidget(self._new())
        layout.addWidget(self._remembered())
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout.addWidget(buttons)
        self._on_actions()
        self.resize(self.sizeHint())

    def _shown(self) -> QGroupBox:
        self.units = self._of_actions(
            _("Lengths"), _("Yards and feet, or metres; green speed stays in feet of stimp."), SYSTEMS
        )
        self.colours = self._of_actions(_("Colours"), _("Light or dark ink, or as the desktop is."), MODES)
        self.sign = _choice(_("Decimal sign"), _("How numbers are written; either sign can be typed."), SIGNS)
        self.sign.setCurrentIndex(self.sign.findData(self._measures.decimal))
        self.sign.activated.connect(self._on_sign)
        return _group(
            _("Shown"), {_("Lengths"): self.units, _("Decimal sign"): self.sign, _("Colours"): self.colours}
        )

    def _new(self) -> QGroupBox:
        about = _("What a new situation begins with; the one that is open keeps its own.")
        self.level = _choice(_("Level"), about, {code: labels.CHOICES["level"][code] for code in LEVELS})
        self.hand = _choice(_("Hand"), about, labels.CHOICES["hand"])
        self.level.setCurrentIndex(self.level.findData(self._settings.level))
        self.hand.setCurrentIndex(self.hand.findData(self._settings.hand))
        self.level.activated.connect(self._on_new)
        self.hand.activated.connect(self._on_new)
        return _group(_("New situations"), {_("Level"): self.level, _("Hand"): self.hand})

    def _remembered(self) -> QGroupBox:
        self.files = QCheckBox(_("The files I opened, and which was last"))
        name(
            self.files, self.files.text(), _("For the list of recent files, and to open the last one again.")
        )
        self.layout_kept = QCheckBox(_("Size and layout of the window"))
        name(self.layout_kept, self.layout_kept.text(), _("Its place, what is open, and how it is divided."))
        self.files.setChecked(self._settings.keeps_files)
        self.layout_kept.setChecked(self._settings.keeps_layout)
        self.files.clicked.connect(lambda on: setattr(self._settings, "keeps_files", on))
        self.layout_kept.clicked.connect(lambda on: setattr(self._settings, "keeps_layout", on))
        self.forget = QPushButton(_("Forget files and layout"))
        name(self.forget, self.forget.text(), _("Forget files and layout now; the files themselves stay."))
        self.said = QLabel()
        self.forget.clicked.connect(self._on_forget)
        return _group(
            _("Remembered"), {"": self.files, " ": self.layout_kept, "  ": self.forget, "   ": self.said}
        )

    def _of_actions(self, title: str, about: str, codes: tuple[str, ...]) -> QComboBox:
        """A list of actions of which one is always ticked."""
        combo = _choice(title, about, {code: self._actions[code].text().replace("&", "") for code in codes})
        self._mirrors.append(combo)
        for code in codes:
            self._actions[code].toggled.connect(self._on_actions)
        combo.activated.connect(lambda place: self._actions[combo.itemData(place)].trigger())
        return combo

    def _on_actions(self) -> None:
        """Show which actions are ticked, whoever ticked them."""
        for combo in self._mirrors:
            for place in range(combo.count()):
                if self._actions[combo.itemData(place)].isChecked():
                    combo.setCurrentIndex(place)

    def _on_sign(self, place: int) -> None:
        self._measures.write_with(self.sign.itemData(place))
        self._settings.decimal = self._measures.decimal

    def _on_new(self) -> None:
        self._settings.level = self.level.currentData()
        self._settings.hand = self.hand.currentData()

    def _on_forget(self) -> None:
        self._settings.forget()
        self.said.setText(_("Forgotten."))


def _choice(title: str, about: str, choices: Mapping[str, str]) -> QComboBox:
    combo = QComboBox()
    for code, text in choices.items():
        combo.addItem(text, code)
    name(combo, title, about)
    calm(combo)
    return combo


def _group(title: str, rows: Mapping[str, QWidget]) -> QGroupBox:
    made = QGroupBox(title)
    form = QFormLayout(made)
    for label, widget in rows.items():
        form.addRow(label.strip(), widget)
    return made
