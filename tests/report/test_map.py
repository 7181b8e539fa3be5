"""The map as table and picture: a row a cell with units in the headings, and colours in the order of loft."""

import csv
import io
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QImage

from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import NO_SITUATION, Cell, Map, Scale
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.map_csv import map_csv
from shortgame_gui.report.map_picture import LOFTS, PRINT, MapPicture, mixed, write_picture
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.numbers import Style

pytestmark = pytest.mark.usefixtures("qapp")
BAG = packaged_bag()


def cell(club: str, technique: str, *close: tuple[str, str]) -> Cell:
    return Cell(BAG.find(club), technique, 2.4, 0.03, 0.12, 0.01, close, ("9-iron", "chip"), 64)


MADE = Map(
    Situation(), BAG, Scale("distance", (15.0, 18.0, 21.0)), Scale("level", ("10", "20")), 64, 1,
    (
        (cell("sand wedge", "chip"), cell("8-iron", "chip", ("9-iron", "chip")), cell("8-iron", "upright")),
        (NO_SITUATION, cell("60-degree wedge", "lob"), None),
    ),
)  # fmt: skip


def test_the_table_has_a_row_a_cell_with_both_values() -> None:
    rows = list(csv.DictReader(io.StringIO(map_csv(MADE))))
    assert len(rows) == 5
    assert list(rows[0])[:4] == ["distance_yd", "level", "club", "technique"]
    assert {"expected_strokes", "lead", "too_close_to_call"} <= set(rows[0])
    assert float(rows[1]["distance_yd"]) == pytest.approx(18.0 / 0.9144, abs=1e-3)
    assert rows[1]["too_close_to_call"] == "9-iron, chip" and float(rows[1]["lead"]) == 0.12
    assert rows[3]["club"] == "" and rows[3]["problem"] == "no_situation"
    metres = list(csv.DictReader(io.StringIO(map_csv(MADE, yards=False))))
    assert float(metres[1]["distance_m"]) == 18.0


def test_cells_are_found_where_they_are_drawn() -> None:
    picture = MapPicture(MADE, PRINT, Style(), "winner", QRectF(0, 0, 800, 500), QFont())
    for column in range(3):
        for row in range(2):
            assert picture.cell_at(picture.cell_box(column, row).center()) == (column, row)
    assert picture.cell_at(QPointF(2.0, 2.0)) is None
    assert picture.cell_box(0, 1).center().y() < picture.cell_box(0, 0).center().y()


def test_a_cell_not_there_yet_takes_the_nearest_that_is() -> None:
    """By the definition: the larger of both steps as a share of the map; the first of those level."""
    x, y = (
        Scale("distance", tuple(map(float, range(10, 17)))),
        Scale("firmness", tuple(map(float, range(60, 65)))),
    )
    known = {(0, 0): "8-iron", (0, 6): "9-iron", (2, 3): "sand wedge", (4, 5): "60-degree wedge"}
    cells = tuple(
        tuple(cell(known[row, column], "chip") if (row, column) in known else None for column in range(7))
        for row in range(5)
    )
    picture = MapPicture(
        Map(Situation(), BAG, x, y, 64, 1, cells), PRINT, Style(), "winner", QRectF(0, 0, 800, 500), QFont()
    )
    for row, shown in enumerate(picture._nearest()):
        for column, one in enumerate(shown):
            j, i = min(known, key=lambda p: max(abs(p[0] - row) / 5, abs(p[1] - column) / 7))
            assert one is cells[j][i]


def test_words_under_the_map_are_folded_and_none_is_left_out() -> None:
    lies = AXES["lie"].choices
    made = Map(Situation(), BAG, Scale("lie", lies), MADE.x, 64, 1, ((None,) * len(lies),) * 3)

    def drawn(width: int) -> MapPicture:
        return MapPicture(made, PRINT, Style(), "winner", QRectF(0, 0, width, 500), QFont())

    wide, narrow = drawn(2000), drawn(700)
    assert not any("\n" in mark for mark in wide.below)
    assert [mark.replace("\n", " ") for mark in narrow.below] == wide.below
    assert any("\n" in mark for mark in narrow.below) and narrow.plot.bottom() < wide.plot.bottom()


def test_more_loft_is_lighter_in_even_order() -> None:
    """Brightness by the weights of ITU-R BT.601 rises all along, so that grey tells the order as well."""
    grey = [QColor(c).red() * 0.299 + QColor(c).green() * 0.587 + QColor(c).blue() * 0.114 for c in LOFTS]
    assert all(after - before > 15.0 for before, after in pairwise(grey))
    assert mixed(LOFTS, 0.0) == QColor(LOFTS[0]) and mixed(LOFTS, 1.0) == QColor(LOFTS[-1])


@pytest.mark.parametrize("layer", ["winner", "lead"])
def test_pictures_are_written(layer: str, tmp_path: Path) -> None:
    out = tmp_path / "map.png"
    write_picture(MADE, out, (640, 400), Style(), layer)  # type: ignore[arg-type]
    image = QImage(str(out))
    assert (image.width(), image.height()) == (640, 400)
    picture = MapPicture(MADE, PRINT, Style(), layer, QRectF(10, 10, 620, 380), _font())  # type: ignore[arg-type]
    inside = picture.cell_box(0, 0)
    seen = image.pixelColor(int(inside.left()) + 8, int(inside.top()) + 8)
    found = MADE.cells[0][0]
    assert found is not None
    assert abs(seen.red() - picture.colour(found).red()) < 4
    drawn = tmp_path / "map.svg"
    write_picture(MADE, drawn, (640, 400), Style(), layer)  # type: ignore[arg-type]
    assert "<svg" in drawn.read_text() and drawn.stat().st_size > 5000
    with pytest.raises(OSError, match="folder"):
        write_picture(MADE, tmp_path / "none" / "map.png", (640, 400), Style())


def _font() -> QFont:
    font = QFont()
    font.setPixelSize(13)
    return font
