"""The window as a whole: the answer can be read, files come and go safely, every action does its work."""

import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace as replace_struct
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from shortgame_gui.advice.result import Advice, Escape, SetUp
from shortgame_gui.desktop import app
from shortgame_gui.desktop.actions import ENTRIES, IN_PARTS, keys_text
from shortgame_gui.desktop.main_window import MainWindow, demo_title
from shortgame_gui.desktop.session import Document
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.shot.details import Details
from shortgame_gui.desktop.shot.explain import WaysOut
from shortgame_gui.desktop.shot.ranked_columns import USUAL
from shortgame_gui.desktop.text_box import TextBox
from shortgame_gui.desktop.theme import DARK, LIGHT, Theme
from shortgame_gui.desktop.worker import Job
from shortgame_gui.model.club import UNNAMED
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import (
    DocumentError,
    packaged_bag,
    read_situation,
    write_bag,
    write_situation,
)

Make = Callable[..., MainWindow]


@pytest.fixture
def make(qapp: QApplication, made_advice: Advice, end_window: Callable[[MainWindow], None]) -> Iterator[Make]:
    """Makes windows, with an engine that answers at once unless another is given; ends them all."""
    app.application()
    made: list[MainWindow] = []

    def quick(document: Document) -> Job:
        return lambda progress, cancelled: replace(made_advice, situation=document.situation)

    def window(question: Any = quick) -> MainWindow:
        settings = Settings()
        new = MainWindow(settings, Theme(settings.theme), question)
        made.append(new)
        return new

    yield window
    for window in made:
        end_window(window)


@pytest.fixture
def window(make: Make) -> MainWindow:
    made = make()
    made.begin(None)
    made.resize(1280, 800)
    made.show()
    assert made.advisor.runner.wait_until_idle()
    return made


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> list[QMessageBox.StandardButton]:
    """What is answered, one by one, when the window asks about unsaved changes; anything else is an error."""
    planned: list[QMessageBox.StandardButton] = []
    monkeypatch.setattr(QMessageBox, "question", lambda *args: planned.pop(0))
    return planned


def press(window: MainWindow, code: str) -> None:
    window.actions_by_code[code].trigger()


def test_changing_the_lie_changes_the_answer(window: MainWindow, qtbot: Any) -> None:
    tile = window.panel.editors["lie.sits"].buttons["down"]  # type: ignore[attr-defined]
    with qtbot.waitSignal(window.advisor.settled):
        qtbot.mouseClick(tile, Qt.MouseButton.LeftButton)
        # The old answer stays, soft, until the new one is there.
        soft = window.shot.headline.shot.palette().windowText().color().name()
        assert soft == window.theme.colours.soft_text
        assert window.progress.isVisible()
        assert window.isWindowModified()
    assert window.session.advice is not None
    assert window.session.advice.situation.lie.sits == "down"
    assert window.shot.headline.shot.palette().windowText().color().name() == window.theme.colours.text
    assert not window.progress.isVisible()
    assert "5 shots" in window.state.text()


def test_undo_and_redo_name_what_they_do(window: MainWindow) -> None:
    undo, redo = window.actions_by_code["undo"], window.actions_by_code["redo"]
    assert not undo.isEnabled()
    window.session.edit("green.wet", True, "Wet green")
    assert undo.isEnabled()
    assert undo.text() == "&Undo Wet green"
    press(window, "undo")
    assert window.session.situation.green.wet is False
    assert redo.text() == "&Redo Wet green"
    press(window, "redo")
    assert window.session.situation.green.wet is True


def test_units_and_theme_are_switched_and_remembered(window: MainWindow) -> None:
    press(window, "metres")
    assert "\xa0m " in window.shot.headline.detail.text() + " "
    assert "yd" not in window.shot.headline.detail.text()
    press(window, "dark")
    assert window.theme.colours is DARK
    QApplication.processEvents()
    assert window.palette().window().color().name() == DARK.window
    assert (Settings().units, Settings().theme) == ("metres", "dark")
    press(window, "yards")
    press(window, "light")
    assert window.theme.colours is LIGHT
    assert "yd" in window.shot.headline.detail.text()
    press(window, "desktop")
    assert Settings().theme == "desktop"


def test_save_as_save_and_open(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answers: Any
) -> None:
    file = tmp_path / "mine.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(file.with_suffix("")), ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *args: (str(file), ""))
    press(window, "save")  # it has no file yet, so it asks for one
    assert read_situation(file) == window.session.situation
    window.session.edit("green.wet", True, "Wet green")
    press(window, "save")
    assert read_situation(file).green.wet
    assert not window.isWindowModified()
    press(window, "new")
    assert window.session.situation == Situation()
    press(window, "open")
    assert window.session.situation.green.wet
    assert window.session.path == file
    press(window, "save_as")
    assert Settings().recent == [file]
    assert [action.text() for action in window.recent_menu.actions()] == ["mine.json"]
    assert window.advisor.runner.wait_until_idle()


def test_unsaved_changes_are_asked_about(
    window: MainWindow, answers: list[QMessageBox.StandardButton], tmp_path: Path, monkeypatch: Any
) -> None:
    window.session.edit("green.wet", True, "Wet green")
    answers.append(QMessageBox.StandardButton.Cancel)
    assert not window.close()
    assert window.isVisible()
    answers.append(QMessageBox.StandardButton.Discard)
    window.demo_menu.actions()[1].trigger()
    assert not window.session.situation.green.wet
    assert not answers
    window.session.edit("green.wet", True, "Wet green")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(tmp_path / "kept.json"), ""))
    answers.append(QMessageBox.StandardButton.Save)
    assert window.close()
    assert read_situation(tmp_path / "kept.json").green.wet


def test_a_dialog_that_is_left_changes_nothing(window: MainWindow, monkeypatch: Any) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: ("", ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *args: ("", ""))
    before = window.session.document
    for code in ("save", "open", "open_bag"):
        press(window, code)
    assert window.session.document is before
    assert window.session.path is None


def test_a_bad_file_is_told_in_one_sentence(window: MainWindow, tmp_path: Path, qtbot: Any) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text('{"hole": {"distance": "far"}}', encoding="utf-8")
    before = window.session.document
    drop(window, bad)
    assert window.notice.isVisible()
    sentence = window.notice.label.text()
    assert sentence.startswith("bad.json: hole.distance")
    assert "\n" not in sentence
    assert window.session.document is before
    qtbot.mouseClick(window.notice.dismiss, Qt.MouseButton.LeftButton)
    assert not window.notice.isVisible()


def drop(window: MainWindow, file: Path) -> None:
    """Drag a file on to the window and let it go."""
    what = QMimeData()
    what.setUrls([QUrl.fromLocalFile(str(file))])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(50, 50), Qt.DropAction.CopyAction, what, left, none)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(50, 50), Qt.DropAction.CopyAction, what, left, none))


def test_a_file_is_dropped_on_the_window(window: MainWindow, tmp_path: Path) -> None:
    file = tmp_path / "dropped.json"
    write_situation(file, Situation(name="Dropped"))
    drop(window, file)
    assert window.session.situation.name == "Dropped"
    assert window.windowTitle().startswith("Dropped")
    assert window.advisor.runner.wait_until_idle()


def test_text_that_is_dropped_is_left_alone(window: MainWindow) -> None:
    what = QMimeData()
    what.setText("no file")
    enter = QDragEnterEvent(
        QPoint(50, 50),
        Qt.DropAction.CopyAction,
        what,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter.ignore()
    QApplication.sendEvent(window, enter)
    assert not enter.isAccepted()


def test_a_bag_is_opened(window: MainWindow, tmp_path: Path, monkeypatch: Any, qtbot: Any) -> None:
    few = type(packaged_bag())(name="two", clubs=packaged_bag().clubs[:2])
    write_bag(tmp_path / "two.json", few)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *args: (str(tmp_path / "two.json"), ""))
    with qtbot.waitSignal(window.advisor.settled):
        press(window, "open_bag")
    assert window.session.bag == few


FEW = replace_struct(packaged_bag(), name="Mine", clubs=packaged_bag().clubs[:2])


def test_a_bag_that_is_dropped_is_used_and_named(window: MainWindow, tmp_path: Path) -> None:
    write_bag(tmp_path / "two.json", FEW)
    window.session.edit("green.firmness", 120.0, "Firmness")  # nobody is asked about it: it stays open
    drop(window, tmp_path / "two.json")
    assert window.session.bag == FEW and window.session.situation.green.firmness == 120.0
    assert window.clubs.text() == "Bag: Mine" and window.notice.isHidden()
    assert window.clubs.toolTip().splitlines()[0].startswith(f"{FEW.clubs[0].name}: ")
    press(window, "undo")
    assert window.session.bag == packaged_bag() and window.clubs.text() == ""


def test_a_bag_that_its_file_does_not_name_is_called_as_the_file(window: MainWindow, tmp_path: Path) -> None:
    write_bag(tmp_path / "winter.json", replace_struct(FEW, name=UNNAMED))
    drop(window, tmp_path / "winter.json")
    assert window.clubs.text() == "Bag: winter"


def test_the_bag_is_that_of_last_time_until_it_is_put_away_or_lost(make: Make, tmp_path: Path) -> None:
    file = tmp_path / "two.json"
    write_bag(file, FEW)
    first = make()
    first.begin(None)
    assert first.filing.open_bag(file) and Settings().bag == file  # also after a crash
    press(first, "undo")
    assert Settings().bag is None
    press(first, "redo")
    assert Settings().bag == file
    assert first.close()  # no question: another bag is no change of the situation
    second = make()
    second.begin(None)
    assert (
        second.session.bag == FEW and not second.session.unsaved and not second.session.undo_stack.canUndo()
    )
    file.unlink()
    third = make()
    third.begin(None)
    assert (
        third.session.bag == packaged_bag() and "two.json, your bag of last time" in third.notice.label.text()
    )
    press(second, "usual_bag")
    assert Settings().bag is None
    assert second.close()
    assert Settings().bag is None


def test_what_went_wrong_goes_when_it_goes_well(
    window: MainWindow, tmp_path: Path, answers: list[QMessageBox.StandardButton]
) -> None:
    session, notice = window.session, window.notice
    session.edit("hole.distance", 400.0, "Distance")
    assert not notice.isHidden()
    session.edit("green.firmness", 120.0, "Firmness")
    assert notice.isHidden()
    answers.append(QMessageBox.StandardButton.Discard)
    assert not window.filing.open(tmp_path / "none.json")
    session.edit("green.firmness", 100.0, "Firmness")
    assert not notice.isHidden()  # an edit mends no file
    assert window.filing.save_as(tmp_path / "some.json")
    assert notice.isHidden()


def test_a_failing_engine_is_told(make: Make, caplog: pytest.LogCaptureFixture) -> None:
    def broken(document: Document) -> Job:
        def job(progress: Any, cancelled: Any) -> None:
            raise ZeroDivisionError("no ground")

        return job

    window = make(broken)
    window.begin(None)
    window.show()
    assert window.advisor.runner.wait_until_idle()
    assert window.notice.isVisible()
    assert "no ground" in window.notice.label.text()
    assert window.state.text() == "No advice"
    assert window.shot.headline.shot.text() == "No answer for this situation"
    assert "no ground" in caplog.text
    window.theme.changed.emit()
    assert window.shot.headline.shot.text() == "No answer for this situation"
    window.session.edit("green.firmness", 100.0, "Firmness")
    assert window.shot.headline.shot.text() == "Working out the shots ..."
    assert window.advisor.runner.wait_until_idle()


def test_an_edit_that_is_not_allowed_is_told(window: MainWindow) -> None:
    window.session.edit("green.depth", 1000.0, "Depth of the green")
    assert "Depth of the green: must be at most" in window.notice.label.text()


@pytest.mark.parametrize(("system", "told"), [("yards", "65.6 yd"), ("metres", "60.0 m")])
def test_a_bound_is_told_in_the_units_that_are_shown(window: MainWindow, system: Any, told: str) -> None:
    window.measures.switch(system)
    window.session.edit("green.depth", 1000.0, "Depth of the green")
    assert window.notice.label.text() == f"Depth of the green: must be at most {told}"


def test_layout_and_file_are_remembered(make: Make, tmp_path: Path) -> None:
    file = tmp_path / "last.json"
    write_situation(file, Situation(name="Last"))
    first = make()
    first.begin(file)
    first.show()
    first.panel.sections["air"].heading.click()
    first.panel.sections["lie"].heading.click()
    first.shot.words.setSizes([300, 100])
    first.resize(1100, 700)
    kept = first.shot.words.sizes()
    assert first.close()
    second = make()
    second.begin(None)
    second.show()
    assert second.session.situation.name == "Last"
    assert second.panel.sections["air"].is_open
    assert not second.panel.sections["lie"].is_open
    assert second.height() == 700  # the offscreen display is narrower than the window
    assert second.shot.words.sizes() == pytest.approx(kept, abs=3)


def test_a_last_file_that_is_gone_gives_the_demo_and_a_word(make: Make, tmp_path: Path) -> None:
    Settings().remember(tmp_path / "gone.json")
    window = make()
    window.begin(None)
    window.show()
    assert window.session.situation.name.startswith("Larch Hollow")
    assert "gone.json" in window.notice.label.text()
    assert Settings().last is None


def test_settings_that_make_no_sense_are_replaced(qapp: Any) -> None:
    from PySide6.QtCore import QSettings

    app.application()
    for key in ("theme", "units", "recent", "last", "groups", "layout/window"):
        QSettings().setValue(key, 17)
    settings = Settings()
    assert (settings.theme, settings.units, settings.recent) == ("desktop", "yards", [])
    assert (settings.last, settings.open_groups, settings.layout("window")) == (None, None, None)


def test_the_views_are_saved_as_a_picture(window: MainWindow, tmp_path: Path, monkeypatch: Any) -> None:
    names = ["both.png", "plan.svg"]
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(tmp_path / names.pop(0)), ""))
    press(window, "views_picture")
    assert (tmp_path / "both.png").stat().st_size > 1000
    save = next(a for a in window.shot.plan.make_menu(None).actions() if "picture" in a.text())
    save.trigger()
    assert (tmp_path / "plan.svg").stat().st_size > 1000


def test_a_file_to_write_is_called_as_the_situation_without_what_no_file_is_called(
    window: MainWindow, monkeypatch: Any
) -> None:
    offered: list[str] = []
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (offered.append(args[2]), ("", ""))[1])
    window.session.edit("name", "Hole 3 / tee 5.5: left?", "Name")
    press(window, "shot_card")
    assert offered == ["Hole 3 tee 5 5 left.pdf"]


def test_without_a_shot_the_status_bar_says_so(make: Make, made_advice: Advice) -> None:
    made = make(lambda document: lambda progress, cancelled: replace(made_advice, shots=(), why=None))
    made.begin(None)
    assert made.advisor.runner.wait_until_idle()
    assert made.state.text() == "No shot to compare"


def test_help_boxes_do_not_hold_the_window_up(window: MainWindow) -> None:
    for code, word in (("keys", "Ctrl+Z"), ("keys", "Ctrl+2: Side by side."), ("about", "4.3")):
        press(window, code)
        box = window.findChildren(TextBox)[-1]
        assert word in box.text.toPlainText()
        assert window.isEnabled()
        box.reject()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        assert not window.findChildren(TextBox)


def test_the_columns_of_the_table_are_remembered(make: Make) -> None:
    first = make()
    menu = first.shot.table.columns_menu
    assert menu.menuAction() in first._menus["&View"].actions()
    next(a for a in menu.actions() if a.objectName() == "column_holed").trigger()
    assert "holed" in first.shot.table.columns == make().shot.table.columns
    next(a for a in menu.actions() if a.objectName() == "usual_columns").trigger()
    assert make().shot.table.columns == USUAL
    Settings().columns = ["nonsense", "two"]
    assert make().shot.table.columns == ("rank", "shot", "two")


def test_the_details_stand_beside_the_window_once(window: MainWindow, qtbot: Any) -> None:
    press(window, "details")
    page = window.findChild(Details)
    assert page is not None and page.isVisible() and not page.isModal() and window.isEnabled()
    # A row that is entered brings the same page.
    window.shot.table.setFocus()
    qtbot.keyClick(window.shot.table, Qt.Key.Key_Return)
    assert window.findChildren(Details) == [page]
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not window.findChildren(Details)


def test_shot_card_and_table_are_written_from_the_menu(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for code, name, start in (
        ("shot_card", "card", b"%PDF-"),
        ("shots_table", "table", b"rank,club"),
        ("lesson_sheet", "lesson", b"%PDF-"),
    ):
        asked: list[str] = []

        def ask(
            parent: Any, title: str, proposed: str, kind: str, asked: Any = asked, name: str = name
        ) -> Any:
            asked.extend((title, proposed, kind))
            return str(tmp_path / name), kind

        monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
        press(window, code)
        suffix = {"shots_table": ".csv"}.get(code, ".pdf")
        assert (tmp_path / name).with_suffix(suffix).read_bytes().startswith(start)
        assert asked[1].endswith(suffix) and suffix in asked[2]
        assert f"{name}{suffix}" in window.statusBar().currentMessage()
    # Given up in the dialog, in a place that cannot be written, and while the shots are not there yet.
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: ("", ""))
    assert not window.exports.shot_card()
    assert not window.exports.shots_table(tmp_path / "none" / "x.csv")
    assert "x.csv cannot be written" in window.notice.label.text()
    window.session.edit("green.wet", not window.session.situation.green.wet, "Wet green")
    assert not window.exports.shot_card(tmp_path / "late.pdf")
    assert "being worked out" in window.notice.label.text() and not (tmp_path / "late.pdf").exists()


def test_every_action_has_words_and_an_unknown_one_is_an_error(window: MainWindow) -> None:
    for entry in ENTRIES:
        action = window.actions_by_code[entry.code]
        assert action.toolTip() == entry.tip
        assert action.statusTip() == entry.tip
    assert len({e.code for e in ENTRIES}) == len(ENTRIES)
    keys = [str(e.keys) for e in ENTRIES if e.keys is not None]
    assert len(set(keys)) == len(keys)
    assert keys_text().count("\n") + 1 == len(keys) + len(IN_PARTS)
    with pytest.raises(ValueError, match="no action"):
        window._do("fly", False)


def test_demo_titles() -> None:
    assert demo_title("situations/08-two-tier-green.json") == "8 Two tier green"


def test_open_window_runs_and_ends(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, qapp: Any) -> None:
    seen: list[MainWindow] = []
    printed: list[str] = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, error, trace: printed.append(str(error)))

    def run(self: Any = None) -> int:
        seen.extend(w for w in QApplication.topLevelWidgets() if isinstance(w, MainWindow) and w.isVisible())
        sys.excepthook(ArithmeticError, ArithmeticError("odd"), None)
        assert printed == ["odd"]
        assert "ArithmeticError: odd" in seen[0].notice.label.text()
        seen[0].close()
        return 0

    monkeypatch.setattr(QApplication, "exec", run)
    write_situation(tmp_path / "given.json", Situation(name="Given"))
    hook = sys.excepthook
    assert app.open_window(tmp_path / "given.json") == 0
    assert sys.excepthook is hook
    assert seen[0].session.situation.name == "Given"
    with pytest.raises(DocumentError):
        app.open_window(tmp_path / "none.json")


def test_picture_draws_the_window_with_its_advice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, made_advice: Advice, qapp: Any
) -> None:
    from PySide6.QtGui import QImage

    from shortgame_gui.desktop import main_window

    def quick(document: Document) -> Job:
        return lambda progress, cancelled: replace(made_advice, situation=document.situation)

    monkeypatch.setattr(main_window.MainWindow.__init__, "__defaults__", (quick, None))
    begun: list[MainWindow] = []
    begin = main_window.MainWindow.begin_with
    monkeypatch.setattr(
        main_window.MainWindow,
        "begin_with",
        lambda self, document: begun.append(self) or begin(self, document),
    )
    given, few = Situation(name="Given"), replace_struct(packaged_bag(), clubs=packaged_bag().clubs[:3])
    out = tmp_path / "window.png"
    app.picture(given, few, out, (1280, 800), "dark", yards=False)
    # What the command line asked for is what the window showed, and nothing of it is remembered.
    assert begun[0].session.document == Document(given, few) and not begun[0].measures.yards
    assert Settings().units == "yards" and Settings().last is None
    drawn = QImage(str(out))
    assert (drawn.width(), drawn.height()) == (1280, 800)
    along = {drawn.pixelColor(x, 70).name() for x in range(drawn.width())}
    assert DARK.window in along and LIGHT.window not in along
    assert len({drawn.pixelColor(x, 300).name() for x in range(320, 1200)}) > 10
    with pytest.raises(DocumentError, match="cannot be written"):
        app.picture(given, few, tmp_path / "no" / "x.png", (1280, 800), "light", yards=True)


def test_presenting_comes_from_the_menu_and_ends_with_the_window(window: MainWindow) -> None:
    press(window, "present")
    page = window.side_by_side
    assert window.rail.current is page and page.presenting is not None
    shown = page.presenting
    press(window, "present")
    assert page.presenting is shown, "one is enough"
    assert shown.board.wait() and page.board.wait()
    window.close()
    assert page.presenting is None


def test_in_a_small_window_the_best_way_out_is_told_alone(make: Make, made_advice: Advice) -> None:
    """All of them, folded to many rows, left the table none."""
    ways = tuple(
        Escape(kind, "", 0, 3.0, 0.02, (0.0, 4.0), ("sand wedge", "bump_and_run"))
        for kind in ("sideways_left", "sideways_right", "backwards")
    )
    window = make(lambda document: lambda progress, cancelled: replace(made_advice, escapes=ways))
    window.begin(None)
    window.resize(1280, 800)
    window.show()
    assert window.advisor.runner.wait_until_idle()
    foot = window.shot.findChild(WaysOut)
    assert foot is not None and foot.text().count("sand wedge") == 3
    large = foot.font()
    large.setPointSizeF(2.4 * large.pointSizeF())
    foot.setFont(large)
    window.resize(960, 540)
    QApplication.processEvents()
    assert foot.text().startswith("Ways out: a: play out") and foot.text().count("sand wedge") < 3


def test_the_answer_stays_while_another_shot_is_looked_at(window: MainWindow, qtbot: Any) -> None:
    headline, table = window.shot.headline, window.shot.table
    answer, what = headline.shot.text(), headline.detail.text()
    third = table.visualRect(table.model().index(2, 1)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=third)
    assert headline.shot.text() == answer
    assert headline.detail.text() == f"{what} In front now: sand wedge, pitch, number 3."
    first = table.visualRect(table.model().index(0, 1)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=first)
    assert headline.detail.text() == what


def test_ways_out_stand_at_the_foot_of_the_table(make: Make, made_advice: Advice) -> None:
    way = Escape(
        "sideways_left", "", 0, 1.5, 0.02, (0.0, 4.0), ("sand wedge", "chip"), (0.0, 3.0), "knee",
        SetUp((("weight_lead", 0.6),)), clear=True,
    )  # fmt: skip
    given = [replace(made_advice, escapes=(way,)), made_advice]
    window = make(lambda document: lambda progress, cancelled: given.pop(0))
    window.begin(None)
    window.show()
    assert window.advisor.runner.wait_until_idle()
    foot = window.shot.findChild(WaysOut)
    assert foot is not None and foot.isVisible()
    said = foot.text().replace("\xa0", " ")
    assert said == "Ways out: a: play out sideways to the left (sand wedge, chip), 1.50 ± 0.02 strokes."
    window.shot.plan.catch_up()
    drawn = window.shot.plan.ways_out
    assert drawn.ways == {"a": way} and drawn.isVisible()
    assert said in window.shot.plan.accessibleDescription()
    assert "a: ways out" in window.shot.plan.traces.caption
    words = window.shot.explanation.toPlainText()
    assert "a: Play out sideways to the left" in words
    titles = ("Other ways out", "Set-up for the best way out", "The best towards the hole",
              "Set-up towards the hole")  # fmt: skip
    places = [words.index(f"{title}\n") for title in titles]
    assert places == sorted(places), "what to do comes first"
    assert window.shot.headline.shot.text() == "Play out sideways to the left (sand wedge, chip)"
    window.advisor.start()
    assert window.advisor.runner.wait_until_idle()
    assert not foot.isVisible()
    window.shot.plan.catch_up()
    assert drawn.ways == {} and "ways out" not in window.shot.plan.traces.caption
    assert window.shot.explanation.toPlainText().startswith("Why this one")
    assert window.shot.headline.shot.text().startswith("9-iron, chip")
