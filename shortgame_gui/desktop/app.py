"""Starts Qt and the window, and draws the window into a picture.

Order of a start: environment, QApplication with style and theme, window on a document, first paint. The
engine is imported on the worker's thread, when it asks for the first advice.
"""

from __future__ import annotations

import gc
import os
import sys
from gettext import GNUTranslations
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QLibraryInfo, QLocale, QTranslator
from PySide6.QtWidgets import QApplication

from shortgame_gui.desktop.engine import Engine
from shortgame_gui.desktop.style import style_for
from shortgame_gui.store.documents import DocumentError
from shortgame_gui.words import language
from shortgame_gui.words.language import _

if TYPE_CHECKING:
    from shortgame_gui.desktop.main_window import MainWindow
    from shortgame_gui.desktop.settings import Settings
    from shortgame_gui.desktop.theme import Mode
    from shortgame_gui.model.club import Bag
    from shortgame_gui.model.situation import Situation

SWITCH = 0.0005
"""Seconds after which the worker hands the interpreter to the window; Python's own is ten times longer."""
PICTURE_PATIENCE = 120_000
"""Milliseconds that a picture waits for the advice."""


def application() -> QApplication:
    """The one QApplication, made at the first call with the program's name and style."""
    made = QApplication.instance()
    if not isinstance(made, QApplication):
        made = QApplication(sys.argv[:1])
    made.setOrganizationName("shortgame")
    made.setApplicationName("shortgame")
    made.setApplicationDisplayName("")
    made.setStyle(style_for(made.font()))  # on every desktop, so that our palette is followed
    sys.setswitchinterval(SWITCH)
    return made


def speak_as_desktop(running: QApplication) -> None:
    """Speak the desktop's language where the environment names none, and have Qt say its own words in it."""
    codes = language.wanted(os.environ)
    if not codes:
        codes = [code.replace("-", "_") for code in QLocale.system().uiLanguages()]
    words = language.catalogue(codes)
    language.speak(words)
    if not isinstance(words, GNUTranslations):
        return  # half in English would be worse
    own, folder = QTranslator(running), QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if any(own.load(f"qtbase_{code}", folder) for code in codes):
        running.installTranslator(own)


def tell_errors(window: MainWindow) -> None:
    """Have an error that nobody caught told in the window as well; it is printed as before."""
    printed = sys.excepthook

    def told(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        printed(kind, error, trace)
        window.notice.tell(
            _(
                "Something went wrong in the program ({error}). "
                "Save the situation under another name and start again."
            ).format(error=f"{kind.__name__}: {error}")
        )

    sys.excepthook = told


def make_window(settings: Settings, mode: Mode, engine: Engine | None = None) -> MainWindow:
    """The window, not yet shown and without a document; it closes ``engine`` at its end."""
    from shortgame_gui.desktop.main_window import MainWindow
    from shortgame_gui.desktop.theme import Theme

    return MainWindow(settings, Theme(mode, QApplication.instance()), engine=engine)


def settle() -> None:
    """Have the collector of cycles leave alone what is there for good: a look at all of it takes 50 ms."""
    gc.freeze()


def open_window(path: Path | None) -> int:
    """Open the window on ``path``, or on what was open last, and run it; returns the exit status.

    Raises DocumentError when ``path`` cannot be read.
    """
    from shortgame_gui.desktop.settings import Settings

    engine = Engine()
    engine.start()  # it warms up while the window is made
    running = application()
    speak_as_desktop(running)
    settings = Settings()
    window = make_window(settings, settings.theme, engine)
    try:
        window.begin(path)
    except DocumentError:
        window.end_work()
        raise
    before = sys.excepthook
    tell_errors(window)
    window.offer_recovery()
    window.show()
    settle()
    try:
        return running.exec()
    finally:
        sys.excepthook = before


def picture(
    situation: Situation, bag: Bag, out: Path, size: tuple[int, int], theme: Mode, *, yards: bool
) -> None:
    """Draw the window on ``situation`` with ``bag`` and its advice into the picture file ``out``.

    ``size`` is width and height in pixels. Needs no display. Raises DocumentError when ``out`` cannot be
    written, or the advice is not there in time.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from shortgame_gui.desktop.session import Document
    from shortgame_gui.desktop.settings import Settings

    application()
    window = make_window(Settings(), theme)
    try:
        window.measures.switch("yards" if yards else "metres")
        window.begin_with(Document(situation, bag))
        window.resize(*size)
        window.show()
        if not window.advisor.runner.wait_until_idle(PICTURE_PATIENCE) or not window.session.current:
            raise DocumentError("the advice could not be worked out, so there is nothing to draw")
        QApplication.processEvents()
        window.shot.turns.finish()
        QApplication.processEvents()  # the answer may have taken another row, and the views made room for it
        if not window.grab().save(str(out)):
            raise DocumentError(f"--out: {out.name} cannot be written as a picture")
    finally:
        window.end_work()
        window.deleteLater()
