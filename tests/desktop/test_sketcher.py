"""The quick picture in the window: one question at a time, and an old answer is never taken for new."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from shortgame_gui.advice.result import Advice, Drawn, Shot
from shortgame_gui.desktop.jobs import Cancelled, Job, Progress
from shortgame_gui.desktop.session import Session, Spot, key_of
from shortgame_gui.desktop.sketcher import Sketch, Sketcher, ask_picture, meant


def drawn_of(shot: Shot, landing: tuple[float, float] | None = None) -> Drawn:
    return Drawn(
        shot.club, shot.technique, shot.head_speed + 0.5, 0.4, "hip", 0.02, 8.0, landing or shot.landing,
        (18.5, 0.0), 0.5, "at_rest", "green", shot.apex, shot.track,
    )  # fmt: skip


def spot_of(shot: Shot) -> Spot:
    return Spot(key_of(shot), shot.landing, drawn_of(shot))


class Artist:
    """Draws every shot half a metre a second faster than before; can be held back until it is let go."""

    def __init__(self) -> None:
        self.asked: list[Sketch] = []
        self.go = threading.Event()
        self.go.set()

    def __call__(self, sketch: Sketch) -> Job:
        self.asked.append(sketch)

        def job(progress: Progress, cancelled: Cancelled) -> tuple[Drawn | None, ...]:
            assert self.go.wait(10)
            return tuple(drawn_of(shot, sketch.landing) for shot in sketch.shots)

        return job


@pytest.fixture
def artist() -> Artist:
    return Artist()


@pytest.fixture
def sketcher(session: Session, artist: Artist) -> Iterator[Sketcher]:
    made = Sketcher(session, artist)
    yield made
    made.close()


def test_an_edit_is_drawn_before_it_is_advised_on(sketcher: Sketcher, session: Session, qtbot: Any) -> None:
    assert session.exact
    assert session.ways == session.shown
    with qtbot.waitSignal(session.pictured):
        session.edit("green.speed", 3.3, "Green speed")
        assert not session.exact
    assert session.exact
    assert not session.current
    assert [key_of(shot) for shot in session.ways] == [key_of(shot) for shot in session.shown]
    assert all(shot.head_speed == 10.5 and shot.carry == 8.0 for shot in session.ways)
    assert session.ways[0].finishes is session.shown[0].finishes  # what is of the samples stays


def test_a_steady_drag_is_drawn_while_it_goes_on(
    sketcher: Sketcher, session: Session, artist: Artist, qtbot: Any
) -> None:
    artist.go.clear()
    exact: list[bool] = []
    session.pictured.connect(lambda: exact.append(session.exact))
    for step in range(10):
        session.edit("green.speed", 3.0 + 0.05 * step, "Green speed", gesture=1)
    assert len(artist.asked) == 1
    artist.go.set()
    qtbot.waitUntil(lambda: len(exact) == 2)
    assert exact == [False, True]  # what is of an earlier step is told to be so
    assert artist.asked[-1].document is session.document
    assert artist.asked[-1].before[0].head_speed == 10.5  # it starts from the picture before
    assert artist.asked[-1].before[0].situation is artist.asked[0].document.situation


def test_the_advice_takes_the_picture_away_and_a_late_picture_is_dropped(
    sketcher: Sketcher, session: Session, artist: Artist, made_advice: Advice, qtbot: Any
) -> None:
    artist.go.clear()
    session.edit("green.speed", 3.3, "Green speed")
    session.answer(made_advice, session.document)
    artist.go.set()
    with qtbot.assertNotEmitted(session.pictured):
        assert sketcher.runner.wait_until_idle()
    assert session.current
    assert session.ways == session.shown


def test_a_shot_that_can_no_longer_be_played_is_not_drawn(session: Session) -> None:
    session.edit("green.speed", 3.3, "Green speed")
    first, *others = session.shown
    session.draw({key_of(first): None} | {key_of(s): drawn_of(s) for s in others}, session.document)
    assert [key_of(shot) for shot in session.ways] == [key_of(shot) for shot in others]


def test_a_landing_is_tried_and_stays_until_the_next_edit_or_pick(
    sketcher: Sketcher, session: Session, artist: Artist, qtbot: Any
) -> None:
    with qtbot.waitSignal(session.pictured):
        session.try_landing(9.0, 0.5)
    assert session.spot is not None
    assert session.spot.landing == (9.0, 0.5)
    assert session.spot.drawn is not None
    assert session.spot.drawn.landing == (9.0, 0.5)
    assert [key_of(shot) for shot in artist.asked[-1].shots] == [key_of(session.shown[0])]
    session.bring_forward(key_of(session.shown[1]))
    assert session.spot is None
    with qtbot.waitSignal(session.pictured):
        session.try_landing(9.0, 0.0)
    session.edit("name", "Another name", "Name")
    assert session.spot is not None
    session.edit("green.wet", True, "Wet green")
    assert session.spot is None
    assert sketcher.runner.wait_until_idle()


def test_a_putt_lands_nowhere(
    sketcher: Sketcher, session: Session, artist: Artist, made_advice: Advice
) -> None:
    session.bring_forward(key_of(next(s for s in made_advice.shots if s.technique == "putt")))
    session.try_landing(5.0, 0.0)
    assert not artist.asked


def test_an_answer_about_another_shot_or_an_earlier_document_is_dropped(session: Session) -> None:
    front, second = session.shown[:2]
    before = session.document
    session.land_there(spot_of(second), before)
    assert session.spot is None
    session.edit("green.wet", True, "Wet green")
    session.land_there(spot_of(front), before)
    assert session.spot is None
    session.land_there(spot_of(front), session.document)
    assert session.spot is not None


def test_an_error_is_told_and_the_next_question_asked(
    session: Session, qtbot: Any, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(sketch: Sketch) -> Job:
        def job(progress: Progress, cancelled: Cancelled) -> None:
            raise ArithmeticError("no way down")

        return job

    sketcher = Sketcher(session, broken)
    try:
        with qtbot.waitSignals([sketcher.failed, sketcher.failed]):
            session.edit("green.speed", 3.3, "Green speed")
            session.edit("green.speed", 3.4, "Green speed")
        assert "no way down" in caplog.text
    finally:
        sketcher.close()


def test_the_real_engine_draws(session: Session, qtbot: Any) -> None:
    sketcher = Sketcher(session, ask_picture)
    try:
        session.edit("hole.distance", 18.2, "Distance to the hole")
        assert sketcher.runner.wait_until_idle(30_000)
    finally:
        sketcher.close()
    assert session.exact
    assert session.ways
    for shot in session.ways:
        end = float(shot.track.position[0][-1])
        holed = abs(end - 18.2) < 0.1
        assert holed or end - 18.2 == pytest.approx(shot.finish_aim[0], abs=0.25)


def test_a_shot_that_does_not_reach_the_hole_stays_where_the_hole_moves(session: Session) -> None:
    shot = replace(session.shown[0], finish_aim=(1.0, 0.5))
    assert shot.reaches and meant(shot, shot.hole + 2.0) == (1.0, 0.5)
    # One that goes round something keeps its direction.
    along, left = meant(replace(shot, past="left"), shot.hole + 2.0)
    assert left / (shot.hole + 2.0 + along) == pytest.approx(0.5 / (shot.hole + 1.0)) and along == 1.0
    short = replace(shot, finish_aim=(-40.0, 0.0))
    assert not short.reaches
    along, left = meant(short, short.hole + 2.0)
    assert short.hole + 2.0 + along == pytest.approx(short.carry + short.run) and left == 0.0
