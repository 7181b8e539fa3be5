"""What the views say of themselves, from a situation and from shots made by hand."""

from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import landing_text
from shortgame_gui.words.views import plan_text, side_text, slope_text

METRES = Style(yards=False)


@pytest.fixture(scope="module")
def advice() -> Advice:
    clubs = tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge"))
    return advise(Situation(), Bag(name="few", clubs=clubs), load(), samples=16)


def test_the_side_view_says_what_it_shows(advice: Advice) -> None:
    pitch = next(shot for shot in advice.shots if shot.technique != "putt")
    other = next(shot for shot in advice.shots if shot is not pitch)
    said = side_text(Situation(), (pitch, other), True, True, METRES)
    assert said.startswith("The hole is 18.0 m away, the green lies from 6.0 m to 30.0 m. Sand wedge")
    assert landing_text(pitch, METRES) in said
    assert f"Half of its balls stop between {pitch.half[0]:.1f} m and {pitch.half[1]:.1f} m." in said
    assert "Also shown: " in said
    assert "earlier" not in said


def test_what_is_of_the_past_is_said_to_be(advice: Advice) -> None:
    for say in (side_text, plan_text):
        assert say(Situation(), advice.shots[:1], False, False).endswith("of an earlier situation.")
        fresh = say(Situation(), advice.shots[:1], True, False)  # the quick picture: ways, but no spreads
        assert "earlier" not in fresh
        assert "its balls" not in fresh
        assert "earlier" not in say(Situation(), (), False, False)


def test_the_plan_counts_the_ring_in_the_players_unit(advice: Advice) -> None:
    shot = advice.shots[0]
    feet, metres = (plan_text(Situation(), (shot,), True, True, style) for style in (Style(), METRES))
    near = np.hypot(shot.finishes[0] - 18.0, shot.finishes[1])
    assert f"{100 * (near <= 1.8288).mean():.0f} % of its balls finish inside 6 ft." in feet
    assert f"{100 * (near <= 2.0).mean():.0f} % of its balls finish inside 2 m." in metres


@pytest.mark.parametrize(
    ("slopes", "said"),
    [
        ({}, "The green is level."),
        ({"green.slope_along": 0.02}, "The green rises 2.0 % away from the ball."),
        (
            {"green.slope_along": -0.015, "green.slope_across": 0.03},
            "The green falls 1.5 % away from the ball and falls 3.0 % to the right.",
        ),
        ({"green.slope_across": -0.01}, "The green falls 1.0 % to the left."),
    ],
)
def test_slopes_in_words(slopes: dict[str, Any], said: str) -> None:
    assert slope_text(put_all(Situation(), slopes)) == said
