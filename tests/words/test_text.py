"""Every code has words, and the sentences carry the figures of the codes in the player's units."""

import math
import re
from dataclasses import replace
from itertools import product
from math import degrees
from typing import get_args

import pytest

from shortgame_gui.advice import explain
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import MISHITS
from shortgame_gui.advice.explain import LINKS
from shortgame_gui.advice.result import Advice, Doubt, Escape, Reason, Refused, SetUp, Shot
from shortgame_gui.advice.rules import REASONS
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.model.club import Bag
from shortgame_gui.model.fields import fields_of
from shortgame_gui.model.ground import BandSurface, NotSure
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import RPM
from shortgame_gui.words import text, watch
from shortgame_gui.words.numbers import Style

TABLE = coefficients.load()
YARDS, METRES, COMMA = Style(), Style(yards=False), Style(yards=False, decimal=",")


@pytest.fixture(scope="module")
def advice() -> Advice:
    bag = packaged_bag()
    few = Bag(clubs=tuple(bag.find(name) for name in ("putter", "sand wedge", "8-iron")))
    return advise(Situation(), few, TABLE, samples=16)


def whole(sentence: str) -> None:
    """A sentence that people can read: no brace or code left over, no bare NaN, no double blank."""
    assert sentence == sentence.strip() and sentence
    assert not re.search(r"[{}_]|nan|None|  ", sentence), sentence


def numbers(sentence: str) -> list[float]:
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", sentence)]


# Every code has words ------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "codes"),
    [
        (text.TECHNIQUES, TECHNIQUES),
        (text.SWINGS, (*TABLE.swing, "stroke")),
        (text.REFUSALS, REASONS),
        (text.DOUBTS, [field.name for field in fields_of(NotSure)]),
        (text.ENDINGS, ENDINGS.values()),
        (text.STANDINGS, coefficients.STANDINGS),
        (text.FEELS, (*TECHNIQUES, "clean")),
    ],
    ids=["techniques", "swings", "refusals", "doubts", "endings", "standings", "feels"],
)
def test_the_words_know_exactly_the_codes(words: dict[str, str], codes: tuple[str, ...]) -> None:
    assert set(words) == set(codes)
    assert len(set(words.values())) == len(words)
    for sentence in words.values():
        whole(sentence)


def test_every_place_and_trouble_has_words() -> None:
    assert set(get_args(BandSurface)) == set(SURFACES) == set(text.SURFACES)
    off_green = set(SURFACES) - {"green"}
    assert set(watch.TROUBLES) == {*off_green, *MISHITS[1:], "rolled_away", "lip", "obstacle"}


def test_every_caution_has_words() -> None:
    shaken = {
        f"surroundings.{name}": True
        for name in ("people_near", "players_ahead", "lightning", "deep_bunker", "round")
    }
    here = put_all(Situation(), shaken | {"stance.slope_along": 0.4, "green.slope_across": 0.1})
    said = explain.cautions(here, None, TABLE)
    assert set(text.CAUTIONS) == {*said, "lip"}
    for code in text.CAUTIONS:
        whole(text.caution_text(code))
        assert text.caution_text(code).endswith(".")


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_every_cue_that_can_be_given_has_words(technique: str, advice: Advice) -> None:
    for along, across, aim in product((-0.2, 0.0, 0.2), (-0.2, 0.0, 0.2), (-0.2, 0.0, 0.2)):
        here = put_all(Situation(), {"stance.slope_along": along, "stance.slope_across": across})
        shot = replace(advice.shots[0], technique=technique, aim=aim)
        cues = explain.setup(here, shot, TABLE)
        lines = text.setup_text(replace(shot, setup=cues))
        assert len(lines) == len(cues.cues) <= 6
        for line in lines:
            whole(line)


def test_every_refusal_is_told_with_its_technique(advice: Advice) -> None:
    for reason in REASONS:
        refused = replace(advice, shots=(), refused=(Refused("sand wedge", "lob", reason),))
        (line,) = text.refused_text(refused)
        whole(line)
        assert line == f"Lob: {text.refusal_text(reason)}."


def test_refusals_of_one_kind_are_told_once(advice: Advice) -> None:
    refused = (
        Refused("sand wedge", "lob", "no_cushion"), Refused("gap wedge", "lob", "no_cushion"),
        Refused("8-iron", "chip", "cannot_stop_short"),
    )  # fmt: skip
    chips = tuple(replace(s, technique="chip") for s in advice.shots[:1])
    lines = text.refused_text(replace(advice, shots=chips, refused=refused))
    assert len(lines) == 2
    # A chip can be played with others: the club is named.
    assert lines[0].startswith("Lob: ") and lines[1].startswith("Chip (8-iron): ")


# Sentences carry the figures ------------------------------------------------------------

#: link -> what the two figures read as, in yards and in metres
READS = {
    "launch": (lambda x: round(degrees(x)), lambda x: round(degrees(x))),
    "landing_angle": (lambda x: round(degrees(x)), lambda x: round(degrees(x))),
    "spin": (lambda x: round(x / RPM, -1), lambda x: round(x / RPM, -1)),
    "apex": (lambda x: round(x / 0.3048, 1), lambda x: round(x, 1)),
    "spread": (lambda x: round(x / 0.3048, 1), lambda x: round(x, 1)),
    "landing_speed": (lambda x: round(x * 3600 / 1609.344), lambda x: round(x, 1)),
    "carry": (lambda x: round(x / 0.9144, 1), lambda x: round(x, 1)),
    "run": (lambda x: round(x / 0.9144, 1), lambda x: round(x, 1)),
    "mishit": (lambda x: round(100 * x), lambda x: round(100 * x)),
    "off_green": (lambda x: round(100 * x), lambda x: round(100 * x)),
    "inside_2m": (lambda x: round(100 * x), lambda x: round(100 * x)),
}


@pytest.mark.parametrize("link", LINKS)
def test_a_reason_carries_both_figures(link: str) -> None:
    a, b = (0.31, 0.12) if link in ("mishit", "off_green", "inside_2m") else (0.731, 0.4123)
    a, b = (412.0, 305.0) if link == "spin" else (a, b)
    sentences = set()
    for first, second in ((a, b), (b, a)):
        for style, place in ((YARDS, 0), (METRES, 1)):
            sentence = text.reason_text(Reason(link, first, second), style)
            whole(sentence)
            reads = READS[link][place]
            assert numbers(sentence)[-2:] == pytest.approx([reads(first), reads(second)])
        sentences.add(re.sub(r"[\d.]+", "", sentence))
    # More and less are said in other words.
    assert len(sentences) == 2
    assert set(READS) == set(LINKS)


def test_the_headline_says_what_to_do(advice: Advice) -> None:
    """Club, technique, landing, run, strokes and margin, in one line."""
    for shot in advice.shots:
        line = text.headline(replace(advice, shots=(shot, *advice.shots)), METRES)
        whole(line)
        assert "\n" not in line and line.lower().startswith(shot.club.name.lower())
        assert shot.technique == "putt" or text.TECHNIQUES[shot.technique] in line
        assert f"{shot.expected_strokes:.2f} ± {shot.standard_error:.2f} strokes" in line
        assert text.landing_text(shot, METRES) in line and text.run_text(shot, METRES) in line
    putt = next(s for s in advice.shots if s.technique == "putt")
    assert "rolls all the way" in text.headline(replace(advice, shots=(putt,)))


def test_a_putt_that_is_to_stop_short_says_what_it_leaves(advice: Advice) -> None:
    """Up a steep stance a putt has not the speed for the hole: "rolls all the way" would be wrong."""
    putt = next(s for s in advice.shots if s.technique == "putt")
    short = replace(putt, run=13.1, finish_aim=(-4.9, 0.0))
    for said in (
        text.headline(replace(advice, shots=(short,)), METRES),
        text.answer_text(replace(advice, shots=(short,)), short, METRES)[1],
    ):
        assert "olls 13 m, leaves 5 m" in said and "all the way" not in said
    assert text.answer_text(advice, putt, METRES)[1].startswith("Rolls all the way, ")


def test_the_margin_is_that_of_the_second_shot(advice: Advice) -> None:
    assert advice.why is not None
    apart = tuple(replace(shot, tie=False) for shot in advice.shots)
    clear = replace(advice, shots=apart, why=replace(advice.why, margin=0.234, tie=False))
    assert "0.23 strokes better than" in text.headline(clear)
    # A shot further back may be a tie where the second is not: it is the one that is named.
    third = replace(apart[2], tie=True)
    level = replace(clear, shots=(*apart[:2], third, *apart[3:]), why=replace(advice.why, tie=True))
    name = text.shot_name(third.club.name, third.technique, begins=False)
    assert f"too close to call with {name}" in text.headline(level)
    assert "0.23" in text.why_text(clear.why)[0] and "beats" in text.why_text(clear.why)[0]
    assert "too close to call" in text.why_text(level.why)[0]
    assert text.why_text(None) == []


@pytest.mark.parametrize(
    ("counts", "ahead", "by"),
    [
        ("down_in_two", "12.3 % more often down in two than", "12.3 % ± 2.1 % in being down in two"),
        ("no_disaster", "12.3 % less often four and more than", "12.3 % ± 2.1 % in avoiding four and more"),
    ],
)
def test_the_margin_is_told_in_what_counts(advice: Advice, counts: str, ahead: str, by: str) -> None:
    """What is ahead by a chance is not said to be ahead by so many strokes."""
    assert advice.why is not None
    clear = replace(advice.why, counts=counts, margin=0.123, margin_error=0.021, tie=False)
    apart = tuple(replace(shot, tie=False) for shot in advice.shots)
    line = text.headline(replace(advice, shots=apart, why=clear))
    assert ahead in line and "strokes better" not in line
    for why, lead in ((clear, "beats"), (replace(clear, tie=True), "too close to call")):
        first = text.why_text(why)[0]
        whole(first)
        assert by in first and lead in first and "strokes" not in first


def test_why_is_told_in_what_counts_for_the_player() -> None:
    bag = packaged_bag()
    few = Bag(clubs=tuple(bag.find(name) for name in ("sand wedge", "8-iron")))
    careful = advise(put_all(Situation(), {"player.counts": "down_in_two"}), few, TABLE, samples=8)
    assert careful.why is not None and careful.why.counts == "down_in_two"
    assert careful.why.margin == careful.shots[1].behind_best


def test_what_speaks_for_a_shot_is_said_before_what_speaks_against_it() -> None:
    """However much larger the difference that speaks against it is."""
    fat, run, near = Reason("mishit", 0.96, 0.41), Reason("run", 3.0, 4.0), Reason("inside_2m", 0.3, 0.2)
    assert text.reasons_text((fat, run, near), METRES) == [
        "It finishes within 2.0 m of the hole more often: 30 % against 20 %.",
        "It runs less: 3.0 m against 4.0 m.",
        "But it is struck fat or thin more often: 96 % against 41 %.",
    ]
    # Why a shot is not the one begins with what speaks against it.
    assert text.reasons_text((near, run, fat), METRES, behind=True) == [
        "It is struck fat or thin more often: 96 % against 41 %.",
        "It runs less: 3.0 m against 4.0 m.",
        "But it finishes within 2.0 m of the hole more often: 30 % against 20 %.",
    ]


def test_a_difference_that_reads_alike_is_not_told(advice: Advice) -> None:
    """5.1 % against 5.4 % would read "5 % against 5 %"."""
    alike, apart = Reason("mishit", 0.051, 0.054), Reason("run", 3.0, 4.0)
    assert text.reasons_text((alike, apart)) == [text.reason_text(apart)]
    shot = advice.shots[1]
    assert len(text.behind_text(advice.shots[0], shot, (alike, apart))) == 2
    assert advice.why is not None
    why = replace(advice.why, reasons=(alike, apart), plainest=None)
    assert text.why_text(why)[1:] == [text.reason_text(apart)]


def test_without_a_shot_that_is_said(advice: Advice) -> None:
    none = replace(advice, shots=(), why=None)
    whole(text.headline(none))
    assert text.setup_text(None) == []
    assert text.answer_text(none, None) == (text.headline(none), "")


def ways(best: float) -> tuple[Escape, ...]:
    """Ways out of which the best needs ``best`` strokes."""
    sideways = Escape(
        "sideways_left", "", 0, best, 0.02, (0.0, 4.0), ("sand wedge", "chip"), (0.0, 3.0), "knee",
        SetUp((("weight_lead", 0.6), ("swing", 0.3))),
    )  # fmt: skip
    dropped = Escape("unplayable_side", "19.2c", 1, best + 0.5, 0.0, (0.0, 2.0), None)
    return (sideways, dropped, Escape("stroke_and_distance", "19.2a", 1, None, 0.0, None, None))


def test_ways_out_are_the_answer_where_no_shot_is(advice: Advice) -> None:
    none = replace(advice, shots=(), why=None, escapes=ways(3.0))
    first, second = text.answer_text(none, None)
    assert first == "No shot in this bag can be played here."
    assert second == (
        "Ways out: play out sideways to the left (sand wedge, chip), 3.00 ± 0.02 strokes; "
        "unplayable, drop within two club-lengths, 3.50 strokes; unplayable, stroke and distance."
    )
    assert text.headline(none) == f"{first} {second}"


def test_a_free_drop_leaves_the_last_word_to_the_committee(advice: Advice) -> None:
    leader = advice.shots[0]
    strokes = leader.expected_strokes - 1.0
    free = Escape("embedded", "16.3b", 0, strokes, 0.0, (-0.5, 0.5), None, clear=True)
    found = replace(advice, escapes=(free,))
    (_lead, line), (first, second) = text.escapes_text(found), text.answer_text(found, leader)
    assert first == "Embedded, free drop within one club-length"
    assert line.startswith(f"{first} (Rules of Golf 16.3b, no penalty): {strokes:.2f} strokes")
    assert "In its own pitch mark only, and a local rule may say otherwise: ask the committee." in line
    assert second.startswith("Ask the committee first. ")


def test_a_way_out_that_is_clearly_better_is_the_answer(advice: Advice) -> None:
    leader = advice.shots[0]
    out, *others = ways(leader.expected_strokes - 1.0)
    clearly = replace(advice, escapes=(replace(out, clear=True), *others))
    first, second = text.answer_text(clearly, leader)
    assert first == "Play out sideways to the left (sand wedge, chip)"
    assert f"towards the hole needs {leader.expected_strokes:.2f} ±" in second
    assert text.shot_name(leader.club.name, leader.technique, begins=False) in second
    how = "Hands knee-high, land it 3.3 yd away, it stops 4.4 yd away."
    assert second.startswith(f"{how} ")
    assert text.headline(clearly) == f"{first}. {second}"
    assert text.escapes_text(clearly)[1].endswith(f" {how}")
    assert text.setup_title(clearly) == "Set-up towards the hole" != text.setup_title(advice)
    assert text.better_setup_text(clearly) == [
        "60 % of the weight on the lead foot, and keep it there.", "Swing: hands knee-high.",
    ]  # fmt: skip
    assert text.better_setup_text(advice) == []
    assert text.escapes_text(clearly)[0] == "The first of these is better than any shot towards the hole."
    other = advice.shots[1]
    assert text.answer_text(clearly, other) == text.answer_text(advice, other)
    # Where it is not clearly so, it is told among the ways out alone.
    for best in (leader.expected_strokes - 0.001, leader.expected_strokes + 0.5):
        level = replace(advice, escapes=ways(best))
        assert text.answer_text(level, leader) == text.answer_text(advice, leader)
        assert len(text.escapes_text(level)) == 3


def test_ways_out_have_the_letters_of_the_plan(advice: Advice) -> None:
    """Those that lead to a known place; what the plan cannot show has none."""
    told = replace(advice, escapes=ways(3.0))
    assert list(text.ways_drawn(told)) == ["a", "b"]
    said = text.ways_text(told, marked=True)
    assert said.replace("a: ", "").replace("b: ", "") == text.ways_text(told) != said
    assert said.startswith("a: play out sideways") and "; b: unplayable, drop within" in said
    assert said.endswith("; unplayable, stroke and distance")


def test_the_only_shot_is_called_so_as_far_as_that_is_true(advice: Advice) -> None:
    alone = replace(advice, shots=advice.shots[:1], why=None)
    assert text.headline(replace(alone, escapes=ways(9.0))).endswith("the only shot towards the hole.")
    assert text.headline(alone).endswith("the only shot here.")


def test_why_names_both_shots_and_every_reason(advice: Advice) -> None:
    assert advice.why is not None
    first, *lines = text.why_text(advice.why, METRES)
    assert first.startswith(text.shot_name(*advice.why.first))
    assert text.shot_name(*advice.why.second, begins=False) in first
    reasons = text.reasons_text(advice.why.reasons, METRES)
    assert reasons and lines[: len(reasons)] == reasons
    plainest = advice.why.plainest
    assert (plainest is not None) == (len(lines) == len(reasons) + 1)
    if plainest is not None:
        assert text.shot_name(*plainest, begins=False) in lines[-1]
    for line in (first, *lines):
        whole(line)


@pytest.mark.parametrize(
    ("past", "said"),
    [
        (3.0, "3.0 m on the green"), (12.4, "12 m on the green"), (0.0, "on the edge of the green"),
        (-1.5, "1.5 m short of the green"), (-20.0, "20 m short of the green"), (None, "7 m away"),
    ],
)  # fmt: skip
def test_the_landing_is_a_spot_to_look_at(past: float | None, said: str, advice: Advice) -> None:
    shot = replace(advice.shots[0], technique="chip", landing_past_edge=past, carry=7.0)
    assert said in text.landing_text(shot, METRES)


def test_a_landing_beside_the_line_and_a_way_round_are_told(advice: Advice) -> None:
    """Where the shot goes round something, "14 m short of the green" alone led astray."""
    shot = replace(
        advice.shots[0], technique="chip", landing_past_edge=-13.0, landing=(41.0, -20.2), past="right"
    )
    assert text.landing_text(shot, METRES) == "land it 13 m short of the green and 20 m right of the line"
    for past in (0.02, -0.02):
        edge = replace(advice.shots[0], technique="chip", landing_past_edge=past, landing=(7.0, 0.0))
        assert text.landing_text(edge, METRES) == "land it on the edge of the green"
        assert text.lands_text(edge, str) == "edge"
    left = replace(shot, landing=(41.0, 3.2), past="left")
    assert text.landing_text(left, METRES).endswith(" and 3 m left of the line")
    first, second = text.answer_text(replace(advice, shots=(shot,)), shot, METRES)
    assert first.endswith(", round the right") and "20 m right of the line" in second
    line = text.headline(replace(advice, shots=(left,)), METRES)
    assert ", round the left of what is in the way: land it" in line
    putt = replace(shot, technique="putt")
    assert text.answer_text(replace(advice, shots=(putt,)), putt)[0].endswith(
        " from off the green, round the right"
    )


def test_the_words_for_going_past_name_the_shots_that_do() -> None:
    assert text.passed_text({}, 3) == ""
    assert text.passed_text({"1": "left", "2": "left"}, 2) == "round its left"
    assert text.passed_text({"1": "left", "3": "right"}, 3) == "1: round its left, 3: round its right"


@pytest.mark.parametrize(("metres", "yards", "said"), [(9.0, "29.5 ft", "9.0 m"), (25.4, "28 yd", "25 m")])
def test_what_is_far_from_the_hole_is_not_told_in_feet(metres: float, yards: str, said: str) -> None:
    assert (Style().gap(metres), METRES.gap(metres)) == (yards, said)


@pytest.mark.parametrize(
    ("run", "said"), [(-1.26, "spins back 1.3 m"), (2.04, "runs 2.0 m"), (11.0, "runs 11 m")]
)
def test_a_run_forward_or_back(run: float, said: str, advice: Advice) -> None:
    assert text.run_text(replace(advice.shots[0], run=run), METRES) == said


@pytest.mark.parametrize(
    ("start", "aim", "said"),
    [
        (0.0, (0.1, 0.05), "Start it at the hole, meant to finish at it."),
        (0.0, (1.0, 0.0), "Start it at the hole, meant to finish 1.0 m past it."),
        (0.02, (0.4, 0.1), "Start it 0.4 m left of the hole, meant to finish 0.4 m past it."),
        (-0.1, (-0.5, -1.2), "1.9 m right of the hole, meant to finish 0.5 m short of it and 1.2 m right"),
        (0.05, (0.0, 0.6), "1.0 m left of the hole, meant to finish 0.6 m left of it."),
    ],
)  # fmt: skip
def test_where_it_is_meant_to_finish(
    start: float, aim: tuple[float, float], said: str, advice: Advice
) -> None:
    total = math.hypot(19.0 + aim[0], aim[1])
    shot: Shot = replace(advice.shots[0], start=start, finish_aim=aim, carry=8.0, run=total - 8.0)
    assert shot.hole == pytest.approx(19.0)
    assert said in text.aim_text(shot, METRES)
    round_it = text.aim_text(replace(shot, past="left"), METRES)
    assert ", round the left of what is in the way, meant to finish" in round_it


def test_cues_carry_their_numbers() -> None:
    assert "65 %" in text.cue_text("weight_lead", 0.65)
    assert "12°" in text.cue_text("face_open", 0.2094)
    assert "one and a half ball widths back" in text.cue_text("ball_position", -0.06)
    assert "half a ball width forward" in text.cue_text("ball_position", 0.02)
    assert "more than two ball widths back" in text.cue_text("ball_position", -0.2)
    assert "middle of the stance" in text.cue_text("ball_position", 0.0)
    assert "4 cm" in text.cue_text("grip_down", 0.04, METRES)
    # The sign says the side; the number is told without it.
    assert "-" not in text.cue_text("shoulders_with_slope", -0.1)


DOUBT = Doubt(cost=0.123, error=0.02, clear=True, changes=0.25, instead=("8-iron", "chip"), most="wind")


def test_doubt_is_told_with_its_cost_and_what_would_change(advice: Advice) -> None:
    assert text.doubt_text(advice) == []
    lines = text.doubt_text(replace(advice, doubt=DOUBT))
    assert "0.12 ± 0.02 strokes" in lines[0] and "the wind" in lines[1]
    assert "25 %" in lines[2] and "8-iron, chip" in lines[2]
    for line in lines:
        whole(line)


def test_doubt_that_costs_nothing_says_so(advice: Advice) -> None:
    none = replace(DOUBT, cost=-0.01, clear=False, changes=0.0, instead=None, most=None)
    lines = text.doubt_text(replace(advice, doubt=none))
    assert len(lines) == 2 and numbers(lines[0]) == []
    assert "hardly change" in lines[1]


def test_doubt_is_told_in_what_counts(advice: Advice) -> None:
    careful = put_all(advice.situation, {"player.counts": "no_disaster"})
    lines = text.doubt_text(replace(advice, doubt=DOUBT, situation=careful))
    assert "12 % ± 2 %" in lines[0]
