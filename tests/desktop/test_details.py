"""The page of details follows the shots that are drawn, in the player's units."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QWidget

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session, key_of
from shortgame_gui.desktop.shot.details import Details, DetailsModel
from shortgame_gui.words.details import DETAILS

NAMES = {detail.name: row for row, detail in enumerate(DETAILS)}
SIDEWAYS, UPRIGHT = Qt.Orientation.Horizontal, Qt.Orientation.Vertical


def test_the_shots_that_are_drawn_stand_beside_each_other(session: Session, made_advice: Advice) -> None:
    measures = Measures("yards")
    model = DetailsModel(session, measures)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    assert (model.rowCount(), model.columnCount()) == (len(DETAILS), 3)
    session.bring_forward(key_of(made_advice.shots[2]))
    session.mark(key_of(made_advice.shots[4]), True)
    assert model.columnCount() == 2
    assert model.headerData(0, SIDEWAYS) == "3: sand wedge\npitch"
    assert model.headerData(1, SIDEWAYS) == "5: putter\nputt"
    peak = NAMES["Peak height"]
    assert model.index(peak, 0).data() == "10.2 ft" and model.index(peak, 1).data() == "\u2013"
    measures.switch("metres")
    assert model.index(peak, 0).data() == "3.1 m"
    assert "Inside 2 m" in [model.headerData(row, UPRIGHT) for row in range(len(DETAILS))]


def test_every_figure_says_what_it_means(session: Session) -> None:
    model = DetailsModel(session, Measures("yards"))
    for row, detail in enumerate(DETAILS):
        assert model.headerData(row, UPRIGHT, Qt.ItemDataRole.ToolTipRole) == detail.meaning
        assert model.index(row, 0).data(Qt.ItemDataRole.ToolTipRole) == detail.meaning
        name = model.headerData(row, UPRIGHT)
        assert model.index(row, 0).data(Qt.ItemDataRole.AccessibleTextRole).startswith(f"{name}: ")
    assert model.headerData(0, UPRIGHT, Qt.ItemDataRole.ForegroundRole) is None
    assert model.headerData(99, UPRIGHT) is None


def test_without_an_answer_the_page_is_empty(qapp: Any) -> None:
    model = DetailsModel(Session(), Measures("yards"))
    assert model.columnCount() == 0 and model.rowCount() == len(DETAILS)


def test_no_figure_is_cut_off(session: Session, qtbot: Any) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    page = Details(session, Measures("yards"), window)
    page.show()
    letters, model = page.view.fontMetrics(), page.model
    for column in range(model.columnCount()):
        texts = [str(model.index(row, column).data()) for row in range(model.rowCount())]
        assert max(map(letters.horizontalAdvance, texts)) + 6 <= page.view.columnWidth(column)
    assert not page.view.horizontalScrollBar().isVisible() and not page.view.verticalScrollBar().isVisible()
    page.close()
