"""The situation panel: every value that the advice reads, in groups, made by walking the model's leaves."""

from __future__ import annotations

from functools import partial
from typing import Any

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from shortgame_gui.desktop import labels
from shortgame_gui.desktop.doubts import DoubtEditor
from shortgame_gui.desktop.fields import ChoiceEditor, Editor, FlagEditor, NumberEditor, TextEditor, describe
from shortgame_gui.desktop.help import about
from shortgame_gui.desktop.lie_editor import LieEditor
from shortgame_gui.desktop.lists import FRESH, ListEditor
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.fields import Field, fields_of
from shortgame_gui.model.leaves import Leaf, get, leaves
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import _

NOT_SHOWN = {"version": "says how the file is written and is no part of the situation"} | {
    leaf.path: "a height grid is read, and placed, with the situation's file; the views show it"
    for leaf in leaves(Situation)
    if leaf.path.startswith("survey.")
}
"""Leaves without a widget, each with the reason."""


TECHNIQUES = "player.techniques."
"""How the leaves begin that say which ways of playing the player owns."""


class Section(QWidget):
    """A heading that opens and closes what stands under it."""

    toggled = Signal(bool)

    def __init__(self, title: str, is_open: bool) -> None:
        super().__init__()
        self.heading = QToolButton()
        self.heading.setText(title)
        self.heading.setCheckable(True)
        self.heading.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.heading.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.heading.setAccessibleName(_("{group}, group").format(group=title))
        self.heading.setToolTip(_("Show or hide the group {group}.").format(group=title))
        font = self.heading.font()
        font.setBold(True)
        self.heading.setFont(font)
        self.body = QWidget()
        self.rows = QVBoxLayout(self.body)
        self.rows.setContentsMargins(8, 4, 4, 8)
        self.rows.setSpacing(6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.heading)
        layout.addWidget(self.body)
        self.heading.toggled.connect(self._on_toggle)
        self.heading.setChecked(is_open)
        self._on_toggle(is_open)

    @property
    def is_open(self) -> bool:
        return self.heading.isChecked()

    def _on_toggle(self, is_open: bool) -> None:
        self.heading.setArrowType(Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow)
        self.body.setVisible(is_open)
        self.toggled.emit(is_open)


class SituationPanel(QScrollArea):
    """Editors for the whole situation; what is edited goes to the session as a command."""

    def __init__(
        self, session: Session, measures: Measures, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._measures, self._theme = session, measures, theme
        self.editors: dict[str, Editor] = {}
        self.lists: dict[str, ListEditor] = {}
        self.sections: dict[str, Section] = {}
        self._shown: dict[str, Any] = {}
        """What each editor was given last: most edits change one or two of some forty."""
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        describe(
            self, _("Situation"), _("Everything that the advice depends on, in groups that open and close.")
        )
        inner = QWidget()
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(6, 6, 6, 6)
        self._column.setSpacing(2)
        self._build()
        self._column.addStretch(1)
        self.setWidget(inner)
        session.changed.connect(self.show_situation)
        session.refused.connect(self.show_again)
        measures.changed.connect(self._on_units)
        self.show_situation()

    def _build(self) -> None:
        all_leaves = leaves(Situation)
        for code, (title, parts) in labels.GROUPS.items():
            section = self.sections[code] = Section(_(title), code in labels.OPEN_AT_FIRST)
            about(section, labels.PAGES.get(code, code), labels.FIGURES.get(code, ""), _(title))
            for part in parts:
                for leaf in all_leaves:
                    if leaf.path.split(".")[0] == part and leaf.path not in NOT_SHOWN:
                        self._place(leaf, all_leaves, section)
            self._column.addWidget(section)

    def _place(self, leaf: Leaf, all_leaves: list[Leaf], section: Section) -> None:
        if not leaf.in_list:
            first = not any(path.startswith(TECHNIQUES) for path in self.editors)
            if first and leaf.path.startswith(TECHNIQUES):
                heading = QLabel(_("Techniques: do you play them?"))
                heading.setToolTip(_(_field_at(TECHNIQUES[:-1]).meta.description or ""))
                section.rows.addSpacing(4)
                section.rows.addWidget(heading)
            editor = editor_of(leaf, self._measures, self._theme)
            self._listen(editor)
            section.rows.addWidget(editor)
            if leaf.path in labels.DOUBTS:
                self._place_doubt(editor, all_leaves)
            return
        path = leaf.path.split("[]")[0]
        if path in self.lists:
            return
        called, fresh, changed = FRESH[path]
        of_list = [other for other in all_leaves if other.path.startswith(f"{path}[].")]
        lister = ListEditor(_field_at(path), of_list, _(called), self._measures, fresh, changed)
        lister.edited.connect(partial(self._on_edit, path, _(_field_at(path).meta.title or path)))
        self.lists[path] = lister
        section.rows.addWidget(lister)

    def _place_doubt(self, editor: Editor, all_leaves: list[Leaf]) -> None:
        """The switch beside ``editor`` that says that its value is not sure, and the row that it opens."""
        path, usual = labels.DOUBTS[editor.leaf.path]
        leaf = next(leaf for leaf in all_leaves if leaf.path == path)
        doubt = DoubtEditor(leaf, labels.title_of(editor.leaf), usual, self._measures)
        editor.add_doubt(doubt.switch, doubt)
        self._listen(doubt)

    def _listen(self, editor: Editor) -> None:
        leaf = editor.leaf
        editor.edited.connect(partial(self._on_edit, leaf.path, labels.title_of(leaf)))
        self.editors[leaf.path] = editor
        editor.setProperty("help_rows", labels.figures_of(leaf.path))
        editor.setProperty("help_name", labels.title_of(leaf))

    def focus_first(self) -> None:
        """Put the keyboard on the first heading."""
        next(iter(self.sections.values())).heading.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_situation(self) -> None:
        """Show the session's situation in every editor, and hide what does not apply."""
        situation = self._session.situation
        for path, editor in self.editors.items():
            offered = labels.OFFERED.get(path)
            if offered is not None:
                editor.offer(offered(situation))
            editor.see(situation)
            value = get(situation, path)
            if offered is not None or (path not in self._shown or self._shown[path] != value):
                self._shown[path] = value
                editor.show_value(value)
            applies = labels.APPLIES.get(path)
            if applies is not None:
                editor.setVisible(applies(situation))
        for path, lister in self.lists.items():
            lister.show_entries(get(situation, path), situation)

    def show_again(self) -> None:
        """Show every value, also where an editor was left with one that was refused."""
        self._shown.clear()
        self.show_situation()

    def _on_units(self) -> None:
        for editor in self.editors.values():
            editor.show_units()
        for lister in self.lists.values():
            lister.show_units()

    def _on_edit(self, path: str, title: str, value: Any, gesture: int) -> None:
        self._shown.pop(path, None)  # the session may have made another value of it
        self._session.edit(path, value, title, gesture or None)


def _field_at(path: str) -> Field:
    """The field of the situation at ``path``; raises StopIteration where there is none."""
    struct: Any = Situation
    *groups, last = path.split(".")
    for group in groups:
        struct = next(f.struct for f in fields_of(struct) if f.name == group)
    return next(f for f in fields_of(struct) if f.name == last)


def editor_of(leaf: Leaf, measures: Measures, theme: Theme) -> Editor:
    """The editor for a leaf that is not in a list; raises TypeError where none fits."""
    if leaf.path in labels.PICTURED:
        return LieEditor(leaf, theme)
    if leaf.kind == "number" and leaf.default is not msgspec.NODEFAULT:
        return NumberEditor(leaf, measures)
    if leaf.kind == "choice":
        return ChoiceEditor(leaf)
    if leaf.kind == "flag":
        return FlagEditor(leaf)
    if leaf.kind == "text":
        return TextEditor(leaf)
    raise TypeError(f"no editor fits {leaf.path!r}")
