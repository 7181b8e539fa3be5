"""The situation panel: each value of the model has its widget, and moving it changes the document."""

from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QWheelEvent
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QPlainTextEdit, QSlider, QWidget

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.advice.rules import candidates
from shortgame_gui.desktop import labels
from shortgame_gui.desktop.doubts import DoubtEditor
from shortgame_gui.desktop.edits import edited
from shortgame_gui.desktop.fields import ChoiceEditor, FlagEditor, NumberEditor, SpinBox, TextEditor
from shortgame_gui.desktop.lie_editor import LieEditor
from shortgame_gui.desktop.lies import draw_lie
from shortgame_gui.desktop.lists import ListEditor
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.situation_panel import NOT_SHOWN, SituationPanel, editor_of
from shortgame_gui.desktop.sketcher import Before, Sketch, ask_picture
from shortgame_gui.desktop.theme import DARK, LIGHT, Theme
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import Leaf, get, leaves, put_all
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

LEAVES = leaves(Situation)
SHOWN = [leaf for leaf in LEAVES if leaf.path not in NOT_SHOWN]

#: A pitch out of the rough, over a bunker, on to a tilted green: here nearly everything matters.
BASE = put_all(
    Situation(),
    {
        "lie.ground": "rough",
        "lie.sits": "up",
        "lie.rough_depth": 0.03,
        "hole.distance": 20.5,
        "green.front": 11.0,
        "green.depth": 12.0,
        "green.left": 1.5,
        "green.right": 1.5,
        "ground.approach": "fairway",
        "ground.profile": (
            ProfilePoint(at=0.0, height=0.0),
            ProfilePoint(at=6.0, height=0.3),
            ProfilePoint(at=20.0, height=0.6),
        ),
        "ground.bands": (Band(surface="sand", start=14.0, end=19.0, left=0.1, right=0.1),),
        "ground.shapes": (Shape(kind="run_off", at=14.0, length=3.0, height=0.3),),
        "ground.obstacles": (Obstacle(at=5.0, high=1.0),),
        "player.level": "20",
        **{f"player.techniques.{name}": "no" for name in TECHNIQUES if name != "pitch"},
    },
)
BAG = replace(
    packaged_bag(),
    clubs=tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge")),
)

#: A splash over a lip, for what matters in a bunker only.
SAND = put_all(
    Situation(),
    {
        "lie.ground": "sand",
        "lie.lip_height": 0.6,
        "player.level": "tour",
        **{f"player.techniques.{name}": "no" for name in TECHNIQUES if name != "splash"},
    },
)
IN_SAND_ONLY = ("lie.sand", "lie.lip_distance", "lie.lip_height")

#: A putt from the fringe, which the flagstick may catch.
PUTT = put_all(
    Situation(),
    {
        "lie.ground": "fringe",
        "hole.distance": 5.0,
        "green.front": 1.0,
        **{f"player.techniques.{name}": "no" for name in TECHNIQUES if name != "putt"},
    },
)


def with_obstacle(obstacle: Obstacle) -> Situation:
    return put_all(BASE, {"ground.obstacles": (obstacle,)})


#: Leaf -> where to begin instead of `BASE`.
BEGIN = {
    **dict.fromkeys(IN_SAND_ONLY, SAND),
    "hole.flag": PUTT,
    "player.counts": put_all(Situation(), {"player.level": "30"}),
    # A hedge below the flight, a branch over it, and a hedge beside it: one step brings each into the way.
    "ground.obstacles[].high": with_obstacle(Obstacle(at=6.0, high=2.0)),
    "ground.obstacles[].low": with_obstacle(Obstacle(at=6.0, low=5.0, high=9.0)),
    "ground.obstacles[].left": with_obstacle(Obstacle(at=6.0, high=9.0, left=-0.6, right=2.0)),
    "ground.obstacles[].right": with_obstacle(Obstacle(at=6.0, high=9.0, left=2.0, right=-0.6)),
}

IRRELEVANT = {
    "version": "says how the file is written",
    "name": "only a title",
    "note": "only for the reader",
}
"""Leaves that the advice does not read, each with the reason."""

LARGER_STEP = {"green.front": 10.0, "green.depth": 10.5}
"""Leaves whose own bounds would move the hole away from everything else: SI values to go to instead."""


@pytest.fixture
def session(qapp: Any) -> Session:
    return Session(Document(BASE, BAG))


@pytest.fixture
def measures(qapp: Any) -> Measures:
    return Measures("yards")


@pytest.fixture
def panel(session: Session, measures: Measures, qtbot: Any) -> Iterator[SituationPanel]:
    made = SituationPanel(session, measures, Theme("light"))
    qtbot.addWidget(made)
    for section in made.sections.values():
        section.heading.setChecked(True)
    made.show()
    yield made


def cell_of(panel: SituationPanel, leaf: Leaf) -> QWidget:
    """The widget of a leaf; for a list that of its last entry."""
    if not leaf.in_list:
        return panel.editors[leaf.path]
    path, name = leaf.path.split("[].")
    return panel.lists[path].rows[-1].cells[name]


def value_at(situation: Situation, leaf: Leaf) -> Any:
    if not leaf.in_list:
        return get(situation, leaf.path)
    path, name = leaf.path.split("[].")
    return getattr(get(situation, path)[-1], name)


def move(panel: SituationPanel, leaf: Leaf, qtbot: Any) -> None:
    """Change the leaf through its widget, as far as it goes."""
    widget = cell_of(panel, leaf)
    match widget:
        case NumberEditor(spin=spin):
            goal = LARGER_STEP.get(leaf.path)
            if goal is None:
                low, high = spin.minimum(), spin.maximum()
                to = high if abs(high - spin.value()) >= abs(spin.value() - low) else low
            else:
                to = spin.unit.shown(goal)
            type_into(spin, spin.locale().toString(to, "f", spin.decimals()), qtbot)
        case SpinBox():
            widget.stepBy(-5 if leaf.path == "ground.obstacles[].low" else 3)
        case ChoiceEditor(combo=None, buttons=buttons):
            other = next(button for button in buttons.values() if not button.isChecked())
            qtbot.mouseClick(other, Qt.MouseButton.LeftButton, pos=QPoint(6, other.height() // 2))
        case ChoiceEditor(combo=combo):
            turn(combo)
        case QComboBox():
            turn(widget)
        case LieEditor(buttons=buttons, offered=offered):
            other = next(buttons[choice] for choice in reversed(offered) if not buttons[choice].isChecked())
            qtbot.mouseClick(other, Qt.MouseButton.LeftButton)
        case DoubtEditor(switch=switch):
            qtbot.mouseClick(switch, Qt.MouseButton.LeftButton, pos=QPoint(6, switch.height() // 2))
        case FlagEditor(box=box):
            qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(6, box.height() // 2))
        case TextEditor(line=line):
            qtbot.keyClicks(line, "new ")
        case _:
            raise TypeError(f"{leaf.path} has a widget that nobody can move: {widget!r}")


def type_into(spin: SpinBox, text: str, qtbot: Any) -> None:
    line = spin.findChild(QLineEdit)
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)


def turn(combo: QComboBox | None) -> None:
    """The entry that stands furthest from the one chosen, as the keyboard would choose it."""
    assert combo is not None
    place = combo.count() - 1 if combo.currentIndex() < combo.count() / 2 else 0
    combo.setCurrentIndex(place)
    combo.activated.emit(place)


def told(advice: Advice) -> tuple[Any, ...]:
    """All that an advice says, without the situation that it repeats."""
    shots = [
        (s.club.name, s.technique, s.expected_strokes, s.landing, s.run, s.apex, s.share)
        for s in advice.shots
    ]
    return (shots, advice.refused, advice.setup, advice.cautions)


#: What doubt costs, other ways out and finer aims are told elsewhere; here they would take most of the time.
TABLE = replace(
    load(),
    choose=replace(
        load().choose, try_samples=4.0, try_more=0.0, doubt_conditions=2.0, doubt_shots=1.0, doubt_samples=8.0
    ),
    escape=replace(load().escape, samples=8.0),
)


@cache
def before(situation: Situation, samples: int) -> Advice:
    return advise(situation, BAG, TABLE, samples=samples)


def drawn(situation: Situation, last: Advice) -> tuple[Any, ...]:
    """How the shots of ``last`` go in ``situation``, as the window draws them before the advice is there."""
    hole = last.situation.hole.distance
    played = tuple(Before(s.head_speed, s.aim, s.landing[0], hole + s.finish_aim[0]) for s in last.shots)
    sketch = Sketch(Document(situation, BAG), last.shots, played)
    ways = ask_picture(sketch)(lambda share: None, lambda: False)
    return tuple(way and (way.head_speed, way.landing, way.apex, way.rest) for way in ways)


@cache
def drawn_before(situation: Situation, samples: int) -> tuple[Any, ...]:
    return drawn(situation, before(situation, samples))


def changes(situation: Situation, base: Situation, samples: int) -> bool:
    """Whether the advice for ``situation`` is another than for ``base``.

    It tells which shots there are and how they go without scatter, so where either differs, none is asked.
    """
    if candidates(situation, BAG) != candidates(base, BAG):
        return True
    last = before(base, samples)
    if drawn(situation, last) != drawn_before(base, samples):
        return True
    return told(advise(situation, BAG, TABLE, samples=samples)) != told(last)


SAMPLES = {"hole.flag": 2000}
"""Leaf -> samples where few do not show it; 128 for the others."""


def test_every_leaf_has_exactly_one_widget(panel: SituationPanel) -> None:
    single = {leaf.path for leaf in SHOWN if not leaf.in_list}
    assert set(panel.editors) == single
    in_rows = {
        f"{path}[].{name}"
        for path, lister in panel.lists.items()
        for row in lister.rows
        for name in row.cells
    }
    assert in_rows == {leaf.path for leaf in SHOWN if leaf.in_list}
    assert set(NOT_SHOWN) <= {leaf.path for leaf in LEAVES}


@pytest.mark.parametrize("part", sorted({leaf.path.split(".")[0] for leaf in SHOWN}))
def test_moving_a_widget_changes_the_document_and_the_advice(
    part: str, panel: SituationPanel, session: Session, qtbot: Any
) -> None:
    for leaf in SHOWN:
        if leaf.path.split(".")[0] == part:
            moved_and_undone(leaf, panel, session, qtbot)


def moved_and_undone(leaf: Leaf, panel: SituationPanel, session: Session, qtbot: Any) -> None:
    base = BEGIN.get(leaf.path, BASE)
    session.put(Document(base, BAG), "Start here")
    session.undo_stack.clear()
    old = value_at(session.situation, leaf)
    move(panel, leaf, qtbot)
    new = value_at(session.situation, leaf)
    assert new != old, leaf.path
    assert session.undo_stack.count() >= 1, leaf.path
    if not leaf.in_list:
        assert session.situation == edited(base, leaf.path, new), leaf.path
    samples = SAMPLES.get(leaf.path, 128)
    assert before(base, samples).shots, f"{leaf.path}: there must be a shot that can change"
    assert changes(session.situation, base, samples) == (leaf.path not in IRRELEVANT), leaf.path
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
    assert session.situation == base, leaf.path
    shown = cell_of(panel, leaf)
    if isinstance(shown, NumberEditor):
        assert shown.spin.value() == pytest.approx(shown.spin.unit.shown(old), abs=0.06), leaf.path


def test_what_is_declared_irrelevant_exists() -> None:
    assert set(IRRELEVANT) <= {leaf.path for leaf in LEAVES}


def test_what_does_not_apply_is_hidden(panel: SituationPanel, session: Session) -> None:
    depth = panel.editors["lie.rough_depth"]
    assert depth.isVisibleTo(panel)
    session.edit("lie.ground", "fairway", "Ball lies on")
    assert not depth.isVisibleTo(panel)
    session.undo_stack.undo()
    assert depth.isVisibleTo(panel)
    for path in IN_SAND_ONLY:
        assert not panel.editors[path].isVisibleTo(panel)
    session.edit("lie.ground", "sand", "Ball lies on")
    for path in IN_SAND_ONLY:
        assert panel.editors[path].isVisibleTo(panel)
    assert set(labels.APPLIES) <= set(panel.editors)


def test_only_what_can_be_is_offered(panel: SituationPanel, session: Session) -> None:
    editor = panel.editors["lie.sits"]
    assert isinstance(editor, LieEditor)

    def offered() -> set[str]:
        shown = {choice for choice, tile in editor.buttons.items() if tile.isVisibleTo(panel)}
        assert shown == set(editor.offered)
        return shown

    def chosen() -> list[str]:
        return [choice for choice, tile in editor.buttons.items() if tile.isChecked()]

    assert offered() == set(labels.IN_GRASS)
    session.edit("lie.ground", "sand", "Ball lies on")
    assert offered() == set(labels.IN_SAND)
    assert [session.situation.lie.sits] == chosen() == ["half_down"]  # it cannot sit up there
    session.edit("lie.sits", "plugged", "Ball sits")
    session.edit("lie.ground", "bare", "Ball lies on")
    assert offered() == set(labels.IN_GRASS) - {"plugged"}  # nothing plugs in hard ground
    assert [session.situation.lie.sits] == chosen() == ["half_down"]
    session.edit("lie.ground", "rough", "Ball lies on")
    session.edit("lie.sits", "plugged", "Ball sits")
    assert [session.situation.lie.sits] == chosen() == ["plugged"]
    # A file may say what the panel would not offer; it is shown as it is.
    session.put(Document(put_all(BASE, {"lie.sits": "furrow"}), BAG), "Open")
    assert chosen() == ["furrow"]
    assert offered() == {*labels.IN_GRASS, "furrow"}
    session.undo_stack.undo()
    assert offered() == set(labels.IN_GRASS)


def test_every_choice_has_a_name_of_its_own() -> None:
    for leaf in SHOWN:
        if leaf.kind == "choice":
            names = labels.choice_labels(leaf.path, leaf.choices)
            assert len(set(names.values())) == len(leaf.choices), leaf.path
            assert all(name[0].isupper() or name[0].isdigit() for name in names.values())


def test_dragging_a_slider_is_one_step(panel: SituationPanel, session: Session, qtbot: Any) -> None:
    editor = panel.editors["green.speed"]
    assert isinstance(editor, NumberEditor)
    slider = editor.slider
    for _ in range(2):
        slider.sliderPressed.emit()
        for _ in range(4):
            slider.triggerAction(QSlider.SliderAction.SliderSingleStepAdd)
    assert session.undo_stack.count() == 2
    assert session.situation.green.speed == pytest.approx(14.0 * 0.3048, abs=1e-6)
    assert editor.spin.value() == 14.0


def test_reset_brings_the_usual_value_back(panel: SituationPanel, session: Session, qtbot: Any) -> None:
    editor = panel.editors["green.speed"]
    assert isinstance(editor, NumberEditor)
    assert not editor.reset.isVisibleTo(panel)
    session.edit("green.speed", 4.0, "Green speed")
    assert editor.reset.isVisibleTo(panel)
    qtbot.mouseClick(editor.reset, Qt.MouseButton.LeftButton)
    assert session.situation.green.speed == 3.048
    assert not editor.reset.isVisibleTo(panel)


def test_presets_are_the_speeds_as_spoken_of_today(
    panel: SituationPanel, session: Session, qtbot: Any
) -> None:
    """7 to 8 ft slow, 9 to 10 medium, 11 to 12 fast, 13 and more very fast: common practice, no source."""
    editor = panel.editors["green.speed"]
    assert isinstance(editor, NumberEditor)
    spoken = {"Slow": (7.0, 8.0), "Medium": (9.0, 10.0), "Fast": (11.0, 12.0), "Very fast": (13.0, 13.5)}
    assert list(editor.presets) == list(spoken)
    for word, (low, high) in spoken.items():
        count = session.undo_stack.count()
        qtbot.mouseClick(editor.presets[word], Qt.MouseButton.LeftButton)
        assert low <= session.situation.green.speed / 0.3048 <= high
        assert session.undo_stack.count() == count + 1
        assert editor.title.text() == f"Green speed: {word.lower()}"
        for feet in (low, high):
            assert labels.SPOKEN["green.speed"](feet * 0.3048) == word.lower()
    for path in ("green.firmness", "lie.firmness"):
        turf = panel.editors[path]
        assert isinstance(turf, NumberEditor)
        for word, button in turf.presets.items():
            button.click()
            assert turf.title.text().endswith(f": {word.lower()}")


@pytest.mark.parametrize("path", labels.DOUBTS)
def test_not_sure_opens_a_spread_and_closes_it(
    path: str, panel: SituationPanel, session: Session, qtbot: Any
) -> None:
    doubt, usual = labels.DOUBTS[path]
    editor = panel.editors[doubt]
    assert isinstance(editor, DoubtEditor)
    assert editor.switch.isVisibleTo(panel) and not editor.isVisibleTo(panel)
    editor.switch.click()
    assert get(session.situation, doubt) == pytest.approx(usual, abs=1e-9)
    assert editor.isVisibleTo(panel)
    assert editor.spin.text().startswith("± ")
    editor.spin.stepBy(1)
    more = get(session.situation, doubt)
    assert more > usual
    session.undo_stack.undo()
    assert get(session.situation, doubt) == pytest.approx(usual, abs=1e-9)
    editor.switch.click()
    assert get(session.situation, doubt) == 0.0
    assert not editor.isVisibleTo(panel)
    session.undo_stack.undo()
    assert editor.switch.isChecked()


def test_tiles_are_chosen_by_keyboard(panel: SituationPanel, session: Session, qtbot: Any) -> None:
    editor = panel.editors["lie.ground"]
    assert isinstance(editor, LieEditor)
    rough = editor.buttons["rough"]
    assert rough.isChecked()
    panel.activateWindow()
    rough.setFocus()
    qtbot.waitUntil(rough.hasFocus)
    qtbot.keyClick(rough, Qt.Key.Key_Right)
    assert session.situation.lie.ground == "bare"
    assert editor.buttons["bare"].isChecked()
    qtbot.keyClick(editor.buttons["divot"], Qt.Key.Key_Space)
    assert session.situation.lie.ground == "divot"
    sits = panel.editors["lie.sits"]
    assert isinstance(sits, LieEditor)
    assert sits.buttons["up"].lie == ("divot", "up")  # drawn in the ground that was chosen


def test_every_tile_has_a_drawing_of_its_own(panel: SituationPanel) -> None:
    """No two choices that are offered side by side look the same, in either theme."""
    for path in labels.PICTURED:
        editor = panel.editors[path]
        assert isinstance(editor, LieEditor)
        for colours in (LIGHT, DARK):
            drawn = set()
            for tile in editor.buttons.values():
                if tile.isVisibleTo(panel):
                    picture = QImage(90, 40, QImage.Format.Format_RGB32)
                    picture.fill(QColor(colours.base))
                    painter = QPainter(picture)
                    draw_lie(painter, QRectF(0, 0, 90, 40), *tile.lie, colours)
                    painter.end()
                    drawn.add(bytes(picture.constBits()))
            assert len(drawn) == len(editor.offered)


def test_units_change_what_is_shown_and_not_what_is_meant(
    panel: SituationPanel, session: Session, measures: Measures
) -> None:
    def shown(path: str) -> str:
        editor = panel.editors[path]
        assert isinstance(editor, NumberEditor)
        return editor.spin.text()

    document = session.document
    assert shown("hole.distance") == "22.4 yd"
    measures.switch("metres")
    assert shown("hole.distance") == "20.5 m"
    assert shown("green.speed") == "10.0 ft"  # of stimp, in any system
    assert shown("stance.slope_along").endswith("°")
    assert shown("green.slope_along").endswith("%")
    assert shown("lie.rough_depth").endswith("cm")
    measures.switch("yards")
    assert shown("hole.distance") == "22.4 yd"
    assert shown("lie.rough_depth").endswith("in")
    assert session.document is document


@pytest.mark.parametrize("path", ["green.speed", "ground.approach"])
def test_the_wheel_scrolls_and_changes_only_what_is_focused(
    path: str, panel: SituationPanel, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    editor = panel.editors[path]
    target = editor.spin if isinstance(editor, NumberEditor) else editor.combo  # type: ignore[attr-defined]
    monkeypatch.setattr(target, "hasFocus", lambda: False)  # which window is active is not the test's to say
    roll(target)
    assert session.situation == BASE
    monkeypatch.setattr(target, "hasFocus", lambda: True)
    roll(target)
    assert session.situation != BASE


def roll(target: QWidget) -> None:
    middle = QPointF(target.rect().center())
    event = QWheelEvent(
        middle, QPointF(target.mapToGlobal(middle.toPoint())), QPoint(0, -120), QPoint(0, -120),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(target, event)


def test_rows_are_added_and_removed(panel: SituationPanel, session: Session, qtbot: Any) -> None:
    bands: ListEditor = panel.lists["ground.bands"]
    qtbot.mouseClick(bands.add, Qt.MouseButton.LeftButton)
    assert len(session.situation.ground.bands) == 2
    assert len(bands.rows) == 2
    qtbot.mouseClick(bands.rows[0].remove, Qt.MouseButton.LeftButton)
    assert len(session.situation.ground.bands) == 1
    assert session.situation.ground.bands[0] != BASE.ground.bands[0]
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.situation == BASE


def test_the_first_points_and_a_full_list(qtbot: Any, measures: Measures) -> None:
    session = Session()
    panel = SituationPanel(session, measures, Theme("light"))
    qtbot.addWidget(panel)
    points = panel.lists["ground.profile"]
    for _ in range(30):
        points.add.click()
    assert len(session.situation.ground.profile) == 24
    assert not points.add.isEnabled()


def test_every_editor_says_what_it_is(panel: SituationPanel) -> None:
    def named(widget: QWidget) -> bool:
        return bool(widget.accessibleName() and widget.toolTip())

    for path, editor in panel.editors.items():
        parts: list[QWidget] = []
        match editor:
            case NumberEditor():
                parts = [editor.spin, editor.slider, editor.reset, *editor.presets.values()]
            case ChoiceEditor():
                parts = [editor.combo] if editor.combo else list(editor.buttons.values())
            case LieEditor():
                parts = list(editor.buttons.values())
            case DoubtEditor():
                parts = [editor.switch, editor.spin]
            case FlagEditor():
                parts = [editor.box]
            case TextEditor():
                parts = [editor.line]
        assert parts, path
        assert all(named(part) for part in parts), path
    for lister in panel.lists.values():
        assert named(lister.add)
        for row in lister.rows:
            assert all(named(cell) for cell in (*row.cells.values(), row.remove))


def test_text_is_typed_without_losing_the_cursor(panel: SituationPanel, session: Session, qtbot: Any) -> None:
    line = panel.editors["name"].line  # type: ignore[attr-defined]
    assert isinstance(line, QLineEdit)
    line.setCursorPosition(0)
    qtbot.keyClicks(line, "Old ")
    assert session.situation.name == "Old Untitled"
    assert line.cursorPosition() == 4
    assert session.undo_stack.count() == 1
    note = panel.editors["note"].line  # type: ignore[attr-defined]
    assert isinstance(note, QPlainTextEdit)
    qtbot.keyClicks(note, "wet")
    assert session.situation.note == "wet"


def test_nothing_is_cut_off_at_the_width_of_the_panel(panel: SituationPanel, qtbot: Any) -> None:
    panel.resize(310, 2600)
    QApplication.processEvents()
    inside = panel.viewport().width()
    assert panel.widget().minimumSizeHint().width() <= inside
    for editor in panel.editors.values():
        for child in editor.findChildren(QComboBox):
            assert child.width() >= child.sizeHint().width(), editor.leaf.path


def test_an_edit_that_is_refused_shows_the_old_value_again(panel: SituationPanel, session: Session) -> None:
    editor = panel.editors["green.depth"]
    assert isinstance(editor, NumberEditor)
    editor.spin.show_si(40.0)
    session.edit("green.depth", -1.0, "Depth of the green")
    assert editor.spin.value() == pytest.approx(editor.spin.unit.shown(12.0), abs=0.06)


def test_editor_of_a_type_that_none_fits() -> None:
    with pytest.raises(TypeError, match="no editor"):
        editor_of(next(leaf for leaf in LEAVES if leaf.kind == "whole"), Measures(), Theme("light"))
