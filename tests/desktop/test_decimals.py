"""The decimal sign: shown as the desktop or the player has it, read either way, always a point in files."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QLineEdit

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.fields import NumberEditor, SpinBox
from shortgame_gui.desktop.measures import Decimal, Measures, locale_with
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.shot.explain import Headline
from shortgame_gui.desktop.shot.ranked_table import RankedTable
from shortgame_gui.desktop.situation_panel import SituationPanel
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.store.documents import read_situation


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    made = Session()
    made.answer(replace(made_advice, situation=made.situation), made.document)
    return made


@pytest.fixture
def measures(qapp: Any) -> Iterator[Measures]:
    yield Measures()
    QLocale.setDefault(locale_with("desktop"))


def typed(spin: SpinBox, text: str, qtbot: Any) -> float:
    """The value in the unit shown after ``text`` was typed."""
    line = spin.findChild(QLineEdit)
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    return spin.value()


@pytest.mark.parametrize(("sign", "shown"), [("point", "10.0 ft"), ("comma", "10,0 ft")])
def test_spin_boxes_show_one_sign_and_read_both(
    sign: Decimal, shown: str, session: Session, measures: Measures, qtbot: Any
) -> None:
    panel = SituationPanel(session, measures, Theme("light"))
    qtbot.addWidget(panel)
    measures.write_with(sign)
    editor = panel.editors["green.speed"]
    assert isinstance(editor, NumberEditor)
    assert editor.spin.text() == shown
    for text in ("9.5", "11,5"):
        assert typed(editor.spin, text, qtbot) == float(text.replace(",", "."))
        assert session.situation.green.speed == pytest.approx(editor.spin.value() * 0.3048)
    # A thousand is no decimal: "1.500" must not become 1500, nor "1,500".
    altitude = panel.editors["air.altitude"]
    assert isinstance(altitude, NumberEditor)
    assert typed(altitude.spin, "1500", qtbot) == 1500.0
    assert altitude.spin.text() == "1500 ft"


def test_sentences_and_table_follow(session: Session, measures: Measures, qtbot: Any) -> None:
    theme = Theme("light")
    headline, table = Headline(session, theme, measures), RankedTable(session, theme, measures)
    for widget in (headline, table):
        qtbot.addWidget(widget)

    def cells() -> str:
        model = table.model()
        return " ".join(str(model.index(0, c).data()) for c in range(model.columnCount()))

    measures.write_with("comma")
    assert "2,50\xa0±\xa00,01 strokes" in headline.detail.text()
    assert "2,50" in cells() and "2.50" not in cells()
    assert measures.distance.text(10.0) == "10,9 yd"
    measures.write_with("point")
    assert "2.50\xa0±\xa00.01 strokes" in headline.detail.text()
    assert "2.50" in cells() and "2,50" not in cells()


def test_files_have_points_whatever_is_shown(session: Session, measures: Measures, tmp_path: Path) -> None:
    measures.write_with("comma")
    session.edit("green.speed", 3.2, "Green speed")
    session.save(tmp_path / "a.json")
    assert json.loads((tmp_path / "a.json").read_text())["green"]["speed"] in ("10.4987 ft", 3.2)
    assert read_situation(tmp_path / "a.json") == session.situation


def test_the_desktops_own_sign_is_the_usual_one(qapp: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """In Swedish numbers the decimal sign is a comma (Unicode CLDR; fact of the trade, from memory)."""
    swedish = QLocale(QLocale.Language.Swedish, QLocale.Country.Sweden)
    monkeypatch.setattr(QLocale, "system", lambda: swedish)
    assert Measures().style.decimal == ","
    assert locale_with("desktop").toString(12345.5, "f", 1) == "12345,5"
    monkeypatch.undo()
    assert Measures().style.decimal == "."
    settings = Settings()
    assert settings.decimal == "desktop"
    settings.decimal = "comma"
    assert Settings().decimal == "comma"
