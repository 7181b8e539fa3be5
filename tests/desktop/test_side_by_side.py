"""The Side by side page: what is set moves every shot and never the document; rows and words follow."""

from collections.abc import Callable, Iterator
from typing import Any

import msgspec
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QTransform
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLayout, QStyleOptionViewItem
from pytestqt.qtbot import QtBot

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.fields import NumberEditor
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Document, Session, key_of
from shortgame_gui.desktop.shot.drawing import polygon
from shortgame_gui.desktop.side_by_side.bars import BAR, COLUMNS, PLACES
from shortgame_gui.desktop.side_by_side.board import Board, Setting, usual_picks
from shortgame_gui.desktop.side_by_side.why import explained
from shortgame_gui.desktop.side_by_side.workspace import SideBySideWorkspace
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.club import Bag
from shortgame_gui.model.ground import Obstacle
from shortgame_gui.model.leaves import put, put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag, read_demo
from shortgame_gui.words.numbers import Style

Make = Callable[..., SideBySideWorkspace]
SAND, SEVEN = ("sand wedge", "chip"), ("7-iron", "chip")


@pytest.fixture
def make(qtbot: QtBot) -> Iterator[Make]:
    made: list[SideBySideWorkspace] = []

    def page(situation: Situation | None = None, bag: Bag | None = None) -> SideBySideWorkspace:
        session = Session(Document(situation or Situation(), bag or packaged_bag()))
        new = SideBySideWorkspace(session, Theme("light"), Measures("metres"))
        new.session = session  # type: ignore[attr-defined]
        qtbot.addWidget(new)
        made.append(new)
        frame = new.layout()
        assert frame is not None
        frame.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        new.setMinimumSize(400, 300)
        new.resize(900, 700)
        new.show()
        new.entered()
        assert new.board.wait()
        return new

    yield page
    for page_made in made:
        page_made.close_down()


@pytest.fixture
def page(make: Make) -> SideBySideWorkspace:
    return make()


def set_and_wait(page: SideBySideWorkspace, act: Callable[[], Any]) -> None:
    act()
    assert page.board.wait() and page.board.current


def test_the_page_opens_with_three_lofts_and_the_reason(page: SideBySideWorkspace) -> None:
    board = page.board
    assert len(board.shots) == 3 and {shot.technique for shot in board.shots} == {"chip"}
    lofts = [shot.club.loft for shot in board.shots]
    assert lofts == sorted(lofts, reverse=True)
    assert page.state.text() == "All land 7.0 m away."
    assert page.why.heading.text() == f"Why the {board.shots[2].club.name} runs more than the sand wedge"
    assert "after the first bounce" in page.why.text.toPlainText()
    assert len(page.picture.ways.ways) == 3
    assert page.bars.bars.rowCount() == 3


def test_the_page_opens_with_what_shows_something_there(make: Make) -> None:
    """From sand, and from so far that no chip lands there."""
    bunker = make(put_all(Situation(), {"lie.ground": "sand", "lie.lip_height": 0.5}))
    assert len(bunker.board.shots) >= 2 and not any(shot.refused for shot in bunker.board.shots)
    far = make(put_all(Situation(), {"green.front": 60.0, "hole.distance": 70.0}))
    assert len(far.board.shots) >= 2 and far.board.shots[0].technique != "chip"
    # What nobody ticked gives way where it shows nothing; what somebody ticked stays.
    far._session.begin_anew()
    assert far.board.wait() and len(far.board.shots) >= 2
    far.board.pick(SAND, True)
    far._session.edit("lie.ground", "sand", "Lie")
    assert far.board.wait() and SAND in far.board.picks


def test_the_list_opens_at_its_ticks_and_closes_what_was_opened_for_others(make: Make) -> None:
    page = make()
    picks = page.controls.picks
    groups = {technique: item.parent() for (_club, technique), item in picks.items.items()}

    def opened() -> set[str]:
        return {technique for technique, group in groups.items() if group.isExpanded()}

    assert opened() == {"chip"}
    groups["lob"].setExpanded(True)  # by hand, so it stays
    page._session.open_demo("situations/11-bunker-under-the-lip.json")
    assert page.board.wait()
    assert opened() == {"lob", page.board.shots[0].technique} and "chip" not in opened()


def test_a_bag_with_one_wedge_opens_with_its_ways_of_playing(make: Make) -> None:
    """Two clubs with one technique there are none; of one club's ways those are shown that land there."""
    bag = packaged_bag()
    one = Bag(clubs=tuple(bag.find(club) for club in ("putter", "sand wedge")))
    far = put_all(Situation(), {"green.front": 8.0, "hole.distance": 22.0, "player.level": "junior"})
    board = make(far, one).board
    assert len(board.shots) == 3 and board.comparison is not None and not board.comparison.not_done
    assert {shot.club.name for shot in board.shots} == {"sand wedge"}
    assert len({shot.technique for shot in board.shots}) == 3
    putter = make(bag=Bag(clubs=(bag.find("putter"),)))
    assert not putter.board.shots


def test_the_finish_is_held_where_the_usual_spot_is_out_of_reach(make: Make) -> None:
    """Under a branch nothing lands on the green, and low shots run there."""
    page = make(read_demo("situations/12-under-a-branch.json"))
    assert page.board.setting.held == "finish" and len(page.board.shots) >= 2
    assert page.state.text().startswith("All come to rest ")
    page._session.begin_anew()
    assert page.board.wait() and page.board.setting.held == "landing" and len(page.board.shots) == 3
    page._session.open_demo("situations/06-thirty-yards-over-sand.json")  # too far for a sand wedge's chip
    assert page.board.wait() and page.board.comparison is not None and not page.board.comparison.not_done
    page.board.hold("finish")
    page._session.open_demo("situations/01-tight-lie-close-in.json")
    assert page.board.wait() and page.board.setting.held == "finish"  # what somebody chose stays


def test_it_is_said_where_too_few_can_be_done(make: Make) -> None:
    """Only one lob passes over the hedge."""
    page = make(read_demo("situations/15-hedge-ahead.json"))
    assert len(page.board.shots) < 2 <= len(page.board.picks)
    assert page.why.text.toPlainText().startswith("Fewer than two of the ticked shots can be done here")


def test_nothing_of_a_row_or_a_setting_is_squeezed(make: Make) -> None:
    """At 640 pixels, as beside the panel at 200 %: bars have room for their words, settings for theirs."""
    page = make()
    page.resize(640, 480)
    page.show()
    QApplication.processEvents()
    table, letters = page.bars, page.bars.fontMetrics()
    texts = [table.model().index(row, BAR).data() for row in range(3)]
    assert max(map(letters.horizontalAdvance, texts)) <= table.columnWidth(BAR) - 12
    inner = page.controls._inner
    assert inner.width() >= inner.minimumSizeHint().width()


def test_a_double_click_in_the_picture_tries_no_landing(page: SideBySideWorkspace, qtbot: QtBot) -> None:
    """It is a view as those of the shot, and nothing in it is moved by hand."""
    with qtbot.captureExceptions() as errors:
        QTest.mouseDClick(page.picture.viewport(), Qt.MouseButton.LeftButton)
    assert errors == []


def test_numbers_in_a_small_picture_cover_each_other_nowhere(
    page: SideBySideWorkspace, in_large_letters: QPainter
) -> None:
    """Three low flights, large letters."""
    to_screen, seen = QTransform.fromTranslate(20.0, 140.0).scale(8.0, -8.0), QRectF(0.0, 0.0, 300.0, 160.0)
    told: list[QRectF] = []
    for way in page.picture.ways.ways:
        told.append(page.picture.ways._badge(in_large_letters, to_screen, seen, way, told))
    assert len(told) == 3 and all(seen.contains(box) for box in told)
    assert not any(one.intersects(other) for k, one in enumerate(told) for other in told[:k])


def sideways(page: SideBySideWorkspace) -> int:
    """Pixels that the figures have to be scrolled."""
    QApplication.processEvents()
    return page.bars.horizontalScrollBar().maximum()


def test_all_figures_are_whole_with_letters_of_twice_the_size(make: Make, twice_the_size: None) -> None:
    """On 1920 x 1080, which leaves 1400 pixels beside the panel; presets stand in two rows then."""
    page = make()
    page.resize(1400, 1000)
    page.show()
    assert sideways(page) == 0 and page.controls.isVisible()
    editor = page.controls.what_if.editors["green.speed"]
    assert isinstance(editor, NumberEditor)
    assert len({button.y() for button in editor.presets.values()}) == 2
    metrics = page.fontMetrics()
    for button in (*editor.presets.values(), page.lesson, page.present_button):
        assert metrics.horizontalAdvance(button.text()) < button.width()
    page.resize(2400, 1000)
    page.controls.setFixedWidth(700)
    QApplication.processEvents()
    assert len({button.y() for button in editor.presets.values()}) == 1


def test_settings_are_folded_away_where_the_figures_have_no_room(make: Make, twice_the_size: None) -> None:
    """On 1280 x 800, which leaves 755 pixels beside the panel."""
    page = make()
    page.resize(755, 730)
    page.show()
    assert sideways(page) == 0 and not page.controls.isVisible()
    page.set_button.click()
    assert page.controls.isVisible() and sideways(page) > 0 and not page.lesson.isVisible()
    page.set_button.click()
    assert not page.controls.isVisible() and sideways(page) == 0 and page.lesson.isVisible()


def test_two_figures_share_a_column_where_each_has_no_room(make: Make) -> None:
    """At 640 pixels, as beside the panel on 960 x 540."""
    page = make()
    page.resize(1000, 480)
    page.show()
    QApplication.processEvents()
    model, launch = page.bars.model(), PLACES["launch"]
    alone = [model.index(0, PLACES[code]).data() for code in ("launch", "landing_angle")]
    page.resize(640, 480)
    assert sideways(page) == 0 and page.controls.isVisible() and not page.set_button.isVisible()
    assert model.index(0, launch).data() == "\n".join(alone)
    assert page.bars.isColumnHidden(PLACES["landing_angle"])
    assert model.headerData(launch, Qt.Orientation.Horizontal) == "Leaves,\nlands at"
    page.resize(1000, 480)
    QApplication.processEvents()
    assert model.index(0, launch).data() == alone[0]
    assert not any(page.bars.isColumnHidden(k) for k in range(len(COLUMNS)))


def test_a_bag_without_a_choice_opens_empty(make: Make) -> None:
    assert usual_picks(Situation(), Bag(clubs=(packaged_bag().find("putter"),))) == []
    page = make(bag=Bag(clubs=(packaged_bag().find("putter"),)))
    assert page.board.shots == () and page.board.current


def test_ticking_a_club_adds_it_in_the_order_of_loft(page: SideBySideWorkspace) -> None:
    picks = page.controls.picks
    item = picks.items["gap wedge", "pitch"]
    assert not item.parent().isExpanded()
    set_and_wait(page, lambda: item.setCheckState(0, Qt.CheckState.Checked))
    assert [shot.key for shot in page.board.shots][1] == ("gap wedge", "pitch")
    set_and_wait(page, lambda: item.setCheckState(0, Qt.CheckState.Unchecked))
    assert len(page.board.shots) == 3
    for key in page.board.picks:
        page.board.pick(key, False)
    assert page.board.wait() and page.board.shots == ()
    assert page.why.text.toPlainText() == "Tick two shots to see what makes the difference."
    # Before the first answer is there nobody has to tick anything.
    fresh = Board(Setting(Situation(), packaged_bag()))
    assert explained(fresh, Style())[1] == "The shots are being worked out ..."


def test_what_is_refused_is_paler_and_says_why(make: Make) -> None:
    page = make(put_all(Situation(), {"lie.ground": "rough"}))
    items = page.controls.picks.items
    assert "strike" in items["sand wedge", "low_check"].toolTip(0)
    assert items["sand wedge", "chip"].toolTip(0) == ""
    soft, plain = (items["sand wedge", t].foreground(0).color() for t in ("low_check", "chip"))
    assert soft != plain


def test_what_if_moves_every_shot_and_leaves_the_document_alone(page: SideBySideWorkspace) -> None:
    document = page.session.document  # type: ignore[attr-defined]
    before = {shot.key: shot.run for shot in page.board.shots}
    speed = page.controls.what_if.editors["green.speed"]
    set_and_wait(page, lambda: speed.edited.emit(4.2, 1))
    assert all(shot.run > before[shot.key] + 0.5 for shot in page.board.shots)
    assert page.session.document is document  # type: ignore[attr-defined]
    assert not page.session.unsaved  # type: ignore[attr-defined]
    assert "Not as in the situation" in page.state.text() and page.controls.what_if.back.isEnabled()
    set_and_wait(page, page.controls.what_if.back.click)
    assert {shot.key: shot.run for shot in page.board.shots} == pytest.approx(before, abs=0.02)
    assert not page.controls.what_if.back.isEnabled()


def test_a_swing_stays_the_same_when_the_green_is_tried_otherwise(page: SideBySideWorkspace) -> None:
    """What is held is that of the document, or a quicker green would be met by a softer swing."""
    set_and_wait(page, lambda: page.board.hold("swing"))
    speed = page.board.comparison.value  # type: ignore[union-attr]
    set_and_wait(page, lambda: page.board.what_if("green.speed", 4.2))
    assert page.board.comparison.value == speed  # type: ignore[union-attr]
    assert {round(shot.head_speed, 9) for shot in page.board.shots} == {round(speed, 9)}


def test_every_what_if_finds_its_way(page: SideBySideWorkspace) -> None:
    board = page.board
    for path, value in (
        ("green.firmness", 120.0),
        ("green.slope_along", -0.03),
        ("lie.ground", "sand"),
        ("lie.sits", "plugged"),
    ):
        board.what_if(path, value)
    assert board.wait()
    changed = board.setting.changed
    assert (changed.green.firmness, changed.lie.ground, changed.lie.sits) == (120.0, "sand", "plugged")
    offered = page.controls.what_if.editors["lie.sits"].combo  # type: ignore[attr-defined]
    assert offered.findData("plugged") >= 0 and offered.findData("up") < 0
    # Back to what the document says is no change.
    board.what_if("lie.ground", "fairway")
    assert "lie.ground" not in board.setting.changes


def test_the_thing_held_and_its_value(page: SideBySideWorkspace) -> None:
    held = page.controls.held
    assert held.spin.value() == pytest.approx(7.0) and not held.usual.isEnabled()
    set_and_wait(page, lambda: held.spin.setValue(9.0))
    assert page.state.text() == "All land 9.0 m away."
    set_and_wait(page, held.usual.click)
    assert page.state.text() == "All land 7.0 m away."
    set_and_wait(page, lambda: held.choice.activated.emit(held.choice.findData("finish")))
    assert page.state.text() == "All come to rest 18.0 m away."
    assert {round(shot.total, 1) for shot in page.board.shots} == {18.0}
    set_and_wait(page, lambda: held.choice.activated.emit(held.choice.findData("swing")))
    assert held.spin.suffix() == " m/s"
    page._measures.switch("yards")
    assert held.spin.suffix() == " mph"
    set_and_wait(page, lambda: held.slider.setValue(25))
    assert page.board.setting.value == pytest.approx(25 * 0.44704)


def test_rows_tell_bar_figures_and_why_not(page: SideBySideWorkspace) -> None:
    board, model = page.board, page.bars.bars
    set_and_wait(page, lambda: board.pick(("putter", "putt"), True))
    rows = {row.key: k for k, row in enumerate(model.rows)}
    codes = [column.code for column in COLUMNS]

    def cell(key: tuple[str, str], code: str, role: Any = Qt.ItemDataRole.DisplayRole) -> Any:
        return model.index(rows[key], codes.index(code)).data(role)

    shot = board.shots[0]
    assert cell(shot.key, "shot") == "Sand wedge\nchip"
    assert cell(shot.key, "bar") == f"{shot.carry:.1f} + {shot.run:.1f} m"
    spoken = cell(shot.key, "bar", Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == f"{shot.carry:.1f} m in the air, runs {shot.run:.1f} m"
    assert cell(shot.key, "stop_time") == f"{shot.stop_time:.1f} s"
    assert cell(("putter", "putt"), "bar") == "a putt does not land anywhere, it rolls all the way"
    assert cell(("putter", "putt"), "launch") == ""
    assert cell(("putter", "putt"), "shot", Qt.ItemDataRole.CheckStateRole) is None
    assert all(model.headerData(k, Qt.Orientation.Horizontal) for k in range(len(COLUMNS)))
    assert "{" not in "".join(
        str(model.headerData(k, Qt.Orientation.Horizontal)) for k in range(len(COLUMNS))
    )
    set_and_wait(page, lambda: board.hold("finish"))
    rows = {row.key: k for k, row in enumerate(model.rows)}
    assert cell(("putter", "putt"), "bar") == "18.0 m" and cell(("putter", "putt"), "launch") == "-"


def test_the_two_that_are_ticked_are_explained(page: SideBySideWorkspace) -> None:
    board, model = page.board, page.bars.bars
    first, middle, last = (shot.key for shot in board.shots)

    def ticked() -> set[tuple[str, str]]:
        return {model.rows[k].key for k in range(model.rowCount()) if model.marked(k)}

    assert ticked() == {first, last}
    model.setData(model.index(1, 0), Qt.CheckState.Checked, Qt.ItemDataRole.CheckStateRole)
    assert ticked() == {middle, last} and middle[0] in page.why.heading.text()
    page.bars.clicked.emit(model.index(0, 2))
    assert ticked() == {first, middle} and first[0] in page.why.heading.text()


def test_the_wording_follows_the_player_until_somebody_chooses(make: Make) -> None:
    adult, junior = make(), make(put(Situation(), "player.level", "junior"))
    assert "against" in adult.why.text.toPlainText()
    assert "against" not in junior.why.text.toPlainText() and ", not " in junior.why.text.toPlainText()
    assert junior.why.reader.currentData() == "junior"
    junior.why.reader.activated.emit(junior.why.reader.findData("adult"))
    assert "against" in junior.why.text.toPlainText()


def test_the_page_follows_the_document_while_it_is_seen(page: SideBySideWorkspace, make: Make) -> None:
    session = page.session  # type: ignore[attr-defined]
    session.edit("green.front", 10.0, "Distance")
    assert page.board.wait() and page.state.text() == "All land 11.0 m away."
    page.left()
    page.hide()
    session.edit("green.front", 12.0, "Distance")
    assert page.board.setting.situation.green.front == 10.0
    page.show()
    page.entered()
    assert page.board.wait() and page.state.text() == "All land 13.0 m away."
    # Another bag takes the clubs away: the usual ones of that bag stand in.
    few = Bag(clubs=tuple(c for c in packaged_bag().clubs if c.kind == "wedge"))
    session.put(Document(session.situation, few), "bag")
    assert page.board.wait() and page.board.shots
    assert {shot.club.kind for shot in page.board.shots} == {"wedge"}


def test_shots_of_an_earlier_situation_are_paler(page: SideBySideWorkspace) -> None:
    """Until the engine has answered, which may be busy with a map."""
    board, ways = page.board, page.picture.ways
    assert not ways.past
    board.what_if("green.speed", 3.6)
    assert ways.past and ways.ways
    assert board.wait() and not ways.past
    board.show([SAND])
    assert not ways.past  # fewer shots, on the same ground


def test_an_engine_that_fails_is_told(qtbot: QtBot, caplog: pytest.LogCaptureFixture) -> None:
    def broken(setting: Setting, before: object) -> Any:
        def job(progress: object, cancelled: object) -> None:
            raise ZeroDivisionError("no ground")

        return job

    board = Board(Setting(Situation(), packaged_bag(), (SAND, SEVEN)), broken)
    with qtbot.waitSignal(board.failed) as told:
        board.wake()
    board.sleep()
    assert "no ground" in told.args[0] and "background job failed" in caplog.text


def test_colours_and_units_change_in_place(page: SideBySideWorkspace, qapp: QApplication) -> None:
    before = page.picture.grab().toImage()
    page.picture._theme.switch("dark")
    assert page.picture.grab().toImage() != before
    page._measures.switch("yards")
    assert "yd" in page.state.text() and "yd" in page.why.text.toPlainText()
    assert not page.bars.grab().isNull()


def test_all_balls_leave_together(page: SideBySideWorkspace) -> None:
    playback, picture = page.picture.playback, page.picture
    assert picture.ways.rest and not picture.balls.all
    QTest.keyClick(picture, Qt.Key.Key_Space)
    assert playback.playing and playback.time is not None
    QTest.keyClick(picture, Qt.Key.Key_Space)
    playback.seek(0.0)
    assert [ball.pos().x() for ball in picture.balls.all] == pytest.approx([0.0] * 3, abs=1e-9)
    playback.seek(playback.end)
    ends = [ball.pos().x() for ball in picture.balls.all]
    assert ends == pytest.approx([shot.track.position[0, -1] for shot in page.board.shots], abs=1e-6)
    # The lowest club lands first (common practice, no source) and still runs when the highest is at rest.
    assert picture.ways.ways[2].stops[1] < picture.ways.ways[0].stops[1]
    assert picture.ways.ways[2].time[-1] > picture.ways.ways[0].time[-1]
    QTest.keyClick(picture, Qt.Key.Key_Escape)
    assert playback.time is None and picture.ways.rest and not picture.balls.all


def test_balls_on_their_way_follow_what_is_tried(page: SideBySideWorkspace) -> None:
    page.picture.playback.play_or_pause()
    set_and_wait(page, lambda: page.board.what_if("green.speed", 4.2))
    assert page.picture.playback.playing
    assert page.picture.playback.ways == page.picture.ways.ways
    page.left()
    assert not page.picture.playback.playing


def test_a_long_club_leaves_the_technique_and_the_number_their_places(make: Make) -> None:
    """With one wedge in the bag the technique is all that tells the rows apart."""
    wedge = msgspec.structs.replace(
        packaged_bag().find("sand wedge"), name="My very own wedge with a long name"
    )
    page = make(bag=Bag(clubs=(wedge,)))
    page.resize(1100, 700)
    QApplication.processEvents()
    view = page.bars
    assert not view.bars.paired
    index, option = view.bars.index(0, 0), QStyleOptionViewItem()
    view.initViewItemOption(option)
    option.rect = view.visualRect(index)
    view.itemDelegate().initStyleOption(option, index)
    club, technique = option.text.splitlines()
    assert club.startswith("My very") and "…" in club
    assert technique == view.bars.index(0, 0).data().splitlines()[1]
    room = option.rect.width() - 1.8 * option.fontMetrics.height()
    assert max(map(option.fontMetrics.horizontalAdvance, (club, technique))) < room


def test_which_side_is_told_where_no_flight_crosses_the_words(make: Make) -> None:
    """Behind a trunk the shots go past it; over the flights there is room, for no height is told there."""
    trunk = Obstacle(at=5.0, low=0.0, high=9.0, left=0.5, right=1.0)
    there = {"hole.distance": 25.0, "green.front": 10.0, "green.depth": 28.0, "ground.obstacles": (trunk,)}
    page = make(put_all(Situation(), there))
    assert len(page.board.shots) == 3 and all(shot.toward > 0.0 for shot in page.board.shots)
    picture = page.picture
    picture.setFixedSize(400, 200)
    picture.grab()
    (told,) = picture.obstacles.told
    assert picture.obstacles.passing == [(True, "round its left")]
    to_screen = QTransform(picture.ways.sceneTransform())
    for way in picture.ways.ways:
        line = polygon(to_screen, way.x, way.z)
        assert not any(told.contains(point) for point in line.toList())


def test_what_is_ticked_in_the_ranked_table_is_shown_side_by_side(make: Make, made_advice: Advice) -> None:
    page = make()
    session, board = page._session, page.board
    usual = board.picks
    session.answer(made_advice, session.document)
    session.mark(key_of(made_advice.shots[0]), True)  # in front, and nothing beside it
    page.entered()
    assert board.picks == usual
    session.mark(key_of(made_advice.shots[2]), True)
    page.entered()
    assert board.wait() and board.setting.held == "landing"
    assert [shot.key for shot in board.shots] == [("sand wedge", "pitch"), ("9-iron", "chip")]
    board.pick(("7-iron", "chip"), True)
    page.entered()  # nothing else was ticked, so what was chosen here stays
    assert board.wait() and len(board.shots) == 3
    session.mark(key_of(made_advice.shots[4]), True)
    page.entered()
    assert board.wait() and board.setting.held == "finish"  # a putt lands nowhere
    assert {shot.technique for shot in board.shots} == {"pitch", "chip", "putt"}


def test_where_nothing_lands_as_far_as_is_usual_a_landing_is_held_that_is_reached() -> None:
    """Handicap 20's splashes from a plugged lie come two metres far, before a green that begins at ten."""
    plugged = put_all(
        Situation(),
        {
            "lie.ground": "sand", "lie.sits": "plugged", "player.level": "20", "hole.distance": 25.0,
            "green.front": 10.0, "green.depth": 28.0,
        },
    )  # fmt: skip
    tries = usual_picks(plugged, packaged_bag())
    found = jobs.comparison(
        plugged, plugged, tries, ("landing", "finish"), None, None, lambda share: None, lambda: False
    )
    assert found.held == "landing" and len(found.shots) >= jobs.LEAST
    assert found.value < 10.0
    assert all(shot.carry == pytest.approx(found.value, abs=0.06) for shot in found.shots)
