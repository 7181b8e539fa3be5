"""Playback: all balls by one clock, from landing to landing, at three paces, read off as they go."""

from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QIcon
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLayout, QWidget

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session, key_of
from shortgame_gui.desktop.shot.motion import Way, reading, shown_ways, way_of
from shortgame_gui.desktop.shot.playback import PACES, Playback, PlaybackBar
from shortgame_gui.desktop.shot.workspace import ShotWorkspace
from shortgame_gui.desktop.theme import Mode, Theme
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.numbers import Style


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    made = Session(Document(Situation(), packaged_bag()))
    made.answer(made_advice, made.document)
    return made


def playback_of(session: Session) -> Playback[Way]:
    signals = session.advice_changed, session.picked, session.pictured
    return Playback(lambda: shown_ways(session), *signals)


@pytest.fixture
def playback(session: Session) -> Playback:
    return playback_of(session)


def loose(widget: QWidget) -> None:
    """Tell no smallest size to the desktop, which the offscreen one cannot take."""
    layout = widget.layout()
    assert layout is not None
    layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)


@pytest.fixture
def bar(playback: Playback, qtbot: Any) -> PlaybackBar:
    made = PlaybackBar(playback, Theme("light"), Measures("metres"))
    qtbot.addWidget(made)
    loose(made)
    made.show()
    return made


@pytest.fixture
def shot(session: Session, qtbot: Any) -> ShotWorkspace:
    made = ShotWorkspace(session, Theme("light"), Measures("metres"))
    qtbot.addWidget(made)
    loose(made)
    made.resize(1000, 700)
    made.show()
    return made


def test_a_ball_is_on_its_way_at_every_moment(made_advice: Advice) -> None:
    """The made flight is a parabola in time over 1.29 s: half way it is at its top."""
    shot = made_advice.shots[0]
    way = way_of(0, shot)
    landing = shot.track.time[shot.track.landing]
    top = way.at(landing / 2.0)
    assert (top.x, top.z) == (pytest.approx(3.5, abs=0.01), pytest.approx(0.8, abs=0.005))
    assert way.at(landing).x == pytest.approx(7.0)
    for k in range(0, len(shot.track.time), 7):
        moment = way.at(float(shot.track.time[k]))
        assert (moment.x, moment.y, moment.z) == pytest.approx(tuple(shot.track.position[:, k]), abs=1e-6)
    after = way.at(100.0)
    assert (after.x, after.speed) == (pytest.approx(17.6), 0.0)
    assert way.stops == pytest.approx(sorted({0.0, *shot.track.time[[19, 38]], 4.0}))


def test_a_moment_in_words(made_advice: Advice) -> None:
    moment = way_of(0, made_advice.shots[0]).at(4.0)
    assert reading(moment, Style(yards=False)) == "17.6 m out, 0.0 m up, 0.1 m left, after 4.00 s, 0.0 m/s"
    assert reading(moment, Style()) == "19.2 yd out, 0.0 ft up, 0.3 ft left, after 4.00 s, 0 mph"


def test_time_runs_at_its_pace_and_ends(playback: Playback) -> None:
    assert playback.time is None
    playback.play_or_pause()
    assert playback.playing
    playback.advance(0.5)
    assert playback.time == pytest.approx(0.5)
    playback.set_pace(0.25)
    playback.advance(0.4)
    assert playback.time == pytest.approx(0.6)
    playback.play_or_pause()
    assert not playback.playing
    assert playback.time == pytest.approx(0.6)
    playback.play_or_pause()
    playback.set_pace(1.0)
    playback.advance(60.0)
    assert playback.time == playback.end == pytest.approx(4.0)
    assert not playback.playing
    playback.play_or_pause()  # from the strike again
    assert playback.time == 0.0
    playback.reset()
    assert playback.time is None


def test_the_clock_itself_drives_it(playback: Playback, qtbot: Any) -> None:
    playback.play_or_pause()
    with qtbot.waitSignals([playback.moved, playback.moved]):
        pass
    assert playback.time is not None
    assert 0.0 < playback.time < 4.0
    playback.pause()


def test_steps_go_from_landing_to_landing(playback: Playback) -> None:
    stops = playback.stops
    seen = []
    for _ in range(len(stops)):
        playback.step(1)
        seen.append(playback.time)
    assert seen == pytest.approx([*stops[1:], stops[-1]])
    playback.step(-1)
    assert playback.time == pytest.approx(stops[-2])
    playback.seek(stops[1] + 0.1)
    playback.step(-1)
    assert playback.time == pytest.approx(stops[1])


def test_other_shots_end_it_and_an_edit_while_it_runs_does_not(
    playback: Playback, session: Session, made_advice: Advice
) -> None:
    playback.seek(1.0)
    session.bring_forward(key_of(made_advice.shots[3]))
    assert playback.time is None
    assert playback.ways[0].shot is made_advice.shots[3]
    playback.play_or_pause()
    playback.seek(1.0)
    session.mark(key_of(made_advice.shots[4]), True)
    assert playback.playing
    assert playback.time == 1.0
    playback.reset()


def test_without_shots_there_is_nothing_to_play(qapp: Any, qtbot: Any) -> None:
    playback = playback_of(Session())
    bar = PlaybackBar(playback, Theme("light"), Measures("metres"))
    qtbot.addWidget(bar)
    playback.play_or_pause()
    playback.step(1)
    assert playback.time is None
    assert not bar.play.isEnabled()


@pytest.mark.parametrize("mode", ["light", "dark"])
def test_signs_that_do_nothing_are_fainter_in_both_themes(mode: Mode, playback: Playback, qtbot: Any) -> None:
    theme = Theme(mode)
    bar = PlaybackBar(playback, theme, Measures("metres"))
    qtbot.addWidget(bar)
    for button in (bar.back, bar.play, bar.on):
        inks = []
        for state in (QIcon.Mode.Normal, QIcon.Mode.Disabled):
            picture = button.icon().pixmap(button.iconSize(), 2.0, state).toImage()
            spots = [(x, y) for x in range(picture.width()) for y in range(picture.height())]
            solid = [p for p in (picture.pixelColor(*spot) for spot in spots) if p.alpha() == 255]
            inks.append(solid[len(solid) // 2].name())
        assert inks == [QColor(theme.colours.text).name(), QColor(theme.colours.line).name()]


def test_the_bar_runs_it(bar: PlaybackBar, playback: Playback, qtbot: Any) -> None:
    qtbot.mouseClick(bar.play, Qt.MouseButton.LeftButton)
    assert playback.playing
    assert bar.play.accessibleName() == "Pause"
    bar.moment.setValue(1500)  # as its handle does; that stops the clock
    assert not playback.playing
    assert playback.time == 1.5
    assert "after 1.50 s" in bar.moment.accessibleDescription()
    qtbot.mouseClick(bar.on, Qt.MouseButton.LeftButton)
    after = playback.time
    assert after in playback.stops
    assert bar.moment.value() == round(1000 * after)
    qtbot.mouseClick(bar.back, Qt.MouseButton.LeftButton)
    assert playback.time is not None
    assert playback.time < after
    bar.pace.setCurrentIndex(2)
    bar.pace.activated.emit(2)
    assert playback.pace == 0.25
    playback.set_pace(0.5)
    assert bar.pace.currentText() == "Half speed"
    assert list(PACES.values()) == [1.0, 0.5, 0.25]


def test_all_balls_move_in_both_views_and_are_read_off(shot: ShotWorkspace) -> None:
    assert not shot.side.balls.all
    shot.playback.seek(1.0)
    for view in (shot.side, shot.plan):
        assert len(view.balls.all) == len(shot.playback.ways) == 3
    for k, way in enumerate(shot.playback.ways):
        moment = way.at(1.0)
        beside, above = shot.side.balls.all[k].pos(), shot.plan.balls.all[k].pos()
        assert (beside.x(), beside.y()) == (pytest.approx(moment.x), pytest.approx(moment.z))
        assert (above.x(), above.y()) == (pytest.approx(moment.x), pytest.approx(moment.y))
    assert shot.side.callout.lines[0].startswith("1 ")
    assert "after 1.00 s" in shot.side.callout.lines[1]
    xs = [ball.pos().x() for ball in shot.side.balls.all]
    shot.playback.seek(2.0)
    assert np.all(np.array([ball.pos().x() for ball in shot.side.balls.all]) > xs)
    QTest.keyClick(shot.plan, Qt.Key.Key_Space)
    assert shot.playback.playing
    QTest.keyClick(shot.side, Qt.Key.Key_Space)
    assert not shot.playback.playing
    QTest.keyClick(shot.side, Qt.Key.Key_Escape)
    assert not shot.side.balls.all
    assert not shot.plan.balls.all
    assert shot.side.callout.lines == ()


def test_the_signs_on_its_buttons_grow_with_the_letters(bar: PlaybackBar, playback: Playback) -> None:
    font = bar.font()
    font.setPointSizeF(3.0 * font.pointSizeF())
    bar.setFont(font)
    playback.changed.emit()
    side = bar.fontMetrics().height()
    for button in (bar.back, bar.play, bar.on):
        assert button.iconSize().toTuple() == (side, side)
        assert button.icon().actualSize(button.iconSize()).toTuple() == (side, side)
