"""What is unsaved survives a crash, is offered at the next start, and is gone after a clean end."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace as with_field
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop import app, recovery
from shortgame_gui.desktop.main_window import MainWindow, bring_on_screen
from shortgame_gui.desktop.recovery import Recovery, read, to_text
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.settings import Settings, data_folder
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag, read_demo, read_situation, write_situation

FEW = with_field(packaged_bag(), clubs=packaged_bag().clubs[:3])

CRASH = """
import sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from shortgame_gui.desktop.recovery import Recovery
from shortgame_gui.desktop.session import Session
application = QCoreApplication([])
session = Session()
session.open(Path(sys.argv[2]))
kept = Recovery(session, Path(sys.argv[1]))
session.edit("green.wet", True, "Wet green")
kept.keep()
kept.wait()
print("kept", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def folder(qapp: Any) -> Path:
    app.application()
    return data_folder() / "unsaved"


@pytest.fixture
def window(folder: Path, made_advice: Advice) -> Iterator[MainWindow]:
    settings = Settings()
    made = MainWindow(
        settings, Theme(settings.theme),
        lambda document: lambda progress, cancelled: replace(made_advice, situation=document.situation),
    )  # fmt: skip
    made.begin(None)
    made.show()
    assert made.advisor.runner.wait_until_idle()
    yield made
    made.recovery.close()
    made.advisor.close()
    made.hide()
    made.deleteLater()


def leave(folder: Path, name: str, situation: Situation, age: float = 0.0, path: Path | None = None) -> Path:
    """A file as a crash leaves it behind, ``age`` seconds ago."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{name}.unsaved"
    file.write_text(to_text(Document(situation, FEW), path), encoding="utf-8")
    then = file.stat().st_mtime - age
    os.utime(file, (then, then))
    return file


def test_a_killed_program_leaves_its_edits(folder: Path, tmp_path: Path) -> None:
    """The real thing: a process that is killed, and the next one that finds what it left."""
    file = tmp_path / "mine.json"
    write_situation(file, Situation(name="Mine"))
    command = [sys.executable, "-c", CRASH, str(folder), str(file)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "kept\n"
        assert Recovery(Session(), folder).left() == []  # it still lives
        program.kill()
    next_one = Recovery(Session(), folder)
    (left,) = next_one.left()
    assert left.path == file
    assert left.document.situation == Situation(name="Mine", green=with_field(Situation().green, wet=True))
    assert not read_situation(file).green.wet
    next_one.close()


def test_a_height_grid_is_kept_with_the_edits(folder: Path) -> None:
    demo = read_demo("situations/14-surveyed-green.json")
    assert read(leave(folder, "surveyed", demo)).document.situation == demo


def test_unsaved_edits_are_kept_after_a_moment_and_gone_when_saved(
    folder: Path, tmp_path: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recovery, "EVERY", 1)
    session = Session()
    kept = Recovery(session, folder)
    assert not folder.exists()
    session.edit("green.wet", True, "Wet green")
    qtbot.waitUntil(kept.file.exists)
    kept.wait()
    assert read(kept.file).document == session.document
    other = Recovery(Session(), folder)
    assert other.left() == []  # it is the file of one that lives
    session.save(tmp_path / "saved.json")
    assert not kept.file.exists()
    session.edit("green.wet", False, "Wet green")
    kept.keep()
    kept.wait()
    session.undo_stack.undo()
    assert not kept.file.exists()
    session.edit("green.wet", False, "Wet green")
    kept.keep()
    kept.close()
    kept.close()
    assert list(folder.iterdir()) == []


def test_restore_brings_document_bag_and_file_back_as_unsaved(
    window: MainWindow, folder: Path, tmp_path: Path, qtbot: Any
) -> None:
    file = leave(folder, "a", Situation(name="Lost"), path=tmp_path / "lost.json")
    window.offer_recovery()
    assert window.offer.isVisible() and window.isEnabled()
    assert "“Lost”" in window.offer.label.text()
    qtbot.mouseClick(window.offer.answers["Restore"], Qt.MouseButton.LeftButton)
    assert window.session.document == Document(Situation(name="Lost"), FEW)
    assert window.session.path == tmp_path / "lost.json"
    assert window.isWindowModified()
    assert not file.exists()
    assert read(window.recovery.file).document.situation.name == "Lost"  # kept again, should this one crash
    assert not window.offer.isVisible()
    window.session.save(tmp_path / "lost.json")
    assert not window.isWindowModified()
    assert window.advisor.runner.wait_until_idle()


def test_the_newest_is_offered_first_and_discard_is_for_good(
    window: MainWindow, folder: Path, qtbot: Any
) -> None:
    old = leave(folder, "a", Situation(name="Old"), age=500.0)
    new = leave(folder, "b", Situation(name="New"), age=5.0)
    (folder / "c.unsaved").write_text("{}", encoding="utf-8")
    (folder / "d.unsaved").write_text('{"file": null, "situation": {"hole": 3}, "bag": {}}', encoding="utf-8")
    window.offer_recovery()
    assert not (folder / "c.unsaved").exists() and not (folder / "d.unsaved").exists()
    assert "“New”" in window.offer.label.text()
    before = window.session.document
    qtbot.mouseClick(window.offer.answers["Discard"], Qt.MouseButton.LeftButton)
    assert not new.exists()
    assert "“Old”" in window.offer.label.text() and window.offer.isVisible()
    qtbot.mouseClick(window.offer.dismiss, Qt.MouseButton.LeftButton)
    assert not window.offer.isVisible()
    assert old.exists()  # put away is not discarded: it is offered at the next start
    assert window.session.document is before


def test_restore_asks_for_what_is_unsaved_now(
    window: MainWindow, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    leave(folder, "a", Situation(name="Lost"))
    window.offer_recovery()
    window.session.edit("green.wet", True, "Wet green")
    before = window.session.document
    monkeypatch.setattr(QMessageBox, "question", lambda *args: QMessageBox.StandardButton.Cancel)
    window.offer.answers["Restore"].click()
    assert window.session.document is before
    assert window.offer.isVisible()
    assert window.advisor.runner.wait_until_idle()


def test_a_clean_end_leaves_nothing(
    window: MainWindow, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.session.edit("green.wet", True, "Wet green")
    window.recovery.keep()
    window.recovery.wait()
    assert json.loads(window.recovery.file.read_text(encoding="utf-8"))["situation"]["green"]["wet"] is True
    monkeypatch.setattr(QMessageBox, "question", lambda *args: QMessageBox.StandardButton.Discard)
    assert window.close()
    assert list(folder.iterdir()) == []


def test_a_disk_that_is_full_is_no_error(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*args: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(recovery, "write_whole", full)
    session = Session()
    kept = Recovery(session, folder)
    session.edit("green.wet", True, "Wet green")
    kept.keep()
    kept.wait()
    assert not kept.file.exists()
    kept.close()


def test_a_window_of_a_screen_that_is_gone_comes_back(qtbot: Any) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.setGeometry(QRect(9000, 9000, 5000, 400))
    bring_on_screen(window)
    room = QGuiApplication.primaryScreen().availableGeometry()
    assert room.contains(window.geometry().topLeft())
    assert window.width() <= room.width()
    inside = QRect(20, 30, 300, 200)
    window.setGeometry(inside)
    bring_on_screen(window)
    assert window.geometry() == inside
    QApplication.processEvents()
