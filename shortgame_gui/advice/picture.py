"""The quick picture: the unperturbed ways of a few shots in an edited situation, from how they were played.

No samples and no ranking: each shot keeps its club and technique; its speed and aim are found anew near the
old ones, all shots in one batch, in a small part of the time of an advice, which refines it afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.advise import bench_of, swing_code, tracks_of
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.result import Drawn
from shortgame_gui.advice.rules import Candidate, refusal
from shortgame_gui.advice.solve import Bench, hit, plan
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.model.club import Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

NEAR = (0.75, 0.88, 0.95, 0.985, 1.015, 1.05, 1.14, 1.35)
"""Head speeds tried first, over the one before: a small edit is bracketed closely, a larger one still is."""
RANGE = 16
"""Head speeds tried from slowest to fastest where none of the near ones brackets the wish."""
CLOSE = 1.08
"""Ratio of the speeds of a bracket above which it is halved before the speed is read off."""
TURNED = 0.004
"""Turn of the aim in rad above which a shot is tried once more with the new one."""
AGAIN = (0.96, 0.99, 1.01, 1.04)
"""Head speeds tried then, over the one that was read off."""


@dataclass(frozen=True)
class Wish:
    """One shot to draw: how it was played before, and where it shall finish or land; lengths in m.

    Exactly one of ``finish`` (along and left of the hole) and ``landing`` (along and left of the ball) is
    given; ValueError otherwise.
    """

    club: Club
    technique: str
    head_speed: float
    aim: float
    finish: tuple[float, float] | None = None
    landing: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if (self.finish is None) == (self.landing is None):
            raise ValueError("give exactly one of finish and landing")

    def spot(self, hole: float) -> tuple[float, float]:
        """What is wished for, in m from the ball: along, left."""
        if self.finish is not None:
            return (hole + self.finish[0], self.finish[1])
        assert self.landing is not None
        return self.landing


def picture(situation: Situation, table: Coefficients, wishes: tuple[Wish, ...]) -> tuple[Drawn | None, ...]:
    """Each of ``wishes`` as it goes in ``situation``; None for what is not offered or reached by no speed."""
    allowed = [k for k, w in enumerate(wishes) if refusal(situation, w.club, w.technique) is None]
    out: list[Drawn | None] = [None] * len(wishes)
    if not allowed:
        return tuple(out)
    some = [wishes[k] for k in allowed]
    bench = bench_of(situation, table)
    owned = situation.player.techniques
    strokes = Strokes.of(
        [
            stroke(
                situation, Candidate(w.club, w.technique, getattr(owned, w.technique) == "learning"), table
            )
            for w in some
        ]
    )
    speed, aim = _near(bench, strokes, some)
    known = np.flatnonzero(np.isfinite(speed))
    if not len(known):
        return tuple(out)
    _, result = hit(bench, strokes, plan(known, speed[known], aim[known]), still(1), trace=True)
    tracks = tracks_of(result)
    lane = np.zeros(len(known), dtype=np.intp)
    surface = bench.ground.surface(result.rest[0], result.rest[1], lane)
    hole = situation.hole.distance
    for n, k in enumerate(known):
        wish, putt = some[int(k)], some[int(k)].technique == "putt"
        share = float(speed[k] / strokes.full_speed[k])
        x, y = float(result.rest[0, n]), float(result.rest[1, n])
        ending = ENDINGS[int(result.ending[n])]
        down = (float(result.landing[0, n]), float(result.landing[1, n]))
        out[allowed[int(k)]] = Drawn(
            wish.club, wish.technique, float(speed[k]), share,
            "stroke" if putt else swing_code(share, table), float(aim[k]),
            0.0 if putt else float(np.hypot(*down)), down, (x, y),
            0.0 if ending == "holed" else float(np.hypot(x - hole, y)),
            ending, SURFACES[int(surface[n])], float(result.apex[n]), tracks[n],
        )  # fmt: skip
    return tuple(out)


def _near(bench: Bench, strokes: Strokes, wishes: list[Wish]) -> tuple[Array, Array]:
    """Head speed in m/s and aim in rad of each wish, NaN where no speed of its stroke gives it."""
    hole = bench.situation.hole.distance
    spot = np.array([w.spot(hole) for w in wishes]).T
    landing = np.array([w.landing is not None for w in wishes])
    before, aim = np.array([w.head_speed for w in wishes]), np.array([w.aim for w in wishes])
    slowest = np.maximum(strokes.slowest, 0.02 * strokes.full_speed)
    every = np.arange(len(wishes))

    def tried(who: Index, speed: Array) -> _Tries:
        return _try(bench, strokes, who, speed, aim[who], spot[:, who], landing[who])

    near = np.clip(before[:, None] * np.array(NEAR), slowest[:, None], strokes.fastest[:, None])
    found = tried(every, near).bracket(before)
    far = np.flatnonzero(np.isnan(found.low))
    if len(far):
        share = np.linspace(0.0, 1.0, RANGE) ** 1.2
        wide = slowest[far, None] + (strokes.fastest - slowest)[far, None] * share
        found = found.put(far, tried(far, wide).bracket(before[far]))
    for _ in range(2):
        loose = np.flatnonzero(found.high > CLOSE * found.low)
        if not len(loose):
            break
        part = np.linspace(0.0, 1.0, 5)
        inner = found.low[loose, None] * (1.0 - part) + found.high[loose, None] * part
        found = found.put(loose, tried(loose, inner).bracket(found.speed[loose]))
    # Over a slope another aim makes another run: what is aimed anew is played from there once more.
    turned = np.flatnonzero(np.abs(found.turn) > TURNED)
    if len(turned):
        aim = aim + np.where(np.abs(found.turn) > TURNED, found.turn, 0.0)
        inner = np.clip(
            found.speed[turned, None] * np.array(AGAIN), slowest[turned, None], strokes.fastest[turned, None]
        )
        anew = tried(turned, inner).bracket(found.speed[turned])
        met = np.isfinite(anew.speed)
        found.turn[turned] = 0.0
        found = found.put(turned[met], anew.take(met))
    return found.speed, aim + found.turn


@dataclass(frozen=True)
class _Bracket:
    """Two head speeds between which the wish lies, the one read off between them, and the turn of the aim."""

    low: Array
    high: Array
    speed: Array
    turn: Array

    def take(self, keep: npt.NDArray[np.bool_]) -> _Bracket:
        return _Bracket(self.low[keep], self.high[keep], self.speed[keep], self.turn[keep])

    def put(self, who: Index, other: _Bracket) -> _Bracket:
        made = []
        for mine, new in zip(
            (self.low, self.high, self.speed, self.turn), (other.low, other.high, other.speed, other.turn),
            strict=True,
        ):  # fmt: skip
            mine = mine.copy()
            mine[who] = new
            made.append(mine)
        return _Bracket(*made)


@dataclass(frozen=True)
class _Tries:
    """Outcomes of several head speeds for each of k wishes; (k, speeds) each."""

    speed: Array
    gap: Array
    """How far beyond the wish it went, in m."""
    turn: Array
    """Angle in rad from where it went to the wish."""

    def bracket(self, before: Array) -> _Bracket:
        """The crossing nearest to the speeds ``before`` (k,)."""
        low, high, speed, turn = (np.full(len(before), np.nan) for _ in range(4))
        for k, gap in enumerate(self.gap):
            crossings = np.flatnonzero((gap[:-1] <= 0.0) & (gap[1:] > 0.0))
            if not len(crossings):
                continue
            v = self.speed[k]
            j = int(crossings[np.argmin(np.abs(v[crossings] - before[k]))])
            part = -gap[j] / (gap[j + 1] - gap[j])
            low[k], high[k] = v[j], v[j + 1]
            speed[k] = v[j] + part * (v[j + 1] - v[j])
            turn[k] = self.turn[k, j] + part * (self.turn[k, j + 1] - self.turn[k, j])
        return _Bracket(low, high, speed, turn)


def _try(
    bench: Bench,
    strokes: Strokes,
    who: Index,
    speed: Array,
    aim: Array,
    spot: Array,
    landing: npt.NDArray[np.bool_],
) -> _Tries:
    """Play the strokes ``who`` at each of ``speed`` (k, speeds) and compare with ``spot`` (2, k)."""
    count = speed.shape[1]
    plans = plan(np.repeat(who, count), speed.ravel(), np.repeat(aim, count))
    _, done = hit(bench, strokes, plans, still(1), hole=False)
    x, y = (
        np.where(landing[:, None], at.reshape(speed.shape), end.reshape(speed.shape))
        for at, end in zip(done.landing[:2], done.rest[:2], strict=True)
    )
    went = np.copysign(np.hypot(x, y), x)
    wanted = np.copysign(np.hypot(*spot), spot[0])[:, None]
    # Behind the ball or at it, a direction means nothing.
    ahead = (x > 0.3) & (spot[0] > 0.3)[:, None]
    turn = np.where(ahead, np.arctan2(spot[1], spot[0])[:, None] - np.arctan2(y, x), 0.0)
    return _Tries(speed, went - wanted, turn)
