"""Dragging in the views, by mouse and by keyboard: what is moved is edited, answered, and can be undone."""

import dataclasses
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QContextMenuEvent, QFontMetricsF, QImage, QMouseEvent, QPainter, QTransform
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from shortgame_gui.advice.result import Advice, Drawn
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.plotting import pg
from shortgame_gui.desktop.session import Document, Session, Spot, key_of
from shortgame_gui.desktop.shot.callout import Callout, crossings, folded
from shortgame_gui.desktop.shot.drawing import View, apart
from shortgame_gui.desktop.shot.movable import movables, moved, point_added, point_removed
from shortgame_gui.desktop.shot.plan_view import PlanView
from shortgame_gui.desktop.shot.side_view import SideView
from shortgame_gui.desktop.situation_panel import SituationPanel
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag

HERE = put_all(
    Situation(),
    {
        "ground.profile": (ProfilePoint(at=0.0, height=0.0), ProfilePoint(at=5.0, height=0.4)),
        "ground.bands": (Band(surface="sand", start=2.0, end=4.0),),
    },
)
Drag = Callable[..., None]


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    made = Session(Document(HERE, packaged_bag()))
    made.answer(made_advice, made.document)
    return made


@pytest.fixture
def side(session: Session, qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> SideView:
    monkeypatch.setitem(pg.CONFIG_OPTIONS, "mouseRateLimit", 0)  # a test moves the mouse faster than a hand
    view = SideView(session, Theme("light"), Measures("metres"))
    qtbot.addWidget(view)
    view.resize(700, 400)
    view.show()
    QApplication.processEvents()
    return view


@pytest.fixture
def plan(session: Session, side: SideView, qtbot: Any) -> PlanView:
    view = PlanView(session, Theme("light"), Measures("metres"))
    qtbot.addWidget(view)
    view.resize(700, 300)
    view.setXRange(-2, 26, padding=0)
    view.show()
    QApplication.processEvents()
    return view


def send(view: View, kind: QEvent.Type, x: float, y: float, held: bool) -> None:
    place = QPointF(view.mapFromScene(view.getViewBox().mapViewToScene(QPointF(x, y))))
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    button = none if kind == QEvent.Type.MouseMove else left
    everywhere = QPointF(view.viewport().mapToGlobal(place.toPoint()))
    event = QMouseEvent(
        kind, place, everywhere, button, left if held else none, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(view.viewport(), event)


def hold(view: View, start: tuple[float, float], end: tuple[float, float], steps: int = 5) -> None:
    """Press at ``start`` and move to ``end``, both in the view's measures, without letting go."""
    send(view, QEvent.Type.MouseMove, *start, held=False)
    send(view, QEvent.Type.MouseButtonPress, *start, held=True)
    for k in range(1, steps + 1):
        at = (start[0] + (end[0] - start[0]) * k / steps, start[1] + (end[1] - start[1]) * k / steps)
        send(view, QEvent.Type.MouseMove, *at, held=True)


def drag(view: View, start: tuple[float, float], end: tuple[float, float]) -> None:
    hold(view, start, end)
    send(view, QEvent.Type.MouseButtonRelease, *end, held=False)


def place_of(view: View, code: str) -> tuple[float, float]:
    mark = view.handles.all[code].mark
    return (mark.x, mark.y)


def test_what_can_be_moved_stands_where_it_is() -> None:
    found = {movable.code: (movable.name, movable.at) for movable in movables(HERE)}
    assert found["hole"] == ("Hole", 18.0)
    assert found["green.front"] == ("Near edge of the green", 6.0)
    assert found["green.back"] == ("Far edge of the green", 30.0)
    assert found["bands.0.end"] == ("Far edge of the sand", 4.0)
    assert found["profile.1"] == ("Ground point 2", 5.0)


def test_moves_keep_to_what_the_model_allows() -> None:
    assert moved(HERE, "hole", 500.0).value == 110.0
    assert moved(HERE, "green.back", 3.0).value == 4.0  # the least depth
    past = moved(HERE, "profile.0", 9.0, 0.5).value
    assert [point.at for point in past] == [pytest.approx(4.9), 5.0]
    assert past[0].height == 0.5
    (band,) = moved(HERE, "bands.0.start", 6.0).value
    assert band.start == 6.0
    assert band.end > 6.0
    hedge = put_all(HERE, {"ground.obstacles": (Obstacle(at=4.0, high=2.0),)})
    (there,) = moved(hedge, "obstacles.0.high", 200.0, 50.0).value
    assert (there.at, there.low, there.high) == (150.0, -20.0, 30.0)
    (there,) = moved(hedge, "obstacles.0.low", 4.0, 2.5).value  # the other edge gives way
    assert (there.low, there.high) == (2.5, 3.0)
    (there,) = moved(hedge, "obstacles.0.low", 4.0, 99.0).value
    assert (there.low, there.high) == (29.5, 30.0)
    assert moved(hedge, "obstacles.0.high", 5.0).value == (Obstacle(at=5.0, high=2.0),)
    tier, fall = Shape(kind="tier", at=8.0, length=3.0, height=0.4), Shape(kind="run_off", at=20.0)
    shaped = put_all(HERE, {"ground.shapes": (tier, fall)})
    assert moved(shaped, "shapes.0.start", 9.0).value[0] == replace(tier, at=9.0)
    assert moved(shaped, "shapes.0.end", 12.0, 0.6).value[0] == replace(tier, length=4.0, height=0.6)
    assert moved(shaped, "shapes.0.end", 5.0, -1.0).value[0] == replace(tier, length=0.5, height=0.05)
    assert moved(shaped, "shapes.1.end", 25.0, -0.9).value[1] == replace(fall, length=5.0, height=0.9)
    lip = put_all(HERE, {"lie.ground": "sand", "lie.lip_height": 0.5})
    there = moved(lip, "lip", 0.1, -1.0).value
    assert (there.lip_distance, there.lip_height) == (0.5, 0.05)
    with pytest.raises(ValueError, match="nothing is called"):
        moved(HERE, "flag.colour", 1.0)


def test_a_new_point_changes_no_ground_and_goes_again() -> None:
    added = point_added(HERE, 2.5)
    assert added is not None
    assert [(p.at, p.height) for p in added.value] == [(0.0, 0.0), (2.5, 0.2), (5.0, 0.4)]
    assert point_added(HERE, 5.05) is None
    first = point_added(Situation(), 10.0)
    assert first is not None
    assert [(p.at, p.height) for p in first.value] == [(0.0, 0.0), (10.0, 0.0)]
    removed = point_removed(HERE, "profile.0")
    assert removed is not None
    assert removed.value == HERE.ground.profile[1:]
    assert point_removed(HERE, "hole") is None


def test_surveyed_heights_are_not_dragged(qapp: Any) -> None:
    session = Session()
    session.open_demo("situations/14-surveyed-green.json")
    surveyed = session.situation
    assert "profile" not in {movable.code.split(".")[0] for movable in movables(surveyed)}
    assert point_added(surveyed, 5.0) is None
    assert moved(surveyed, "hole", 30.0).value == 30.0


def test_the_hole_is_dragged_in_one_step(side: SideView, session: Session) -> None:
    x, z = place_of(side, "hole")
    shown = side.viewRange()[0]
    hold(side, (x, z), (x + 3.0, z))
    assert session.situation.hole.distance == pytest.approx(21.0, abs=0.11)
    assert side.flag.at[0] == session.situation.hole.distance
    assert side.viewRange()[0] == shown  # nothing slides away under the mouse
    assert session.undo_stack.count() == 1
    assert session.undo_stack.undoText() == "Distance to the hole"
    send(side, QEvent.Type.MouseButtonRelease, x + 3.0, z, held=False)
    x, z = place_of(side, "hole")
    drag(side, (x, z), (x + 1.0, z))
    assert session.undo_stack.count() == 2  # another drag is another step
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.situation == HERE


@pytest.mark.parametrize(
    ("code", "path"), [("green.front", "green.front"), ("bands.0.start", "ground.bands")]
)
def test_edges_are_dragged(side: SideView, session: Session, code: str, path: str) -> None:
    x, z = place_of(side, code)
    drag(side, (x, z), (x + 1.0, z + 5.0))
    change = moved(HERE, code, round(x + 1.0, 1))
    assert change.path == path
    assert place_of(side, code)[0] == pytest.approx(x + 1.0, abs=0.11)
    assert session.undo_stack.count() == 1


def test_a_point_of_the_ground_goes_up_with_the_mouse(side: SideView, session: Session) -> None:
    x, z = place_of(side, "profile.1")
    drag(side, (x, z), (x + 1.0, z + 0.5))
    point = session.situation.ground.profile[1]
    assert point.at == pytest.approx(6.0, abs=0.11)
    assert point.height == pytest.approx(0.9, abs=0.1)  # a corner is rounded, so it stands a little lower
    assert side.section.profile is not None
    assert side.section.profile.height(15.0) == pytest.approx(point.height, abs=0.02)


def test_an_obstacle_is_dragged_by_its_edges(side: SideView, session: Session) -> None:
    """A hedge is made longer and higher, lifted to a branch and let down again; the panel follows."""
    session.edit("ground.obstacles", (Obstacle(at=8.0, high=1.0),), "Obstacle")
    side.catch_up()
    panel = SituationPanel(session, Measures("metres"), Theme("light"))
    cells = panel.lists["ground.obstacles"].rows[0].cells
    assert place_of(side, "obstacles.0.low")[1] == pytest.approx(place_of(side, "hole")[1], abs=0.01)
    x, z = place_of(side, "obstacles.0.high")
    drag(side, (x, z), (x + 2.0, z + 0.4))
    assert place_of(side, "obstacles.0.high") == (pytest.approx(10.0, abs=0.11), pytest.approx(1.4, abs=0.1))
    x, z = place_of(side, "obstacles.0.low")
    drag(side, (x, z), (x, z + 0.5))
    (branch,) = session.situation.ground.obstacles
    assert branch.low == pytest.approx(z + 0.5, abs=0.05) and branch.high == pytest.approx(1.4, abs=0.1)
    shown = [cells[field].value() for field in ("at", "low", "high")]  # type: ignore[union-attr]
    assert shown == pytest.approx([branch.at, branch.low, branch.high], abs=0.05)
    drag(side, (x, z + 0.5), (x + 1.0, z - 0.2))
    assert session.situation.ground.obstacles[0].low == -20.0
    assert side.callout.lines[0] == "Lower edge of obstacle 1"
    assert side.callout.lines[1].endswith("m away, on the ground")
    assert session.undo_stack.count() == 4 and session.undo_stack.undoText() == "Obstacle 1"
    for _ in range(4):
        session.undo_stack.undo()
    assert session.situation == HERE
    panel.deleteLater()


def test_an_obstacle_goes_by_keys(side: SideView, session: Session) -> None:
    session.edit("ground.obstacles", (Obstacle(at=8.0, high=1.0),), "Obstacle")
    side.handles.choose("obstacles.0.high")
    QTest.keyClick(side, Qt.Key.Key_Up)
    QTest.keyClick(side, Qt.Key.Key_Left)
    side.handles.choose("obstacles.0.low")
    ground = place_of(side, "obstacles.0.low")[1]
    for _ in range(3):
        QTest.keyClick(side, Qt.Key.Key_Up)
    (branch,) = session.situation.ground.obstacles
    assert (branch.at, branch.high) == (pytest.approx(7.5), pytest.approx(1.1))
    assert branch.low == pytest.approx(ground + 0.3, abs=0.02)
    assert session.undo_stack.count() == 3


def test_a_tier_is_dragged(side: SideView, session: Session) -> None:
    session.edit("ground.shapes", (Shape(kind="tier", at=12.0, length=3.0, height=0.4),), "Shape")
    side.catch_up()
    assert side.handles.all["shapes.0.end"].mark.name == "End of the tier"
    x, z = place_of(side, "shapes.0.end")
    drag(side, (x, z), (x + 1.0, z + 0.3))
    (tier,) = session.situation.ground.shapes
    assert (tier.length, tier.height) == (pytest.approx(4.0, abs=0.11), pytest.approx(0.7, abs=0.05))
    assert session.undo_stack.undoText() == "Tier"
    side.handles.choose("shapes.0.start")
    QTest.keyClick(side, Qt.Key.Key_Left)
    assert session.situation.ground.shapes[0].at == pytest.approx(11.5)
    session.undo_stack.undo()
    assert session.situation.ground.shapes == (tier,)


def test_the_lip_of_a_bunker_is_dragged(side: SideView, session: Session) -> None:
    session.edit("lie.ground", "sand", "Lie")
    session.edit("lie.lip_height", 0.5, "Lip")
    side.catch_up()
    x, z = place_of(side, "lip")
    assert (x, z) == (3.0, 0.5)
    drag(side, (x, z), (x - 1.0, z + 0.3))
    lie = session.situation.lie
    assert lie.lip_distance == pytest.approx(2.0, abs=0.11) and lie.lip_height == pytest.approx(0.8, abs=0.05)
    assert session.undo_stack.count() == 3


def test_what_is_said_of_a_mark_hides_no_flight(qapp: Any) -> None:
    """One pixel a centimetre, a flight right above the mark: the words stand elsewhere, with all in sight."""
    callout, seen = Callout(Theme("light")), QRectF(0.0, 0.0, 400.0, 300.0)
    to_screen = QTransform.fromTranslate(0.0, 250.0).scale(20.0, -100.0)
    x = np.linspace(0.0, 20.0, 200)
    flight = np.stack([x, 2.0 * np.sin(np.pi * x / 20.0)])

    def hidden() -> int:
        """How many points of the flight are painted over."""
        picture = QImage(400, 300, QImage.Format.Format_RGB32)
        picture.fill(QColor("black"))
        painter = QPainter(picture)
        callout.paint_screen(painter, to_screen, seen)
        painter.end()
        spots = [to_screen.map(QPointF(*point)).toPoint() for point in flight.T.tolist()]
        return sum(picture.rect().contains(s) and picture.pixelColor(s) != QColor("black") for s in spots)

    callout.tell(2.0, 0.1, "Ground point 2, 2.0 m away")
    assert hidden() > 0
    callout.tell(2.0, 0.1, "Ground point 2, 2.0 m away", clear=flight)
    assert hidden() == 0  # beside the mark, under the flight, where the wedge crosses nothing either


def test_a_reading_hides_no_flight_and_stays_near(qapp: Any) -> None:
    """Two flights, one over the other, read off along the lower one."""
    callout, seen = Callout(Theme("light")), QRectF(0.0, 0.0, 600.0, 300.0)
    to_screen = QTransform.fromTranslate(0.0, 250.0).scale(30.0, -100.0)
    x = np.linspace(0.0, 20.0, 200)
    low, high = (np.stack([x, top * np.sin(np.pi * x / 20.0)]) for top in (1.2, 2.2))
    flights = apart([low, high])
    points = [to_screen.map(QPointF(*point)).toPoint() for point in np.hstack([low, high]).T.tolist()]
    hidden = {False: 0, True: 0}
    for k in range(20, 180, 10):
        spot = to_screen.map(QPointF(*low[:, k]))
        for near in hidden:
            picture = QImage(600, 300, QImage.Format.Format_RGB32)
            picture.fill(QColor("black"))
            painter = QPainter(picture)
            clear = flights if near else None
            callout.tell(*low[:, k], "2 Chip", "4.2 yd out, 3.1 ft up", near=near, clear=clear)
            callout.paint_screen(painter, to_screen, seen)
            painter.end()
            away = [p for p in points if (QPointF(p) - spot).manhattanLength() > 25.0]
            hidden[near] += sum(
                picture.pixelColor(p) != QColor("black") for p in away if picture.rect().contains(p)
            )
        painted = [
            abs(j - spot.y()) for i in range(0, 600, 5) for j in range(0, 300, 5)
            if picture.pixelColor(i, j) != QColor("black")
        ]  # fmt: skip
        assert max(painted) < 130.0
    assert hidden[False] > 20 and hidden[True] == 0


def test_the_wedge_to_a_mark_crosses_as_few_flights_as_can_be(qapp: Any) -> None:
    """A flight comes down on the left of the mark, another passes high: the words stand on its right."""
    x = np.linspace(0.0, 10.0, 200)
    low = np.stack([x, 0.4 * np.sin(np.pi * x / 10.0)])
    high = np.stack([2.0 * x, 2.0 * np.sin(np.pi * x / 10.0)])
    callout, seen = Callout(Theme("light")), QRectF(0.0, 0.0, 400.0, 300.0)
    to_screen = QTransform.fromTranslate(0.0, 250.0).scale(20.0, -100.0)
    picture = QImage(400, 300, QImage.Format.Format_RGB32)
    for spot in (5.0, 10.5, 18.0):
        picture.fill(QColor("black"))
        callout.tell(spot, 0.0, "Hole", clear=apart([low, high]))
        painter = QPainter(picture)
        callout.paint_screen(painter, to_screen, seen)
        painter.end()
        for line in (low, high):
            points = [to_screen.map(QPointF(*point)).toPoint() for point in line.T.tolist()]
            points = [p for p in points if abs(p.x() - 20.0 * spot) > 6 and picture.rect().contains(p)]
            assert all(picture.pixelColor(p) == QColor("black") for p in points)


def test_crossings_are_counted_and_a_gap_is_none() -> None:
    x, y = np.array([0.0, 10.0, np.nan, 0.0, 10.0]), np.array([1.0, 1.0, np.nan, 2.0, 4.0])
    for other, wanted in (((5.0, 5.0), 2), ((5.0, 1.5), 1), ((5.0, 0.5), 0), ((-1.0, 5.0), 0)):
        assert crossings(QPointF(other[0], 0.0), QPointF(*other), x, y) == wanted


def test_an_edge_above_the_view_is_held_at_its_border(side: SideView, session: Session) -> None:
    """A high branch: its mark stands inside the view, tells its height, and goes as far as the mouse."""
    session.edit("ground.obstacles", (Obstacle(at=8.0, low=2.0, high=7.0),), "Obstacle")
    side.catch_up()
    handle = side.handles.all["obstacles.0.high"]
    high = side.viewRange()[1][1]
    assert high < 7.0 and handle.beyond == 1
    place = handle.pos()
    assert 0.8 * high < place.y() < high
    hold(side, (place.x(), place.y()), (place.x(), place.y() - 0.5))
    (branch,) = session.situation.ground.obstacles
    assert branch.high == pytest.approx(6.5, abs=0.1)
    side.catch_up()
    assert side.callout.lines[0] == "Upper edge of obstacle 1" and "up" in side.callout.lines[1]
    send(side, QEvent.Type.MouseButtonRelease, place.x(), place.y() - 0.5, held=False)
    session.edit("ground.obstacles", (Obstacle(at=8.0, low=0.5, high=1.0),), "Obstacle")
    side.catch_up()
    assert side.handles.all["obstacles.0.high"].beyond == 0 and place_of(side, "obstacles.0.high")[1] == 1.0


def test_what_is_said_in_the_plan_leaves_the_spot_tried_in_sight(plan: PlanView, session: Session) -> None:
    """The words of a landing left of the line hid where its ball goes on to."""
    plan.handles.choose("landing")
    session.try_landing(5.0, 1.0)
    front = session.shown[0]
    x = np.linspace(0.0, 20.0, len(front.track.time))
    track = dataclasses.replace(front.track, position=np.stack([x, 0.2 * x, 0.0 * x]))
    drawn = Drawn(
        front.club, front.technique, 9.0, 0.42, "hip", 0.0, 5.0, (5.0, 1.0), (20.0, 4.0), 4.5, "at_rest",
        "green", 0.8, track,
    )  # fmt: skip
    before = plan.grab().toImage()
    session.land_there(Spot(key_of(front), (5.0, 1.0), drawn), session.document)
    assert plan.traces.spot is not None and len(plan.callout.lines) == 3
    with_words = plan.grab().toImage()
    plan.callout.tell(0.0, 0.0)
    without = plan.grab().toImage()
    assert before != with_words != without
    for away in x[4:]:
        spot = plan.mapFromScene(plan.getViewBox().mapViewToScene(QPointF(away, 0.2 * away)))
        if plan.rect().contains(spot) and abs(away - 5.0) > 1.5:
            assert with_words.pixelColor(spot) == without.pixelColor(spot)


def test_long_words_are_folded_after_commas(qapp: Any) -> None:
    metrics = QFontMetricsF(qapp.font())
    words = "24.4 yd out, 11.1 ft up, after 1.64 s, 31 mph"
    assert folded(words, metrics, 1000.0) == [words]
    for most in (150.0, 100.0, 10.0):
        parts = folded(words, metrics, most)
        assert " ".join(parts) == words
        assert all(metrics.horizontalAdvance(part) <= most for part in parts) or most < 50.0


def answer(session: Session, landing: float, ending: str = "at_rest") -> None:
    """What the sketcher would say."""
    front = session.shown[0]
    drawn = Drawn(
        front.club, front.technique, 9.0, 0.42, "hip", 0.0, landing, (landing, 0.0), (19.0, 0.4), 1.08,
        ending, "green", 0.8, front.track,
    )  # fmt: skip
    session.land_there(Spot(key_of(front), (landing, 0.0), drawn), session.document)


def test_the_landing_spot_is_dragged_and_answered(side: SideView, session: Session, qtbot: Any) -> None:
    x, z = place_of(side, "landing")
    assert x == session.shown[0].landing[0]
    with qtbot.waitSignals([session.spot_wanted] * 3):
        hold(side, (x, z), (x + 2.0, z))
    answer(session, x + 2.0)
    assert side.callout.lines == (
        "your spot, 3.0 m on the green",
        "42 % of a full swing, hands hip-high",
        "carries 9.0 m, finishes 1.0 m past the hole, 0.4 m left",
    )
    assert side.flights.spot is not None
    assert side.flights.all[-1] is side.flights.spot
    send(side, QEvent.Type.MouseButtonRelease, x + 2.0, z, held=False)
    assert place_of(side, "landing")[0] == pytest.approx(x + 2.0, abs=0.1)  # it stays until the next edit
    assert session.undo_stack.count() == 0  # nothing of the situation was edited
    session.edit("green.wet", True, "Wet green")
    assert side.flights.spot is None
    assert place_of(side, "landing")[0] == x
    assert side.callout.lines == ("Landing spot, 7.0 m away",)  # the mouse is still on it


@pytest.mark.parametrize("name", ["side", "plan"])
def test_a_double_click_tries_a_landing_there(
    name: str, request: pytest.FixtureRequest, session: Session, qtbot: Any
) -> None:
    view: View = request.getfixturevalue(name)
    place = view.getViewBox().mapViewToScene(QPointF(5.0, 0.5))
    with qtbot.waitSignal(session.spot_wanted) as wanted:
        QTest.mouseDClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.mapFromScene(place))
    assert wanted.args[0][0] == pytest.approx(5.0, abs=0.1)
    if name == "plan":
        assert wanted.args[0][1] == pytest.approx(0.5, abs=0.1)
    assert view.handles.chosen == "landing" and session.undo_stack.count() == 0
    assert "try_landing" in [action.objectName() for action in view.make_menu(None).actions()]
    session.bring_forward(next(key_of(s) for s in session.advice.shots if s.technique == "putt"))  # type: ignore[union-attr]
    with qtbot.assertNotEmitted(session.spot_wanted):
        QTest.mouseDClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.mapFromScene(place))


def test_the_words_of_a_spot_and_of_a_playback_hide_the_earth_only(qapp: Any) -> None:
    callout, seen = Callout(Theme("light")), QRectF(0.0, 0.0, 400.0, 300.0)
    picture = QImage(400, 300, QImage.Format.Format_RGB32)
    picture.fill(QColor("black"))
    painter = QPainter(picture)
    callout.tell(12.0, 0.5, "your spot, 3.0 m on the green", "hands hip-high, " * 9, foot=True)
    callout.paint_screen(painter, QTransform.fromTranslate(0.0, 200.0).scale(20.0, -100.0), seen)
    rows = 4 * QFontMetricsF(painter.font()).lineSpacing() + 12.0
    painter.end()
    touched = [y for y in range(300) for x in (0, 200, 399) if picture.pixelColor(x, y) != QColor("black")]
    assert 300 - rows < min(touched) and max(touched) == 299


def test_a_spot_that_no_swing_reaches_is_told(side: SideView, session: Session) -> None:
    front = session.shown[0]
    session.try_landing(90.0, 0.0)
    session.land_there(Spot(key_of(front), (90.0, 0.0), None), session.document)
    assert side.callout.lines == ("no swing of this shot lands there",)
    assert side.flights.spot is None


def test_everything_goes_by_keyboard(side: SideView, session: Session, qtbot: Any) -> None:
    x, _ = place_of(side, "landing")
    with qtbot.waitSignal(session.spot_wanted) as wanted:
        QTest.keyClick(side, Qt.Key.Key_Right)
    assert wanted.args[0][0] == pytest.approx(x + 0.5)
    with qtbot.waitSignal(session.spot_wanted) as wanted:
        QTest.keyClick(side, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert wanted.args[0][0] == pytest.approx(x - 2.0)
    QTest.keyClick(side, Qt.Key.Key_Escape)
    assert side.handles.chosen is None
    assert place_of(side, "landing")[0] == x
    seen = []
    for _ in range(len(side.handles.all)):
        QTest.keyClick(side, Qt.Key.Key_PageDown)
        seen.append(side.handles.chosen)
    assert set(seen) == set(side.handles.all)
    QTest.keyClick(side, Qt.Key.Key_PageUp)
    assert side.handles.chosen == seen[-2]
    side.handles.choose("hole")
    for _ in range(3):
        QTest.keyClick(side, Qt.Key.Key_Right)
    assert session.situation.hole.distance == pytest.approx(19.5)
    assert session.undo_stack.count() == 1
    assert side.callout.lines == ("Hole, 19.5 m away",)
    side.handles.choose("profile.1")
    QTest.keyClick(side, Qt.Key.Key_Up)
    assert session.situation.ground.profile[1].height == pytest.approx(0.5)
    assert session.undo_stack.count() == 2
    QTest.keyClick(side, Qt.Key.Key_Delete)
    assert len(session.situation.ground.profile) == 1
    assert side.handles.chosen is None


def test_other_keys_are_left_to_the_window(side: SideView, qtbot: Any) -> None:
    with qtbot.waitSignal(side.play_wanted):
        QTest.keyClick(side, Qt.Key.Key_Space)
    before = side.viewRange()
    QTest.keyClick(side, Qt.Key.Key_A)
    assert side.viewRange() == before


def test_points_come_and_go_by_the_menu(side: SideView, session: Session) -> None:
    place = side.mapFromScene(side.getViewBox().mapViewToScene(QPointF(10.0, 1.0)))
    menu = side.make_menu(place)
    assert "Add a ground point here" in [action.text() for action in menu.actions()]
    menu.actions()[0].trigger()
    assert [point.at for point in session.situation.ground.profile][-1] == pytest.approx(10.0, abs=0.1)
    assert session.undo_stack.undoText() == "Add a ground point"
    side.handles.choose("profile.2")
    menu = side.make_menu(None)  # by the keyboard's menu key
    remove = next(action for action in menu.actions() if action.text() == "Remove ground point 3")
    remove.trigger()
    assert session.situation == HERE


def test_the_menu_opens(side: SideView, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[QMenu] = []
    monkeypatch.setattr(QMenu, "popup", lambda menu, place: opened.append(menu))
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, QPoint(200, 100), side.mapToGlobal(QPoint(200, 100))
    )
    QApplication.sendEvent(side.viewport(), event)
    texts = [action.text() for action in opened[0].actions()]
    assert texts == ["Add a ground point here", "Try a landing here", "Save this view as a picture ..."]


def test_a_way_is_read_off_under_the_mouse(side: SideView, session: Session) -> None:
    way = side.flights.ways[0]
    k = int(way.z.argmax())
    send(side, QEvent.Type.MouseMove, float(way.x[k]), float(way.z[k]), held=False)
    name, numbers = side.callout.lines
    assert name.startswith("1 ")
    assert numbers.startswith("3.5 m out, 0.8 m up")
    assert "after " in numbers
    assert numbers.endswith("m/s")
    send(side, QEvent.Type.MouseMove, 1.0, 2.8, held=False)
    assert side.callout.lines == ()
    assert side.pointer.moment is None


def test_the_plan_takes_the_landing_anywhere_and_the_side_view_follows(
    plan: PlanView, side: SideView, session: Session, qtbot: Any
) -> None:
    x, y = place_of(plan, "landing")
    with qtbot.waitSignal(session.spot_wanted):
        hold(plan, (x, y), (x + 2.0, y + 1.0))
    assert place_of(plan, "landing") == (pytest.approx(x + 2.0, abs=0.1), pytest.approx(y + 1.0, abs=0.1))
    assert place_of(side, "landing")[0] == place_of(plan, "landing")[0]
    answer(session, x + 2.0)
    assert plan.callout.lines[0] == "your spot, 3.0 m on the green"
    assert plan.traces.spot is not None
    send(plan, QEvent.Type.MouseButtonRelease, x + 2.0, y + 1.0, held=False)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert place_of(plan, "landing") == (x, y)
    with qtbot.waitSignal(session.spot_wanted) as wanted:
        QTest.keyClick(plan, Qt.Key.Key_Up)
    assert wanted.args[0] == (pytest.approx(x + 0.0), pytest.approx(y + 0.25))


def test_the_plan_moves_the_hole_along_the_line(plan: PlanView, session: Session) -> None:
    drag(plan, (18.0, 0.0), (20.0, 3.0))
    assert session.situation.hole.distance == pytest.approx(20.0, abs=0.11)
    assert place_of(plan, "hole") == (session.situation.hole.distance, 0.0)
    assert plan.callout.lines[0].startswith("Hole, ")
    plan.handles.choose("hole")
    QTest.keyClick(plan, Qt.Key.Key_Left)
    assert session.situation.hole.distance == pytest.approx(19.5, abs=0.11)
