"""The answer can be read whole: in the window as it first appears, and with small and large letters.

At 1280 x 800 club, technique, landing spot, run, strokes and their margin stand in a label or a cell that is
seen and that cuts nothing off. How soon they stand there is measured by `tests/bench/bench_start.py`.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication, QLabel, QStyle, QTableView

from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.desktop import app
from shortgame_gui.desktop.advisor import ask_engine
from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.session import key_of
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.shot.explain import LARGE, LESS, USUAL, unbroken
from shortgame_gui.desktop.shot.ranked_columns import CODES
from shortgame_gui.desktop.shot.ranked_table import TICK
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.text import TECHNIQUES, landing_text, run_text

WIDTH, HEIGHT = 1280, 800
SMALLEST = (960, 540)
"""What a screen of 1920 x 1080 leaves at a scale of 200 %."""
MUST = ("rank", "shot", "strokes", "lands", "runs")
"""Columns that are seen without scrolling, whatever the size of the letters."""


@pytest.fixture
def windows(qapp: QApplication, end_window: Callable[[MainWindow], None]) -> Iterator[list[MainWindow]]:
    """Windows of a first start, which are ended after the test."""
    app.application()
    made: list[MainWindow] = []
    yield made
    for window in made:
        end_window(window)


def first_start(
    windows: list[MainWindow],
    qtbot: Any,
    question: Any = ask_engine,
    size: tuple[int, int] = (WIDTH, HEIGHT),
) -> MainWindow:
    """The window on the document of a first start, with the first answer in it."""
    window = MainWindow(Settings(), Theme("light"), question)
    windows.append(window)
    with qtbot.waitSignal(window.advisor.settled, timeout=120_000):
        window.begin(None)
        window.resize(*size)
        window.show()
    # The layout makes room for the answer by an event of its own.
    qtbot.waitUntil(lambda: not cut_off(window))
    return window


def cut_off(window: MainWindow) -> list[str]:
    """What cannot be read whole: the headline, cells and headings of the table, groups of the panel."""
    headline, table, panel = window.shot.headline, window.shot.table, window.panel
    found = [label.text() for label in (headline.shot, headline.detail) if not whole_label(label)]
    for column in map(CODES.index, MUST):
        found += whole_heading(table, column)
        found += [text for row in range(2) for text in lost(table, table.model().index(row, column))]
    room = panel.viewport().width()
    return found + [
        s.heading.text() for s in panel.sections.values() if s.minimumSizeHint().width() + 12 > room
    ]


def whole_label(label: QLabel) -> bool:
    """Whether a label is seen and has room for each line of its text."""
    room = label.contentsRect()
    flags = Qt.TextFlag.TextWordWrap if label.wordWrap() else Qt.TextFlag.TextSingleLine
    needs = label.fontMetrics().boundingRect(QRect(0, 0, room.width(), 10_000), int(flags), label.text())
    return seen(label.visibleRegion().boundingRect(), label.rect()) and (
        needs.width() <= room.width() and needs.height() <= room.height()
    )


def seen(part: QRect, whole: QRect) -> bool:
    """Whether of ``whole`` nothing lies outside of ``part``."""
    return not whole.isEmpty() and part.contains(whole)


def lost(table: QTableView, index: QModelIndex) -> list[str]:
    """The lines of a cell for which it has no room; all, when the cell is not seen whole."""
    lines = str(index.data()).split("\n")
    box, metrics = table.visualRect(index), table.fontMetrics()
    if not seen(table.viewport().rect(), box) or len(lines) * metrics.height() > box.height():
        return lines
    room = box.width() - 2 * (table.style().pixelMetric(table.style().PixelMetric.PM_FocusFrameHMargin) + 1)
    room -= TICK // 2 if index.data(Qt.ItemDataRole.CheckStateRole) is not None else 0
    return [line for line in lines if metrics.horizontalAdvance(line) > room]


def whole_heading(table: QTableView, column: int) -> list[str]:
    """The heading of a column, when its section has no room for it."""
    header = table.horizontalHeader()
    text = str(table.model().headerData(column, Qt.Orientation.Horizontal))
    fits = QFontMetrics(header.font()).horizontalAdvance(text) <= header.sectionSize(column)
    return [] if fits else [text]


def read(window: MainWindow) -> dict[str, str]:
    """The answer as it stands in the window: the two lines of the headline, and the first row by column."""
    headline, table = window.shot.headline, window.shot.table
    first = {code: str(table.model().index(0, k).data()) for k, code in enumerate(CODES)}
    head, detail = (label.text().replace("\xa0", " ") for label in (headline.shot, headline.detail))
    return {**first, "head": head, "detail": detail}


def expect_the_answer(window: MainWindow) -> None:
    """All six are there, in letters that nothing cuts off."""
    advice = window.session.advice
    assert advice is not None
    leader, second, said = advice.shots[0], advice.shots[1], read(window)
    club, technique = leader.club.name, TECHNIQUES[leader.technique]
    if leader.technique != "putt":
        assert said["head"].casefold().startswith(f"{club}, {technique}, ".casefold())
        assert landing_text(leader)[1:] in said["detail"]
        assert run_text(leader) in said["detail"]
    assert said["shot"].casefold().split("\n") == [club.casefold(), technique]
    strokes = f"{leader.expected_strokes:.2f} ± {leader.standard_error:.2f} strokes"
    assert strokes in said["detail"]
    assert said["strokes"] == f"{leader.expected_strokes:.2f}\nbest"
    assert said["lands"] == lands(leader)
    assert said["runs"] == f"{leader.run / 0.9144:.1f}".replace("-0.0", "0.0")
    margin = "too close to call" if second.tie else f"{second.behind_best:.2f} strokes better than"
    assert margin in said["detail"]
    strokes_of_second = str(window.shot.table.model().index(1, CODES.index("strokes")).data())
    assert strokes_of_second == f"{second.expected_strokes:.2f}\n+{second.behind_best:.2f}"
    assert cut_off(window) == []


def lands(shot: Shot) -> str:
    """The landing spot against the edge, as the table says it, in yards."""
    if shot.technique == "putt":
        return "rolls"
    past = shot.landing_past_edge
    assert past is not None
    return f"{abs(past) / 0.9144:.1f} {'on' if past >= 0.0 else 'short'}"


def test_the_answer_can_be_read_and_another_lie_changes_it(windows: list[MainWindow], qtbot: Any) -> None:
    """With the real engine, touching nothing at first; then the drawing of deep rough is clicked."""
    window = first_start(windows, qtbot)
    assert (window.width(), window.height()) == (WIDTH, HEIGHT)
    expect_the_answer(window)
    before = read(window)
    tile = window.panel.editors["lie.ground"].buttons["rough"]  # type: ignore[attr-defined]
    assert seen(tile.visibleRegion().boundingRect(), tile.rect())
    with qtbot.waitSignal(window.advisor.settled, timeout=120_000):
        qtbot.mouseClick(tile, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not cut_off(window))
    expect_the_answer(window)
    after = read(window)
    same = [
        part for part in ("head", "detail", "shot", "strokes", "lands", "runs") if before[part] == after[part]
    ]
    assert same == []


@pytest.fixture
def letters(qapp: QApplication, request: pytest.FixtureRequest) -> Iterator[None]:
    """The desktop's letters in another size, in points."""
    was = QApplication.font()
    other = QApplication.font()
    other.setPointSizeF(request.param)
    QApplication.setFont(other)
    yield
    QApplication.setFont(was)


@pytest.mark.parametrize(
    ("letters", "units"), [(7.0, "yards"), (9.0, "metres"), (11.0, "yards"), (12.0, "metres")],
    indirect=["letters"],
)  # fmt: skip
def test_letters_of_every_size_have_room(
    letters: None, units: str, windows: list[MainWindow], made_advice: Advice, qtbot: Any
) -> None:
    Settings().units = units
    first_start(windows, qtbot, lambda document: lambda progress, cancelled: made_advice)


@pytest.mark.parametrize("units", ["yards", "metres"])
def test_the_answer_is_whole_on_a_small_screen(
    units: str, windows: list[MainWindow], made_advice: Advice, qtbot: Any
) -> None:
    Settings().units = units
    first_start(windows, qtbot, lambda document: lambda progress, cancelled: made_advice, SMALLEST)


def test_rank_shot_and_strokes_are_seen_with_letters_of_twice_the_size(
    twice_the_size: None, windows: list[MainWindow], made_advice: Advice, qtbot: Any
) -> None:
    """Without scrolling sideways, also after another shot was chosen; the moment can still be dragged."""
    window = MainWindow(Settings(), Theme("light"), lambda document: lambda progress, cancelled: made_advice)
    windows.append(window)
    with qtbot.waitSignal(window.advisor.settled):
        window.begin(None)
        window.resize(WIDTH, HEIGHT)
        window.show()
    QApplication.processEvents()
    assert (window.width(), window.height()) == (WIDTH, HEIGHT)
    table, bar = window.shot.table, window.shot.bar
    for row in range(2):
        window.session.bring_forward(key_of(made_advice.shots[row]))
        for column in map(CODES.index, ("rank", "shot", "strokes")):
            assert whole_heading(table, column) == lost(table, table.model().index(row, column)) == []
    longest = table.fontMetrics().horizontalAdvance("60-degree wedge")
    box = table.style().pixelMetric(QStyle.PixelMetric.PM_IndicatorWidth, None, table)
    assert table.columnWidth(CODES.index("shot")) >= longest + box + 8
    assert bar.moment.width() > 2 * bar.fontMetrics().lineSpacing()


def test_what_is_cut_off_is_found(windows: list[MainWindow], made_advice: Advice, qtbot: Any) -> None:
    """The measure itself: a narrow column, a label without room for its lines, and one that is hidden."""
    window = first_start(windows, qtbot, lambda document: lambda progress, cancelled: made_advice)
    table, headline = window.shot.table, window.shot.headline
    table.setColumnWidth(CODES.index("strokes"), 12)
    assert "2.50" in cut_off(window)
    assert "Strokes" in cut_off(window)
    table.show_columns(table.columns)
    assert cut_off(window) == []
    headline.detail.setText(headline.detail.text() * 3)
    assert headline.detail.text() in cut_off(window)
    headline.shot.hide()
    assert headline.shot.text() in cut_off(window)


def test_the_headline_keeps_its_rows(windows: list[MainWindow], made_advice: Advice, qtbot: Any) -> None:
    """A long answer takes two rows at 960 pixels; a short one after it leaves the views where they were."""
    window = first_start(windows, qtbot, lambda document: lambda progress, cancelled: made_advice, SMALLEST)
    headline = window.shot.headline
    short = headline.detail.height()
    headline.detail.setText(headline.detail.text() * 3)
    headline.keep_rows()
    QApplication.processEvents()
    tall = headline.detail.height()
    assert tall > short
    headline.show_answer()
    QApplication.processEvents()
    assert headline.detail.height() == tall
    window.resize(1400, 800)
    headline.show_answer()
    qtbot.waitUntil(lambda: headline.detail.height() < tall)


def test_the_headline_is_written_smaller_where_it_would_fold(
    windows: list[MainWindow], made_advice: Advice, qtbot: Any
) -> None:
    """By the width alone, so that its letters do not jump from answer to answer."""
    window = first_start(windows, qtbot, lambda document: lambda progress, cancelled: made_advice, SMALLEST)
    headline = window.shot.headline
    usual = headline.font().pointSizeF()

    def sizes() -> tuple[float, float]:
        return tuple(label.font().pointSizeF() / usual for label in (headline.shot, headline.detail))  # type: ignore[return-value]

    assert sizes() == pytest.approx(LARGE)
    fold = headline.shot.fontMetrics().horizontalAdvance(USUAL)
    for width, wanted in ((fold, LESS), (fold + 100, LARGE)):
        headline.resize(width, headline.height())
        assert sizes() == pytest.approx(wanted)
        headline.show_answer()
        assert sizes() == pytest.approx(wanted)


def test_figures_are_not_torn_from_their_units() -> None:
    assert unbroken("half within 15.1 m of 17.5 m, 0.03 ± 0.02") == (
        "half within 15.1\xa0m of 17.5\xa0m, 0.03\xa0±\xa00.02"
    )
    assert unbroken("down in 2 strokes") == "down in 2 strokes"
