"""The Map workspace on a map made by hand: fills while shown, points, loads a cell and writes files."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLayout
from pytestqt.qtbot import QtBot

from shortgame_gui.desktop.map.filler import Question
from shortgame_gui.desktop.map.workspace import MapWorkspace
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.map_picture import MapPicture


@pytest.fixture
def space(qtbot: QtBot, map_by_hand: Question) -> MapWorkspace:
    made = MapWorkspace(Session(), Theme("light"), Measures("yards"), map_by_hand)
    qtbot.addWidget(made, before_close_func=lambda w: w.close_down())
    layout = made.layout()
    assert layout is not None
    layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
    made.resize(900, 700)
    made.show()
    for side in (made.across, made.up):
        side.steps.setValue(4)
    return made


def test_nothing_above_the_map_is_squeezed(space: MapWorkspace, qtbot: QtBot) -> None:
    """Narrow, as beside the panel at 200 %, the choices go under the sides; wide, they come back.

    Where not even a side has room in one row, as with letters of twice the size, its range goes under it.
    """
    for width, beside, folded in ((650, False, False), (450, False, True), (900, True, False)):
        space.resize(width, 500)
        QApplication.processEvents()
        assert (space.layer.y() <= space.up.y()) is beside
        for side in (space.across, space.up):
            assert (side.range.y() >= side.axis_box.geometry().bottom()) is folded
            for part in (side.axis_box, side.low, side.high, side.steps):
                assert part.width() >= part.sizeHint().width()


def enter(space: MapWorkspace, qtbot: QtBot) -> None:
    with qtbot.waitSignal(space.filler.settled):
        space.entered()


def test_it_fills_when_it_is_entered_and_says_what_a_cell_says(space: MapWorkspace, qtbot: QtBot) -> None:
    assert space.map is None
    enter(space, qtbot)
    assert space.map is not None and space.map.complete
    space.chart.setFocus()
    qtbot.keyClick(space.chart, Qt.Key.Key_Right)
    assert space.chart.cursor_cell is not None
    assert "gap wedge, chip" in space.words.text()
    assert space.chart.accessibleDescription() == space.words.text()


def test_a_click_or_enter_loads_the_cell_and_can_be_undone(space: MapWorkspace, qtbot: QtBot) -> None:
    enter(space, qtbot)
    session, before = space._session, space._session.situation
    picture = space.chart.picture()
    assert picture is not None and space.map is not None
    spot = picture.cell_box(3, 0).center().toPoint()
    with qtbot.waitSignal(space.filler.settled):  # the map follows the new situation
        qtbot.mouseClick(space.chart, Qt.MouseButton.LeftButton, pos=QPoint(spot))
    wanted = space._session.situation
    assert wanted != before and wanted.name == before.name
    session.undo_stack.undo()
    assert session.situation == before


def test_an_edit_asks_again_only_while_it_is_shown(space: MapWorkspace, qtbot: QtBot) -> None:
    enter(space, qtbot)
    with qtbot.waitSignal(space.filler.settled):
        space._session.edit("green.firmness", 120.0, "Firmness")
    space.left()
    space._session.edit("green.firmness", 60.0, "Firmness")
    assert not space._pause.isActive() and not space.filler.busy
    assert space.map is not None and space.map.situation.green.firmness == 120.0
    enter(space, qtbot)
    assert space.map.situation.green.firmness == 60.0


def test_a_range_that_cannot_be_and_equal_sides_are_said(space: MapWorkspace, qtbot: QtBot) -> None:
    enter(space, qtbot)
    space.across.axis_box.setCurrentIndex(space.up.axis_box.currentIndex())
    space._ask()
    assert "differ" in space.chart.accessibleDescription()
    space.across.axis_box.setCurrentIndex(space.across.axis_box.findData("distance"))
    space._ask()
    space.across.low.setValue(0.5)
    space._ask()
    assert "Distance to the hole" in space.chart.accessibleDescription()
    space.cancel()


def test_map_and_table_are_written(space: MapWorkspace, qtbot: QtBot, tmp_path: Path) -> None:
    enter(space, qtbot)
    space.layer.setCurrentIndex(1)
    space.write_picture(tmp_path / "map.svg")
    space.write_table(tmp_path / "map.csv")
    assert (tmp_path / "map.svg").stat().st_size > 1000
    assert len((tmp_path / "map.csv").read_text().splitlines()) == 17
    with qtbot.waitSignal(space.failed):
        space.write_table(tmp_path / "none" / "map.csv")


def test_how_it_stands_is_told_in_its_place_and_then_beside_it(space: MapWorkspace, qtbot: QtBot) -> None:
    said: list[tuple[bool, str]] = []
    space.filler.shown.connect(lambda made: said.append((made.complete, space.state.text())))
    enter(space, qtbot)
    assert said[0] == (False, "Filling the map ...")
    assert space.state.text() == "4 x 4 cells, 64 balls each"


def test_a_map_is_painted_anew_only_when_it_looks_otherwise(
    space: MapWorkspace, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To paint a map of 100 x 100 cells takes long: the cursor goes over what was painted."""
    painted: list[MapPicture] = []
    paint = MapPicture.paint
    monkeypatch.setattr(
        MapPicture, "paint", lambda self, painter: (painted.append(self), paint(self, painter))[1]
    )
    enter(space, qtbot)
    space.chart.grab()
    painted.clear()
    seen = []
    for cell in ((0, 0), (1, 2), (3, 3)):
        space.chart.point(cell)
        seen.append(space.chart.grab().toImage())
    assert painted == [] and seen[0] != seen[1] != seen[2]
    space.layer.setCurrentIndex(1)
    space.chart.grab()
    space._measures.switch("metres")
    space.chart.grab()
    space.chart._theme.switch("dark")
    dark = space.chart.grab().toImage()
    assert len(painted) == 3 and dark.pixelColor(20, 20).lightness() < 128
    space.resize(800, 600)
    QApplication.processEvents()
    space.chart.grab()
    assert len(painted) == 4


def test_a_map_of_an_earlier_situation_is_pale_until_the_new_one_comes(
    space: MapWorkspace, qtbot: QtBot
) -> None:
    enter(space, qtbot)
    assert space.chart.current
    sharp = space.chart.grab().toImage()
    with qtbot.waitSignal(space.filler.settled):
        space._session.edit("green.firmness", 120.0, "Firmness")
        assert not space.chart.current
        assert space.chart.grab().toImage() != sharp
    assert space.chart.current
    space._session.edit("green.firmness", 60.0, "Firmness")
    space._session.undo_stack.undo()
    space._ask()
    assert space.chart.current  # it is the situation of the map again


def test_on_surveyed_ground_it_takes_conditions_that_can_change_there(
    space: MapWorkspace, qtbot: QtBot
) -> None:
    enter(space, qtbot)
    assert space.across.axis == "green_to_work_with"
    with qtbot.waitSignal(space.filler.settled):
        space._session.open_demo("situations/14-surveyed-green.json")
    assert (space.across.axis, space.up.axis) == ("firmness", "green_speed")
    with qtbot.waitSignal(space.filler.settled):
        space._session.open_demo("situations/06-thirty-yards-over-sand.json")
    assert space.across.axis == "green_to_work_with"


def test_where_there_can_be_no_map_none_is_left_and_the_reason_stands_in_its_place(
    space: MapWorkspace, qtbot: QtBot
) -> None:
    enter(space, qtbot)
    space._session.open_demo("situations/14-surveyed-green.json")
    space.across.axis_box.setCurrentIndex(space.across.axis_box.findData("distance"))
    empty = space.chart.grab().toImage()
    space._ask()
    assert space.map is None and space.words.text() == ""
    assert space.chart.accessibleDescription() == (
        "Distance to the hole: on a surveyed ground ball and hole stay where they are; "
        "choose another condition."
    )
    assert space.chart.grab().toImage() != empty
    space.cancel()
