"""The shot card: one page whatever is on it, with everything that it owes the reader."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.card import RULES, Card
from shortgame_gui.report.page import (
    A4,
    LETTER,
    Beside,
    Block,
    Paper,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
    pdf,
)
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag, read_demo
from shortgame_gui.words import text, watch
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.situation import situation_text

TABLE = coefficients.load()
BAG = packaged_bag()
FEW = Bag(clubs=tuple(BAG.find(name) for name in ("putter", "60-degree wedge", "sand wedge", "8-iron")))
DEMO = [name for name in assets.demo_files(".json") if name.startswith("situations/")]
pytestmark = pytest.mark.usefixtures("qapp")


def asked(situation: Situation) -> Advice:
    return advise(situation, FEW, TABLE, samples=32)


@pytest.fixture(scope="module")
def advice() -> Advice:
    return asked(put_all(Situation(), {"surroundings.people_near": True, "surroundings.round": True}))


def texts(blocks: tuple[Block, ...]) -> Iterator[str]:
    """All words of the blocks."""
    for block in blocks:
        if isinstance(block, Words):
            yield block.text
        elif isinstance(block, Points):
            yield from block.lines
        elif isinstance(block, Picture):
            yield block.caption
        elif isinstance(block, Table):
            yield from block.headings
            yield from (cell for row in block.rows for cell in row if isinstance(cell, str))
        elif isinstance(block, Beside):
            for column in block.columns:
                yield from texts(column)


def words(sheet: Sheet) -> str:
    return "\n".join(texts(sheet.blocks))


@pytest.mark.parametrize("style", [Style(), Style(yards=False, decimal=",")])
def test_the_card_tells_everything(style: Style, advice: Advice) -> None:
    sheet = Card(advice, style, paper=A4).sheet()
    told, leader = words(sheet), advice.shots[0]
    assert sheet.title == advice.situation.name and "Rules of Golf (4.3)" in sheet.foot == RULES
    for line in (
        *situation_text(advice.situation, style), *text.answer_text(advice, leader, style),
        *text.why_text(advice.why, style), text.aim_text(leader, style), *text.setup_text(leader, style),
        *watch.watch_text(advice, leader, style), *watch.off_text(leader, style),
    ):  # fmt: skip
        assert line in told
    assert text.caution_text("people_near") in told
    assert sum(isinstance(block, Picture) for block in sheet.blocks) == 2
    for shot in advice.shots[:3]:
        assert text.shot_name(shot.club.name, shot.technique) in told
        assert f"{style.strokes(shot.expected_strokes)} ± {style.strokes(shot.standard_error)}" in told
    assert ("Inside 6 ft" in told) == style.yards != ("Inside 2 m" in told)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["a4", "letter"])
@pytest.mark.parametrize("name", DEMO[::4])
def test_every_demo_is_one_page(name: str, paper: Paper) -> None:
    found = asked(read_demo(name))
    sheet = Card(found, Style(), paper=paper).sheet()
    assert len(sheet.pages()) == 1
    assert pdf(sheet).count(b"/Type /Page\n") == 1


def test_the_worst_that_can_be_is_one_page() -> None:
    """Every caution, a long name, a note, a slope, a lip, sides to be missed, and a better way out."""
    hard = put_all(
        Situation(),
        {
            "name": "A name of as many letters as there may be in a name, and that is eighty of them.",
            "note": "A note that goes on and on. " * 10,
            "lie.ground": "sand", "lie.sits": "half_down", "lie.lip_height": 0.5, "lie.lip_distance": 6.0,
            "stance.slope_along": -0.12, "stance.slope_across": 0.21, "air.wind_along": 5.0,
            "green.slope_along": 0.03, "green.slope_across": -0.02, "green.wet": True,
            "surroundings.people_near": True, "surroundings.players_ahead": True,
            "surroundings.lightning": True, "surroundings.deep_bunker": True, "surroundings.round": True,
        },
    )  # fmt: skip
    found = asked(hard)
    assert found.shots and len(found.cautions) >= 6
    # And a way out that is the answer, with a set-up of its own.
    played = next(way for way in found.escapes if way.swing)
    rest = tuple(way for way in found.escapes if way is not played)
    found = replace(found, escapes=(replace(played, clear=True), *rest))
    for paper in (A4, LETTER):
        sheet = Card(found, Style(), paper=paper).sheet()
        assert len(sheet.pages()) == 1
        for code in found.cautions:
            assert text.caution_text(code) in words(sheet)
        told = words(sheet)
        assert "Set-up for the best way out" in told and "Set-up towards the hole" in told
        for line in text.better_setup_text(found):
            assert line in told
        # Letters of the plan stand before the words.
        assert "a, b, c: other ways out, told below." in told
        for letter, way in text.ways_drawn(found).items():
            assert f"{letter}: {text.escape_name(way)}" in told


def test_the_shot_that_somebody_chose_is_the_one_to_play(advice: Advice) -> None:
    chosen = advice.shots[-1]
    told = words(Card(advice, Style(), (chosen, advice.shots[0])).sheet())
    assert text.answer_text(advice, chosen, Style())[0] in told
    assert "Against the best" in told and "Why this one" not in told
    for line in text.setup_text(chosen):
        assert line in told


def test_a_shot_that_the_lip_catches_is_marked(advice: Advice) -> None:
    leader = replace(advice.shots[0], cautions=("lip",), trouble={"lip": 0.08})
    told = words(Card(replace(advice, shots=(leader, *advice.shots[1:])), Style()).sheet())
    assert "lip 8 %" in told and text.caution_text("lip") in told


def test_a_bracket_says_what_it_means(advice: Advice) -> None:
    ties = [s.tie for s in advice.shots]
    told = words(Card(advice, Style()).sheet())
    assert ("bracket" in told) == any(ties)
    apart = replace(advice, shots=tuple(replace(s, tie=False) for s in advice.shots))
    assert "bracket" not in words(Card(apart, Style()).sheet())


def test_without_a_shot_the_card_says_so() -> None:
    none = put_all(Situation(), {f"player.techniques.{t}": "no" for t in ("chip", "bump_and_run")})
    found = advise(none, Bag(clubs=(BAG.find("hybrid"),)), TABLE, samples=4)
    sheet = Card(found, Style()).sheet()
    assert not found.shots and "No shot in this bag" in words(sheet)
    assert text.refused_text(found)[0] in words(sheet)
    assert pdf(sheet).startswith(b"%PDF-")
