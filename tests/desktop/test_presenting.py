"""Presenting to a group: every key of a remote does its work, and nothing is left behind."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from shortgame_gui import assets
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.side_by_side.board import Board, Setting
from shortgame_gui.desktop.side_by_side.deck import Deck, deck_of
from shortgame_gui.desktop.side_by_side.presenting import Presenting
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag, write_bag, write_situation

PICKS = (("sand wedge", "chip"), ("7-iron", "chip"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Four situations of rising distance, one from sand, a bag, and a file that is nothing."""
    for number, front in enumerate((4.0, 8.0, 12.0), start=1):
        made = put_all(Situation(name=f"Green at {front:g}"), {"green.front": front, "hole.distance": 20.0})
        write_situation(tmp_path / f"{number}.json", made)
    sand = put_all(Situation(name="From sand"), {"lie.ground": "sand", "lie.sits": "clean"})
    write_situation(tmp_path / "9.json", sand)
    write_bag(tmp_path / "5-bag.json", packaged_bag())
    (tmp_path / "6-torn.json").write_text("{")
    return tmp_path


@pytest.fixture
def session(qtbot: QtBot, folder: Path) -> Session:
    made = Session(Document(Situation(), packaged_bag()))
    made.open(folder / "2.json")
    return made


@pytest.fixture
def shown(qtbot: QtBot, session: Session) -> Iterator[Presenting]:
    board = Board(Setting(session.situation, session.bag, PICKS))
    made = Presenting(board, deck_of(session), Theme("light"), Measures("metres"))
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(made)
    made.begin(made.screen())
    assert made.board.wait()
    yield made
    made.board.sleep()


def press(shown: Presenting, key: Qt.Key) -> None:
    QTest.keyClick(shown, key)
    assert shown.board.wait()


def test_it_fills_the_screen_with_large_letters(shown: Presenting) -> None:
    assert shown.isFullScreen() and shown.size() == shown.screen().size()
    assert shown.title.text() == "Green at 8" and shown.held.text() == "All land 9.0 m away."
    assert "the 7-iron" in shown.heading.text() and shown.text.toPlainText()
    assert shown.bars.font().pixelSize() > 15 and shown.title.font().pixelSize() > 20
    assert shown.text.verticalScrollBar().maximum() == 0, "the whole paragraph can be read"
    shown.resize(1600, 1200)
    assert shown.bars.font().pixelSize() > 25 and shown.text.verticalScrollBar().maximum() == 0


def test_a_remote_leafs_through_the_folder(shown: Presenting, session: Session) -> None:
    assert shown.place.text() == "2 of 6"
    press(shown, Qt.Key.Key_PageDown)
    assert shown.title.text() == "Green at 12" and shown.held.text() == "All land 13.0 m away."
    assert [shot.key for shot in shown.board.shots] == list(PICKS)
    # A bag and a torn file lie between: they are passed over.
    press(shown, Qt.Key.Key_PageDown)
    assert shown.title.text() == "From sand" and shown.place.text() == "6 of 6"
    assert {shot.refused for shot in shown.board.shots} == {None}
    press(shown, Qt.Key.Key_PageDown)
    assert shown.title.text() == "From sand", "there is nothing behind the last"
    for _ in range(9):
        press(shown, Qt.Key.Key_PageUp)
    assert shown.title.text() == "Green at 4" and shown.place.text() == "1 of 6"
    assert [shot.key for shot in shown.board.shots] == list(PICKS)
    assert session.situation.name == "Green at 8" and not session.unsaved


def test_the_space_bar_lets_all_balls_leave(shown: Presenting) -> None:
    press(shown, Qt.Key.Key_Space)
    assert shown.picture.playback.playing and len(shown.picture.balls.all) == 2
    press(shown, Qt.Key.Key_PageDown)
    assert not shown.picture.playback.playing


def test_escape_comes_back(shown: Presenting, qtbot: QtBot) -> None:
    with qtbot.waitSignal(shown.ended):
        QTest.keyClick(shown, Qt.Key.Key_Escape)
    assert not shown.isVisible()


def test_without_a_file_the_demo_is_leafed_through(qapp: object) -> None:
    session = Session(Document(Situation(), packaged_bag()))
    names = [name for name in assets.demo_files(".json") if name.startswith("situations/")]
    fresh = deck_of(session)
    assert fresh.place == (1, len(names) + 1), "what is in no file comes first"
    session.open_demo(names[2])
    session.edit("green.speed", 4.0, "Green speed")
    deck = deck_of(session)
    assert deck.place == (3, len(names))
    before, again = deck.turn(-1), deck.turn(1)
    assert before is not None and again is session.situation, "as it is now, not as it was in the demo"
    assert Deck([], 0).turn(1) is None
