"""What to watch out for: every code has words, figures are carried, and safety is never left out."""

import re
from dataclasses import replace

import pytest

from shortgame_gui.advice import explain
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import MISHITS
from shortgame_gui.advice.misses import OFF, SIDES
from shortgame_gui.advice.result import Advice, Miss, Misses, Shot, WhatIf
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words import text, watch
from shortgame_gui.words.numbers import Style

TABLE = coefficients.load()
YARDS, METRES = Style(), Style(yards=False)


@pytest.fixture(scope="module")
def advice() -> Advice:
    bag = packaged_bag()
    few = Bag(clubs=tuple(bag.find(name) for name in ("putter", "sand wedge", "8-iron")))
    return advise(put_all(Situation(), {"surroundings.round": True}), few, TABLE, samples=64)


def whole(sentence: str) -> None:
    assert sentence == sentence.strip() and sentence.endswith(".") and sentence[0].isupper()
    assert not re.search(r"[{}_]|nan|None|  ", sentence), sentence


def missing(shot: Shot, avoid: str | None, have: str | None = None) -> Shot:
    found = tuple(Miss(code, 0.07, 3.21) for code in {avoid, have} if code)
    return replace(shot, misses=Misses(found, avoid, have))


def test_every_miss_has_words(advice: Advice) -> None:
    assert set(watch.AVOID) == {*SIDES, *MISHITS[1:]} and set(watch.HAVE) == set(SIDES)
    shot = advice.shots[0]
    for avoid in watch.AVOID:
        (line,) = watch.miss_texts(missing(shot, avoid))
        whole(line)
        assert "3.21" in line and ("7 %" in line) == (avoid in MISHITS)
    for side, opposite in SIDES.items():
        first, second = watch.miss_texts(missing(shot, side, opposite))
        whole(second)
        assert first.startswith(f"Miss to avoid: {side}") and second.startswith(f"Miss to have: {opposite}")
    assert watch.miss_texts(missing(shot, None)) == []


def test_every_bad_end_has_words() -> None:
    for code in watch.TROUBLES:
        line = watch.trouble_text(code, 0.125, METRES)
        whole(line)
        assert line.endswith(": 12 %.")


def test_cautions_come_first_and_the_rule_last_and_at_most_six_lines(advice: Advice) -> None:
    trouble = {"rough": 0.2, "sand": 0.1, "fat": 0.05, "thin": 0.04, "water": 0.03, "toe": 0.02, "out": 0.002}
    shot = replace(missing(advice.shots[0], "short", "long"), trouble=trouble)
    lines = watch.watch_text(replace(advice, cautions=("people_near", "rule_4_3")), shot)
    assert len(lines) == watch.MOST
    assert lines[0] == text.caution_text("people_near") and lines[-1] == text.caution_text("rule_4_3")
    assert lines[1].startswith("Miss to avoid") and lines[3] == "Ends in rough: 20 %."
    assert not any("out of bounds" in line for line in watch.watch_text(advice, shot))
    # All that there is to be careful about is told, however much it is.
    every = tuple(code for code in text.CAUTIONS if code != "lip")
    told = watch.watch_text(replace(advice, cautions=every), shot)
    assert set(told) >= {text.caution_text(code) for code in every} and "Ends in rough: 20 %." not in told
    assert watch.watch_text(replace(advice, cautions=every), None) == [text.caution_text(c) for c in every]


def test_the_miss_to_avoid_is_not_told_twice(advice: Advice) -> None:
    shot = replace(missing(advice.shots[0], "fat"), trouble={"fat": 0.2, "rough": 0.1})
    assert not any(line.startswith("Struck fat") for line in watch.watch_text(advice, shot))


def test_the_lip_is_a_mark_with_its_chance_and_a_caution(advice: Advice) -> None:
    shot = replace(advice.shots[0], cautions=("lip",), trouble={"lip": 0.083})
    assert watch.lip_text(shot) == "lip 8 %" and watch.lip_text(advice.shots[0]) == ""
    lines = watch.watch_text(replace(advice, cautions=("lip",)), shot)
    assert lines[0] == text.caution_text("lip") and lines.count(lines[0]) == 1
    # Another shot that the lip does not catch brings no caution.
    assert text.caution_text("lip") not in watch.watch_text(
        replace(advice, cautions=("lip",)), advice.shots[0]
    )


@pytest.mark.parametrize(
    ("what", "said"),
    [
        (WhatIf("landed_short", (-2.0, 0.0), 0.06, 0.01),
         "Landed 1.0 m short, it stops 2.0 m short of the hole; 0.06 strokes more."),
        (WhatIf("landed_long", (1.0, 0.5), -0.04, 0.01),
         "Landed 1.0 m long, it stops 1.0 m past the hole, 0.5 m left of it; 0.04 strokes fewer."),
        (WhatIf("swung_harder", (0.1, -0.4), 0.001, 0.01),
         "Swung 5 % harder, it stops 0.4 m right of the hole; about as many strokes."),
        (WhatIf("swung_harder", (0.1, 0.1), 0.5, 0.01),
         "Swung 5 % harder, it stops at the hole; 0.50 strokes more."),
        (WhatIf("swung_harder", (0.1, 0.1), 0.05, 0.03),
         "Swung 5 % harder, it stops at the hole; about as many strokes."),
    ],
)  # fmt: skip
def test_a_swing_a_little_off_says_where_and_what_it_costs(what: WhatIf, said: str) -> None:
    assert watch.what_if_text(what, METRES) == said
    whole(watch.what_if_text(what, YARDS))


def test_the_metre_of_the_words_is_that_of_the_engine(advice: Advice) -> None:
    assert watch.OFF_BY == OFF
    assert "1.1 yd" in watch.what_if_text(WhatIf("landed_short", (0.0, 0.0), 0.0, 0.0), YARDS)
    for shot in advice.shots:
        assert len(watch.off_text(shot)) == len(shot.what_ifs)


def test_a_shot_that_is_not_the_best_is_told_against_it(advice: Advice) -> None:
    leader, shot = advice.shots[0], replace(advice.shots[-1], tie=False)
    more = shot.expected_strokes - leader.expected_strokes
    reasons = explain.reasons(shot, leader)
    first, *lines = text.behind_text(leader, shot, reasons)
    assert lines == text.reasons_text(reasons, behind=True)
    assert f"needs {more:.2f} strokes more than the best" in first
    assert text.shot_name(leader.club.name, leader.technique, begins=False) in first
    for other, said in (
        (replace(shot, tie=True), "too close to call"),
        (replace(shot, expected_strokes=leader.expected_strokes), "as many strokes"),
        (replace(shot, expected_strokes=leader.expected_strokes - 0.1), "0.10 strokes fewer"),
    ):
        assert said in text.behind_text(leader, other, ())[0]
