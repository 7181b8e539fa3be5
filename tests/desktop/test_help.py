"""F1 opens the page of the part in focus; every figure of the model can be looked up with its source."""

import csv
import re
from typing import Any, get_args

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QWidget

from shortgame_gui import assets
from shortgame_gui.desktop import help, labels
from shortgame_gui.desktop.figures import FiguresModel, FiguresWindow
from shortgame_gui.desktop.help import HelpWindow, pages
from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.model.ground import Surface
from shortgame_gui.model.leaves import get, leaves
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import rows

NAMES = [row.name for row in rows()]
CHOICES = {leaf.path: leaf.choices for leaf in leaves(Situation) if leaf.kind == "choice"}


def focus(window: MainWindow, part: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    """Put the keyboard into ``part``; which window is active is not the test's to say."""
    monkeypatch.setattr(window, "focusWidget", lambda: part)


PARTS: list[tuple[Any, str]] = [
    (lambda w: w.panel.editors["lie.sits"].buttons["clean"], "lie"),
    (lambda w: w.panel.editors["green.speed"].slider, "green"),
    (lambda w: w.panel.editors["not_sure.wind"].spin, "air"),
    (lambda w: w.panel.sections["player"].heading, "player"),
    (lambda w: w.panel.sections["surroundings"].heading, "around"),
    (lambda w: w.panel.lists["ground.bands"].add, "ground"),
    (lambda w: w.panel.editors["note"].line, "notes"),
    (lambda w: w.shot.side, "side-view"),
    (lambda w: w.shot.plan, "plan-view"),
    (lambda w: w.shot.table, "ranked-table"),
    (lambda w: w.shot.explanation, "explanation"),
    (lambda w: w.notice.dismiss, "start"),
    (lambda w: None, "start"),
]


def test_f1_opens_the_page_of_the_part_in_focus(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    action = window.actions_by_code["help"]
    assert QKeySequence(Qt.Key.Key_F1) in action.shortcuts()
    for part, page in PARTS:
        focus(window, part(window), monkeypatch)
        action.trigger()
        (shown,) = window.findChildren(HelpWindow)
        assert shown.page == page
        assert shown.isVisible() and not shown.isModal()
        assert pages()[page] in shown.text.toPlainText()


def test_every_page_has_a_title_and_its_links_lead_somewhere(window: MainWindow) -> None:
    files = {name.removeprefix("help/") for name in assets.names(".md") if name.startswith("help/")}
    assert {f"{name}.md" for name in pages()} == files
    assert set(help.ORDER) <= set(pages())
    assert next(iter(pages())) == help.FIRST
    shown = window.help.show_page("start")
    for name, title in pages().items():
        text = assets.text(f"help/{name}.md")
        assert text.startswith(f"# {title}\n") and title and len(text) > 100
        for link in re.findall(r"\]\((.*?)\)", text):
            assert link in files, f"{name}.md leads to {link}"
        shown.open_page(name)
        assert shown.page == name
    shown.open_page("start")
    shown.text.anchorClicked.emit(QUrl("plan-view.md"))
    assert shown.page == "plan-view"
    shown.open_page("no such page")
    assert shown.page == help.FIRST
    for code in labels.GROUPS:
        assert labels.PAGES.get(code, code) in pages()


def test_the_pages_say_the_usual_cautions() -> None:
    text = assets.text("help/cautions.md")
    for word in ("people", "Lightning", "Banks", "bunkers", "staff", "teacher"):
        assert word in text
    assert "4.3" in assets.text("help/start.md")


def test_every_leaf_leads_to_rows_that_exist() -> None:
    """Whatever is chosen: the beginnings with a value in them hold for each of its choices."""
    for leaf in leaves(Situation):
        if leaf.path.split(".")[0] in ("version", "name", "note", "not_sure", "survey"):
            continue
        wanted = labels.figures_of(leaf.path.replace("[]", ""))
        assert wanted, leaf.path
        for pattern in wanted.split():
            found = re.search(r"{(.*)}", pattern)
            values = CHOICES[found[1]] if found else ("",)
            for value in values:
                start = pattern.replace(found[0], value) if found else pattern
                assert any(name.startswith(start) for name in NAMES), f"{leaf.path}: {start}"
    assert set(get_args(Surface)) <= {name.split(".")[1] for name in NAMES if name.startswith("surface.")}


@pytest.mark.parametrize(
    ("part", "called", "first"),
    [
        (lambda w: w.panel.editors["player.techniques.lob"].combo, "Lob", "technique.lob."),
        (lambda w: w.panel.editors["lie.sits"].buttons["up"], "Ball sits", "sits.{lie.sits}."),
        (lambda w: w.panel.editors["green.speed"].spin, "Green speed", "run.stimp"),
        (lambda w: w.shot.table, "The shot in front", "technique.chip."),
    ],
)
def test_what_is_this_figure_opens_at_the_rows_of_the_part(
    part: Any, called: str, first: str, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    focus(window, part(window), monkeypatch)
    window.actions_by_code["figures"].trigger()
    shown = window.findChild(FiguresWindow)
    assert shown.isVisible() and not shown.isModal()
    assert shown.scope.currentText() == called
    start = re.sub(r"{(.*)}", lambda m: get(window.session.situation, m[1]), first)
    names = [shown.found.index(row, 0).data() for row in range(shown.found.rowCount())]
    assert any(name.startswith(start) for name in names)
    assert 0 < len(names) < len(NAMES)
    shown.scope.setCurrentIndex(1)
    shown.scope.activated.emit(1)
    assert shown.found.rowCount() == len(NAMES)


def test_figures_are_those_of_the_table_and_can_be_filtered(window: MainWindow, qtbot: Any) -> None:
    """Against the file itself, read by the csv module."""
    lines = list(csv.reader(assets.text("coefficients.csv").splitlines()))[1:]
    model = FiguresModel(window.measures)
    shown = [[model.index(r, c).data() for c in range(5)] for r in range(model.rowCount())]
    for line, row in zip(lines, shown, strict=True):
        assert (row[0], *row[2:]) == (line[0], *line[2:])
        assert float(row[1]) == pytest.approx(float(line[1]), rel=1e-9)
    box = window.help.show_figures("", [])
    assert box.scope.count() == 1
    qtbot.keyClicks(box.words, "iso temperature")
    assert [box.found.index(r, 0).data() for r in range(box.found.rowCount())] == ["air.temperature"]
    assert "ISO 2533" in box.whole.toPlainText() and "288.15 K" in box.whole.toPlainText()
    window.measures.write_with("comma")
    assert box.found.index(0, 1).data() == "288,15"
    box.words.clear()
    box.standing.setCurrentIndex(box.standing.findData("published"))
    box.standing.activated.emit(box.standing.currentIndex())
    published = sum(line[3] == "published" for line in lines)
    assert box.found.rowCount() == published
    assert box.count.text() == f"{published} of {len(lines)} figures"
    qtbot.keyClicks(box.words, "no such word")
    assert box.found.rowCount() == 0
    assert "No figure fits" in box.whole.toPlainText()
    for section in range(5):
        assert model.headerData(section, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
    assert model.headerData(0, Qt.Orientation.Vertical) is None
    assert model.data(model.index(0, 0), Qt.ItemDataRole.DecorationRole) is None


def test_sorting_by_value_is_by_number(window: MainWindow) -> None:
    box = window.help.show_figures("", [])
    told = box.whole.toPlainText()
    box.view.sortByColumn(1, Qt.SortOrder.AscendingOrder)
    values = [float(box.found.index(r, 1).data()) for r in range(box.found.rowCount())]
    assert values == sorted(values) and len(values) == len(NAMES)
    # What was chosen stays so, wherever it is now.
    assert box.whole.toPlainText() == told
    assert told.startswith(f"{box.view.currentIndex().siblingAtColumn(0).data()} = ")
    box.view.sortByColumn(1, Qt.SortOrder.DescendingOrder)
    box.words.setText("air")
    found = [float(box.found.index(r, 1).data()) for r in range(box.found.rowCount())]
    assert found == sorted(found, reverse=True) and 1 < len(found) < len(values)


def test_the_figures_open_without_a_sort(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    """All 835 rows were sorted once for nothing, which held the window for a third of a second."""
    asked: list[int] = []
    told = FiguresModel.data

    def counted(self: FiguresModel, index: Any, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        asked.append(role)
        return told(self, index, role)

    monkeypatch.setattr(FiguresModel, "data", counted)
    box = window.help.show_figures("", [])
    assert box.found.rowCount() == len(NAMES)
    assert [box.found.row(r).name for r in range(3)] == list(NAMES)[:3]
    assert len(asked) < len(NAMES)


def test_every_technique_has_its_rows() -> None:
    for name in TECHNIQUES:
        assert labels.figures_of(f"player.techniques.{name}") == f"technique.{name}."
    assert labels.figures_of("name") == ""
    assert Measures().style.decimal == "."
