"""The paragraph on two shots: every code has words, and they say what the claims say."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.compare import HELD, NOT_DONE, Compared, Comparison, NotDone
from shortgame_gui.advice.difference import AIRBORNE, LINKS, ROLLING, Claim, Difference, Relation, difference
from shortgame_gui.advice.result import Track
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.model.club import Club
from shortgame_gui.model.situation import Situation
from shortgame_gui.words import compare as words
from shortgame_gui.words.numbers import Style

TRACK = Track(np.zeros(2), np.zeros((3, 2)), np.zeros(2), 0, (0,), 1)
SHOT = Compared(
    club=Club(name="sand wedge", kind="wedge", loft=0.98), technique="chip", refused=None, swing="hip",
    head_speed=9.0, share=0.3, aim=0.0, toward=0.0, delivered_loft=0.8, attack=-0.1, ball_speed=11.0,
    launch=0.6, spin=250.0, carry=8.0, flight_time=1.0, apex=1.3, landing_angle=0.6, landing_speed=9.0,
    landing_surface="green", bounces=5, forward_before=7.0, forward_after=3.0, spin_after=30.0, run=5.0,
    total=13.0, air_share=0.6, stop_time=4.0, ending="at_rest", obstacle=False, track=TRACK,
)  # fmt: skip
LOW = replace(
    SHOT, club=Club(name="7-iron", kind="iron", loft=0.6), delivered_loft=0.45, launch=0.34, spin=140.0,
    apex=0.6, landing_angle=0.35, forward_after=5.0, spin_after=-80.0, run=16.0, total=24.0,
)  # fmt: skip


def test_every_code_has_words() -> None:
    assert set(words.HELD) == set(HELD) and set(words.NOT_DONE) == set(NOT_DONE)
    assert set(words.ADULT) == set(LINKS)
    # A junior is told all but how high the ball flew.
    assert set(words.JUNIOR) == set(LINKS) - {"apex"}
    for book in (words.ADULT, words.JUNIOR):
        assert all(set(texts) == {"less", "more", "same"} for texts in book.values())
    assert set(words.ENDED) == {*ENDINGS.values(), "obstacle"} - {"at_rest", "holed"}
    assert {link for links in AIRBORNE.values() for link in links} | set(ROLLING) <= set(LINKS)
    for (link, _relation), (cause, _lesson) in words.LESSONS.items():
        assert cause in dict(LINKS[link].causes)


def test_an_adult_reads_the_chain() -> None:
    assert words.paragraph(difference(SHOT, LOW, "landing", 8.0), Style(yards=False)) == (
        "Both land 8.0 m away. The 7-iron meets the ball with less loft (26° against 46°), so it leaves lower"
        " (19° against 34°), and it spins less (1340 rpm against 2390 rpm). So it stays lower in the air "
        "(peak 0.6 m against 1.3 m), and it comes down flatter (20° against 34°). Coming down flatter and "
        "spinning less, it goes on faster after the first bounce (5.0 m/s along the ground against 3.0 m/s). "
        "So it runs 16.0 m, while the sand wedge runs 5.0 m."
    )


def test_a_junior_reads_a_sentence_a_link() -> None:
    assert words.paragraph(difference(SHOT, LOW, "landing", 8.0), Style(yards=False), "junior") == (
        "Both balls land on one spot, 8.0 m away. The 7-iron has less loft when it hits the ball: 26°, and "
        "the sand wedge has 46°. The face points less to the sky, so it sends the ball lower: 19°, not 34°. "
        "The face cuts under it less, so it spins less: 1340 rpm, not 2390 rpm. What starts low comes down "
        "flat: it comes down flatter: 20°, not 34°. A flat ball skips on like a stone on water: after the "
        "first bounce it has more speed left: 5.0 m/s, not 3.0 m/s. More speed left means more roll: it runs "
        "16.0 m, and the sand wedge runs 5.0 m."
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"technique": "pitch"}, "The 7-iron chip meets"),
        ({"technique": "pitch", "club": LOW.club}, "The chip meets"),
        ({"run": -2.0}, "while the sand wedge comes back 2.0 m"),
        ({"forward_after": -1.0}, "against 1.0 m/s backwards"),
        ({"landing_surface": "fringe"}, "as well: green for the 7-iron, fringe for the sand wedge"),
        ({"ending": "in_water"}, "The sand wedge ends in the water, so the runs cannot be compared."),
        ({"obstacle": True}, "is stopped by what stands in the way"),
        ({"spin": 100.0, "delivered_loft": 0.8}, "and yet it spins more"),
        ({"spin": 100.0}, "Coming down flatter, in spite of spinning more, it goes on faster"),
        ({"launch": 0.34}, "and both leave about equally high"),
        ({"forward_after": 5.0}, "Both go on about equally fast after the first bounce (5.0 m/s and"),
    ],
)  # fmt: skip
def test_what_differs_is_said(changes: dict[str, Any], said: str) -> None:
    text = words.paragraph(difference(LOW, replace(SHOT, **changes), "landing", 8.0), Style(yards=False))
    assert said in text


def test_a_putt_rolls_all_the_way() -> None:
    putt = replace(SHOT, technique="putt", carry=0.0, launch=0.0, bounces=0, run=13.0)
    for reader in words.READERS:
        text = words.paragraph(difference(putt, SHOT, "finish", 13.0), Style(yards=False), reader)
        assert "rolls all the way, while the sand wedge chip flies 8.0 m first" in text or (
            "rolls all the way, while the chip flies 8.0 m first" in text
        )
        assert "13.0 m" in text and "5.0 m" in text


@pytest.mark.parametrize("reader", [*words.READERS])
@pytest.mark.parametrize("held", HELD)
def test_no_wording_is_left_open(reader: words.Reader, held: Any) -> None:
    """Every link with every relation, for and against what came before."""
    relations: tuple[Relation, ...] = ("more", "less", "same")
    for relation in relations:
        for sense in range(1 if relation == "same" else 3):
            claims = []
            for link, about in LINKS.items():
                causes = tuple(dict(about.causes))
                because, against = (((), ()), (causes, ()), ((), causes))[sense]
                claims.append(Claim(link, 1.0, 2.0, relation, because, against))
            told = words.paragraph(Difference(LOW, SHOT, held, tuple(claims), 8.0, True), Style(), reader)
            assert "{" not in told and "  " not in told and ".." not in told and told.endswith(".")


def test_what_is_held_and_what_is_not_done() -> None:
    found = Comparison(Situation(), "landing", 8.0, (), ())
    metres = Style(yards=False)
    assert words.held_text(found, metres) == "All land 8.0 m away."
    assert words.held_text(replace(found, held="finish"), metres) == "All come to rest 8.0 m away."
    assert words.held_text(replace(found, held="swing"), metres) == "All are swung at 8.0 m/s."
    for reason in NOT_DONE:
        text = words.not_done_text(NotDone(SHOT.club, "chip", reason, 1.0, 9.0), metres)
        assert "{" not in text and (reason == "does_not_land" or "9.0 m" in text)
    stopped = NotDone(SHOT.club, "chip", "stopped", 0.2, 3.44)
    assert words.not_done_text(stopped, metres).endswith("no further than 3.4 m")
