"""The details in words: every figure is the shot's own, with its unit, and a putt has none of the flight."""

import re
from dataclasses import replace
from math import degrees, pi

import msgspec
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.model.club import Bag
from shortgame_gui.model.situation import Situation
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.details import DETAILS, clubs_text, name_of
from shortgame_gui.words.numbers import Style

YARDS, METRES = Style(), Style(yards=False)


@pytest.fixture(scope="module")
def advice() -> Advice:
    bag = packaged_bag()
    few = Bag(clubs=tuple(bag.find(name) for name in ("putter", "sand wedge", "8-iron")))
    return advise(Situation(), few, coefficients.load(), samples=16)


def test_every_figure_reads_well(advice: Advice) -> None:
    for detail in DETAILS:
        for style in (YARDS, METRES):
            name = name_of(detail, style)
            assert name[0].isupper() and "{" not in name and detail.meaning.endswith(".")
            for shot in advice.shots:
                said = detail.shown(shot, style)
                assert not re.search(r"[{}_]|nan|None|  ", said), said
    assert len({name_of(detail, YARDS) for detail in DETAILS}) == len(DETAILS)


def test_figures_are_those_of_the_shot(advice: Advice) -> None:
    shot = next(s for s in advice.shots if s.technique == "pitch")
    told = {name_of(detail, METRES): detail.shown(shot, METRES) for detail in DETAILS}
    assert told["Delivered loft"] == f"{degrees(shot.delivered_loft):.0f}°"
    assert told["Loft of the club"] == f"{degrees(shot.club.loft):.0f}°"
    assert told["Leaves the face at"] == f"{degrees(shot.launch):.0f}°"
    assert told["Comes down at"] == f"{degrees(shot.landing_angle):.0f}°"
    assert told["Peak height"] == f"{shot.apex:.1f} m" and told["Carry"] == f"{shot.carry:.1f} m"
    assert told["Backspin"] == f"{round(shot.spin * 60 / (2 * pi), -1):.0f} turns a minute"
    assert told["Swing"].endswith(f"{100 * shot.share:.0f} %")
    assert told["The club moves"] == f"{degrees(-shot.attack):.0f}° downwards"
    assert told["Time until it rests"] == f"{shot.track.time[-1]:.1f} s"
    assert told["Inside 2 m"] == f"{100 * (shot.left <= 2.0).mean():.0f} %"
    assert told["Sole of the club"].startswith(f"{degrees(shot.club.bounce):.0f}° of bounce, ")
    assert told["Grooves"] == "fresh"
    worn = replace(shot, club=msgspec.structs.replace(shot.club, groove_shots=1500.0, sole_width=0.02))
    told = {name_of(detail, METRES): detail.shown(worn, METRES) for detail in DETAILS}
    assert told["Grooves"] == "1500 shots old" and told["Sole of the club"].endswith(", 20 mm wide")
    up = replace(shot, attack=0.05, spin=-30.0)
    assert "3° upwards" in [detail.shown(up, METRES) for detail in DETAILS]
    assert "290 turns a minute, forwards" in [detail.shown(up, METRES) for detail in DETAILS]


def test_a_putt_has_nothing_of_a_flight(advice: Advice) -> None:
    putt = next(s for s in advice.shots if s.technique == "putt")
    told = {name_of(detail, METRES): detail.shown(putt, METRES) for detail in DETAILS}
    for name in (
        "Leaves the face at",
        "Backspin",
        "Peak height",
        "Comes down at",
        "Carry",
        "Time in the air",
    ):
        assert told[name] == ""
    assert told["Run"].endswith(" m") and told["Strokes"]


def test_the_clubs_of_a_bag_are_told_a_line_each() -> None:
    worn = msgspec.structs.replace(packaged_bag().find("sand wedge"), groove_shots=4000.0)
    wide = f"{1000 * worn.sole_width:.0f} mm wide"
    bag = Bag(clubs=(packaged_bag().find("putter"), worn))
    assert clubs_text(bag, METRES).splitlines() == [
        "putter: 3° of loft",
        f"sand wedge: 56° of loft, 12° of bounce, {wide}, grooves 4000 shots old",
    ]
