"""Everything that can be clicked, typed into or chosen in the window is, and does what it is there for.

What there is is asked of the window itself: each widget that takes the focus, and each action in a menu, on a
bar, at a heading or behind a shortcut. Each needs an entry in a book: how it is driven, by mouse or keys, and
what must have happened then. One that has none, or does nothing, fails by its place in the window.

Not counted: the menus with which Qt itself copies and pastes in fields of text.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import shiboken6
from msgspec.structs import replace as replace_struct
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, Qt, QThread, QTimer
from PySide6.QtGui import QAction, QContextMenuEvent, QGuiApplication, QKeySequence, QShortcut, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFileDialog,
    QLabel,
    QMenu,
    QMessageBox,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QSlider,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from shortgame_gui import assets
from shortgame_gui.advice.compare import Comparison, compare, usual_value
from shortgame_gui.advice.result import Advice, Drawn, Shot
from shortgame_gui.desktop import app
from shortgame_gui.desktop.doubts import DoubtEditor
from shortgame_gui.desktop.fields import ChoiceEditor, FlagEditor, NumberEditor, SpinBox, TextEditor
from shortgame_gui.desktop.figures import FiguresWindow
from shortgame_gui.desktop.help import HelpWindow
from shortgame_gui.desktop.jobs import Job
from shortgame_gui.desktop.lie_editor import LieEditor
from shortgame_gui.desktop.lists import Row
from shortgame_gui.desktop.main_window import MainWindow, demo_title
from shortgame_gui.desktop.map.filler import Question as MapQuestion
from shortgame_gui.desktop.session import Document, key_of
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.settings_box import SettingsBox
from shortgame_gui.desktop.shot.details import Details
from shortgame_gui.desktop.shot.playback import PlaybackBar
from shortgame_gui.desktop.shot.ranked_columns import USUAL
from shortgame_gui.desktop.side_by_side.board import Setting, usual_picks
from shortgame_gui.desktop.situation_panel import Section, SituationPanel
from shortgame_gui.desktop.sketcher import Sketch
from shortgame_gui.desktop.text_box import TextBox
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.ground import Obstacle, Shape
from shortgame_gui.model.leaves import get
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag, read_demo, read_situation, write_bag, write_situation

# Said by the platform without a screen whenever a menu or a question opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")

Drive = Callable[[], None]
Book = dict[QWidget, tuple[str, Drive]]
"""Widget -> what it is called here, and what drives it and checks what it did."""

K = Qt.Key
CONTROL, NO_MODIFIER = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


# --- what there is ---------------------------------------------------------------------------------


def focusable(root: QWidget) -> list[QWidget]:
    """All widgets in ``root`` that are seen and take the focus by key or click."""
    return [
        widget
        for widget in (root, *root.findChildren(QWidget))
        if widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        and widget.focusProxy() is None
        and widget.window() is root.window()
        and widget.isVisibleTo(root.window())
    ]


def where(thing: Any) -> str:
    """The place of a widget or an action in the window, for whoever has to look for it."""
    names = []
    part = thing
    while part is not None:
        called = part.objectName() or (part.accessibleName() if isinstance(part, QWidget) else "")
        called = called or caption(part)
        names.append(type(part).__name__ + (f" {called!r}" if called else ""))
        part = part.parent()
    return " in ".join(names)


def caption(thing: Any) -> str:
    """What stands on a button, in a line of text or in a menu."""
    return str(thing.text()) if isinstance(thing, QAbstractButton | QLabel | QAction) else ""


def told(widget: QWidget) -> bool:
    """Whether ``widget`` has a name for those who do not see it, and says what it means."""
    text = widget.toolTip() or widget.whatsThis()
    return bool(widget.accessibleName() or caption(widget)) and len(text.split()) > 2


def actions(window: QWidget) -> list[QAction]:
    """All actions that somebody can get at: in a menu, on a bar, or by a shortcut of a widget."""
    heads = {menu.menuAction() for menu in window.findChildren(QMenu)}
    found = {
        action
        for widget in (window, *window.findChildren(QWidget))
        for action in widget.actions()
        if not action.isSeparator() and action not in heads
    }
    return sorted(found, key=where)


# --- driving ---------------------------------------------------------------------------------------


def lay_out() -> None:
    """Put everything in its place without painting it."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)


def in_view(widget: QWidget) -> None:
    """Scroll ``widget`` into view, as the focus does."""
    lay_out()
    part = widget.parentWidget()
    while part is not None:
        if isinstance(part, QScrollArea):
            part.ensureWidgetVisible(widget)
        part = part.parentWidget()


def click(widget: QWidget, spot: QPoint | None = None) -> None:
    """Click on ``widget`` where it is on the screen: nothing may cover it."""
    in_view(widget)
    if spot is None:
        spot = widget.rect().center()
        if isinstance(widget, QCheckBox | QRadioButton):
            spot.setX(8)  # beside its words there is nothing to click
    hit = widget.window().childAt(widget.mapTo(widget.window(), spot))
    assert hit is not None and (hit is widget or widget.isAncestorOf(hit)), (
        f"{where(widget)} is covered by {where(hit)}"
    )
    QTest.mouseClick(hit, LEFT, pos=hit.mapFrom(widget, spot) if hit is not widget else spot)


def press(widget: QWidget, *keys: Qt.Key, to: Qt.KeyboardModifier = NO_MODIFIER) -> None:
    """Put the focus into ``widget`` and press ``keys`` there."""
    in_view(widget)
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    for key in keys:
        QTest.keyClick(widget, key, to)


def combine(keys: QKeySequence) -> None:
    """Press a shortcut, wherever the focus is."""
    target = QApplication.focusWidget() or QApplication.activeWindow()
    assert target is not None
    for one in keys:
        QTest.keyClick(target, one.key(), one.keyboardModifiers())


def step(widget: QAbstractSpinBox | QSlider | QComboBox, state: Callable[[], Any]) -> None:
    """One step up, or down at the upper end, by key; ``state`` must be another one then."""
    before = state()
    keys = (K.Key_Down, K.Key_Up) if isinstance(widget, QComboBox) else (K.Key_Up, K.Key_Down)
    for key in keys:
        press(widget, key)
        if state() != before:
            return
    raise AssertionError(f"{where(widget)} changes nothing")


def changes(thing: Any, act: Callable[[], Any], state: Callable[[], Any]) -> None:
    """``act`` on ``thing`` makes another ``state``."""
    before = state()
    act()
    assert state() != before, f"{where(thing)} changes nothing"


def choose(menu: QMenu, action: QAction) -> None:
    """Open ``menu`` and take ``action`` in it by the keyboard."""
    menu.popup(QPoint(40, 40))
    assert menu.isVisible() and action in menu.actions() and action.isVisible() and action.isEnabled()
    menu.setActiveAction(action)
    QTest.keyClick(menu, K.Key_Return)
    assert not (shiboken6.isValid(menu) and menu.isVisible())


def answer(button: QMessageBox.StandardButton) -> None:
    """Click ``button`` in the question that is about to be asked."""

    def act() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        click(box.button(button))

    QTimer.singleShot(0, act)


def walk(root: QWidget, book: Callable[[], Book], done: set[str]) -> set[str]:
    """Drive all that there is in ``root`` until nothing new shows up; names are added to ``done``.

    Returns the names of what was seen, but could not be used so far.
    """
    seen: set[str] = set()
    while shiboken6.isValid(root) and root.isVisible():
        QApplication.processEvents()
        known, there = book(), focusable(root)
        missing = [where(widget) for widget in there if widget not in known]
        assert not missing, "no test triggers " + "; ".join(missing)
        mute = [where(one) for one in there if not told(one) and known[one][0] != "close"]
        assert not mute, "says nothing of itself: " + "; ".join(mute)
        seen |= {known[widget][0] for widget in there}
        before = len(done)
        for widget in sorted(there, key=lambda one: known[one][0] == "close"):
            name, drive = known[widget]
            usable = shiboken6.isValid(widget) and widget.isVisible() and widget.isEnabled()
            if name not in done and usable:
                drive()
                done.add(name)
        if len(done) == before:
            break
    return seen - done


# --- the window, quickly answered ------------------------------------------------------------------


@cache
def two_shots() -> Comparison:
    """Two chips as the engine plays them, for answers that only need to be sound."""
    bag = packaged_bag()
    picks = usual_picks(Situation(), bag)[0][:2]
    value = usual_value(Situation(), picks, load(), "landing")
    return compare(Situation(), picks, load(), "landing", value)


def ask_two_shots(setting: Setting, before: Comparison | None) -> Job:
    """Answers with as many shots as are picked, each going as one of `two_shots`."""
    picks = setting.found() or [(shot.club, shot.technique) for shot in two_shots().shots]
    played = two_shots().shots
    shots = tuple(replace(played[k % 2], club=c, technique=t) for k, (c, t) in enumerate(picks))
    found = Comparison(setting.changed, setting.held, setting.value or 7.5, shots, ())
    return lambda progress, cancelled: found


def drawn(shot: Shot) -> Drawn:
    """``shot`` as it is in the ranking, for a quick picture that needs no engine."""
    return Drawn(
        club=shot.club, technique=shot.technique, head_speed=shot.head_speed, share=shot.share, swing="hip",
        aim=0.0, carry=shot.carry, landing=shot.landing, rest=(shot.carry + shot.run, 0.0), left=1.0,
        ending="at_rest", surface="green", apex=shot.apex, track=shot.track,
    )  # fmt: skip


def ask_drawn(sketch: Sketch) -> Job:
    return lambda progress, cancelled: tuple(drawn(shot) for shot in sketch.shots)


@pytest.fixture
def window(
    qapp: QApplication, qtbot: QtBot, made_advice: Advice, map_by_hand: MapQuestion
) -> Iterator[MainWindow]:
    app.application()

    def quick(document: Document) -> Job:
        return lambda progress, cancelled: replace(made_advice, situation=document.situation)

    made = MainWindow(Settings(), Theme("light"), quick)
    made.advisor.sketcher._artist = ask_drawn
    made.side_by_side.board._question = ask_two_shots
    made.map.filler._question = map_by_hand
    made.map._pause.setInterval(0)
    made.begin(None)
    made.resize(1280, 800)
    made.show()
    assert made.advisor.runner.wait_until_idle()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    yield made
    if made.isVisible():
        made.session.begin_with(made.session.document)  # nothing to save
    for workspace in made.rail.workspaces.values():
        if workspace.playback is not None:
            workspace.playback.reset()
    made.close()
    made.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def files(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """What the file dialogs are told, one by one; a dialog that nobody expects is an error."""
    planned: list[Path] = []
    for asks in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, asks, staticmethod(lambda *args: (str(planned.pop(0)), "")))
    return planned


def settle(window: MainWindow, qtbot: QtBot) -> None:
    """Until advice and picture are those of the document."""
    if window.advisor.busy:
        with qtbot.waitSignal(window.advisor.settled):
            pass
    assert window.advisor.sketcher.runner.wait_until_idle()


# --- the situation panel ---------------------------------------------------------------------------


class Panel:
    """The book of the situation panel: every value is set, taken back by Ctrl+Z and set again by Ctrl+Y."""

    def __init__(self, window: MainWindow) -> None:
        self.window, self.session = window, window.session

    def edits(self, path: str, act: Callable[[], Any]) -> None:
        """``act`` changes the leaf or list ``path``, as a step that can be undone and done again."""
        before = self.session.situation
        act()
        after = self.session.situation
        assert get(before, path) != get(after, path), f"{path} stays as it was"
        combine(QKeySequence("Ctrl+Z"))
        assert self.session.situation == before, f"{path}: undo by keys"
        combine(QKeySequence("Ctrl+Y"))
        assert self.session.situation == after, f"{path}: redo by keys"

    def value(self, path: str) -> Any:
        return get(self.session.situation, path)

    def book(self) -> Book:
        panel = self.window.panel
        made: Book = {panel: ("panel", self.scroll)}
        for code, section in panel.sections.items():
            made[section.heading] = (f"{code}.heading", partial(self.heading, section))
        for path, editor in panel.editors.items():
            for part, (name, drive) in self.editor(path, editor).items():
                made[part] = (f"{path}.{name}", drive)
        for path, lister in panel.lists.items():
            made[lister.add] = (f"{path}.add", partial(self.adds, path, lister.add, 1))
            for row in lister.rows:
                for field, cell in row.cells.items():
                    made[cell] = (f"{path}[].{field}", partial(self.steps, path, cell))
                made[row.remove] = (f"{path}[].remove", partial(self.adds, path, row.remove, -1))
        return made

    def editor(self, path: str, editor: Any) -> Book:
        match editor:
            case NumberEditor():
                made: Book = {
                    editor.spin: ("spin", partial(self.number, path, editor.spin, editor.spin)),
                    editor.slider: ("slider", partial(self.number, path, editor.slider, editor.spin)),
                    editor.reset: ("reset", partial(self.goes, path, editor.reset, editor.leaf.default)),
                }
                for word, button in editor.presets.items():
                    made[button] = (word, partial(self.preset, path, editor, button))
                return made
            case DoubtEditor():
                return {
                    editor.switch: ("switch", partial(self.switch, path, editor)),
                    editor.spin: ("spin", partial(self.number, path, editor.spin, editor.spin)),
                }
            case ChoiceEditor(combo=None) | LieEditor():
                return {
                    button: (choice, partial(self.choice, path, editor, choice))
                    for choice, button in editor.buttons.items()
                }
            case ChoiceEditor():
                return {editor.combo: ("combo", partial(self.combo, path, editor.combo))}
            case FlagEditor():
                return {editor.box: ("box", partial(self.edits, path, partial(click, editor.box)))}
            case TextEditor():
                return {editor.line: ("line", partial(self.text, path, editor))}
        raise TypeError(f"nobody knows how to drive {editor!r}")

    def scroll(self) -> None:
        bar = self.window.panel.verticalScrollBar()
        bar.setValue(0)
        changes(self.window.panel, lambda: press(self.window.panel, K.Key_PageDown), bar.value)

    def heading(self, section: Any) -> None:
        for _ in range(2):
            changes(section.heading, lambda: click(section.heading), section.body.isVisible)
        assert section.is_open

    def steps(self, path: str, cell: Any) -> None:
        self.edits(path, lambda: step(cell, lambda: self.value(path)))

    def number(self, path: str, part: Any, spin: SpinBox) -> None:
        """A step by key; what the spin box shows is what the document holds, in the player's unit."""
        self.steps(path, part)
        assert spin.value() == pytest.approx(
            spin.unit.shown(self.value(path)), abs=0.51 * 10 ** -spin.decimals()
        )

    def goes(self, path: str, button: QWidget, target: Any) -> None:
        """A click that sets one value."""
        self.edits(path, partial(click, button))
        assert self.value(path) == target

    def preset(self, path: str, editor: NumberEditor, button: QToolButton) -> None:
        before = self.value(path)
        click(button)
        if self.value(path) == before:  # it was that already
            step(editor.spin, lambda: self.value(path))
        else:
            combine(QKeySequence("Ctrl+Z"))
        self.edits(path, partial(click, button))
        assert not editor.spin.hasFocus() or button.text() in editor.title.text()

    def switch(self, path: str, editor: DoubtEditor) -> None:
        """Off and on: it opens the spread, and the document holds it."""
        for _ in range(2):
            self.edits(path, partial(click, editor.switch))
            assert editor.isVisible() == editor.switch.isChecked() == (self.value(path) > 0.0)
        if not editor.switch.isChecked():
            click(editor.switch)

    def choice(self, path: str, editor: Any, choice: str) -> None:
        if self.value(path) == choice:
            click(next(b for c, b in editor.buttons.items() if c != choice and b.isVisible()))
        self.goes(path, editor.buttons[choice], choice)
        assert editor.buttons[choice].isChecked()

    def combo(self, path: str, combo: QComboBox) -> None:
        self.steps(path, combo)
        assert self.value(path) == combo.currentData()

    def text(self, path: str, editor: TextEditor) -> None:
        self.edits(path, lambda: press(editor.line, K.Key_End, K.Key_X))
        assert self.value(path) == editor.text and "x" in editor.text

    def adds(self, path: str, button: QWidget, more: int) -> None:
        count = len(self.value(path))
        self.edits(path, partial(click, button))
        assert len(self.value(path)) == count + more


def open_all(window: MainWindow) -> None:
    for section in window.panel.sections.values():
        if not section.is_open:
            click(section.heading)


def test_every_editor_of_the_situation(window: MainWindow, qtbot: QtBot) -> None:
    open_all(window)
    panel, done = Panel(window), set[str]()
    left = walk(window.panel, panel.book, done)
    for ground in ("rough", "sand"):  # what does not apply is hidden
        click(window.panel.editors["lie.ground"].buttons[ground])
        left = (left | walk(window.panel, panel.book, done)) - done
    assert not left
    settle(window, qtbot)


# --- the Shot workspace ----------------------------------------------------------------------------


def bar_book(bar: PlaybackBar, at: str) -> Book:
    """The bar of a playback that has shots to play."""
    playback = bar._playback

    def play() -> None:
        for _ in range(2):
            changes(bar.play, partial(click, bar.play), lambda: playback.playing)
        assert not playback.playing

    def on() -> None:
        playback.seek(0.0)
        click(bar.on)
        assert playback.time == pytest.approx(playback.stops[1])

    def back() -> None:
        playback.seek(playback.end)
        click(bar.back)
        assert playback.time == max(stop for stop in playback.stops if stop < playback.end - 1e-3)

    return {
        bar.play: (f"{at}.play", play),
        bar.on: (f"{at}.on", on),
        bar.back: (f"{at}.back", back),
        bar.moment: (f"{at}.moment", lambda: step(bar.moment, lambda: playback.time)),
        bar.pace: (f"{at}.pace", lambda: step(bar.pace, lambda: playback.pace)),
    }


def read(text: Any) -> None:
    """A word is picked in a text that cannot be changed, and copied by key."""
    QGuiApplication.clipboard().clear()
    cursor = text.textCursor()
    cursor.setPosition(1)
    in_view(text)
    QTest.mouseDClick(text.viewport(), LEFT, pos=text.cursorRect(cursor).center())
    press(text, K.Key_C, to=CONTROL)
    word = QGuiApplication.clipboard().text()
    assert word and text.toPlainText().startswith(word), f"{where(text)}: {word!r}"


class ShotBook:
    def __init__(self, window: MainWindow, qtbot: QtBot) -> None:
        self.window, self.session, self.qtbot = window, window.session, qtbot

    def book(self) -> Book:
        shot = self.window.shot
        return {
            shot.table: ("table", self.table),
            shot.explanation: ("words", partial(read, shot.explanation)),
            shot.side: ("side", partial(self.view, shot.side)),
            shot.plan: ("plan", partial(self.view, shot.plan)),
        } | bar_book(shot.bar, "bar")

    def table(self) -> None:
        """Arrow keys bring a shot forward, Space and the mouse tick it, Ctrl+C copies, a head sorts."""
        table, session = self.window.shot.table, self.session
        changes(table, lambda: press(table, K.Key_Down), lambda: session.front)
        assert session.front is not None
        key = key_of(session.front)
        column = table.columnAt(table.columnWidth(0) + 12)
        table.setCurrentIndex(table.currentIndex().siblingAtColumn(column))
        changes(table, lambda: press(table, K.Key_Space), lambda: session.is_marked(key))
        box = table.visualRect(table.currentIndex())
        spot = QPoint(box.left() + 10, box.center().y())
        changes(
            table, lambda: QTest.mouseClick(table.viewport(), LEFT, pos=spot), lambda: session.is_marked(key)
        )
        row = table.model().index(0, 1)
        QTest.mouseClick(table.viewport(), LEFT, pos=table.visualRect(row).center())
        assert session.advice is not None and session.front is session.advice.shots[0]
        press(table, K.Key_C, to=CONTROL)
        assert QGuiApplication.clipboard().text() == table.as_text()
        head = table.horizontalHeader()
        spot = QPoint(head.sectionViewportPosition(0) + 8, head.height() // 2)
        changes(
            head,
            lambda: QTest.mouseClick(head.viewport(), LEFT, pos=spot),
            lambda: table.model().index(0, 0).data(),
        )
        QTest.mouseClick(head.viewport(), LEFT, pos=spot)
        press(table, K.Key_Return)
        (details,) = self.window.findChildren(Details)
        assert details.isVisible()
        details.close()
        self.window.activateWindow()

    def view(self, view: Any) -> None:
        """Handles are chosen and moved by keys, Space plays, Escape lets everything go."""
        session, playback = self.session, self.window.shot.playback
        press(view, K.Key_Escape)
        changes(view, lambda: press(view, K.Key_PageDown), lambda: view.handles.chosen)
        changes(view, lambda: press(view, K.Key_PageUp), lambda: view.handles.chosen)
        while view.handles.chosen != "hole":
            press(view, K.Key_PageDown)
        changes(view, lambda: press(view, K.Key_Right), lambda: session.situation.hole.distance)
        combine(QKeySequence("Ctrl+Z"))
        settle(self.window, self.qtbot)
        if view is self.window.shot.side:
            self.shape_and_obstacle(view)
        while view.handles.chosen != "landing":
            press(view, K.Key_PageDown)
        changes(view, lambda: press(view, K.Key_Left), lambda: session.landing)
        assert self.window.advisor.sketcher.runner.wait_until_idle()
        assert session.spot is not None
        press(view, K.Key_Escape)
        assert session.spot is None and view.handles.chosen is None
        press(view, K.Key_Space)
        assert playback.playing
        press(view, K.Key_Escape)
        assert not playback.playing and playback.time is None

    def shape_and_obstacle(self, view: Any) -> None:
        """Both ends of a tier and both edges of an obstacle are moved by keys, and they are gone again."""
        session, before = self.session, self.session.situation
        session.edit("ground.shapes", (Shape(kind="tier", at=9.0),), "Shape")
        session.edit("ground.obstacles", (Obstacle(at=4.0, high=1.0),), "Obstacle")
        view.catch_up()
        both = K.Key_Right, K.Key_Up
        for code, keys in (
            ("shapes.0.start", both[:1]), ("shapes.0.end", both), ("obstacles.0.high", both),
            ("obstacles.0.low", both),
        ):  # fmt: skip
            while view.handles.chosen != code:
                press(view, K.Key_PageDown)
            for key in keys:
                changes(view, partial(press, view, key), lambda: session.situation.ground)
        for _ in range(6):
            combine(QKeySequence("Ctrl+Z"))
        assert session.situation == before
        settle(self.window, self.qtbot)


def test_everything_in_the_shot_workspace(window: MainWindow, qtbot: QtBot) -> None:
    assert not walk(window.shot, ShotBook(window, qtbot).book, set())


def test_the_views_menus(window: MainWindow, qtbot: QtBot, files: list[Path], tmp_path: Path) -> None:
    """What the menu key offers in each view, entry by entry."""
    session = window.session
    click(window.panel.sections["ground"].heading)
    click(window.panel.lists["ground.profile"].add)
    for view in (window.shot.side, window.shot.plan):
        # The plots have a menu of their own, which would be answered by the button itself.
        QTest.mouseClick(view.viewport(), Qt.MouseButton.RightButton, pos=view.viewport().rect().center())
        assert QApplication.activePopupWidget() is None
        press(view, K.Key_Escape)
        while view is window.shot.side and view.handles.chosen != "profile.0":
            press(view, K.Key_PageDown)
        offered: list[str] = []
        done: list[str] = []
        while True:
            event = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, QPoint(5, 5), QPoint(5, 5))
            QApplication.sendEvent(view, event)
            (menu,) = [m for m in view.findChildren(QMenu) if m.isVisible()]
            offered = offered or [action.objectName() for action in menu.actions()]
            rest = [action for action in menu.actions() if action.objectName() not in done]
            if not rest:
                menu.close()
                break
            action, points = rest[0], len(session.situation.ground.profile)
            name = action.objectName()
            at = view.handles.all[view.handles.chosen].mark.x if view.handles.chosen else 0.0
            if name == "save_view":
                files.append(tmp_path / f"{view.accessibleName()}.png")
            choose(menu, action)
            match name:
                case "save_view":
                    assert (tmp_path / f"{view.accessibleName()}.png").read_bytes().startswith(b"\x89PNG")
                case "remove_point":
                    assert len(session.situation.ground.profile) == points - 1
                case "add_point":
                    assert len(session.situation.ground.profile) > points
                case "try_landing":
                    assert session.landing is not None and session.landing[0] == pytest.approx(at)
                    press(view, K.Key_Escape)
                case _:
                    raise AssertionError(f"no test triggers {name!r} in the menu of {where(view)}")
            done.append(name)
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        assert offered and set(offered) <= set(done)
    settle(window, qtbot)


# --- Side by side ----------------------------------------------------------------------------------


class SideBySideBook:
    def __init__(self, window: MainWindow, files: list[Path], folder: Path) -> None:
        self.window, self.page, self.board = window, window.side_by_side, window.side_by_side.board
        self.files, self.folder = files, folder

    def sets(self, part: Any, act: Callable[[], Any], state: Callable[[], Any]) -> None:
        """``act`` sets something on the page; the shots follow and the document stays as it is."""
        document = self.window.session.document
        changes(part, act, state)
        assert self.board.wait() and self.board.current
        assert self.window.session.document is document

    def book(self) -> Book:
        page, board, controls = self.page, self.board, self.page.controls
        held, what_if = controls.held, controls.what_if
        made: Book = {
            page.lesson: ("lesson", self.lesson),
            page.present_button: ("present", self.present),
            page.why.reader: ("reader", lambda: step(page.why.reader, lambda: board.reader)),
            page.why.text: ("why", partial(read, page.why.text)),
            page.bars: ("bars", self.bars),
            page.picture: ("picture", self.picture),
            controls: ("controls", self.scroll),
            controls.picks: ("picks", self.picks),
            held.choice: ("held", lambda: self.steps(held.choice, lambda: board.setting.held)),
            held.spin: ("value", lambda: self.steps(held.spin, lambda: board.setting.value)),
            held.slider: ("value.slider", lambda: self.steps(held.slider, lambda: board.setting.value)),
            held.usual: ("usual", self.usual),
            what_if.back: ("as_in_the_situation", self.back),
        } | bar_book(page.play_bar, "bar")
        for path, editor in what_if.editors.items():
            tried = partial(get, path=path)
            state = lambda tried=tried: tried(board.setting.changed)  # noqa: E731
            if isinstance(editor, NumberEditor):
                for part in (editor.spin, editor.slider):
                    made[part] = (f"{path}.{type(part).__name__}", partial(self.steps, part, state))
                made[editor.reset] = (f"{path}.reset", partial(self.reset, path, editor))
                for word, button in editor.presets.items():
                    made[button] = (f"{path}.{word}", partial(self.preset, editor, button, state))
            else:
                assert isinstance(editor, ChoiceEditor) and editor.combo is not None
                made[editor.combo] = (f"{path}.combo", partial(self.steps, editor.combo, state))
        return made

    def steps(self, part: Any, state: Callable[[], Any]) -> None:
        self.sets(part, lambda: step(part, state), state)

    def lesson(self) -> None:
        path = self.folder / "lesson.pdf"
        self.files.append(path)
        click(self.page.lesson)
        assert path.read_bytes().startswith(b"%PDF")

    def present(self) -> None:
        click(self.page.present_button)
        shown = self.page.presenting
        assert shown is not None and shown.isVisible()
        QTest.keyClick(shown, K.Key_Escape)
        assert self.page.presenting is None
        self.window.activateWindow()

    def bars(self) -> None:
        """A click on a row, and Space on its box, mark a shot for the explanation."""
        bars, board = self.page.bars, self.board
        if len(board.shots) < 3:
            others = [key for key in self.page.controls.picks.items if key not in board.picks]
            self.sets(bars, lambda: board.pick(others[0], True), lambda: board.picks)
        marked = lambda: {shot.key for shot in board.marked or ()}  # noqa: E731
        out = next(k for k, row in enumerate(bars.bars.rows) if not bars.bars.marked(k))
        spot = bars.visualRect(bars.model().index(out, 1)).center()
        changes(bars, lambda: QTest.mouseClick(bars.viewport(), LEFT, pos=spot), marked)
        out = next(k for k, row in enumerate(bars.bars.rows) if not bars.bars.marked(k))
        bars.setCurrentIndex(bars.model().index(out, 0))
        changes(bars, lambda: press(bars, K.Key_Space), marked)

    def picture(self) -> None:
        press(self.page.picture, K.Key_Space)
        assert self.page.playback.playing
        press(self.page.picture, K.Key_Escape)
        assert self.page.playback.time is None and not self.page.playback.playing

    def scroll(self) -> None:
        """In a window that is not tall enough for all settings."""
        controls, bar = self.page.controls, self.page.controls.verticalScrollBar()
        self.window.resize(1280, 600)
        QApplication.processEvents()
        assert bar.maximum() > 0
        bar.setValue(0)
        changes(controls, lambda: press(controls, K.Key_PageDown), bar.value)
        bar.setValue(0)
        self.window.resize(1280, 800)

    def picks(self) -> None:
        """Space ticks the shot that the arrow keys went to; a click on the box does so, too."""
        tree = self.page.controls.picks
        key, item = next((key, item) for key, item in tree.items.items() if key in self.board.picks)
        tree.setCurrentItem(item)
        picked = lambda: key in self.board.picks  # noqa: E731
        self.sets(tree, lambda: press(tree, K.Key_Space), picked)
        tree.scrollToItem(item)
        spot = QPoint(tree.visualItemRect(item).left() + 8, tree.visualItemRect(item).center().y())
        self.sets(tree, lambda: QTest.mouseClick(tree.viewport(), LEFT, pos=spot), picked)

    def usual(self) -> None:
        self.sets(
            self.page.controls.held.usual, partial(click, self.page.controls.held.usual),
            lambda: self.board.setting.value,
        )  # fmt: skip
        assert self.board.setting.value is None

    def reset(self, path: str, editor: NumberEditor) -> None:
        self.sets(editor.reset, partial(click, editor.reset), lambda: path in self.board.setting.changes)
        assert path not in self.board.setting.changes
        step(editor.spin, lambda: self.board.setting.changes)  # for "as in the situation"

    def preset(self, editor: NumberEditor, button: QWidget, state: Callable[[], Any]) -> None:
        before = state()
        click(button)
        if state() == before:
            step(editor.spin, state)
            self.sets(button, partial(click, button), state)
        assert self.board.wait()

    def back(self) -> None:
        button = self.page.controls.what_if.back
        self.sets(button, partial(click, button), lambda: self.board.setting.changes)
        assert not self.board.setting.changes


def test_everything_side_by_side(window: MainWindow, files: list[Path], tmp_path: Path) -> None:
    click(window.rail.widgetForAction(window.rail.choices["side_by_side"]))
    assert window.side_by_side.board.wait()
    assert not walk(window.side_by_side, SideBySideBook(window, files, tmp_path).book, set())


# --- Map -------------------------------------------------------------------------------------------


class MapBook:
    def __init__(self, window: MainWindow, qtbot: QtBot, files: list[Path], folder: Path) -> None:
        self.window, self.map, self.qtbot = window, window.map, qtbot
        self.files, self.folder = files, folder

    def fills(self, act: Callable[[], Any]) -> None:
        """``act`` asks for another map, which comes."""
        asked = self.map._asked
        with self.qtbot.waitSignal(self.map.filler.settled):
            act()
        assert self.map._asked != asked
        assert self.map.map is not None and self.map.map.complete

    def book(self) -> Book:
        page = self.map
        made: Book = {
            page.layer: ("layer", lambda: step(page.layer, lambda: page.chart.layer)),
            page.fineness: ("fineness", self.fineness),
            page.save_picture: ("save_picture", partial(self.save, page.save_picture, "map.png", b"\x89PNG")),
            page.save_table: ("save_table", partial(self.save, page.save_table, "map.csv", b"")),
            page.stop: ("stop", self.stop),
            page.chart: ("chart", self.chart),
        }
        for name, side in (("across", page.across), ("up", page.up)):
            made[side.low] = (f"{name}.low", partial(self.end, side, side.low, 0))
            made[side.high] = (f"{name}.high", partial(self.end, side, side.high, -1))
            made[side.steps] = (f"{name}.steps", partial(self.steps, side))
            made[side.axis_box] = (f"{name}.axis", partial(self.axis, side))
        return made

    def scale(self, side: Any) -> Any:
        made = self.map.map
        assert made is not None
        return made.x if side is self.map.across else made.y

    def end(self, side: Any, box: QDoubleSpinBox, place: int) -> None:
        before = self.scale(side).values[place]
        self.fills(lambda: step(box, box.value))
        assert self.scale(side).values[place] != before

    def steps(self, side: Any) -> None:
        self.fills(lambda: step(side.steps, side.steps.value))
        assert len(self.scale(side).values) == side.steps.value()

    def axis(self, side: Any) -> None:
        self.fills(lambda: step(side.axis_box, lambda: side.axis))
        assert self.scale(side).axis == side.axis

    def fineness(self) -> None:
        self.fills(lambda: step(self.map.fineness, self.map.fineness.currentData))
        assert self.map._asked is not None
        assert self.map._asked.samples == self.map.fineness.currentData()

    def save(self, button: QWidget, name: str, start: bytes) -> None:
        self.files.append(self.folder / name)
        click(button)
        assert (self.folder / name).read_bytes().startswith(start) and (self.folder / name).stat().st_size

    def stop(self) -> None:
        click(self.map.stop)
        assert not self.map.filler.busy

    def chart(self) -> None:
        """Arrow keys go from cell to cell, Enter or a click loads one, and Ctrl+Z takes that back."""
        chart, session = self.map.chart, self.window.session
        press(chart, K.Key_Right)
        changes(chart, lambda: press(chart, K.Key_Right), lambda: chart.cursor_cell)
        changes(chart, lambda: press(chart, K.Key_Up), lambda: chart.cursor_cell)
        before = session.situation
        self.fills(lambda: changes(chart, lambda: press(chart, K.Key_Return), lambda: session.situation))
        self.fills(lambda: combine(QKeySequence("Ctrl+Z")))
        assert session.situation == before
        picture = chart.picture()
        assert picture is not None
        spot = picture.cell_box(0, 0).center().toPoint()
        self.fills(lambda: changes(chart, partial(click, chart, spot), lambda: session.situation))


def test_everything_in_the_map(window: MainWindow, qtbot: QtBot, files: list[Path], tmp_path: Path) -> None:
    with qtbot.waitSignal(window.map.filler.settled):
        click(window.rail.widgetForAction(window.rail.choices["map"]))
    book, done = MapBook(window, qtbot, files, tmp_path), set[str]()
    assert walk(window.map, book.book, done) <= {"stop"}
    settle(window, qtbot)
    # Only while a map is filled there is something to stop.
    window.map.filler._question = lambda request, partial: lambda progress, cancelled: _until(cancelled)
    step(window.map.across.steps, window.map.across.steps.value)
    qtbot.waitUntil(lambda: window.map.filler.busy)
    assert not walk(window.map, book.book, done)


def _until(cancelled: Callable[[], bool]) -> None:
    """Work that never comes to an end by itself."""
    while not cancelled():
        QThread.msleep(1)


# --- windows beside the window ---------------------------------------------------------------------


def closing(box: QDialog) -> Book:
    button = box.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Close)

    def close() -> None:
        click(button)
        assert not box.isVisible()

    return {button: ("close", close)}


def test_everything_in_the_settings(window: MainWindow) -> None:
    window.actions_by_code["settings"].trigger()
    (box,) = window.findChildren(SettingsBox)
    settings = window._settings
    settings.remember(Path("one.json"))

    def forget() -> None:
        click(box.forget)
        assert not settings.recent and box.said.text()

    book: Book = {
        box.units: ("units", lambda: step(box.units, lambda: window.measures.system)),
        box.colours: ("colours", lambda: step(box.colours, lambda: window.theme.mode)),
        box.sign: ("sign", lambda: step(box.sign, lambda: window.measures.decimal)),
        box.level: ("level", lambda: step(box.level, lambda: settings.level)),
        box.hand: ("hand", lambda: step(box.hand, lambda: settings.hand)),
        box.forget: ("forget", forget),
    } | closing(box)
    for part, name in ((box.files, "keeps_files"), (box.layout_kept, "keeps_layout")):
        drive = partial(changes, part, partial(click, part), partial(getattr, settings, name))
        book[part] = (name, drive)
    assert not walk(box, lambda: book, set()) and not actions(box)


def test_everything_in_the_help(window: MainWindow) -> None:
    window.actions_by_code["help"].trigger()
    (box,) = window.findChildren(HelpWindow)
    shown = lambda: (box.page, box.text.toPlainText())  # noqa: E731
    book: Book = {
        box.list: ("list", lambda: changes(box.list, lambda: press(box.list, K.Key_Down), shown)),
        box.text: ("text", partial(read, box.text)),
    } | closing(box)
    assert not walk(box, lambda: book, set()) and not actions(box)


def test_everything_in_the_figures(window: MainWindow) -> None:
    window.panel.editors["green.speed"].spin.setFocus()
    window.actions_by_code["figures"].trigger()
    (box,) = window.findChildren(FiguresWindow)
    rows = box.found.rowCount
    (clear,) = actions(box)

    def words() -> None:
        changes(box.words, lambda: press(box.words, K.Key_S, K.Key_T, K.Key_I, K.Key_M, K.Key_P), rows)
        (button,) = [b for b in box.words.findChildren(QAbstractButton) if clear in b.actions()]
        changes(clear, partial(click, button), rows)
        assert not box.words.text()

    def view() -> None:
        changes(box.view, lambda: press(box.view, K.Key_Down), box.whole.toPlainText)
        head = box.view.horizontalHeader()
        spot = QPoint(head.sectionViewportPosition(1) + 8, head.height() // 2)
        first = lambda: box.found.index(0, 0).data()  # noqa: E731
        changes(head, lambda: QTest.mouseClick(head.viewport(), LEFT, pos=spot), first)

    book: Book = {
        box.words: ("words", words),
        box.scope: ("scope", lambda: step(box.scope, rows)),
        box.standing: ("standing", lambda: step(box.standing, rows)),
        box.view: ("view", view),
        box.whole: ("whole", partial(read, box.whole)),
    } | closing(box)
    assert not walk(box, lambda: book, set())


def test_everything_in_the_details(window: MainWindow, qtbot: QtBot) -> None:
    window.actions_by_code["details"].trigger()
    (box,) = window.findChildren(Details)
    view = box.view
    view.setCurrentIndex(view.model().index(0, 0))
    row = lambda: view.currentIndex().row()  # noqa: E731
    book: Book = {
        view: ("view", lambda: changes(view, lambda: press(view, K.Key_Down), row)),
    } | closing(box)
    assert not walk(box, lambda: book, set()) and not actions(box)
    (shortcut,) = box.findChildren(QShortcut)
    for keys in list(shortcut.keys()):
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        window.actions_by_code["details"].trigger()
        (box,) = window.findChildren(Details)
        qtbot.waitUntil(box.isActiveWindow)
        combine(keys)
        assert not box.isVisible()


@pytest.mark.parametrize("code", ["keys", "about"])
def test_everything_in_a_box_of_text(window: MainWindow, code: str) -> None:
    window.actions_by_code[code].trigger()
    (box,) = window.findChildren(TextBox)
    book: Book = {box.text: ("text", partial(read, box.text))} | closing(box)
    assert not walk(box, lambda: book, set()) and not actions(box)


def test_everything_before_a_group(window: MainWindow) -> None:
    window.actions_by_code["present"].trigger()
    shown = window.side_by_side.presenting
    assert shown is not None and shown.board.wait()

    def keys() -> None:
        for key in (K.Key_PageDown, K.Key_PageUp, K.Key_Right, K.Key_Left):
            changes(shown, lambda key=key: press(shown, key), shown.place.text)
            assert shown.board.wait()
        press(shown, K.Key_Space)
        assert shown.picture.playback.playing
        press(shown, K.Key_Escape)
        assert window.side_by_side.presenting is None

    assert not walk(shown, lambda: {shown: ("keys", keys)}, set()) and not actions(shown)


def notices(window: MainWindow) -> Book:
    """Answers of the lines below the menus; each puts its line away."""
    made: Book = {}
    for name, notice in (("notice", window.notice), ("offer", window.offer)):

        def drive(button: QWidget, notice: QWidget = notice) -> None:
            click(button)
            assert not notice.isVisible()
            notice.show()

        def label(label: QLabel = notice.label) -> None:
            """A sentence that can be copied, into a mail for example."""
            QTest.mouseDClick(label, LEFT, pos=QPoint(10, label.height() // 2))
            press(label, K.Key_C, to=CONTROL)
            word = QGuiApplication.clipboard().text()
            assert word and label.text().startswith(word)

        made[notice.label] = (f"{name}.label", label)
        made[notice.dismiss] = (f"{name}.dismiss", partial(drive, notice.dismiss))
        for word, button in notice.answers.items():
            made[button] = (f"{name}.{word}", partial(drive, button))
    return made


def test_notices_and_the_rail(window: MainWindow) -> None:
    said: list[str] = []
    window.notice.tell("Something went wrong.")
    window.offer.ask("Restore?", {"Yes": ("As it was.", lambda: said.append("yes"))})
    assert not walk(window.notice, lambda: notices(window), set())
    assert not walk(window.offer, lambda: notices(window), set()) and said == ["yes"]
    assert not walk(window.rail, lambda: rail(window), set())


def rail(window: MainWindow) -> Book:
    def drive(code: str, button: QWidget) -> None:
        window.rail.choose("map" if code == "shot" else "shot")
        changes(button, partial(click, button), lambda: window.rail.current.code)
        assert window.rail.current.code == code and window.rail.current.isVisible()

    buttons = {code: window.rail.widgetForAction(action) for code, action in window.rail.choices.items()}
    return {button: (f"rail.{code}", partial(drive, code, button)) for code, button in buttons.items()}


# --- actions ---------------------------------------------------------------------------------------

Fire = Callable[[], None]


class Actions:
    """For each action what must have happened after it was fired; also how it is fired."""

    def __init__(self, window: MainWindow, qtbot: QtBot, files: list[Path], folder: Path) -> None:
        self.window, self.session, self.qtbot = window, window.session, qtbot
        self.files, self.folder = files, folder
        self.numbers = iter(range(1000))
        self.drives: dict[str, Callable[[Fire], None]] = {
            "new": self.new, "open": self.open, "open_bag": self.open_bag,
            "usual_bag": self.usual_bag, "save": self.save,
            "save_as": partial(self.writes, "json", b"{"), "shot_card": partial(self.writes, "pdf", b"%PDF"),
            "lesson_sheet": partial(self.writes, "pdf", b"%PDF"),
            "shots_table": partial(self.writes, "csv", b""),
            "views_picture": partial(self.writes, "png", b"\x89PNG"), "recent_file": self.recent,
            "quit": self.quit, "undo": self.undo, "redo": self.redo, "copy_shots": self.copy,
            "settings": partial(self.opens, SettingsBox), "details": partial(self.opens, Details),
            "help": partial(self.opens, HelpWindow), "figures": partial(self.opens, FiguresWindow),
            "keys": partial(self.opens, TextBox), "about": partial(self.opens, TextBox),
            "present": self.present, "play": self.play,
            "landing_before": partial(self.lands, -1), "next_landing": partial(self.lands, 1),
            "usual_columns": self.usual_columns,
            "equal_scale": partial(self.twice, lambda: window.shot.side.getViewBox().state["aspectLocked"]),
        }  # fmt: skip
        for codes, state in (
            (("yards", "metres"), lambda: window.measures.system),
            (("light", "dark", "desktop"), lambda: window.theme.mode),
            (("pace_1", "pace_2", "pace_4"), lambda: f"pace_{round(1.0 / window.playback.pace)}"),
        ):
            for code in codes:
                self.drives[code] = partial(self.one_of, codes, state, code)
        for code, target in (
            ("to_panel", window.panel.sections["lie"].heading), ("to_table", window.shot.table),
            ("to_side", window.shot.side), ("to_plan", window.shot.plan),
            ("to_words", window.shot.explanation),
        ):  # fmt: skip
            self.drives[code] = partial(self.goes, target)
        for code in window.rail.choices:
            self.drives[f"workspace_{code}"] = partial(self.enters, code)
        for action in window.shot.table.columns_menu.actions():
            if action.isCheckable():
                code = action.objectName().removeprefix("column_")
                shown = lambda code=code: code in window.shot.table.columns  # noqa: E731
                self.drives[action.objectName()] = partial(self.twice, shown)
        for file in assets.demo_files(".json"):
            if file.startswith("situations/"):
                self.drives[f"demo_{Path(file).stem}"] = partial(self.demo, file)

    def find(self, name: str) -> QAction:
        found = self.window.findChild(QAction, name)
        assert found is not None
        return found

    def ways(self, name: str) -> list[Fire]:
        """How somebody gets at the action ``name``: in each menu that has it, and by each shortcut."""
        action = self.find(name)
        menus = [menu for menu in self.window.findChildren(QMenu) if action in menu.actions()]
        made: list[Fire] = [lambda menu=menu: choose(menu, self.find(name)) for menu in menus]
        # Keys such as "Save" on a keyboard for an office are unknown to QTest.
        typed = [keys for keys in action.shortcuts() if keys[0].key() < K.Key_Back]
        assert typed or not action.shortcuts()
        made += [partial(combine, keys) for keys in typed]
        return made

    def drive_all(self) -> None:
        assert not self.window.findChildren(QShortcut), "shortcuts belong to actions, which are listed"
        names = sorted({action.objectName() or where(action) for action in actions(self.window)})
        missing = [name for name in names if name not in self.drives]
        assert not missing, f"no test triggers {'; '.join(missing)}"
        for name in names:
            ways = self.ways(name)
            assert ways, f"there is no way to {name}"
            for way in ways:
                self.rest()
                try:
                    self.drives[name](way)
                except AssertionError as error:
                    raise AssertionError(f"{name}: {error}") from error
        assert not self.files

    def rest(self) -> None:
        """The window as it mostly is: nothing unsaved, its advice, the Shot workspace, focus in the table."""
        if self.session.unsaved:
            self.session.begin_with(self.session.document)
        self.window.rail.choose("shot")
        self.window.shot.playback.reset()
        settle(self.window, self.qtbot)
        self.window.activateWindow()
        self.qtbot.waitUntil(self.window.isActiveWindow)
        self.window.shot.table.setFocus()

    def edit(self) -> Situation:
        """Something to save or undo; the situation before it."""
        before = self.session.situation
        self.session.edit("green.wet", not before.green.wet, "Wet green")
        return before

    def file(self, ending: str) -> Path:
        return self.folder / f"{next(self.numbers)}.{ending}"

    def new(self, fire: Fire) -> None:
        self.edit()
        answer(QMessageBox.StandardButton.Discard)
        fire()
        assert self.session.situation == Situation() and self.session.path is None

    def open(self, fire: Fire) -> None:
        path = self.file("json")
        write_situation(path, replace_struct(Situation(), name=path.stem))
        self.files.append(path)
        fire()
        assert self.session.path == path and self.session.situation.name == path.stem

    def open_bag(self, fire: Fire) -> None:
        path, few = self.file("json"), replace_struct(packaged_bag(), clubs=packaged_bag().clubs[:5])
        write_bag(path, few)
        self.files.append(path)
        fire()
        assert self.session.bag == few
        combine(QKeySequence("Ctrl+Z"))
        assert self.session.bag == packaged_bag()

    def usual_bag(self, fire: Fire) -> None:
        few = replace_struct(packaged_bag(), name="Mine", clubs=packaged_bag().clubs[:5])
        write_bag(path := self.file("json"), few)
        self.session.open_bag(path)
        assert self.window.clubs.text() == "Bag: Mine"
        fire()
        assert self.session.bag == packaged_bag() and self.window.clubs.text() == ""

    def save(self, fire: Fire) -> None:
        path = self.file("json")
        self.session.save(path)
        self.edit()
        fire()
        assert read_situation(path) == self.session.situation and not self.session.unsaved

    def writes(self, ending: str, start: bytes, fire: Fire) -> None:
        path = self.file(ending)
        self.files.append(path)
        fire()
        assert path.stat().st_size > 100 and path.read_bytes().startswith(start)

    def recent(self, fire: Fire) -> None:
        self.session.begin_anew()
        path = self.window._settings.recent[0]
        fire()
        assert self.session.path == path

    def quit(self, fire: Fire) -> None:
        """Somebody thinks better of it here; `test_the_window_closes` goes through with it."""
        self.edit()
        answer(QMessageBox.StandardButton.Cancel)
        fire()
        assert self.window.isVisible() and self.session.unsaved

    def undo(self, fire: Fire) -> None:
        before = self.edit()
        fire()
        assert self.session.situation == before

    def redo(self, fire: Fire) -> None:
        before = self.edit()
        after = self.session.situation
        self.session.undo_stack.undo()
        assert self.session.situation == before
        fire()
        assert self.session.situation == after

    def copy(self, fire: Fire) -> None:
        QGuiApplication.clipboard().clear()
        fire()
        assert QGuiApplication.clipboard().text() == self.window.shot.table.as_text()
        assert self.window.statusBar().currentMessage()

    def opens(self, kind: type[QDialog], fire: Fire) -> None:
        assert not [box for box in self.window.findChildren(kind) if box.isVisible()]
        fire()
        (box,) = [box for box in self.window.findChildren(kind) if box.isVisible()]
        QTest.keyClick(box, K.Key_Escape)
        assert not box.isVisible()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def present(self, fire: Fire) -> None:
        fire()
        shown = self.window.side_by_side.presenting
        assert shown is not None and shown.isVisible()
        QTest.keyClick(shown, K.Key_Escape)
        assert self.window.side_by_side.presenting is None

    def play(self, fire: Fire) -> None:
        self.twice(lambda: self.window.playback.playing, fire)

    def lands(self, way: int, fire: Fire) -> None:
        playback = self.window.playback
        playback.seek(playback.end if way < 0 else 0.0)
        fire()
        before = max(stop for stop in playback.stops if stop < playback.end - 1e-3)
        assert playback.time == pytest.approx(playback.stops[1] if way > 0 else before)

    def twice(self, state: Callable[[], Any], fire: Fire) -> None:
        """There and back."""
        before = state()
        fire()
        assert state() != before
        fire()
        assert state() == before

    def one_of(self, codes: tuple[str, ...], state: Callable[[], str], code: str, fire: Fire) -> None:
        self.find(next(other for other in codes if other != code)).trigger()
        assert state() != code
        fire()
        assert state() == code and self.find(code).isChecked()

    def usual_columns(self, fire: Fire) -> None:
        table = self.window.shot.table
        table.show_columns(())
        assert not set(USUAL) <= set(table.columns)
        fire()
        assert set(USUAL) <= set(table.columns)

    def goes(self, target: QWidget, fire: Fire) -> None:
        self.window.rail.choose("map")
        self.window.map.chart.setFocus()
        fire()
        assert self.window.focusWidget() is target and target.isVisible()

    def enters(self, code: str, fire: Fire) -> None:
        self.window.rail.choose("map" if code == "shot" else "shot")
        fire()
        assert self.window.rail.current.code == code and self.window.rail.current.isVisible()

    def demo(self, file: str, fire: Fire) -> None:
        fire()
        assert self.session.situation == read_demo(file) and self.session.path is None
        assert self.find(f"demo_{Path(file).stem}").text() == demo_title(file)
        assert not self.window.notice.isVisible()


def test_every_action(window: MainWindow, qtbot: QtBot, files: list[Path], tmp_path: Path) -> None:
    write_situation(tmp_path / "recent.json", Situation())
    window.filing.open(tmp_path / "recent.json")
    Actions(window, qtbot, files, tmp_path).drive_all()


def test_each_letter_of_a_menu_is_that_of_one_entry(window: MainWindow) -> None:
    for menu in (window.menuBar(), *window.findChildren(QMenu)):
        letters = [found.lower() for action in menu.actions() for found in re.findall("&(.)", action.text())]
        assert sorted(letters) == sorted(set(letters)), where(menu)


def test_the_heads_of_the_table_have_the_menu_of_columns(window: MainWindow) -> None:
    head = window.shot.table.horizontalHeader()
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, QPoint(20, 5), head.mapToGlobal(QPoint(20, 5)))
    QApplication.sendEvent(head.viewport(), event)
    menu = window.shot.table.columns_menu
    assert menu.isVisible()
    menu.close()
    # The window's own menu would hide the rail and the panel, and nothing would say how they come back.
    assert window.contextMenuPolicy() == Qt.ContextMenuPolicy.NoContextMenu


def test_the_window_closes(window: MainWindow) -> None:
    window.session.edit("green.wet", True, "Wet green")
    answer(QMessageBox.StandardButton.Discard)
    combine(QKeySequence("Ctrl+Q"))
    assert not window.isVisible()


# --- nothing is left out ---------------------------------------------------------------------------


def whole_book(window: MainWindow, qtbot: QtBot) -> Book:
    """Every widget of the window that some test above drives."""
    parts = (
        Panel(window), ShotBook(window, qtbot), SideBySideBook(window, [], Path()),
        MapBook(window, qtbot, [], Path()),
    )  # fmt: skip
    made = notices(window) | rail(window)
    for part in parts:
        made |= part.book()
    return made


@pytest.mark.parametrize("code", ["shot", "side_by_side", "map"])
def test_the_keyboard_reaches_everything_and_all_is_driven(
    window: MainWindow, qtbot: QtBot, code: str
) -> None:
    """Tab goes through all that can be used, and in a group of choices the arrow keys do.

    All that is reached has an entry in one of the books.
    """
    open_all(window)
    for lister in window.panel.lists.values():
        click(lister.add)
    click(window.panel.editors["not_sure.wind"].switch)
    window.notice.tell("Something went wrong.")
    window.offer.ask("Restore?", {"Yes": ("As it was.", lambda: None)})
    window.rail.choose(code)
    settle(window, qtbot)
    if code == "side_by_side":
        assert window.side_by_side.board.wait()
    lay_out()
    book, there = whole_book(window, qtbot), focusable(window)
    assert not [where(widget) for widget in there if widget not in book]
    usable = [widget for widget in there if widget.isEnabled()]
    stops = [widget for widget in usable if widget.focusPolicy() & Qt.FocusPolicy.TabFocus]
    others = [one for one in usable if one not in stops and isinstance(one, QAbstractButton)]
    stops[0].setFocus(Qt.FocusReason.TabFocusReason)
    visited = [QApplication.focusWidget()]
    for _ in range(2 * len(stops)):
        QTest.keyClick(visited[-1], K.Key_Tab)
        visited.append(QApplication.focusWidget())
        if visited[-1] is visited[0]:
            break
    assert visited[-1] is visited[0], "Tab does not come round"
    missed = [where(widget) for widget in stops if widget not in visited]
    assert not missed, "Tab passes by " + "; ".join(missed)
    inside = [widget for widget in visited[:-1] if window.panel.isAncestorOf(widget)]
    tops = [(line_of(window.panel, widget), widget) for widget in inside if widget is not window.panel]
    for (top, before), (bottom, after) in pairwise(tops):
        assert top <= bottom, f"Tab goes up from {where(before)} to {where(after)}"
    for widget in stops:
        if not window.panel.isAncestorOf(widget):  # there the editors' own test does it
            before = window.session.situation
            window.session.edit("green.wet", not before.green.wet, "Wet green")
            press(widget)
            assert widget.hasFocus(), where(widget)
            combine(QKeySequence("Ctrl+Z"))
            assert window.session.situation == before, f"Ctrl+Z is lost in {where(widget)}"
        if isinstance(widget, QComboBox | QAbstractSpinBox):
            turn_wheel(widget)
    for group in {one.group() for one in others}:
        reached = [group.checkedButton()]
        for button in reached:  # grows meanwhile
            for key in (K.Key_Left, K.Key_Right, K.Key_Up, K.Key_Down):
                press(button, key)
                if QApplication.focusWidget() not in reached:
                    reached.append(QApplication.focusWidget())
        missed = [where(one) for one in group.buttons() if one.isVisible() and one not in reached]
        assert not missed, "no arrow key leads to " + "; ".join(missed)
    left_over = [where(w) for w in usable if w not in stops and w not in others and not isinstance(w, QLabel)]
    assert not left_over  # the sentence of a notice is for the mouse alone


def turn_wheel(widget: QComboBox | QAbstractSpinBox) -> None:
    """The wheel over a list or number that has not the focus changes nothing: it was meant for the page."""
    state = widget.currentIndex if isinstance(widget, QComboBox) else widget.text
    before = state()
    widget.clearFocus()
    at, none = QPointF(5.0, 5.0), Qt.MouseButton.NoButton
    for turn in (120, -120):
        phase = Qt.ScrollPhase.NoScrollPhase
        event = QWheelEvent(at, at, QPoint(), QPoint(0, turn), none, NO_MODIFIER, phase, False)
        QApplication.sendEvent(widget, event)
        assert state() == before and not widget.hasFocus(), f"the wheel changes {where(widget)}"


def line_of(panel: SituationPanel, widget: QWidget) -> int:
    """How far down in the panel the editor begins, or the row of a list, to which ``widget`` belongs."""
    bodies = [section.body for section in panel.sections.values()]
    part = widget
    while not isinstance(part, Row | Section) and part.parentWidget() not in bodies:
        part = part.parentWidget()
    return part.mapTo(panel.widget(), QPoint(0, 0)).y()


def test_a_widget_that_nobody_drives_is_found(window: MainWindow, qtbot: QtBot) -> None:
    fly = QPushButton("Fly", window.shot)
    fly.show()
    with pytest.raises(AssertionError, match="no test triggers QPushButton 'Fly' in ShotWorkspace"):
        walk(window.shot, ShotBook(window, qtbot).book, set())


def test_an_action_that_nobody_drives_is_found(
    window: MainWindow, qtbot: QtBot, files: list[Path], tmp_path: Path
) -> None:
    window.demo_menu.addAction("Fly")
    with pytest.raises(AssertionError, match=r"no test triggers .*QAction 'Fly' in QMenu"):
        Actions(window, qtbot, files, tmp_path).drive_all()


def test_what_does_nothing_any_more_is_found(window: MainWindow, qtbot: QtBot) -> None:
    for part, dead in (
        (window.shot.bar, window.shot.bar.play.clicked),
        (window.rail, window.rail.choices["map"].triggered),
        (window.panel.sections["lie"], window.panel.editors["lie.wet"].box.clicked),
    ):
        dead.disconnect()
        with pytest.raises(AssertionError, match=r"changes nothing|stays as it was"):
            walk(part, lambda: whole_book(window, qtbot), set())


def test_what_is_covered_is_found(window: MainWindow, qtbot: QtBot) -> None:
    cover = QLabel("In the way", window.shot.bar)
    cover.setGeometry(window.shot.bar.rect())
    cover.show()
    with pytest.raises(AssertionError, match="is covered by QLabel 'In the way'"):
        walk(window.shot.bar, ShotBook(window, qtbot).book, set())
