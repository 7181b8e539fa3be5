"""What an edit asks of a shot is foreseen about as it is then found, or said not to be known."""

from dataclasses import replace
from math import log

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.foresight import Change, Foresight
from shortgame_gui.advice.picture import Wish, picture
from shortgame_gui.advice.result import Advice
from shortgame_gui.model.club import Bag
from shortgame_gui.model.ground import Green, Hole
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import plane
from shortgame_gui.physics.run import green_deceleration, run
from shortgame_gui.physics.steps import Turfs
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

HERE = Situation(green=Green(front=6.0, depth=24.0, slope_along=0.01), hole=Hole(distance=18.0))
TABLE = load()


def foreseen(now: Situation, landing: float, way: float) -> Foresight | None:
    change = Change.of(HERE, now, now.green.slope_along, TABLE)
    return None if change is None else change.asks(landing, way)


@pytest.fixture(scope="module")
def advice() -> Advice:
    clubs = tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge", "8-iron"))
    return advise(HERE, Bag(name="few", clubs=clubs), TABLE, samples=16)


@pytest.mark.parametrize(
    "change",
    [
        {"green.speed": 3.5},
        {"green.slope_along": 0.025},
        {"green.slope_across": 0.02},
        {"green.firmness": 110.0},
        {"air.wind_along": -4.0},
        {"air.wind_across": 4.0},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_is_foreseen_is_about_what_is_found(advice: Advice, change: dict[str, float]) -> None:
    now = put_all(HERE, change)
    hole = HERE.hole.distance
    wishes = tuple(
        Wish(s.club, s.technique, s.head_speed, s.aim, s.finish_aim, None, hole + s.finish_aim[0])
        for s in advice.shots
    )
    off, plain, aside = [], [], []
    for shot, wish, drawn in zip(advice.shots, wishes, picture(now, TABLE, wishes), strict=True):
        assert wish.way is not None
        known = foreseen(now, shot.landing[0], wish.way)
        if drawn is not None and known is not None:
            asked = log(drawn.head_speed / shot.head_speed)
            off.append(abs(asked - known.harder) - known.unsure)
            plain.append(abs(asked - known.harder) - abs(asked))
            aside.append((abs(drawn.aim - shot.aim - known.turn), abs(drawn.aim - shot.aim)))
    assert len(off) > 5
    assert np.quantile(off, 0.8) < 0.02  # what the fan of speeds reaches in any case
    assert np.median(plain) <= 0.0
    assert np.median([a for a, _ in aside]) < 0.012
    if "across" in next(iter(change)):
        assert np.median([a for a, _ in aside]) < 0.5 * np.median([b for _, b in aside])


def test_a_run_is_pulled_aside_as_a_roll_over_a_plane_is() -> None:
    """Against the chain's roll on a green of 0.5 %, where the closed form is all but exact."""
    now = put_all(HERE, {"green.slope_across": 0.005})
    known = foreseen(now, 6.0, 18.0)
    assert known is not None
    brake = green_deceleration(np.array([now.green.speed]), TABLE.run)
    speed = float(np.sqrt(2.0 * 12.0 * (brake[0] + TABLE.air.gravity * 5.0 / 7.0 * 0.01)))
    still = np.zeros((3, 1))
    velocity = np.array([[speed], [0.0], [0.01 * speed]])
    spin = np.array([[0.0], [speed / TABLE.ball.radius], [0.0]])
    n = len(TABLE.surface)
    rest = run(
        still, velocity, spin, plane(0.01, 0.005), np.zeros(1, dtype=np.intp),
        Turfs(np.full(n, 0.3), np.full(n, 1.0), brake), np.full((2, 1), np.nan), TABLE.ball.radius,
        TABLE.air.gravity, TABLE.run, TABLE.hole,
    )  # fmt: skip
    x, y, _ = rest.position[:, 0]
    assert x == pytest.approx(12.0, rel=0.03)
    assert known.turn == pytest.approx(-y / 18.0, rel=0.15)


def test_who_knows_what_another_lie_or_wet_turf_asks() -> None:
    for change in (
        {"lie.ground": "rough"},
        {"green.wet": True},
        {"green.front": 8.0},
        {"air.temperature": 30.0},
        {"ground.fringe": 3.0},
    ):
        assert foreseen(put_all(HERE, change), 8.0, 18.0) is None
    # The green gives way to a hole that moves.
    moved = put_all(HERE, {"hole.distance": 31.0, "green.depth": 25.0})
    assert foreseen(moved, 8.0, 18.0) == Foresight(0.0, 0.0, 0.0)
    assert foreseen(HERE, 8.0, 18.0) == Foresight(0.0, 0.0, 0.0)


def test_a_foreseen_shot_is_drawn_as_any_other(advice: Advice) -> None:
    """What is foreseen tells where to look, and nothing of what is found."""
    now = put_all(HERE, {"green.speed": 3.4, "air.wind_across": 2.0, "hole.distance": 19.0})
    plain = tuple(Wish(s.club, s.technique, s.head_speed, s.aim, s.finish_aim) for s in advice.shots[:5])
    known = tuple(
        replace(w, way=HERE.hole.distance + s.finish_aim[0], landed=s.landing[0], before=HERE)
        for w, s in zip(plain, advice.shots, strict=False)
    )
    for one, other in zip(picture(now, TABLE, plain), picture(now, TABLE, known), strict=True):
        assert one is not None and other is not None
        assert other.head_speed == pytest.approx(one.head_speed, rel=2e-3)
        assert other.aim == pytest.approx(one.aim, abs=2e-3)
        assert other.rest == pytest.approx(one.rest, abs=0.04)
