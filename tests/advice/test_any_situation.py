"""Whatever a golfer can describe gets an answer of finite figures: drawn from the ranges of the model."""

from collections.abc import Callable
from typing import Any

import msgspec
import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Shot
from shortgame_gui.model.base import Checked, FieldError
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import Leaf, leaves, put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.text import headline, setup_text, why_text
from shortgame_gui.words.watch import watch_text

# The same examples in every run; take `derandomize` out to look for new ones.
STEADY = settings(max_examples=12, deadline=None, derandomize=True, database=None)


def value(leaf: Leaf) -> st.SearchStrategy[Any]:
    """Anything that the model allows at ``leaf``, its ends more often than by chance.

    Half of the time it is the default: few shots can be played where everything is extreme at once.
    """
    usual = [] if leaf.default is msgspec.NODEFAULT else [st.just(leaf.default)]
    if leaf.kind == "number":
        return st.one_of(*usual * 2, st.floats(leaf.low, leaf.high), st.sampled_from([leaf.low, leaf.high]))
    if leaf.kind == "flag":
        return st.booleans()
    if leaf.kind == "choice":
        return st.one_of(*usual, st.sampled_from(leaf.choices))
    return st.just(leaf.default)


def values(cls: type[Checked]) -> st.SearchStrategy[dict[str, Any]]:
    found = [leaf for leaf in leaves(cls) if not leaf.in_list and leaf.default is not msgspec.NODEFAULT]
    return st.fixed_dictionaries({leaf.path: value(leaf) for leaf in found})


@st.composite
def profiles(draw: st.DrawFn) -> tuple[ProfilePoint, ...]:
    places = sorted(draw(st.sets(st.integers(-40, 600), max_size=6)))
    heights = draw(st.sampled_from([st.floats(-0.5, 0.5), st.floats(-20.0, 20.0)]))
    return tuple(ProfilePoint(at=0.25 * p, height=draw(heights)) for p in places)


@st.composite
def bands(draw: st.DrawFn) -> Band:
    by_name = {leaf.path: value(leaf) for leaf in leaves(Band)}
    start = draw(st.floats(-20.0, 100.0))
    edge, width = draw(st.floats(-30.0, 30.0)), draw(st.floats(0.1, 30.0))
    return Band(
        surface=draw(by_name["surface"]), start=start, end=start + draw(st.floats(0.1, 40.0)),
        left=edge, right=width - edge,
    )  # fmt: skip


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    by_name = {leaf.path: draw(value(leaf)) for leaf in leaves(Shape)}
    return Shape(**by_name | {"at": draw(st.floats(-20.0, 100.0))})


@st.composite
def obstacles(draw: st.DrawFn) -> Obstacle:
    low, height = draw(st.floats(-20.0, 20.0)), draw(st.floats(0.1, 10.0))
    edge, width = draw(st.floats(-30.0, 30.0)), draw(st.floats(0.1, 30.0))
    at = draw(st.floats(0.5, 100.0))
    return Obstacle(at=at, low=low, high=low + height, left=edge, right=width - edge)


@st.composite
def situations(draw: st.DrawFn) -> Situation:
    given = draw(values(Situation))
    near, far = given["green.front"], min(given["green.front"] + given["green.depth"], 110.0)
    given["hole.distance"] = max(near, 1.0) + draw(st.floats(0.0, 1.0)) * max(far - max(near, 1.0), 0.0)
    given["ground.profile"] = draw(profiles())
    given["ground.bands"] = tuple(draw(st.lists(bands(), max_size=3)))
    given["ground.shapes"] = tuple(draw(st.lists(shapes(), max_size=2)))
    given["ground.obstacles"] = tuple(draw(st.lists(obstacles(), max_size=2)))
    if given["player.wedge_carry"] < 20.0:
        given["player.wedge_carry"] = 0.0
    try:
        return put_all(Situation(), given)
    except FieldError:
        # A rule between fields that the ranges alone do not tell.
        assume(False)
        raise


@st.composite
def clubs(draw: st.DrawFn) -> Club:
    fields = {leaf.path: draw(value(leaf)) for leaf in leaves(Club) if leaf.path != "name"}
    return Club(name="any", **fields)


@given(situation=situations(), club=clubs())
@STEADY
def test_any_situation_gets_an_answer(
    situation: Situation,
    club: Club,
    few: Bag,
    small: Coefficients,
    figures: Callable[[Shot], dict[str, float]],
) -> None:
    found = advise(situation, Bag(clubs=(*few.clubs[:2], club)), small, samples=8)
    assert found.shots or found.refused
    for shot in found.shots:
        told = figures(shot)
        assert all(np.isfinite(number) for number in told.values()), told
        assert np.isfinite(shot.finishes).all() and np.isfinite(shot.track.position).all()
        assert np.all(np.diff(shot.track.time) >= 0.0)
        chances = [v for k, v in told.items() if k.startswith("trouble")]
        chances += [shot.holed, shot.down_in_two, shot.three_or_more, *shot.inside]
        assert all(-1e-12 <= chance <= 1.0 + 1e-12 for chance in chances)
        assert shot.ball_speed > 0.0 and shot.expected_strokes >= 1.0 and shot.carry >= 0.0
    assert [s.rank for s in found.shots] == list(range(1, len(found.shots) + 1))
    # It can be said in words, too.
    leader = found.shots[0] if found.shots else None
    lines = [headline(found), *why_text(found.why), *setup_text(leader), *watch_text(found, leader)]
    assert all("{" not in line for line in lines)
