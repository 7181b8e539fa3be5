"""The ranked table as an item model, tested as data; and the bracket round a tie, as pixels."""

from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPoint, QRect, Qt
from PySide6.QtGui import QAction, QColor, QGuiApplication, QImage, QPolygon
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionHeader

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session, key_of
from shortgame_gui.desktop.shot.ranked_columns import CODES, COLUMNS, USUAL
from shortgame_gui.desktop.shot.ranked_table import TICK, TIE_ROLE, RankedModel, RankedTable
from shortgame_gui.desktop.theme import LIGHT, Theme
from shortgame_gui.words.text import TECHNIQUES


@pytest.fixture
def measures(qapp: Any) -> Measures:
    return Measures("yards")


@pytest.fixture
def table(session: Session, measures: Measures, qtbot: Any) -> RankedTable:
    made = RankedTable(session, Theme("light"), measures)
    qtbot.addWidget(made)
    made.resize(492, 400)
    made.show()
    return made


def cell(model: QAbstractItemModel, row: int, code: str, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
    return model.index(row, CODES.index(code)).data(role)


def test_the_model_keeps_the_rules_of_models(session: Session, measures: Measures, made_advice: Any) -> None:
    model = RankedModel(session, Theme("light"), measures)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    session.answer(replace(made_advice, shots=made_advice.shots[:2]), session.document)
    assert model.rowCount() == 2
    session.answer(made_advice, session.document)
    assert model.rowCount() == 5
    assert model.index(9, 0).data() is None


def test_cells_in_yards_and_in_metres(table: RankedTable, measures: Measures) -> None:
    model = table.model()
    assert cell(model, 0, "shot") == "9-iron\nchip"
    assert cell(model, 0, "strokes") == "2.50\nbest"
    assert cell(model, 1, "strokes") == "2.51\n+0.01"
    assert cell(model, 0, "lands") == "1.1 on"  # 7 m from the ball, the edge at 6 m
    assert cell(model, 4, "lands") == "rolls"
    assert cell(model, 0, "runs") == "11.6"
    measures.switch("metres")
    assert cell(model, 0, "lands") == "1.0 on"
    assert cell(model, 0, "runs") == "10.6"


def test_a_landing_on_the_edge_is_told_as_that(
    table: RankedTable, session: Session, made_advice: Advice
) -> None:
    """As in the headline: not as 0.0 short of it."""
    first, second, *_ = made_advice.shots
    edge, short = (
        replace(shot, technique="chip", landing_past_edge=past)
        for shot, past in ((first, -0.1), (second, -0.2))
    )
    session.answer(replace(made_advice, shots=(edge, short)), session.document)
    assert [cell(table.model(), row, "lands") for row in (0, 1)] == ["edge", "0.2 short"]


def test_the_ring_is_the_players(table: RankedTable, measures: Measures, made_advice: Advice) -> None:
    """The chance is counted again here, from the finishes and the hole at 18 m."""
    x, y = made_advice.shots[0].finishes
    far = ((x - 18.0) ** 2 + y**2) ** 0.5
    heading = CODES.index("ring2")
    assert table.model().headerData(heading, Qt.Orientation.Horizontal) == "In 6 ft"
    assert cell(table.model(), 0, "ring2") == f"{100 * (far <= 6 * 0.3048).mean():.0f} %"
    measures.switch("metres")
    assert table.model().headerData(heading, Qt.Orientation.Horizontal) == "In 2 m"
    assert cell(table.model(), 0, "ring2") == f"{100 * (far <= 2.0).mean():.0f} %"


def test_sorting_goes_by_value_and_not_by_text(table: RankedTable) -> None:
    table.sortByColumn(CODES.index("runs"), Qt.SortOrder.DescendingOrder)
    runs = [float(cell(table.model(), row, "runs")) for row in range(5)]
    assert runs == sorted(runs, reverse=True)
    assert runs[0] > 10 > runs[-1]  # as texts 6.9 would stand above 11.6


def test_a_chosen_row_comes_forward_and_the_table_follows(
    table: RankedTable, session: Session, made_advice: Advice, qtbot: Any
) -> None:
    third = made_advice.shots[2]
    with qtbot.waitSignal(session.picked):
        table.setCurrentIndex(table.model().index(2, 1))
    assert session.front is third
    session.bring_forward(key_of(made_advice.shots[3]))
    assert table.currentIndex().row() == 3
    # The next advice has the shot in another place; it stays in front, and the row follows it.
    moved = (replace(made_advice.shots[3], rank=1), replace(made_advice.shots[0], rank=2))
    session.answer(replace(made_advice, shots=moved), session.document)
    assert table.currentIndex().row() == 0
    assert session.front is moved[0]


def test_keyboard_moves_through_the_shots(table: RankedTable, session: Session, qtbot: Any) -> None:
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Down)
    assert session.advice is not None
    assert session.front is session.advice.shots[1]


def test_a_tick_marks_a_shot_for_comparison(
    table: RankedTable, session: Session, made_advice: Advice
) -> None:
    place = table.model().index(4, CODES.index("shot"))
    assert place.flags() & Qt.ItemFlag.ItemIsUserCheckable
    assert table.model().setData(place, Qt.CheckState.Checked.value, Qt.ItemDataRole.CheckStateRole)
    assert session.shown == (made_advice.shots[0], made_advice.shots[4])
    assert Qt.CheckState(place.data(Qt.ItemDataRole.CheckStateRole)) == Qt.CheckState.Checked
    assert not table.model().setData(place, "x", Qt.ItemDataRole.EditRole)


def test_an_old_answer_is_soft(table: RankedTable, session: Session) -> None:
    assert cell(table.model(), 0, "shot", Qt.ItemDataRole.ForegroundRole) is None
    session.edit("green.wet", True, "Wet green")
    assert cell(table.model(), 0, "shot", Qt.ItemDataRole.ForegroundRole) == QColor(LIGHT.soft_text)


def test_every_cell_says_what_it_means(table: RankedTable) -> None:
    for code in CODES:
        assert cell(table.model(), 0, code, Qt.ItemDataRole.ToolTipRole)
        assert "\n" not in cell(table.model(), 0, code, Qt.ItemDataRole.AccessibleTextRole)
    assert "Standard error 0.010" in cell(table.model(), 0, "strokes", Qt.ItemDataRole.ToolTipRole)


def test_ties_are_bracketed_and_others_not(table: RankedTable, qtbot: Any) -> None:
    assert [cell(table.model(), row, "rank", TIE_ROLE) for row in range(5)] == [
        True,
        True,
        False,
        False,
        False,
    ]
    table.setCurrentIndex(QModelIndex())
    table.clearSelection()
    picture = table.viewport().grab().toImage()
    ratio = picture.devicePixelRatio()

    def ink(row: int) -> bool:
        box = table.visualRect(table.model().index(row, 0))
        x = round((box.left() + 3) * ratio)
        colours = {picture.pixelColor(x + k, round(box.center().y() * ratio)).name() for k in (-1, 0, 1)}
        return LIGHT.accent in colours

    assert [ink(row) for row in range(4)] == [True, True, False, False]


def test_cells_look_as_the_style_would_paint_them(table: RankedTable, session: Session) -> None:
    """Where the ink of each cell lies, against Qt's own painting; the cell with the focus is Qt's anyway."""
    session.mark(key_of(session.advice.shots[2]), True)  # type: ignore[union-attr]
    table.setColumnWidth(CODES.index("lands"), 40)  # too narrow, so that words are shortened
    table.setCurrentIndex(table.model().index(1, 1))
    own = table.viewport().grab().toImage()
    plain = QStyledItemDelegate()
    table.setItemDelegate(plain)
    styles = table.viewport().grab().toImage()

    def ink(picture: QImage, box: QRect) -> QRect:
        ratio = picture.devicePixelRatio()
        paper, found = picture.pixelColor(round((box.right() - 1) * ratio), round(box.top() * ratio) + 3), []
        for x in range(round(box.left() * ratio), round((box.right() - 1) * ratio)):
            for y in range(round(box.top() * ratio), round((box.bottom() - 1) * ratio)):
                if abs(picture.pixelColor(x, y).lightness() - paper.lightness()) > 60:
                    found.append(QPoint(x, y))
        return QPolygon(found).boundingRect()

    for row in range(3):
        for code in ("shot", "strokes", "lands", "runs"):
            box = table.visualRect(table.model().index(row, CODES.index(code)))
            mine, his = ink(own, box), ink(styles, box)
            assert his.isValid()
            for side in ("left", "top", "right", "bottom"):
                assert abs(getattr(mine, side)() - getattr(his, side)()) <= 2, (row, code, side)


def test_all_columns_fit_without_a_scroll_bar(table: RankedTable) -> None:
    assert table.horizontalScrollBar().maximum() == 0
    metrics = table.fontMetrics()
    longest = metrics.horizontalAdvance("60-degree wedge")
    assert table.columnWidth(CODES.index("shot")) >= longest + 24
    # A bar at the side, which many shots bring, leaves room enough as well.
    table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
    assert table.horizontalScrollBar().maximum() == 0


# Columns ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", USUAL)
def test_the_arrow_of_the_sorted_column_takes_no_letter(table: RankedTable, code: str) -> None:
    table.resize(table.sizeHint())
    table.show()
    header, column = table.horizontalHeader(), CODES.index(code)
    table.sortByColumn(column, Qt.SortOrder.DescendingOrder)
    option = QStyleOptionHeader()
    option.initFrom(header)
    option.orientation = Qt.Orientation.Horizontal
    option.state |= QStyle.StateFlag.State_Horizontal
    option.rect = QRect(0, 0, table.columnWidth(column), header.height())
    option.sortIndicator = QStyleOptionHeader.SortIndicator.SortDown
    room = header.style().subElementRect(QStyle.SubElement.SE_HeaderLabel, option, header)
    arrow = header.style().subElementRect(QStyle.SubElement.SE_HeaderArrow, option, header)
    heading = table.fontMetrics().horizontalAdvance(
        table.ranked.headerData(column, Qt.Orientation.Horizontal)
    )
    assert min(room.right(), arrow.left()) - room.left() >= heading
    assert table.horizontalScrollBar().maximum() == 0


def choose(table: RankedTable, name: str) -> None:
    action = table.columns_menu.findChild(QAction, name) or next(
        a for a in table.columns_menu.actions() if a.objectName() == name
    )
    action.trigger()


def test_columns_are_chosen_from_the_menu(table: RankedTable, qtbot: Any) -> None:
    assert table.columns == USUAL
    with qtbot.waitSignal(table.columns_changed):
        choose(table, "column_three")
    assert "three" in table.columns
    choose(table, "column_runs")
    assert "runs" not in table.columns
    # What names the shot cannot be left out, and is never squeezed.
    for column in COLUMNS:
        if column.name and column.code not in table.columns:
            choose(table, f"column_{column.code}")
    header = table.horizontalHeader()
    assert table.columns == CODES and header.length() > table.viewport().width()
    longest = table.fontMetrics().horizontalAdvance("60-degree wedge")
    assert table.columnWidth(CODES.index("shot")) >= longest + 24
    with qtbot.waitSignal(table.columns_changed):
        choose(table, "usual_columns")
    assert table.columns == USUAL and header.length() <= table.viewport().width()
    table.show_columns([])
    assert table.columns == ("rank", "shot")


def test_the_heading_offers_the_same_menu(table: RankedTable, monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[Any] = []
    monkeypatch.setattr(table.columns_menu, "popup", shown.append)
    table.horizontalHeader().customContextMenuRequested.emit(QPoint(3, 3))
    assert len(shown) == 1


def test_every_column_shows_its_own_figure(
    table: RankedTable, made_advice: Advice, measures: Measures
) -> None:
    """The figures are taken from the shot here by other ways than the columns take them."""
    shot, model = made_advice.shots[2], table.model()
    x, y = shot.finishes
    far = ((x - 18.0) ** 2 + y**2) ** 0.5
    measures.switch("metres")
    expected = {
        "rank": "3", "error": "0.01", "carry": "12.0", "two": "20 %", "three": "70 %", "holed": "5 %",
        "mishit": "3 %", "off": "2 %", "lip": "0 %", "swing": "hands hip-high",
        "ring1": f"{100 * (far <= 1.0).mean():.0f} %", "ring3": f"{100 * (far <= 3.0).mean():.0f} %",
    }  # fmt: skip
    for code, said in expected.items():
        assert cell(model, 2, code) == said, code
    headings = {c: model.headerData(k, Qt.Orientation.Horizontal) for k, c in enumerate(CODES)}
    assert headings["carry"] == "Carries, m" and headings["ring3"] == "In 3 m"
    names = [a.text() for a in table.columns_menu.actions()]
    assert "Inside 3 m" in names and "Inside 10 ft" not in names
    measures.switch("yards")
    assert "Inside 10 ft" in [a.text() for a in table.columns_menu.actions()]


def test_a_shot_that_the_lip_catches_is_marked(
    table: RankedTable, session: Session, made_advice: Advice
) -> None:
    caught = replace(made_advice.shots[0], cautions=("lip",), trouble={"lip": 0.08})
    session.answer(replace(made_advice, shots=(caught, *made_advice.shots[1:])), session.document)
    assert cell(table.model(), 0, "shot") == "9-iron\nchip, lip 8 %"
    assert "keep clear" in cell(table.model(), 0, "shot", Qt.ItemDataRole.ToolTipRole)
    assert "lip" not in cell(table.model(), 1, "shot")


@pytest.mark.parametrize("way", ["partial", "low_check", "bump_and_run"])
def test_a_share_of_the_lip_is_never_cut_off(
    table: RankedTable, session: Session, made_advice: Advice, way: str
) -> None:
    """The narrowest the column gets by itself: a long way of playing gives way."""
    caught = replace(made_advice.shots[1], technique=way, cautions=("lip",), trouble={"lip": 0.19})
    session.answer(replace(made_advice, shots=(made_advice.shots[0], caught)), session.document)
    table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
    table.resize(table.sizeHint().width(), 400)
    table.viewport().grab()
    lines = [laid.text() for laid, _width in table._cells._lines.values()]
    (line,) = [line for line in lines if line.endswith(", lip 19 %")]
    assert line.startswith(TECHNIQUES[way][:5])
    room = table.columnWidth(CODES.index("shot")) - TICK
    assert table.fontMetrics().horizontalAdvance(line) <= room
    # The cell with the focus is painted by the style.
    focused = table.fontMetrics().elidedText(f"{TECHNIQUES[way]}, lip 19 %", table.textElideMode(), room)
    assert focused.endswith("19 %")


def test_the_table_is_copied_as_it_is_shown(table: RankedTable, qtbot: Any) -> None:
    table.show_columns(["strokes", "ring2"])
    table.sortByColumn(CODES.index("strokes"), Qt.SortOrder.DescendingOrder)
    table.setFocus()
    with qtbot.waitSignal(table.copied) as told:
        qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert told.args == ["5 shots copied."]
    rows = [line.split("\t") for line in QGuiApplication.clipboard().text().split("\n")]
    assert rows[0] == ["Rank", "Shot", "Strokes", "In 6 ft"]
    assert [row[0] for row in rows[1:]] == ["5", "4", "3", "2", "1"]
    assert rows[-1][:3] == ["1", "9-iron, chip", "2.50, best"]
    assert all(len(row) == 4 for row in rows)
