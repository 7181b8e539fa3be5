"""Views as picture files: PNG as on the screen, SVG with lines that stay lines and stay inside their plot."""

import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication, QFileDialog

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.exports import Exports
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.shot.export import save_views
from shortgame_gui.desktop.shot.plan_view import PlanView
from shortgame_gui.desktop.shot.side_view import SideView
from shortgame_gui.desktop.theme import LIGHT, Theme
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import DocumentError, packaged_bag

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    situation = put_all(Situation(), {"green.slope_across": 0.02, "name": "Here & there"})
    made = Session(Document(situation, packaged_bag()))
    made.answer(made_advice, made.document)
    return made


@pytest.fixture
def views(session: Session, qtbot: Any) -> list[Any]:
    made: list[Any] = []
    for kind, height in ((SideView, 320), (PlanView, 240)):
        view = kind(session, Theme("light"), Measures("metres"))
        qtbot.addWidget(view)
        view.resize(500, height)
        view.show()
        made.append(view)
    QApplication.processEvents()
    return made


def test_a_png_is_what_the_screen_shows_twice_as_sharp(views: list[Any], tmp_path: Path) -> None:
    save_views(views, tmp_path / "views.png", "x")
    drawn = QImage(str(tmp_path / "views.png"))
    assert (drawn.width(), drawn.height()) == (1000, 1120)
    screen = views[0].grab().toImage()
    for x, y in ((250, 20), (250, 300), (490, 160)):
        assert drawn.pixelColor(2 * x, 2 * y) == screen.pixelColor(x, y)
    assert drawn.pixelColor(5, 5) == QColor(LIGHT.sky)


def test_an_svg_keeps_lines_and_texts_and_clips_the_plots(views: list[Any], tmp_path: Path) -> None:
    save_views(views, tmp_path / "views.svg", "Here & there")
    root = ET.parse(tmp_path / "views.svg").getroot()
    assert root.get("viewBox") == "0 0 500 560"
    assert root.findtext(f"{SVG}title") == "Here & there"
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert any("from the ball, metres" in (text or "") for text in texts)
    assert any("half of the balls stop here" in (text or "") for text in texts)
    colours = {node.get("stroke") for node in root.iter(f"{SVG}g")}
    assert LIGHT.shots[0] in colours
    clips = {clip.get("id"): clip.find(f"{SVG}rect") for clip in root.iter(f"{SVG}clipPath")}
    assert len(clips) == 2
    for view, (code, edge) in zip(views, clips.items(), strict=True):
        assert edge is not None
        assert float(edge.get("width", "0")) == pytest.approx(view.getViewBox().width(), abs=0.01)
        assert [g for g in root.iter(f"{SVG}g") if g.get("clip-path") == f"url(#{code})"]
    assert all(view.getViewBox().childGroup.isVisible() for view in views)


def test_other_suffixes_and_places_are_refused(views: list[Any], tmp_path: Path) -> None:
    for name in ("views.gif", "none/views.svg", "none/views.png"):
        with pytest.raises(DocumentError, match=r"views\."):
            save_views(views, tmp_path / name, "x")


def test_a_dialog_asks_where_to(
    views: list[Any], session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = views[0]
    exports = Exports(session, Measures("metres"), window)
    said: list[str] = []
    exports.done.connect(said.append)
    exports.failed.connect(said.append)
    answers = [str(tmp_path / "one"), str(tmp_path / "both.svg"), "", str(tmp_path / "no" / "x.svg")]
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (answers.pop(0), ""))
    assert exports.views_picture(views[:1])
    assert exports.views_picture(views)
    assert not exports.views_picture(views)
    assert not exports.views_picture(views)
    assert said[0] == "Picture of the side view written to one.png."
    assert said[1] == "Picture of the views written to both.svg."
    assert said[2].startswith("x.svg cannot be written")
    assert (tmp_path / "one.png").exists()
