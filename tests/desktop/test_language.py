"""Everything that the window says passes through gettext: in a made language, every sentence wears its marks.

The language puts marks round each message, so what stands outside of marks was never looked up. Left out are
numbers and units, shortcuts, the names in the document, the pages of the help and the table of coefficients
(both are documents in English), and what Qt says itself.
"""

import ast
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from gettext import GNUTranslations, NullTranslations
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QLocale, Qt, QTranslator
from PySide6.QtGui import QAction, QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFileDialog,
    QGraphicsSimpleTextItem,
    QGraphicsTextItem,
    QGraphicsView,
    QGroupBox,
    QLabel,
    QLineEdit,
    QMessageBox,
    QTableView,
    QTextEdit,
    QTreeWidget,
    QWidget,
)

from shortgame_gui import assets
from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import Cell, Map, Scale
from shortgame_gui.advice.result import Advice, Escape
from shortgame_gui.desktop import app
from shortgame_gui.desktop.actions import ENTRIES
from shortgame_gui.desktop.figures import FiguresWindow
from shortgame_gui.desktop.help import HelpWindow
from shortgame_gui.desktop.main_window import DEMOS, MainWindow, demo_title
from shortgame_gui.desktop.session import Document
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words import language

BEGIN, END = "⟦", "⟧"
MARKED = re.compile(f"{BEGIN}[^{BEGIN}{END}]*({END}|…$)")
UNITS = re.compile(r"(?<![a-z])(yd|ft|in|m|cm|mph|m/s|rpm|deg|g|s|°[CF]|x)(?![a-z])")
KEYS = re.compile(r"\((Ctrl|Shift|F)[^)]*\)|^((Ctrl|Shift|Alt)\+)*[\w,]+: ", re.MULTILINE)


class Marks(NullTranslations):
    """The made language: English in marks."""

    def gettext(self, message: str) -> str:
        return f"{BEGIN}{message}{END}"

    def ngettext(self, one: str, many: str, n: int) -> str:
        return self.gettext(one if n == 1 else many)


@pytest.fixture
def marks() -> Iterator[None]:
    before = language.speak(Marks())
    yield
    language.speak(before)


#: Something in every list, so that every kind of row is there.
FULL = put_all(
    Situation(),
    {
        "name": "",
        "lie.ground": "rough",
        "ground.profile": (ProfilePoint(at=0.0, height=0.0), ProfilePoint(at=9.0, height=0.5)),
        "ground.bands": (Band(surface="sand", start=4.0, end=6.0),),
        "ground.shapes": (Shape(kind="tier", at=14.0, length=3.0, height=0.3),),
        "ground.obstacles": (Obstacle(at=3.0, high=1.0),),
        "not_sure.green_speed": 0.3,
        "green.slope_along": 0.02,
    },
)
NAMES = {club.name for club in packaged_bag().clubs} | {
    demo_title(file) for file in assets.demo_files(".json") if file.startswith(DEMOS)
}


def unmarked(text: str) -> str:
    """What of ``text`` stands outside of marks and is no number, unit, shortcut or name."""
    inner = None
    while inner != text:
        inner, text = text, MARKED.sub(" ", text)
    for name in sorted(NAMES, key=len, reverse=True):
        text = re.sub(re.escape(name), " ", text, flags=re.IGNORECASE)
    text = UNITS.sub(" ", KEYS.sub(" ", text))
    return " ".join(re.findall(r"[^\W\d_]{2,}", text))


def texts_of_model(view: QTableView) -> Iterator[str]:
    model, role = view.model(), Qt.ItemDataRole
    for way, count in (
        (Qt.Orientation.Horizontal, model.columnCount()),
        (Qt.Orientation.Vertical, model.rowCount()),
    ):
        for k in range(count):
            yield from (str(model.headerData(k, way, r) or "") for r in (role.DisplayRole, role.ToolTipRole))
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            there = model.index(row, column)
            roles = (role.DisplayRole, role.ToolTipRole, role.AccessibleTextRole)
            yield from (str(there.data(r) or "") for r in roles)


def texts_of(widget: QWidget) -> Iterator[str]:
    """All that a widget says, by what it is."""
    yield from (widget.accessibleName(), widget.accessibleDescription(), widget.toolTip(), widget.statusTip())
    yield from (widget.windowTitle(), str(widget.property("help_name") or ""))
    if isinstance(widget, QLabel | QAbstractButton) and not isinstance(widget.parent(), QDialogButtonBox):
        yield widget.text()
    elif isinstance(widget, QGroupBox):
        yield widget.title()
    elif isinstance(widget, QComboBox):
        yield from (widget.itemText(k) for k in range(widget.count()))
    elif isinstance(widget, QLineEdit) and not isinstance(widget.parent(), QAbstractSpinBox):
        yield widget.placeholderText()
    elif isinstance(widget, QDoubleSpinBox):
        yield from (widget.prefix(), widget.suffix(), widget.specialValueText())
    elif isinstance(widget, QTextEdit):
        yield widget.toPlainText()
    elif isinstance(widget, QTableView):
        yield from texts_of_model(widget)
    elif isinstance(widget, QTreeWidget):
        items = [widget.topLevelItem(k) for k in range(widget.topLevelItemCount())]
        items += [item.child(k) for item in items for k in range(item.childCount())]
        yield from (text for item in items for text in (item.text(0), item.toolTip(0)))
    elif isinstance(widget, QGraphicsView):
        for thing in widget.scene().items():
            yield thing.toolTip()
            if isinstance(thing, QGraphicsTextItem):
                yield thing.toPlainText()
            elif isinstance(thing, QGraphicsSimpleTextItem):
                yield thing.text()


def said_by(top: QWidget) -> Iterator[tuple[str, str]]:
    """Who says it, and what, for ``top`` and all that is in it; not what stands in documents of our own."""
    for widget in [top, *top.findChildren(QWidget)]:
        if widget.metaObject().className() == "QDockWidgetTitleButton":
            continue  # Qt's own, and hidden
        documents = isinstance(widget.window(), HelpWindow | FiguresWindow)
        content = documents and isinstance(widget, QTableView | QTextEdit)
        said = [widget.accessibleName(), widget.toolTip()] if content else texts_of(widget)
        yield from ((type(widget).__name__, text) for text in said)
    for action in top.findChildren(QAction):
        if not isinstance(action.parent(), QWidget):
            continue  # of a menu that is never shown
        yield from (("action", text) for text in (action.text(), action.toolTip(), action.statusTip()))


def expect_marks(said: Iterator[tuple[str, str]] | list[tuple[str, str]]) -> None:
    found = {(who, text) for who, text in said if unmarked(text)}
    assert not found, "\n".join(f"{who}: {unmarked(text)!r} in {text!r}" for who, text in sorted(found))


@pytest.fixture
def painted(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """What Python code paints as text."""
    seen: list[tuple[str, str]] = []
    draw = QPainter.drawText

    def noted(painter: QPainter, *args: Any) -> Any:
        seen.extend(("painted", arg) for arg in args if isinstance(arg, str))
        return draw(painter, *args)

    monkeypatch.setattr(QPainter, "drawText", noted)
    return seen


@pytest.fixture
def full_advice(made_advice: Advice) -> Advice:
    """The advice made by hand, with ways out."""
    ways = (
        Escape("sideways_left", "", 0, 2.4, 0.02, (0.0, 4.0), ("sand wedge", "chip")),
        Escape("stroke_and_distance", "19.2a", 1, None, 0.0, None, None),
    )
    return replace(made_advice, escapes=ways)


@pytest.fixture
def window(
    qapp: QApplication, marks: None, full_advice: Advice, end_window: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    app.application()
    made = MainWindow(Settings(), Theme("light"), lambda document: lambda progress, cancelled: full_advice)
    made.begin_with(Document(FULL, packaged_bag()))
    made.show()
    assert made.advisor.runner.wait_until_idle()
    yield made
    end_window(made)


def test_the_window_and_its_menus(window: MainWindow, painted: list[tuple[str, str]]) -> None:
    for section in window.panel.sections.values():
        section.heading.setChecked(True)
    window.shot.playback.seek(0.5)
    window.shot.turns.finish()
    window.grab()
    expect_marks(said_by(window))
    assert any("half of the balls" in text for _, text in painted)
    expect_marks(painted)


def test_the_page_side_by_side(window: MainWindow, painted: list[tuple[str, str]]) -> None:
    window.rail.choices["side_by_side"].trigger()
    assert window.side_by_side.board.wait()
    window.grab()
    expect_marks(said_by(window.side_by_side))
    expect_marks(painted)
    window.side_by_side.present()
    presenting = window.side_by_side.presenting
    assert presenting is not None
    expect_marks(said_by(presenting))
    presenting.close()


def test_the_map(window: MainWindow, painted: list[tuple[str, str]]) -> None:
    bag, sides = packaged_bag(), (Scale("distance", (20.0, 30.0)), Scale("lie", AXES["lie"].choices[:2]))
    won = Cell(bag.clubs[1], "chip", 2.4, 0.02, 0.05, 0.01, (("x", "chip"),), ("x", "chip"), 64)
    space = window.map
    space.chart.show_map(Map(FULL, bag, *sides, 64, 1, ((won, None), (None, won))))
    space.chart.point((0, 0))
    space.resize(700, 500)
    for layer in range(space.layer.count()):
        space.layer.setCurrentIndex(layer)
        space.grab()
    expect_marks(said_by(space))
    expect_marks(painted)


def test_the_boxes(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings, help, figures, details, keys and the rest, and what the dialogs of the desktop are asked."""
    asked: list[tuple[str, str]] = []

    def dialog(*args: Any) -> tuple[str, str]:
        asked.extend(("dialog", arg) for arg in (args[1], args[3]) if arg != "PDF (*.pdf)")
        return "", ""

    def question(*args: Any) -> QMessageBox.StandardButton:
        asked.extend(("question", arg) for arg in args[1:3])
        return QMessageBox.StandardButton.Discard

    monkeypatch.setattr(QFileDialog, "getSaveFileName", dialog)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", dialog)
    monkeypatch.setattr(QMessageBox, "question", question)
    for entry in ENTRIES:
        if entry.code not in ("quit", "new", "undo", "redo", "present"):
            window.actions_by_code[entry.code].trigger()
    window.session.edit("green.wet", True, language._("Wet green"))
    window.filing.may_leave()
    window.notice.tell("")
    expect_marks(said_by(window))
    expect_marks(asked)
    assert {"question", "dialog"} == {who for who, _ in asked}
    expect_marks([("undo", window.actions_by_code["undo"].text())])


def test_what_is_looked_up_stands_in_the_source() -> None:
    """A message that is put together before it is looked up is in no catalogue."""
    package = Path(language.__file__).parents[1]
    wrong = [
        f"{file.name}:{call.lineno}"
        for file in package.rglob("*.py")
        for call in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and ast.unparse(call.func) in ("_", "N_", "plural")
        if any(isinstance(part, ast.JoinedStr | ast.BinOp) for part in call.args[:2])
    ]
    assert wrong == []


def test_marks_are_asked_for(marks: None) -> None:
    """The measure itself."""
    assert unmarked("Land it 4 yd away") == "Land it away"
    assert unmarked(f"{language._('Land it {d} away').format(d='4 yd')}, 12.3 m") == ""
    assert unmarked(language._("a {b} c").format(b=language._("b"))) == ""
    assert unmarked("Sand wedge (Ctrl+1)") == ""


@pytest.mark.parametrize(
    ("said", "there", "codes", "cancel"),
    [
        ("", GNUTranslations(), ["de_AT", "de"], "Abbrechen"),
        ("fr", GNUTranslations(), ["fr"], "Annuler"),
        ("", NullTranslations(), ["de_AT", "de"], ""),
    ],
)
def test_the_desktop_is_asked_where_the_environment_names_no_language(
    said: str, there: NullTranslations, codes: list[str], cancel: str, qapp: QApplication,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """And Qt says its own words in it ("Cancel" in its German and French), but never beside our English."""
    for name in language.VARIABLES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", said)
    asked: list[list[str]] = []
    spoken: list[NullTranslations] = []
    installed: list[QTranslator] = []
    monkeypatch.setattr(language, "catalogue", lambda wanted: asked.append(wanted) or there)
    monkeypatch.setattr(language, "speak", spoken.append)
    monkeypatch.setattr(QLocale, "uiLanguages", lambda locale: ["de-AT", "de"])
    monkeypatch.setattr(QApplication, "installTranslator", lambda running, one: installed.append(one))
    app.speak_as_desktop(qapp)
    assert (asked, spoken) == ([codes], [there])
    assert [one.translate("QPlatformTheme", "Cancel") for one in installed] == [cancel] * bool(cancel)
