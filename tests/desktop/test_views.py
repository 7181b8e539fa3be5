"""Side view and plan view, tested as data first, then a few pixels in both themes."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRect, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPolygonF, QTransform
from PySide6.QtWidgets import QApplication

from shortgame_gui.advice.result import Advice, Drawn, Escape, Shot
from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session, key_of
from shortgame_gui.desktop.shot.callout import folded
from shortgame_gui.desktop.shot.plan_items import RING_LABEL
from shortgame_gui.desktop.shot.plan_view import PlanView
from shortgame_gui.desktop.shot.side_items import beside, box_at, top_of
from shortgame_gui.desktop.shot.side_view import SideView
from shortgame_gui.desktop.theme import DARK, LIGHT, SHOT_DASHES, Theme
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.letters import letter_box
from shortgame_gui.report.section import profile_of, range_of, smooth
from shortgame_gui.store.documents import packaged_bag

SANDY = put_all(
    Situation(),
    {
        "ground.profile": (ProfilePoint(at=0.0, height=0.0), ProfilePoint(at=5.0, height=1.0)),
        "ground.bands": (Band(surface="sand", start=2.0, end=4.0),),
    },
)


@pytest.fixture
def theme(qapp: Any) -> Theme:
    return Theme("light")


@pytest.fixture
def measures(qapp: Any) -> Measures:
    return Measures("yards")


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    made = Session(Document(SANDY, packaged_bag()))
    made.answer(made_advice, made.document)
    return made


@pytest.fixture
def side(session: Session, theme: Theme, measures: Measures, qtbot: Any) -> SideView:
    view = SideView(session, theme, measures)
    qtbot.addWidget(view)
    view.resize(600, 360)
    view.show()
    return view


@pytest.fixture
def plan(session: Session, theme: Theme, measures: Measures, qtbot: Any) -> PlanView:
    view = PlanView(session, theme, measures)
    qtbot.addWidget(view)
    view.resize(600, 300)
    view.setXRange(-2, 26, padding=0)
    view.show()
    return view


def test_the_profile_names_the_surfaces_in_their_order() -> None:
    profile = profile_of(SANDY, -1.0, 35.0)
    kinds = [stretch.surface for stretch in profile.stretches]
    assert kinds == ["fairway", "sand", "fairway", "fringe", "green", "fringe", "rough"]
    sand = profile.stretches[1]
    assert sand.start == pytest.approx(2.0, abs=0.11)
    assert sand.end == pytest.approx(4.0, abs=0.11)
    assert profile.height(0.0) == pytest.approx(0.0, abs=0.02)
    assert profile.height(2.5) == pytest.approx(0.5, abs=0.02)
    assert profile.height(20.0) == pytest.approx(1.0, abs=0.02)


def test_a_smooth_track_passes_through_the_points_and_the_bounces(made_advice: Advice) -> None:
    track = made_advice.shots[0].track
    x, z, time = smooth(track)
    assert len(x) > 3 * len(track.time)
    assert np.all(np.diff(time) >= -1e-12)
    for k in (0, 7, track.landing, track.roll, len(track.time) - 1):
        gap = np.hypot(x - track.position[0][k], z - track.position[2][k]).min()
        assert gap < 1e-9
    # The made flight is a parabola, which a cubic follows: between the points as well.
    top = 0.8
    flight = x < 7.0
    u = x[flight] / 7.0
    assert np.abs(z[flight] - 4 * top * u * (1 - u)).max() < 0.01


def test_the_range_holds_ball_hole_and_finishes_but_no_runaway(made_advice: Advice) -> None:
    low, high = range_of(SANDY, made_advice.shots)
    assert low < 0.0 < 18.0 < high
    lost = replace(made_advice.shots[0], finishes=np.full((2, 10), 1e6))
    assert range_of(SANDY, (lost,))[1] < 60.0


def test_curves_are_the_tracks_of_the_leading_shots(side: SideView, session: Session) -> None:
    assert len(side.flights.ways) == 3
    for place, (way, shot) in enumerate(zip(side.flights.ways, session.shown, strict=True)):
        assert way.shot is shot
        assert way.x[0] == 0.0
        assert way.x[-1] == pytest.approx(shot.track.position[0][-1])
        assert way.z.max() == pytest.approx(shot.apex, abs=0.01)
        pen = side.flights.pen(way)
        assert pen.color() == LIGHT.shot(place)
        assert pen.style() == SHOT_DASHES[place]


def test_flag_and_ground_follow_the_edit_at_once(side: SideView, session: Session) -> None:
    assert side.flag.at == pytest.approx((18.0, 1.0), abs=0.02)
    session.edit("hole.distance", 22.0, "Distance to the hole")
    assert side.flag.at[0] == 22.0
    assert not session.current  # no advice was needed for that
    low, high = side.viewRange()[0]
    assert low < 0 and high > 24.0
    kinds = [s.surface for s in side.section.profile.stretches] if side.section.profile else []
    assert "sand" in kinds
    session.edit("ground.bands", (), "Bands")
    assert side.section.profile is not None
    assert "sand" not in [s.surface for s in side.section.profile.stretches]


def test_surveyed_ground_is_drawn_as_the_engine_sees_it(side: SideView, session: Session) -> None:
    session.open_demo("situations/14-surveyed-green.json")
    profile = side.section.profile
    assert profile is not None
    # A hollow before the green, then the green a good metre above the ball: heights of the grid.
    assert profile.height(0.0) == pytest.approx(0.0, abs=1e-6)
    assert profile.z[(profile.x > 2.0) & (profile.x < 10.0)].min() < -0.2
    assert side.flag.at[1] == pytest.approx(2.1, abs=0.15)


def test_the_old_answer_is_paler(side: SideView, plan: PlanView, session: Session, theme: Theme) -> None:
    def strength() -> float:
        """How far the pen stands off the sky, over what it has at its strongest."""
        sky, full = QColor(theme.colours.sky), theme.colours.shot(0)
        pen = side.flights.pen(side.flights.ways[0]).color()
        return (pen.lightnessF() - sky.lightnessF()) / (full.lightnessF() - sky.lightnessF())

    assert strength() == 1.0
    assert not plan.traces.dim
    session.edit("green.wet", True, "Wet green")
    assert strength() < 0.5
    assert plan.traces.dim
    assert side.section.dim


def test_the_chosen_shot_comes_forward_in_both_views(
    side: SideView, plan: PlanView, session: Session, made_advice: Advice
) -> None:
    lob = made_advice.shots[3]
    session.bring_forward(key_of(lob))
    assert side.flights.ways[0].z.max() == pytest.approx(6.0, abs=0.01)
    assert plan.traces.landing == lob.landing
    putt = made_advice.shots[4]
    session.bring_forward(key_of(putt))
    assert plan.traces.landing is None
    assert np.array_equal(plan.traces.finishes, putt.finishes[:, :400])


def test_a_ring_whose_label_would_be_cut_has_none(plan: PlanView) -> None:
    """At a hole a step away the rings go beyond the view."""
    seen, target = QRectF(-2.0, -2.0, 8.0, 4.0), plan.target
    flip = QTransform.fromTranslate(40.0, 50.0).scale(20.0, -20.0)  # 2 m above the line is at 10 pixels

    def ink(top: int) -> int:
        image = QImage(200, 100, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        target.paint_screen(painter, flip, seen)
        painter.end()
        right = int(40 + 20 * target.hole + RING_LABEL)
        return sum(
            image.pixelColor(x, y).lightness() < 128 for y in range(top) for x in range(right, right + 8)
        )

    was, target.hole = target.hole, 2.0
    try:
        assert ink(12) == 0  # the label of 6 ft, which is 1.83 m, would be half above the view
    finally:
        target.hole = was


def test_rings_are_in_the_players_unit(plan: PlanView, measures: Measures) -> None:
    assert [label for _, label in plan.target.rings()] == ["3 ft", "6 ft", "10 ft"]
    assert plan.target.rings()[0][0] == pytest.approx(0.9144)
    measures.switch("metres")
    assert [label for _, label in plan.target.rings()] == ["1 m", "2 m", "3 m"]


def test_the_ruler_is_in_the_players_unit(side: SideView, measures: Measures) -> None:
    axis = side.getAxis("bottom")
    assert axis.tickStrings([0.0, 4.572, 9.144], axis.scale, 4.572) == ["0", "5", "10"]
    assert "yards" in axis.labelText
    measures.switch("metres")
    assert axis.tickStrings([0.0, 5.0], axis.scale, 5.0) == ["0", "5"]
    assert "metres" in axis.labelText
    up = side.getAxis("left")
    assert up.tickStrings([-5.0, 1.0], up.scale, 1.0)[0] == ""  # nothing is read off inside the earth


def test_equal_scale_shows_a_metre_as_a_metre(side: SideView) -> None:
    def metre() -> tuple[float, float]:
        size = side.getViewBox().viewPixelSize()
        return 1.0 / size[0], 1.0 / size[1]

    along, up = metre()
    assert up > 1.5 * along
    side.set_equal_scale(True)
    along, up = metre()
    assert up == pytest.approx(along, rel=0.02)
    side.set_equal_scale(False)
    along, up = metre()
    assert up > 1.5 * along


def pixel_box(view: SideView | PlanView, x: float, y: float, half: int) -> QRect:
    """The pixels about a place in m."""
    spot = view.mapFromScene(view.getViewBox().mapViewToScene(QPointF(x, y)))
    return QRect(spot.x() - half, spot.y() - half, 2 * half, 2 * half)


def pixel(view: SideView | PlanView, x: float, y: float, picture: QImage, down: float = 0.0) -> QColor:
    spot = view.getViewBox().mapViewToDevice(QPointF(x, y))
    ratio = picture.devicePixelRatio()
    return picture.pixelColor(round(spot.x() * ratio), round((spot.y() + down) * ratio))


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_pixels_follow_the_theme(
    colours: Any, side: SideView, plan: PlanView, theme: Theme, session: Session
) -> None:
    theme.switch("dark" if colours is DARK else "light")
    QApplication.processEvents()
    picture = side.grab().toImage()
    assert pixel(side, -0.5, 2.2, picture) == QColor(colours.sky)
    assert pixel(side, 0.5, 0.1, picture, down=40.0) == QColor(colours.earth)
    turf = {pixel(side, 22.0, 1.0, picture, down=6.0 + k).name() for k in range(3)}
    assert colours.surfaces["green"] in turf
    above = plan.grab().toImage()
    assert pixel(plan, 25.0, 2.6, above) == QColor(colours.surfaces["green"])
    assert pixel(plan, 25.0, 2.6, above) != QColor(colours.surfaces["sand"])


def test_hatching_tells_surfaces_apart_without_colour(plan: PlanView) -> None:
    QApplication.processEvents()
    picture = plan.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    corner = plan.getViewBox().mapViewToDevice(QPointF(2.2, 2.4))
    sand = [
        picture.pixelColor(round(corner.x()) + i, round(corner.y()) + j).value()
        for i in range(20)
        for j in range(20)
    ]
    assert len(set(sand)) > 1


def test_slopes_are_drawn_where_the_ground_is_not_level(plan: PlanView, session: Session) -> None:
    session.edit("ground.profile", (), "Side profile")
    assert plan.slopes.lines.shape == (4, 0)
    assert "lines" not in plan.traces.caption
    session.edit("green.slope_across", 0.02, "Ground rises to the left")
    _, y0, _, y1 = plan.slopes.lines
    # The left is higher, evenly: the lines run along the line of play, 0.25 ft of height apart.
    assert y0 == pytest.approx(y1)
    assert np.unique(np.round(y0 * 0.02 / 0.0762, 6) % 1.0) == pytest.approx([0.0], abs=1e-4)
    along, left = plan.slopes.arrows(np.array([10.0]), np.array([1.0]))
    assert (along[0], left[0]) == pytest.approx((0.0, 0.02))
    assert "lines: each 0.25 ft of height" in plan.traces.caption


def test_the_oval_holds_half_of_the_landings_and_goes_with_a_putt(
    plan: PlanView, session: Session, made_advice: Advice
) -> None:
    assert plan.traces.oval is not None
    outline = QPolygonF([QPointF(*corner) for corner in plan.traces.oval.T.tolist()])
    rule = Qt.FillRule.WindingFill
    inside = sum(outline.containsPoint(QPointF(*p), rule) for p in session.shown[0].landings.T.tolist())
    assert inside == pytest.approx(100, abs=2)
    assert plan.traces.caption.startswith("oval")
    session.bring_forward(key_of(made_advice.shots[4]))
    assert plan.traces.oval is None
    assert plan.traces.caption.startswith("shade")


def test_the_shade_is_darkest_where_most_balls_finish(plan: PlanView, session: Session) -> None:
    found = plan.traces.density
    assert found is not None
    row, column = np.unravel_index(int(found.share.argmax()), found.share.shape)
    rows, columns = found.share.shape
    x = found.low[0] + (found.high[0] - found.low[0]) * (column + 0.5) / columns
    y = found.low[1] + (found.high[1] - found.low[1]) * (row + 0.5) / rows
    middle = np.median(session.shown[0].finishes, axis=1)
    assert (x, y) == (pytest.approx(middle[0], abs=1.0), pytest.approx(middle[1], abs=0.6))
    assert found.share.max() == 1.0


def test_samples_of_the_past_are_paler_than_a_fresh_picture(plan: PlanView, session: Session) -> None:
    session.edit("green.wet", True, "Wet green")
    assert (plan.traces.dim, plan.traces.past) == (True, True)
    session.draw({key_of(shot): drawn_of(shot) for shot in session.shown}, session.document)
    assert (plan.traces.dim, plan.traces.past) == (False, True)


def drawn_of(shot: Shot) -> Drawn:
    return Drawn(
        shot.club, shot.technique, 9.0, 0.4, "hip", 0.0, shot.carry, shot.landing, (19.0, 0.0), 1.0,
        "at_rest", "green", shot.apex, shot.track,
    )  # fmt: skip


def test_the_start_of_the_ball_is_told_where_it_breaks(
    plan: PlanView, session: Session, made_advice: Advice
) -> None:
    assert plan.traces.start_text == ""
    shot = made_advice.shots[0]
    turn = np.array([[0.99, -0.1, 0.0], [0.1, 0.99, 0.0], [0.0, 0.0, 1.0]])
    aside = replace(shot, track=replace(shot.track, position=turn @ shot.track.position))
    session.answer(replace(made_advice, shots=(aside, *made_advice.shots[1:])), session.document)
    start = plan.traces.start
    assert start is not None
    assert start[1] / start[0] == pytest.approx(0.1 / 0.99)
    assert plan.traces.start_text == "starts 6.0 ft left of the hole"  # 18 m x 0.101
    assert plan.grab().toImage().width() > 0


def test_the_peak_is_that_of_the_flight_where_the_ball_rolls_higher(
    side: SideView, session: Session, made_advice: Advice
) -> None:
    """On to an upper tier: the words stood at the top of the roll."""
    shot = made_advice.shots[0]
    raised = shot.track.position.copy()
    raised[2, shot.track.roll :] = 5.0 * shot.apex
    track = replace(shot.track, position=raised)
    session.answer(replace(made_advice, shots=(replace(shot, track=track),)), session.document)
    way = side.flights.ways[0]
    top = top_of(way)
    assert way.z.max() == pytest.approx(5.0 * shot.apex) and way.z[top] == pytest.approx(shot.apex, abs=0.01)
    assert way.x[top] == pytest.approx(0.5 * shot.landing[0], abs=0.3)


def test_numbers_of_a_low_flight_stand_over_each_other_where_there_is_no_room_beside(
    side: SideView, in_large_letters: QPainter
) -> None:
    """A short low flight in a small view with large letters."""
    to_screen, seen = QTransform.fromTranslate(20.0, 180.0).scale(6.0, -6.0), QRectF(0.0, 0.0, 300.0, 200.0)
    told = [QRectF(10.0, 150.0, 110.0, 24.0)]  # how high the flight in front is
    for way in side.flights.ways:
        told.append(side.flights._number(in_large_letters, to_screen, seen, way, told))
    assert len(told) == 4 and all(seen.contains(box) for box in told)
    assert not any(one.intersects(other) for k, one in enumerate(told) for other in told[:k])


OUT = Escape("sideways_left", "", 0, 1.5, 0.02, (0.0, 2.5), ("sand wedge", "chip"), (0.0, 1.8), "knee")
BACK = Escape("unplayable_back", "19.2b", 1, 3.5, 0.0, (-9.0, 0.0), None)


def test_ways_out_lead_from_the_ball_to_where_it_then_lies(
    plan: PlanView, side: SideView, session: Session, made_advice: Advice
) -> None:
    """Each has its letter; the view shows what lies behind the ball, as far as the shots keep their room."""
    low, high = side.viewRange()[0]
    before = plan.grab().toImage()
    session.answer(replace(made_advice, escapes=(OUT, BACK)), session.document)
    assert plan.ways_out.ways == {"a": OUT, "b": BACK} and not plan.ways_out.dim
    after = plan.grab().toImage()
    for spot in ((0.0, 1.1), (0.0, 2.5)):  # the line, and the square at its end
        box = pixel_box(plan, *spot, 6)
        assert before.copy(box) != after.copy(box)
    assert side.viewRange()[0][0] == pytest.approx(-0.35 * high / 1.03, rel=0.02) and low > -2.0
    session.edit("hole.distance", 20.0, "Distance to the hole")
    assert plan.ways_out.dim


def test_the_letters_of_ways_out_cover_no_words_of_a_small_plan(
    plan: PlanView, session: Session, made_advice: Advice, measures: Measures
) -> None:
    """At the height of a small screen the caption has one line, and letters stand off both."""
    out = replace(OUT, place=(0.0, 5.0), landing=(0.0, 4.0))
    session.answer(replace(made_advice, escapes=(out, BACK)), session.document)
    plan.resize(300, 140)
    plan.traces.start_text = "starts 6.2 ft left of the hole"
    plan.grab()
    start, caption = plan.traces.told
    assert caption.height() < 0.25 * plan.height() and not start.isEmpty()
    seen = plan.getViewBox().sceneBoundingRect()
    for told in (start, caption):
        for x, y in ((0.0, 5.0), (-1.0, 3.0), (2.0, -6.0), (8.0, 3.0)):
            rest = plan.getViewBox().mapViewToScene(QPointF(x, y))
            ball = plan.getViewBox().mapViewToScene(QPointF(0.0, 0.0))
            room = seen.adjusted(2.0, 2.0, -2.0, -2.0 - caption.height())
            assert not letter_box(ball, rest, QSizeF(14.0, 16.0), room, [start]).intersects(told)


@pytest.mark.parametrize(("size", "wide"), [((900, 500), 5.0), ((600, 300), 14.0), ((460, 240), 8.0)])
def test_the_start_covers_no_label_of_a_ring_and_no_flag(
    plan: PlanView, session: Session, size: tuple[int, int], wide: float
) -> None:
    """Near the hole the words stood on the label of a ring, or close over it."""
    plan.resize(*size)
    hole = session.situation.hole.distance
    plan.setXRange(hole - wide, hole + wide, padding=0)
    plan.traces.start_text = "starts 1.4 ft left of the hole"
    plan.grab()
    start, labels = plan.traces.told[0], plan.target.told
    assert start.width() > 100.0 and len(labels) > 1
    assert not any(start.intersects(label.adjusted(-4.0, -3.0, 4.0, 3.0)) for label in labels)
    assert plan.getViewBox().sceneBoundingRect().contains(start)


def test_long_words_of_the_start_are_folded(plan: PlanView) -> None:
    metrics = QFontMetricsF(plan.font())
    most = metrics.horizontalAdvance("left of the hole ")
    lines = folded("starts 14.8 ft left of the hole", metrics, most, after="")
    assert " ".join(lines) == "starts 14.8 ft left of the hole" and lines[-1] == "left of the hole"


ROUND = Obstacle(at=5.0, high=9.0, left=0.5, right=2.5)
WIDE_ROUND = put_all(
    Situation(), {"ground.obstacles": (ROUND, Obstacle(at=9.0, high=3.0, left=3.0, right=3.0))}
)


def turned(shot: Shot, left: float) -> Shot:
    """``shot`` played ``left`` rad to the left of the line."""
    turn = np.array([[np.cos(left), -np.sin(left), 0], [np.sin(left), np.cos(left), 0], [0, 0, 1.0]])
    track = replace(shot.track, position=turn @ shot.track.position)
    finishes, landing = turn[:2, :2] @ shot.finishes, turn[:2, :2] @ np.array(shot.landing)
    return replace(shot, track=track, finishes=finishes, landing=(float(landing[0]), float(landing[1])))


def test_what_the_shots_go_past_is_pale_and_says_so(
    side: SideView, session: Session, made_advice: Advice
) -> None:
    """The flight was drawn in front of the trunk, as if it went through."""
    session.begin_with(Document(WIDE_ROUND, packaged_bag()))
    one, two, three, *others = made_advice.shots
    shots = (turned(one, 0.3), turned(two, 0.3), turned(three, -0.6), *others)
    session.answer(replace(made_advice, situation=WIDE_ROUND, shots=shots), session.document)
    assert side.obstacles.passing == [
        (True, "1 2: round its left, 3: round its right"),
        (False, "3: round its right"),
    ]
    session.bring_forward(key_of(shots[3]))  # on the line
    assert side.obstacles.passing[0] == (False, "1 2: round its left")
    session.begin_with(Document(put_all(Situation(), {"ground.obstacles": (ROUND,)}), packaged_bag()))
    session.answer(replace(made_advice, situation=session.situation, shots=shots[:2]), session.document)
    assert side.obstacles.passing == [(True, "round its left")]
    side.grab()
    (told,) = side.obstacles.told
    assert side.getViewBox().sceneBoundingRect().contains(told) and told.width() > 30.0


def test_the_plan_shows_all_that_it_speaks_of(window: MainWindow, made_advice: Advice) -> None:
    """At 1920 x 1080 there were six metres to each side, whatever went further aside."""
    session, page = window.session, window.shot
    session.begin_with(Document(Situation(), packaged_bag()))
    window.resize(1920, 1080)
    QApplication.processEvents()
    page.turns.finish()
    shots = tuple(turned(shot, -0.5) for shot in made_advice.shots[:3])
    out = replace(OUT, place=(0.0, 6.0), landing=(0.0, 5.0))
    session.answer(replace(made_advice, shots=shots, escapes=(out,)), session.document)
    page.turns.finish()
    seen = page.plan.getViewBox().viewRect()
    places = [out.place, *((float(s.track.position[0][-1]), float(s.track.position[1][-1])) for s in shots)]
    for place in (*places, *(shot.landing for shot in shots)):
        assert place is not None and seen.contains(QPointF(*place)), place
    assert page.plan.getViewBox().viewRange()[0] == pytest.approx(
        page.side.getViewBox().viewRange()[0], abs=0.2
    )
    session.answer(made_advice, session.document)  # and back in the middle where there is room
    page.turns.finish()
    assert page.plan.getViewBox().viewRect().center().y() == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("rest", [(90.0, 40.0), (-300.0, 50.0), (400.0, 51.0), (51.0, -99.0), (49.0, 700.0)])
def test_a_letter_stays_in_the_view_and_off_the_ball(rest: tuple[float, float]) -> None:
    ball, room, size = QPointF(50.0, 50.0), QRectF(0.0, 0.0, 100.0, 100.0), QSizeF(12.0, 16.0)
    first = letter_box(ball, QPointF(*rest), size, room, [])
    assert room.contains(first) and not first.contains(ball)
    if room.contains(QPointF(*rest)):
        assert not letter_box(ball, QPointF(*rest), size, room, [first]).intersects(first)
    else:  # at the border on the way there
        way, middle = QPointF(*rest) - ball, first.center() - ball
        assert abs(way.x() * middle.y() - way.y() * middle.x()) < 1e-6 * (abs(way.x()) + abs(way.y())) * 100.0
        assert way.x() * middle.x() + way.y() * middle.y() > 0.0


def test_the_views_say_what_they_show(side: SideView, plan: PlanView, session: Session) -> None:
    assert side.accessibleName() == "Side view"
    assert "The hole is 19.7 yd away" in side.accessibleDescription()
    assert plan.accessibleDescription().startswith("The green is level.")
    session.edit("green.wet", True, "Wet green")
    for view in (side, plan):
        assert view.accessibleDescription().endswith("These are the shots of an earlier situation.")


def test_a_shots_number_covers_neither_words_nor_another_number() -> None:
    arc = [QPointF(x, 0.01 * (x - 100.0) ** 2) for x in np.linspace(0.0, 200.0, 101)]
    places = [box_at(point, QSizeF(16.0, 18.0)) for point in arc]
    told = [QRectF(70.0, -5.0, 60.0, 12.0), places[20]]

    def covers(at: int) -> bool:
        return any(places[at].intersects(box) for box in told)

    for at in range(101):
        found = beside(places, at, told)
        assert not covers(found)
        nearest = min(abs(k - at) for k in range(101) if not covers(k))
        assert abs(found - at) == nearest
    assert beside(places, 50, [QRectF(-50.0, -50.0, 400.0, 400.0)]) == 50  # nowhere to go
