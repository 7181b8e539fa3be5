"""Keeps what is unsaved in a file of the program's own, and offers it again after a crash.

Each running window writes a file of its own and holds a lock beside it; a file whose lock nobody holds was
left by one that did not end well. Writing happens on a thread, since it waits for the disk.
"""

from __future__ import annotations

import json
import logging
import threading
import uuid
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QDateTime, QLocale, QLockFile, QObject, QTimer

from shortgame_gui.desktop.filing import Filing
from shortgame_gui.desktop.notice import Notice
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.store import height_grid
from shortgame_gui.store.documents import DocumentError, plain, read_bag, read_situation
from shortgame_gui.store.files import backup_of, write_whole
from shortgame_gui.words.language import _

log = logging.getLogger(__name__)

EVERY = 1500
"""Milliseconds after the first edit that is not kept yet until it is."""
ENDING = ".unsaved"


@dataclass(frozen=True)
class Left:
    """What a crash left behind: the document, the file it belongs to, and when it was kept."""

    kept_in: Path
    document: Document
    path: Path | None
    when: datetime


class Recovery(QObject):
    """Watches one session; ``folder`` is made at the first writing."""

    def __init__(self, session: Session, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._folder = session, folder
        self.file = folder / f"{uuid.uuid4().hex}{ENDING}"
        self._lock: QLockFile | None = None
        self._held: dict[Path, QLockFile] = {}
        self._writing: threading.Thread | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(EVERY)
        self._pause.timeout.connect(self.keep)
        session.changed.connect(self._on_change)
        session.file_changed.connect(self._on_change)

    def keep(self) -> None:
        """Write what is unsaved, now; the thread that does it ends by itself."""
        self._pause.stop()
        if self._writing is not None and self._writing.is_alive():
            self._pause.start()
            return
        document, path = self._session.document, self._session.path
        if self._lock is None:
            with suppress(OSError):
                self._folder.mkdir(parents=True, exist_ok=True)
            self._lock = _lock(self.file)
        text = to_text(document, path)
        self._writing = threading.Thread(target=_write, args=(self.file, text), name="recovery", daemon=True)
        self._writing.start()

    def wait(self) -> None:
        """Until what was to be written is on the disk."""
        if self._writing is not None:
            self._writing.join()

    def close(self) -> None:
        """A clean end: nothing is left behind. Safe to call twice."""
        self._forget()
        for lock in self._held.values():
            lock.unlock()
        self._held.clear()

    def left(self) -> list[Left]:
        """What crashes left behind, newest first; files that cannot be read are taken away."""
        found = []
        for file in sorted(self._folder.glob(f"*{ENDING}")):
            if file == self.file:
                continue
            lock = self._held.get(file) or _lock(file)
            if lock is None:
                continue  # another window is at work on it
            self._held[file] = lock
            try:
                found.append(read(file))
            except (OSError, DocumentError) as error:
                log.info("nothing to recover in %s: %s", file.name, error)
                self.discard(file)
        return sorted(found, key=lambda one: one.when, reverse=True)

    def discard(self, kept_in: Path) -> None:
        """Take away what a crash left in ``kept_in``."""
        _remove(kept_in)
        lock = self._held.pop(kept_in, None)
        if lock is not None:
            lock.unlock()

    def _on_change(self) -> None:
        if not self._session.unsaved:
            self._forget()
        elif not self._pause.isActive():
            self._pause.start()

    def _forget(self) -> None:
        self._pause.stop()
        self.wait()
        if self._lock is not None:
            _remove(self.file)
            self._lock.unlock()
            self._lock = None


def to_text(document: Document, path: Path | None) -> str:
    """What the recovery file holds: the document, its height grid and bag, and the file it belongs to."""
    grid = document.situation.survey.grid
    return json.dumps(
        {
            "file": str(path) if path else None,
            "heights": height_grid.text_of(grid) if grid else None,
            "situation": plain(document.situation),
            "bag": plain(document.bag),
        },
        ensure_ascii=False,
    )


def read(file: Path) -> Left:
    """What ``file`` holds; raises OSError or DocumentError."""
    when = datetime.fromtimestamp(file.stat().st_mtime)
    try:
        tree = json.loads(file.read_text(encoding="utf-8"))
        path = Path(tree["file"]) if tree["file"] else None
        heights = (tree["heights"] or "").encode()
        situation = read_situation(json.dumps(tree["situation"]).encode(), beside=lambda name: heights)
        bag = read_bag(json.dumps(tree["bag"]).encode())
    except (ValueError, TypeError, KeyError) as error:
        raise DocumentError(f"is no recovery file: {error}") from error
    return Left(file, Document(situation, bag), path, when)


def _lock(file: Path) -> QLockFile | None:
    """The lock beside ``file``, held from now on; None where a living program holds it."""
    lock = QLockFile(str(file.with_suffix(".lock")))
    lock.setStaleLockTime(0)  # only a program that is no more loses its lock, however long it runs
    return lock if lock.tryLock(0) else None


def _write(file: Path, text: str) -> None:
    try:
        write_whole(file, text.encode())
    except OSError as error:
        log.info("unsaved changes could not be kept: %s", error)


def _remove(file: Path) -> None:
    for one in (file, backup_of(file)):
        with suppress(OSError):
            one.unlink(missing_ok=True)


class Offer:
    """Offers what crashes left behind, one after the other, in a line that waits."""

    def __init__(self, recovery: Recovery, session: Session, filing: Filing, line: Notice) -> None:
        self._recovery, self._session, self._filing, self._line = recovery, session, filing, line

    def show(self) -> None:
        """Ask about the newest that was left, if any."""
        left = self._recovery.left()
        if not left:
            self._line.hide()
            return
        one = left[0]
        moment = QDateTime.fromSecsSinceEpoch(int(one.when.timestamp()))
        when = QLocale().toString(moment, QLocale.FormatType.ShortFormat)
        self._line.ask(
            _("The program ended without saving “{name}” ({when}).").format(
                name=one.document.situation.name, when=when
            ),
            {
                _("Restore"): (_("Go on with it as it was."), lambda: self._restore(one)),
                _("Discard"): (_("Throw it away for good."), lambda: self._discard(one)),
            },
        )

    def _restore(self, one: Left) -> None:
        if self._filing.may_leave():
            self._session.restore(one.document, one.path)
            self._recovery.keep()
            self._recovery.wait()  # before the only other copy goes
            self._recovery.discard(one.kept_in)
        self.show()

    def _discard(self, one: Left) -> None:
        self._recovery.discard(one.kept_in)
        self.show()
