"""The session: edits as commands, files that never harm the open document, advice that is never stale."""

from dataclasses import replace as other
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from shortgame_gui.desktop.edits import edited, edited_band
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.ground import Band, Green, Hole, ProfilePoint
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import DocumentError, packaged_bag, read_situation, write_bag


@pytest.fixture
def session(qapp: Any) -> Session:
    return Session()


def test_edit_undo_redo(session: Session, qtbot: Any) -> None:
    before = session.document
    with qtbot.waitSignal(session.changed):
        session.edit("lie.sits", "down", "Ball sits")
    assert session.situation.lie.sits == "down"
    assert session.undo_stack.undoText() == "Ball sits"
    session.undo_stack.undo()
    assert session.document == before
    session.undo_stack.redo()
    assert session.situation.lie.sits == "down"


def test_a_gesture_is_one_step(session: Session) -> None:
    for speed in (3.1, 3.2, 3.3):
        session.edit("green.speed", speed, "Green speed", gesture=1)
    session.edit("green.speed", 3.4, "Green speed", gesture=2)
    session.edit("green.firmness", 90.0, "Firmness", gesture=2)
    assert session.undo_stack.count() == 3
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.situation.green.speed == 3.3
    session.undo_stack.undo()
    assert session.situation.green == Green()


def test_a_gesture_that_comes_back_leaves_nothing_to_undo(session: Session) -> None:
    start = session.situation.green.speed
    for speed in (3.1, 3.2, start):
        session.edit("green.speed", speed, "Green speed", gesture=1)
    assert session.undo_stack.count() == 0
    assert not session.unsaved


def test_an_edit_that_changes_nothing_is_no_step(session: Session) -> None:
    session.edit("green.wet", False, "Wet green")
    assert session.undo_stack.count() == 0


def test_a_value_out_of_range_is_refused_in_words(session: Session, qtbot: Any) -> None:
    before = session.document
    with qtbot.waitSignal(session.refused) as caught:
        session.edit("green.depth", 1000.0, "Depth of the green")
    label, error = caught.args
    assert label == "Depth of the green"
    assert "at most" in error.problem and error.field == "green.depth"
    assert session.document == before


@pytest.mark.parametrize(
    ("path", "value", "front", "depth", "hole"),
    [
        ("hole.distance", 20.0, 6.0, 24.0, 20.0),
        ("hole.distance", 3.0, 3.0, 24.0, 3.0),
        ("hole.distance", 40.0, 6.0, 34.0, 40.0),
        ("hole.distance", 110.0, 50.0, 60.0, 110.0),
        ("green.front", 25.0, 25.0, 24.0, 25.0),
        ("green.depth", 8.0, 6.0, 8.0, 14.0),
    ],
)
def test_the_hole_stays_on_the_green(
    path: str, value: float, front: float, depth: float, hole: float
) -> None:
    made = edited(Situation(), path, value)
    assert (made.green.front, made.green.depth, made.hole.distance) == (front, depth, hole)


def test_the_gap_of_the_full_carry_is_stepped_over() -> None:
    assert edited(Situation(), "player.wedge_carry", 1.0).player.wedge_carry == 20.0
    known = replace(Situation(), player=Player(wedge_carry=20.0))
    assert edited(known, "player.wedge_carry", 19.0).player.wedge_carry == 0.0


def test_profile_points_are_kept_in_order_and_apart() -> None:
    points = (
        ProfilePoint(at=5.0, height=0.0),
        ProfilePoint(at=5.0, height=1.0),
        ProfilePoint(at=2.0, height=0.5),
    )
    made = edited(Situation(), "ground.profile", points).ground.profile
    assert [(p.at, p.height) for p in made] == [(2.0, 0.5), (5.0, 0.0), (5.05, 1.0)]


@pytest.mark.parametrize(
    ("name", "value", "same"),
    [
        ("start", 9.0, ("left", "right")),
        ("start", 150.0, ("left", "right")),
        ("end", 1.0, ("left", "right")),
        ("end", -20.0, ("left", "right")),
        ("left", -30.0, ("start", "end")),
        ("right", -60.0, ("start", "end")),
    ],
)
def test_a_band_keeps_length_and_width(name: str, value: float, same: tuple[str, str]) -> None:
    band = Band(surface="sand", start=2.0, end=4.0, left=5.0, right=5.0)
    made = edited_band(band, name, value)
    assert made.end > made.start
    assert made.left + made.right > 0
    assert abs(getattr(made, name) - value) < 0.101
    assert all(getattr(made, kept) == getattr(band, kept) for kept in same)


def test_the_hole_of_a_survey_moves_along_the_line(tmp_path: Path) -> None:
    session = Session()
    session.open_demo("situations/14-surveyed-green.json")
    before = session.situation.survey
    session.edit("hole.distance", 0.75 * before.distance, "Distance to the hole")
    after = session.situation.survey
    assert session.situation.hole.distance == pytest.approx(0.75 * before.distance)
    assert (after.hole_x, after.hole_y) == pytest.approx((1226 + 0.75 * 32, 669 + 0.75 * 16))
    session.edit("green.front", 30.0, "Distance to the green")  # pushes the hole on
    assert session.situation.survey.distance == pytest.approx(30.0)
    file = tmp_path / "moved.json"
    session.save(file)
    fresh = Session()
    fresh.open(file)
    assert fresh.situation.survey.grid == before.grid
    assert fresh.situation.hole == session.situation.hole


def test_save_and_open(session: Session, tmp_path: Path, qtbot: Any) -> None:
    file = tmp_path / "twelve metres.json"
    session.edit("hole.distance", 12.0, "Distance to the hole")
    assert session.unsaved
    with qtbot.waitSignal(session.file_changed):
        session.save(file)
    assert not session.unsaved
    assert read_situation(file).hole == Hole(distance=12.0)
    session.edit("hole.distance", 14.0, "Distance to the hole")
    assert session.unsaved
    session.undo_stack.undo()
    assert not session.unsaved
    fresh = Session()
    fresh.open(file)
    assert fresh.situation == session.situation
    assert fresh.path == file
    assert not fresh.unsaved
    assert not fresh.undo_stack.canUndo()


def test_a_bad_file_leaves_everything_as_it_was(session: Session, tmp_path: Path) -> None:
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    session.save(good)
    session.edit("green.wet", True, "Wet green")
    before = session.document
    bad.write_text('{"green": {"speed": "fast"}}', encoding="utf-8")
    with pytest.raises(DocumentError, match=r"green\.speed"):
        session.open(bad)
    assert session.document == before
    assert session.path == good
    assert session.undo_stack.canUndo()
    with pytest.raises(DocumentError):
        session.save(tmp_path / "no such folder" / "x.json")
    assert session.unsaved


def test_another_bag_is_a_step_that_can_be_undone(session: Session, tmp_path: Path) -> None:
    few = replace(packaged_bag(), name="three", clubs=packaged_bag().clubs[:3])
    write_bag(tmp_path / "bag.json", few)
    session.open_bag(tmp_path / "bag.json")
    assert session.bag == few and not session.unsaved  # no situation's file holds a bag
    session.edit("green.wet", True, "Wet green")
    assert session.unsaved
    session.undo_stack.undo()
    assert session.bag == few and not session.unsaved
    session.undo_stack.undo()
    assert session.bag == packaged_bag() and not session.unsaved


def test_advice_for_a_document_of_the_past_is_dropped(session: Session, made_advice: Any) -> None:
    before = session.document
    session.answer(made_advice, before)
    assert session.current
    told: list[bool] = []
    session.advice_changed.connect(lambda: told.append(session.current))
    session.edit("green.firmness", 90.0, "Firmness")
    session.edit("green.wet", True, "Wet green")
    assert told == [False]  # out of date is told once, not at every step of a drag
    assert not session.current
    assert session.advice is made_advice  # still there to be shown dimmed
    session.answer(other(made_advice, seed=2), before)
    assert not session.current
    assert session.advice is made_advice
    session.answer(made_advice, Document(session.situation, session.bag))
    assert session.current


def test_a_new_name_keeps_the_advice(session: Session, made_advice: Any) -> None:
    session.answer(made_advice, session.document)
    session.edit("name", "Behind the pond", "Name")
    assert session.current


def test_front_and_marked_shots(session: Session, made_advice: Any, qtbot: Any) -> None:
    assert session.front is None
    assert session.shown == ()
    session.answer(made_advice, session.document)
    first, second, third, fourth = made_advice.shots[:4]
    assert session.front is first
    assert session.shown == (first, second, third)
    with qtbot.waitSignal(session.picked):
        session.bring_forward((third.club.name, third.technique))
    assert session.shown == (third, first, second)
    with qtbot.waitSignal(session.picked):
        session.mark((fourth.club.name, fourth.technique), True)
    assert session.shown == (third, fourth)
    session.answer(other(made_advice, shots=(first, second)), session.document)
    assert session.front is first


def test_values_that_no_rule_saves_raise() -> None:
    with pytest.raises(FieldError):
        edited(Situation(), "lie.sits", "floating")
