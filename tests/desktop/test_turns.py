"""What is put off is done one thing a turn of the event loop, in order, once, and not before it is due."""

from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QApplication, QWidget

from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.turns import Turns
from shortgame_gui.model.ground import ProfilePoint


class Post(QObject):
    """Sends itself a letter through the event loop."""

    sent = Signal(str)
    read = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.sent.connect(self.read, Qt.ConnectionType.QueuedConnection)


def test_other_events_come_between_two_things(qtbot: Any) -> None:
    turns, post, done = Turns(), Post(), list[str]()
    post.read.connect(done.append)

    def first() -> None:
        done.append("first")
        post.sent.emit("a letter")

    def second() -> None:
        done.append("second")

    for do in (first, second, first):
        turns.later(do)
    assert done == []
    qtbot.waitUntil(lambda: "second" in done)
    assert done == ["first", "a letter", "second"]
    turns.later(first)  # done before, so it is due again
    qtbot.waitUntil(lambda: done.count("a letter") == 2)
    assert done[3:] == ["first", "a letter"]


def test_all_that_waits_can_be_had_at_once(qtbot: Any) -> None:
    turns, done = Turns(), list[int]()
    for number in range(3):
        turns.later(lambda number=number: done.append(number))  # type: ignore[misc]
    turns.finish()
    assert done == [0, 1, 2]


def test_views_follow_a_drag_at_their_turns_and_end_where_it_ends(window: MainWindow) -> None:
    """Steps that come faster than the views are skipped, but never the last one."""
    side, shown = window.shot.side, list[float]()
    window.shot.turns.finish()
    show = side.flag.show_at
    side.flag.show_at = lambda x, z: (shown.append(x), show(x, z))  # type: ignore[method-assign,assignment]
    for distance in (15.0, 16.0, 17.0):
        window.session.edit("hole.distance", distance, "Distance to the hole", 1)
    assert shown == []
    window.shot.turns.finish()
    assert shown == [17.0]
    assert window.shot.plan.target.hole == 17.0


def test_a_key_moves_on_from_where_the_last_one_led(window: MainWindow, qtbot: Any) -> None:
    """Two keys that are handled before the view had its turn are two steps."""
    side, unit = window.shot.side, window.measures.distance
    before = window.session.situation.hole.distance
    window.shot.turns.finish()
    side.handles.choose("hole")
    for _key in range(2):
        qtbot.keyClick(side, Qt.Key.Key_Right)
    moved = window.session.situation.hole.distance - before
    assert abs(moved - unit.si(1.0)) <= unit.si(0.1)  # half a unit each, rounded to a tenth


def test_a_drag_lifts_a_point_to_where_the_mouse_is(window: MainWindow) -> None:
    """Each step says where the mouse is; two before the view had its turn do not add up."""
    points = tuple(ProfilePoint(at=at, height=0.0) for at in (0.0, 5.0, 10.0))
    window.session.edit("ground.profile", points, "Ground")
    window.shot.turns.finish()
    for height in (0.3, 0.5):
        window.shot.side.handles.moved.emit("profile.1", 5.0, height, 1)
    assert abs(window.session.situation.ground.profile[1].height - 0.5) < 0.02


class Paintings(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__()
        self.count = 0
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.count += event.type() == QEvent.Type.Paint
        return False


def paint_what_is_due(window: MainWindow, qtbot: Any) -> None:
    """Have painted all that was asked for by now: a painting of the window takes what is due with it."""
    QApplication.sendPostedEvents()
    window.shot.turns.finish()
    bar = window.statusBar()
    seen = Paintings(bar)
    bar.update()
    qtbot.waitUntil(lambda: seen.count > 0)


def test_a_page_that_is_turned_to_is_painted_once(window: MainWindow, qtbot: Any) -> None:
    """And so are the views in other colours."""
    views = {
        "side_by_side": (window.side_by_side.picture,), "shot": (window.shot.side, window.shot.plan),
    }  # fmt: skip
    window.rail.choose("side_by_side")
    assert window.side_by_side.board.wait()
    window.rail.choose("shot")
    paint_what_is_due(window, qtbot)
    for page in ("side_by_side", "shot"):
        seen = [Paintings(view.viewport()) for view in views[page]]
        window.rail.choose(page)
        qtbot.waitUntil(lambda seen=seen: all(paintings.count for paintings in seen))
        paint_what_is_due(window, qtbot)
        assert [paintings.count for paintings in seen] == [1] * len(seen)
    seen = [Paintings(view.viewport()) for view in views["shot"]]
    window.actions_by_code["dark"].trigger()
    qtbot.waitUntil(lambda: all(paintings.count for paintings in seen))
    paint_what_is_due(window, qtbot)
    assert [paintings.count for paintings in seen] == [1, 1]
