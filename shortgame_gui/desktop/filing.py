"""Opening and saving: dialogs, the question about unsaved changes, and what is wrong in words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.model.player import Player
from shortgame_gui.store.documents import DocumentError, holds_bag
from shortgame_gui.words.language import N_, _

FILTER = N_("Situation files (*.json);;All files (*)")
SUFFIX = ".json"


class Filing(QObject):
    """The file actions of one window. Every method says whether it went through."""

    failed = Signal(str)
    done = Signal(str)
    succeeded = Signal()
    """What failed before is of the past."""

    def __init__(self, session: Session, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window

    def ask_unsaved(self) -> QMessageBox.StandardButton:
        """What to do with changes that are in no file."""
        choice = QMessageBox.StandardButton
        return QMessageBox.question(
            self._window, _("Unsaved changes"),
            _("Save the changes to “{name}”?").format(name=self._session.situation.name),
            choice.Save | choice.Discard | choice.Cancel, choice.Save,
        )  # fmt: skip

    def may_leave(self) -> bool:
        """Whether the open document may go: nothing is unsaved, or it was saved, or it is given up."""
        if not self._session.unsaved:
            return True
        chosen = self.ask_unsaved()
        if chosen == QMessageBox.StandardButton.Save:
            return self.save()
        return chosen == QMessageBox.StandardButton.Discard

    def new(self) -> bool:
        player = Player(level=self._settings.level, hand=self._settings.hand)
        return self.may_leave() and self._try(lambda: self._session.begin_anew(player), "")

    def open(self, path: Path | None = None) -> bool:
        """Open ``path``, or the file that a dialog asks for; a bag file is used as `open_bag` does."""
        path = path or self._ask_open(_("Open situation"))
        if path is not None and holds_bag(path):
            return self.open_bag(path)
        if path is None or not self.may_leave():
            return False
        return self._try(lambda: self._session.open(path), path.name, path)

    def open_demo(self, name: str) -> bool:
        """Open a situation of the invented course."""
        return self.may_leave() and self._try(lambda: self._session.open_demo(name), name)

    def open_bag(self, path: Path | None = None) -> bool:
        path = path or self._ask_open(_("Open bag"))
        if path is None or not self._try(lambda: self._session.open_bag(path), path.name):
            return False
        self._settings.bag = path  # now, for a crash leaves no time for it
        return True

    def save(self) -> bool:
        """Save to the document's file, or to one that a dialog asks for."""
        return self.save_as(self._session.path)

    def save_as(self, path: Path | None = None) -> bool:
        path = path or self._ask_save()
        if path is None:
            return False
        if not self._try(lambda: self._session.save(path), path.name, path):
            return False
        self.done.emit(_("Saved as {file}.").format(file=path.name))
        return True

    def _try(self, act: Callable[[], None], name: str, remember: Path | None = None) -> bool:
        try:
            act()
        except DocumentError as error:
            self.failed.emit(f"{name}: {error}")
            return False
        if remember is not None:
            self._settings.remember(remember)
        self.succeeded.emit()
        return True

    def _folder(self) -> str:
        near = self._session.path or self._settings.last
        return str(near.parent) if near else ""

    def _ask_open(self, title: str) -> Path | None:
        name, _kind = QFileDialog.getOpenFileName(self._window, title, self._folder(), _(FILTER))
        return Path(name) if name else None

    def _ask_save(self) -> Path | None:
        start = self._session.path or Path(
            self._folder(), f"{file_name(self._session.situation.name)}{SUFFIX}"
        )
        name, _kind = QFileDialog.getSaveFileName(self._window, _("Save situation"), str(start), _(FILTER))
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_suffix(SUFFIX)


def file_name(title: str) -> str:
    """A file name made of a situation's title."""
    kept = "".join(c if c.isalnum() or c in " -_" else " " for c in title)
    return " ".join(kept.split()) or "situation"
