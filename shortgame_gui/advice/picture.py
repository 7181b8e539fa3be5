"""The quick picture: the unperturbed ways of a few shots in an edited situation, from how they were played.

No samples and no ranking: each shot keeps its club and technique; its speed and aim are found anew near the
old ones, all shots in one batch, in a small part of the time of an advice, which refines it afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.advise import bench_of, swing_code, tracks_of
from shortgame_gui.advice.delivery import Strokes, play, stroke
from shortgame_gui.advice.result import Drawn
from shortgame_gui.advice.rules import Candidate, refusal
from shortgame_gui.advice.scene import conditions
from shortgame_gui.advice.solve import Bench
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.model.club import Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.physics.shot import Result, simulate

Array = npt.NDArray[np.float64]

FAN = np.array([-28, -14, -7, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 7, 14, 28], dtype=float)
"""Head speeds that are tried at once, in steps: close ones for a small edit, wide ones to bracket others."""
MET, MET_SHARE = 0.02, 0.001
"""Distance from the wish in m, and the same over the whole way, at which a shot counts as there."""
WIDER = 0.03
"""Step of the next fan, over the way in head speed to where it lies from what was tried."""
BEYOND = (0.7, 1.4)
"""Head speeds over the nearest one between which the next fan lies where the wish lies beyond this one."""
POWER = (1.0, 4.0)
"""Bounds of the power of the head speed with which distances are then taken to grow."""
MISSES = 3
"""Fans in a row without the wish after which no speed is taken to reach it; the last one tries them all."""
ROUNDS = 6
"""Fans of a shot at most."""


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
    hunts = [_Hunt(w, strokes, k, situation.hole.distance) for k, w in enumerate(some)]
    for _ in range(ROUNDS):
        left = [h for h in hunts if not h.over]
        if not left:
            break
        _play(bench, strokes, left)
    for k, drawn in _drawn(bench, strokes, hunts):
        out[allowed[k]] = drawn
    return tuple(out)


@dataclass(frozen=True)
class _Ball:
    """One ball that was played: its result and number there, head speed in m/s and aim in rad."""

    result: Result
    number: int
    speed: float
    aim: float


class _Hunt:
    """The search for one wish: fans of head speeds, each nearer to it than the one before."""

    def __init__(self, wish: Wish, strokes: Strokes, number: int, hole: float) -> None:
        self.wish, self.number, self.spot = wish, number, wish.spot(hole)
        self.slowest = max(float(strokes.slowest[number]), 0.02 * float(strokes.full_speed[number]))
        self.fastest = float(strokes.fastest[number])
        self.way = float(np.copysign(np.hypot(*self.spot), self.spot[0]))
        self.met = max(MET, MET_SHARE * abs(self.way))
        self.over = self.reached = self.close = False
        self.missed = 0
        """Fans in a row that did not hold the wish."""
        self.best: _Ball | None = None
        self.least = np.inf
        """Distance in m of the best ball from the wish."""
        self.aim, self.off, self.turned, self.yields = wish.aim, 0.0, 0.0, 1.0
        self._lay(wish.head_speed, 0.0)

    def _lay(self, speed: float, way: float) -> None:
        """Lay the next fan about ``speed``, which lies ``way`` from what was tried, both in m/s."""
        # Distances grow about as the square of the speed: so one step moves the ball by twice what will do.
        self.step = speed * self.met / max(abs(self.way), self.met)
        self._spread(speed + max(self.step, WIDER * way) * FAN, speed)

    def _spread(self, fan: Array, centre: float) -> None:
        self.fan, self.centre = np.minimum(np.maximum(fan, self.slowest), self.fastest), centre

    def learn(self, x: Array, y: Array, result: Result, first: int) -> None:
        """Take in where the balls of the fan went, in m; they are those of ``result`` from ``first`` on."""
        error = np.hypot(x - self.spot[0], y - self.spot[1])
        k = int(error.argmin())
        if error[k] < self.least:
            self.least, self.best = float(error[k]), _Ball(result, first + k, float(self.fan[k]), self.aim)
        gone = np.copysign(np.hypot(x, y), x)
        # Behind the ball or at it, a direction means nothing.
        ahead = (x > 0.3) & (self.spot[0] > 0.3)
        turn = np.where(ahead, np.arctan2(self.spot[1], self.spot[0]) - np.arctan2(y, x), 0.0)
        gap, v = gone - self.way, self.fan
        crossings = ((gap[:-1] <= 0.0) & (gap[1:] > 0.0)).nonzero()[0]
        if not len(crossings):
            self.missed += 1
            self.over = self.missed > MISSES
            self._look_beyond(gone, turn)
            return
        j = int(crossings[np.abs(v[crossings] - self.centre).argmin()])
        part = float(gap[j] / (gap[j] - gap[j + 1]))
        width, off = float(v[j + 1] - v[j]), float(turn[j] + part * (turn[j + 1] - turn[j]))
        # Where close balls on the right line stay away from the wish, the finish jumps: nearer is none.
        close = width < 1.5 * self.step and abs(off * self.way) < self.met
        self.over = self.least < self.met or (close and self.close)
        self.reached, self.missed, self.close = True, 0, close
        self._turn(off)
        self._lay(float(v[j]) + part * width, width)

    def _turn(self, off: float) -> None:
        """Turn the aim of the next fan: this one's balls came out ``off`` in rad to the right of the wish."""
        # Across a slope a turn does more or less than it should: by how much, the last one has shown.
        if self.turned and 0.5 < (self.off - off) / self.turned < 2.0:
            self.yields = (self.off - off) / self.turned
        self.off, self.turned = off, off / self.yields
        self.aim += self.turned

    def _look_beyond(self, gone: Array, turn: Array) -> None:
        """Lay the next fan where the wish may be, which this one does not hold; its balls went ``gone`` m."""
        v = self.fan
        k = int(np.abs(gone - self.way).argmin())
        near = float(v[k])
        inside = self.slowest < near < self.fastest
        if self.missed == 1 and inside and min(gone[0], gone[-1], self.way) > 0.0:
            power = np.clip(np.log(gone[-1] / gone[0]) / np.log(v[-1] / v[0]), *POWER)
            speed = near * float(np.clip((self.way / gone[k]) ** (1.0 / power), *BEYOND))
            self._turn(float(turn[k]))
            self._lay(speed, abs(speed - near))
        elif self.missed < MISSES and inside:
            self.missed = MISSES - 1
            self._spread(near * np.geomspace(*BEYOND, len(FAN)), near)
        else:
            self.missed = MISSES
            share = np.linspace(0.0, 1.0, len(FAN)) ** 1.2
            self._spread(self.slowest + (self.fastest - self.slowest) * share, near)


def _play(bench: Bench, strokes: Strokes, hunts: list[_Hunt]) -> None:
    """Play the fans of ``hunts`` in one batch, over the hole, which is looked at where a ball is drawn."""
    n = len(FAN)
    who, speed = np.repeat([h.number for h in hunts], n), np.concatenate([h.fan for h in hunts])
    none, same = np.zeros(len(who)), np.zeros(len(who), dtype=np.intp)
    draws = still(len(who))
    aim = np.repeat([h.aim for h in hunts], n)
    ball = play(strokes.take(who), speed, aim, draws, none, none, none, none, bench.left_handed, bench.table)
    met = conditions(
        bench.situations, same, bench.table, bench.ground, same, scatter=draws.turf, gusts=(none, none)
    )
    done = simulate(ball.velocity, ball.spin, met, bench.table, rolling=ball.rolling, trace=True, over=True)
    for k, hunt in enumerate(hunts):
        x, y = (done.rest if hunt.wish.landing is None else done.landing)[:2, k * n : (k + 1) * n]
        hunt.learn(x, y, done, k * n)


def _drawn(bench: Bench, strokes: Strokes, hunts: list[_Hunt]) -> Iterator[tuple[int, Drawn]]:
    """Number and picture of each of the ``hunts`` that reached its wish."""
    table, hole = bench.table, bench.situation.hole.distance
    met: dict[int, list[_Hunt]] = {}
    for hunt in hunts:
        if hunt.reached and hunt.best is not None:
            met.setdefault(id(hunt.best.result), []).append(hunt)
    for some in met.values():
        balls = [hunt.best for hunt in some if hunt.best is not None]
        done = balls[0].result.take(np.array([b.number for b in balls])).with_hole()
        surface = bench.ground.surface(done.rest[0], done.rest[1], np.zeros(len(balls), dtype=np.intp))
        for n, (hunt, ball, track) in enumerate(zip(some, balls, tracks_of(done), strict=True)):
            wish, putt = hunt.wish, hunt.wish.technique == "putt"
            share = float(ball.speed / strokes.full_speed[hunt.number])
            x, y = float(done.rest[0, n]), float(done.rest[1, n])
            ending = ENDINGS[int(done.ending[n])]
            down = (float(done.landing[0, n]), float(done.landing[1, n]))
            yield hunt.number, Drawn(
                wish.club, wish.technique, ball.speed, share,
                "stroke" if putt else swing_code(share, table), ball.aim,
                0.0 if putt else float(np.hypot(*down)), down, (x, y),
                0.0 if ending == "holed" else float(np.hypot(x - hole, y)),
                ending, SURFACES[int(surface[n])], float(done.apex[n]), track,
            )  # fmt: skip
