"""Height grids: the form as published, and one plain line for whatever is wrong with a file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui import assets
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.survey import HeightGrid, Survey
from shortgame_gui.store import height_grid
from shortgame_gui.store.documents import (
    DocumentError,
    read_demo,
    read_situation,
    to_text,
    write_situation,
)

HEAD = "ncols 4\nnrows 5\nxllcorner 100\nyllcorner 200\ncellsize 2\nNODATA_value -9999\n"
ROWS = "\n".join(" ".join(f"{row}.{k}" for k in range(4)) for row in range(5))
GOOD = HEAD + ROWS


def read(text: str) -> HeightGrid:
    return height_grid.read(text.encode())


def test_a_grid_as_the_form_is_described() -> None:
    """Corner, centre, and the northernmost row first: Esri's description of the form; independent."""
    grid = read(GOOD)
    assert (grid.x0, grid.y0, grid.spacing) == (101.0, 201.0, 2.0)
    assert grid.heights.shape == (5, 4)
    assert grid.heights[-1].tolist() == [0.0, 0.1, 0.2, 0.3]  # the file's first row, in the north
    assert grid.heights[0].tolist() == [4.0, 4.1, 4.2, 4.3]
    assert grid.reach == (101.0, 107.0, 201.0, 209.0)
    centred = read(GOOD.replace("xllcorner 100", "xllcenter 101").replace("yllcorner 200", "yllcenter 201"))
    assert centred == grid and hash(centred) == hash(grid)
    mixed = read(GOOD.replace("xllcorner 100", "xllcenter 101"))
    assert mixed == grid


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace("\n", "\r\n"),
        "\ufeff" + GOOD + "\n\n",
        GOOD.replace("NCOLS", "ncols").replace("cellsize", "CELLSIZE"),
        HEAD.replace("NODATA_value -9999\n", "") + ROWS,
        HEAD + " ".join(ROWS.split()),
        HEAD + "\n".join(ROWS.split()),
        "cellsize 2\nyllcorner 2e2\nxllcorner 100.0\nnrows 5\nncols 4.0\n" + ROWS,
        "  " + GOOD.replace(" ", "   \t"),
    ],
)
def test_what_makes_no_difference(text: str) -> None:
    assert read(text) == read(GOOD)


def test_what_was_not_measured() -> None:
    heights = read(GOOD.replace("2.1", "-9999").replace("4.3", "-9999.00")).heights
    assert np.argwhere(np.isnan(heights)).tolist() == [[0, 3], [2, 1]]
    other = read(GOOD.replace("-9999", "3.2"))
    assert np.argwhere(np.isnan(other.heights)).tolist() == [[1, 2]]
    assert np.isnan(read(GOOD.replace("-9999", "0")).heights).sum() == 1


BAD: dict[str, str] = {
    "": "ncols: is missing",
    "\n \n": "ncols: is missing",
    "hello": "line 1: hello is no header of a height grid",
    '{"lie": {}}': "ncols: is missing",
    GOOD.replace("ncols 4\n", ""): "ncols: is missing",
    GOOD.replace("cellsize 2\n", ""): "cellsize: is missing",
    GOOD.replace("ncols 4", "ncols"): "line 1: ncols needs one value after it",
    GOOD.replace("ncols 4", "ncols 4 4"): "line 1: ncols needs one value after it",
    GOOD.replace("ncols 4", "ncols 4.5"): "line 1: ncols must be a whole number from 4",
    GOOD.replace("nrows 5", "nrows -5"): "line 2: nrows must be a whole number from 4",
    GOOD.replace("nrows 5", "nrows 1e999"): "line 2: nrows must be a number, not 1e999",
    GOOD.replace("nrows 5", "nrows nan"): "line 2: nrows must be a number, not nan",
    GOOD.replace("nrows 5", "nrows five"): "line 2: nrows must be a number, not five",
    GOOD.replace("nrows 5", "nrows 1000000"): "4 times 1000000 heights are more than 1500000",
    GOOD.replace("nrows 5", "ncols 5"): "line 2: ncols is given twice",
    GOOD.replace("xllcorner 100\n", ""): "the head must hold one of xllcorner and xllcenter",
    GOOD.replace("yllcorner 200", "xllcenter 200"): "the head must hold one of xllcorner and xllcenter",
    GOOD.replace("xllcorner 100", "xllcorner 1e9"): "line 3: xllcorner must lie within 1e+07 m",
    GOOD.replace("cellsize 2", "cellsize 0"): "cellsize: must be 0.02 to 10 m, not 0",
    GOOD.replace("cellsize 2", "cellsize -1"): "cellsize: must be 0.02 to 10 m, not -1",
    GOOD.replace("cellsize 2", "cellsize 25"): "cellsize: must be 0.02 to 10 m, not 25",
    GOOD.replace("cellsize 2", "cellsize 0.00001"): "cellsize: must be 0.02 to 10 m, not 1e-05; is it",
    GOOD.replace("cellsize 2", "dx 2"): "line 5: dx is no header",
    GOOD.replace("2.1", ""): "holds 19 heights, but 4 times 5 are 20",
    GOOD + " 7": "line 11: more than 4 times 5 heights",
    GOOD + "\n7": "line 12: more than 4 times 5 heights",
    GOOD.replace("2.1", "21,5"): "line 9: 21,5 is no height",
    GOOD.replace("2.1", "high"): "line 9: high is no height",
    GOOD.replace("2.1", "nan"): "a height is not finite",
    GOOD.replace("2.1", "1e999"): "a height is not finite",
    GOOD.replace("2.1", "12345"): "a height of 12345 m cannot be",
    HEAD + "-9999 " * 20: "the grid holds no height at all",
    HEAD + ROWS.replace(".", ""): "heights change by 5.0 m in a metre: are heights and places in metres?",
}  # fmt: skip


@pytest.mark.parametrize("text", BAD)
def test_a_bad_file_is_told_in_one_line(text: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read(text)
    assert str(caught.value).startswith(BAD[text])
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 160


def test_bytes_that_are_no_text_and_files_that_are_too_large() -> None:
    with pytest.raises(DocumentError, match=r"^line 2: byte 0xff is not text$"):
        height_grid.read(b"ncols 4\nnrows \xff\n")
    with pytest.raises(DocumentError, match=r"^the height grid is larger than 24 MB$"):
        height_grid.read(b" " * (height_grid.LARGEST + 1))


@given(data=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
@settings(max_examples=100)
def test_any_bytes_are_read_or_refused_in_one_line(data: bytes) -> None:
    try:
        height_grid.read(data)
    except DocumentError as error:
        assert "\n" not in str(error)


@given(data=st.data())
@settings(max_examples=60)
def test_a_damaged_grid_is_read_or_refused_in_one_line(data: st.DataObject) -> None:
    words = GOOD.split(" ")
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(words) - 1))
        words[at] = data.draw(st.sampled_from(["", "0", "-1", "1e400", "x", "nan", "\n", "ncols", "9" * 400]))
    try:
        grid = read(" ".join(words))
    except DocumentError as error:
        assert "\n" not in str(error)
    else:
        assert np.isfinite(grid.heights[~np.isnan(grid.heights)]).all()


@given(
    heights=st.lists(
        st.lists(st.none() | st.floats(-0.5, 0.5), min_size=4, max_size=4), min_size=4, max_size=6
    ),
    x0=st.floats(-1e6, 1e6),
    spacing=st.floats(0.05, 10.0),
)
@settings(max_examples=40)
def test_any_grid_reads_back_as_itself(heights: list[list[float | None]], x0: float, spacing: float) -> None:
    array = 600.0 + 1.4 * spacing * np.array(heights, dtype=float)
    if np.isnan(array).all():
        return
    grid = HeightGrid(x0, -x0, spacing, array)
    assert read(height_grid.text_of(grid)) == grid


# --- with a situation -------------------------------------------------------------------------------------

SURVEY = '"survey": {"file": "a.asc", "ball_x": 101.5, "ball_y": "202 m", "hole_x": 106, "hole_y": 208}'
TEXT = '{"green": {"front": 1, "depth": 10}, ' + SURVEY + "}"


def both(folder: Path, text: str = TEXT, grid: str = GOOD) -> Path:
    (folder / "a.asc").write_text(grid)
    (folder / "a.json").write_text(text)
    return folder / "a.json"


def test_a_situation_is_read_with_its_grid(tmp_path: Path) -> None:
    situation = read_situation(both(tmp_path))
    assert situation.survey.grid == read(GOOD)
    # Ball to hole is 4.5 east and 6 north: 7.5 m.
    assert situation.hole.distance == 7.5
    stated = TEXT.replace('"survey"', '"hole": {"distance": "7.5 m"}, "survey"')
    assert read_situation(both(tmp_path, stated)) == situation
    assert hash(situation) == hash(read_situation(both(tmp_path, stated)))
    assert '"grid"' not in to_text(situation)


@pytest.mark.parametrize(
    ("text", "grid", "says"),
    [
        (TEXT.replace("a.asc", "b.asc"), GOOD, "survey.file: b.asc cannot be read: No such file or dir"),
        (TEXT.replace("a.asc", "."), GOOD, "survey.file: . cannot be read: Is a directory"),
        (TEXT, GOOD.replace("2.1", "x"), "survey.file: a.asc: line 9: x is no height"),
        (TEXT.replace("a.asc", "/a.asc"), GOOD, "survey.file: must be a name as seen"),
        (TEXT.replace("a.asc", "c:a.asc"), GOOD, "survey.file: must be a name as seen"),
        (TEXT.replace("a.asc", "..\\\\a.asc"), GOOD, "survey.file: must be a name as seen"),
        (TEXT.replace('"hole_x": 106', '"hole_x": 109'), GOOD,
         "survey.hole_x: puts the hole at (109, 208), where the height grid, from 101 to 107 and from 201"),
        (TEXT.replace("101.5", "99"), GOOD, "survey.ball_x: puts the ball at (99, 202), where"),
        (TEXT, GOOD.replace("4.1", "-9999"), "survey.ball_x: puts the ball at (101.5, 202), where"),
        (TEXT, GOOD.replace("0.3", "-9999"), "survey.hole_x: puts the hole at (106, 208), where the height"),
        (TEXT.replace('"survey"', '"hole": {"distance": 8}, "survey"'), GOOD,
         "hole.distance: must be 7.50 m, which is how far apart `survey` puts ball and hole"),
        (TEXT.replace("106", "101.5").replace("208", "202"), GOOD,
         "survey.hole_x: must leave 1 m at least between ball and hole"),
        (TEXT.replace('"a.asc"', "7"), GOOD, "survey.file: must be text"),
        (TEXT.replace('"ball_x"', '"grid": 1, "ball_x"'), GOOD, "survey.grid: is no field here"),
    ],
)  # fmt: skip
def test_a_bad_survey_is_told_in_one_line(tmp_path: Path, text: str, grid: str, says: str) -> None:
    path = both(tmp_path, text, grid)
    with pytest.raises(DocumentError) as caught:
        read_situation(path)
    assert str(caught.value).startswith(says) and "\n" not in str(caught.value)


def test_what_was_not_measured_between_ball_and_hole_is_no_hindrance(tmp_path: Path) -> None:
    assert read_situation(both(tmp_path, TEXT, GOOD.replace("2.1", "-9999"))).hole.distance == 7.5


def test_bytes_have_no_folder() -> None:
    with pytest.raises(DocumentError, match=r"^survey.file: a.asc cannot be read: it is not known where"):
        read_situation(TEXT.encode())


def test_a_survey_is_saved_with_its_grid(tmp_path: Path) -> None:
    demo = read_demo("situations/14-surveyed-green.json")
    new = tmp_path / "new"
    new.mkdir()
    write_situation(new / "mine.json", demo)
    again = read_situation(new / "mine.json")
    assert again.survey.grid == demo.survey.grid and again.survey.file == "larch-hollow-14.asc"
    assert again.hole == demo.hole
    # A second writing leaves the grid alone, and another grid of that name is not written over.
    write_situation(new / "mine.json", demo)
    assert sorted(path.name for path in new.iterdir()) == ["larch-hollow-14.asc", "mine.json"]
    (new / "larch-hollow-14.asc").write_text(GOOD)
    with pytest.raises(DocumentError, match=r"^larch-hollow-14.asc is there already and holds other heights"):
        write_situation(new / "mine.json", demo)
    assert (new / "larch-hollow-14.asc").read_text() == GOOD


def test_the_demo_grid_is_a_text_that_stays_small() -> None:
    text = assets.demo_text("ground/larch-hollow-14.asc")
    assert len(text) < 100_000
    assert np.isnan(read(text).heights).any()


def test_a_grid_stays_as_it_is() -> None:
    heights = np.zeros((4, 4))
    grid = HeightGrid(0.0, 0.0, 1.0, heights)
    heights[0, 0] = 5.0
    assert grid.heights[0, 0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        grid.heights[0, 0] = 5.0
    with pytest.raises(ValueError, match="two rows"):
        HeightGrid(0.0, 0.0, 1.0, np.zeros((1, 4)))
    with pytest.raises(FieldError, match="must be a HeightGrid"):
        Survey(file="a.asc", hole_x=5, grid=3)  # type: ignore[arg-type]
    with pytest.raises(FieldError, match="must name the file"):
        Survey(grid=grid)
