"""The lesson sheet: everything a lesson needs is on it, and it prints."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QImage

from shortgame_gui.advice.compare import HELD, Comparison, Held, compare
from shortgame_gui.advice.difference import DRILLS, difference, drill
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.card import RULES
from shortgame_gui.report.lesson import Lesson
from shortgame_gui.report.page import A4, LETTER, Heading, Picture, Points, Sheet, Table, Words, pdf, picture
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words import compare as words
from shortgame_gui.words import drills
from shortgame_gui.words.numbers import Style

TABLE, BAG = coefficients.load(), packaged_bag()
STYLE = Style(yards=False)
pytestmark = pytest.mark.usefixtures("qapp")


def played(held: Held, *names: tuple[str, str], situation: Situation | None = None) -> Comparison:
    picks = [(BAG.find(club), technique) for club, technique in names]
    return compare(situation or Situation(name="The tenth"), picks, TABLE, held)


def lesson(found: Comparison, **more: object) -> Lesson:
    pair = (
        difference(found.shots[0], found.shots[-1], found.held, found.value) if len(found.shots) > 1 else None
    )
    return replace(Lesson(found, pair, STYLE, paper=A4), **more)  # type: ignore[arg-type]


def told(sheet: Sheet) -> str:
    lines: list[str] = []
    for block in sheet.blocks:
        if isinstance(block, Words):
            lines.append(block.text)
        elif isinstance(block, Points):
            lines += block.lines
        elif isinstance(block, Picture):
            lines.append(block.caption)
        elif isinstance(block, Table):
            lines += [*block.headings, *(cell for row in block.rows for cell in row if isinstance(cell, str))]
    return "\n".join(lines)


@pytest.mark.parametrize("held", HELD)
def test_everything_is_on_the_sheet(held: Held) -> None:
    found = played(held, ("sand wedge", "chip"), ("9-iron", "chip"), ("7-iron", "pitch"), ("putter", "putt"))
    made = lesson(found)
    sheet, text = made.sheet(), told(made.sheet())
    assert made.difference is not None
    for line in (
        "Side by side: The tenth", words.held_text(found, STYLE), words.heading(made.difference),
        words.paragraph(made.difference, STYLE), drills.drill_text(made.difference, STYLE),
    ):  # fmt: skip
        assert line in text
    for shot in found.shots:
        assert words.setup_text(shot, STYLE) in text and words.full_name(shot) in text
        assert all(figure in text for figure in words.figures_text(shot, STYLE))
    for missing in found.not_done:
        assert f"{words.full_name(missing)}: {words.not_done_text(missing, STYLE)}." in text
    assert [b.text for b in sheet.blocks if isinstance(b, Heading)][-2:] == [
        "One drill to take away",
        "Notes",
    ]
    assert sheet.foot == RULES
    assert sum(isinstance(block, Picture) for block in sheet.blocks) == 3, "side view, bars, lines for notes"


def test_shots_that_are_stood_to_alike_share_a_line() -> None:
    found = played("landing", ("sand wedge", "chip"), ("7-iron", "chip"))
    made = [replace(shot, swing="hip") for shot in found.shots]
    text = told(lesson(replace(found, shots=tuple(made))).sheet())
    assert "1 Sand wedge, chip; 2 7-iron, chip: " in text


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["a4", "letter"])
def test_it_prints(paper: object) -> None:
    three = lesson(
        played("landing", ("sand wedge", "chip"), ("9-iron", "chip"), ("7-iron", "chip")), paper=paper
    )
    junior = replace(three, reader="junior")
    assert junior.sheet().blocks != three.sheet().blocks
    for made in (three, junior):
        sheet = made.sheet()
        assert len(sheet.pages()) == 1
        assert pdf(sheet).startswith(b"%PDF-") and pdf(sheet).count(b"/Type /Page\n") == 1
    page = picture(three.sheet()).convertToFormat(QImage.Format.Format_RGB32)
    inks = {
        page.pixelColor(x, y).name()
        for x in range(60, page.width() - 60, 3)
        for y in range(0, page.height(), 3)
    }
    assert "#0a5f94" in inks and len(inks) > 50, "the bars have their colours"


def test_many_shots_take_a_second_page_and_few_none() -> None:
    names = [(club.name, "chip") for club in BAG.clubs if club.kind != "putter"]
    names += [(club.name, "pitch") for club in BAG.clubs if club.kind in ("wedge", "iron")]
    many = lesson(played("landing", *names)).sheet()
    assert len(many.pages()) > 1
    water = put_all(Situation(), {"ground.approach": "water", "ground.fringe": 0.0, "green.front": 17.0})
    alone = lesson(played("landing", ("sand wedge", "chip"), situation=water))
    assert "Notes" in told(alone.sheet()) and "One drill" not in told(alone.sheet())
    nothing = lesson(played("landing", ("putter", "putt")))
    assert "rolls all the way" in told(nothing.sheet())


def test_the_drill_is_for_what_differs() -> None:
    bunker = put_all(Situation(), {"lie.ground": "sand"})
    cases: dict[str, tuple[Held, list[tuple[str, str]], Situation]] = {
        "one_spot": ("landing", [("sand wedge", "chip"), ("7-iron", "chip")], Situation()),
        "one_finish": ("finish", [("sand wedge", "chip"), ("7-iron", "chip")], Situation()),
        "one_swing": ("swing", [("sand wedge", "chip"), ("7-iron", "chip")], Situation()),
        "one_club_two_ways": ("landing", [("sand wedge", "chip"), ("sand wedge", "pitch")], Situation()),
        "roll_or_fly": ("finish", [("putter", "putt"), ("7-iron", "chip")], Situation()),
        "line_in_sand": ("landing", [("sand wedge", "splash"), ("sand wedge", "thin_splash")], bunker),
    }
    assert set(cases) == set(DRILLS) == set(drills.DRILLS)
    for code, (held, names, situation) in cases.items():
        made = lesson(played(held, *names, situation=situation))
        assert made.difference is not None and drill(made.difference) == code
        text = drills.drill_text(made.difference, STYLE)
        assert "{" not in text
        if code == "roll_or_fly":
            assert "Roll the first to the hole with the putter" in text
