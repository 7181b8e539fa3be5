"""The quick picture: the unperturbed ways of a few shots in an edited situation, from how they were played.

No samples and no ranking: each shot keeps its club and technique; its speed and aim are found anew near the
old ones, all shots in one batch, in a small part of the time of an advice, which refines it afterwards. A
batch costs nearly the same whatever its size: so one fan of head speeds shall hold the wish, and what is
drawn lies between two of its balls. Only where these do not go much alike is a finer one laid between them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import atan2, copysign, exp, hypot, log

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Strokes, play, stroke
from shortgame_gui.advice.explain import swing_code
from shortgame_gui.advice.foresight import ROUGHLY, Change
from shortgame_gui.advice.result import Drawn
from shortgame_gui.advice.rules import Candidate, refusal
from shortgame_gui.advice.solve import Bench
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.advice.ways import ways_of
from shortgame_gui.model.club import Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.physics.shot import Result, simulate

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

NEAREST, WIDER = 0.0015, 1.25
"""Step next to the likely head speed, over it, and by how much each step of a fan is longer than the last."""
FAN = NEAREST * (WIDER ** np.arange(1.0, 14.0) - 1.0) / (WIDER - 1.0)
"""Logarithms of head speeds over the likely one that are tried at once."""
SURE = 0.02
"""How far the fan reaches to each side at least; that much where nothing is known to have changed."""
FINER = np.linspace(-0.3, 1.3, 17)
"""Head speeds of the next fan, over those two between which the wish lies."""
POWER = (1.0, 2.0, 4.0)
"""Power of the head speed with which distances grow: the least, the usual, the greatest."""
BEYOND = (0.7, 1.4)
"""Likely head speeds where a fan does not hold the wish, over the nearest one of it."""
MISSES = 2
"""Fans in a row without the wish after which no speed is taken to reach it; the last one tries all speeds."""
TURN = 0.03
"""Angle in rad by which some balls are aimed further left than the others."""
BESIDE = 7
"""Number of these."""
FURTHEST = 3.0
"""Turn of the aim, over that, up to which they are believed."""
TURNS = 5
"""Times that the aim is turned by what is known of the balls before the next are played."""
MET, MET_SHARE = 0.02, 0.001
"""Distance from the wish in m, and the same over the whole way, at which a shot counts as there."""
BENDS, JUMPS = 0.12, 0.4
"""What is taken for the bend and for a jump between two balls, over what they could be (found by trial)."""
BESIDE_IT = 2
"""Steps of a fan to each side by which it is told whether the finishes jump in one."""
ASKEW = 0.05
"""What the aim may still be off where the finishes jump, over what is taken for the jump."""
SEEN = 0.002
"""Distance in m that is worth to be drawn."""
CLOSE = 1.5
"""Step of the head speed over the speed, over `MET` over the way, up to which two balls count as close."""
EVENLY, MANY = 0.95, 24
"""Steps over that, of the fan of a shot that bounces over the green's edge; most of them to each side."""
ROUNDS = 5
"""Fans of a shot at most."""
FEW = 0.25
"""Share of a shot's balls that may still move when it is first asked whether the others tell enough."""


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
    way: float | None = None
    """How far along in m the ball went before, to its finish or landing, if that is known."""
    landed: float | None = None
    """How far along in m it landed, if that is known."""
    before: Situation | None = None
    """The situation in which it did, if that is known."""

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
    hunts = [
        _Hunt(w, strokes, k, situation.hole.distance, change)
        for k, (w, change) in enumerate(zip(some, _changes(bench, some), strict=True))
    ]
    for number in range(ROUNDS):
        left = [h for h in hunts if not h.over]
        if not left:
            break
        _play(bench, strokes, left, number == ROUNDS - 1)
    for k, drawn in _drawn(bench, strokes, hunts):
        out[allowed[k]] = drawn
    return tuple(out)


def _changes(bench: Bench, wishes: list[Wish]) -> list[Change | None]:
    """What has changed since each of ``wishes`` was played; None: who knows what."""
    rise = scene.rise(bench.situation, bench.ground)
    known: dict[int, Change | None] = {id(None): None}
    for before in (w.before for w in wishes):
        if before is not None and id(before) not in known:
            known[id(before)] = Change.of(before, bench.situation, rise, bench.table)
    return [known[id(w.before)] for w in wishes]


@dataclass(frozen=True)
class _Found:
    """A shot between balls that were played, those of ``result`` with these numbers."""

    result: Result
    slower: int
    faster: int
    share: float
    """Where between both it lies: 0 is the slower."""
    left: int
    """A ball aimed further left, and the one that was not but else the same."""
    right: int
    more: float
    """How much of what lies between these two is added, for the turn."""
    turn: float
    """By how much the aim is turned to the left, in rad."""
    speed: float
    """Head speed in m/s."""
    aim: float
    """rad to the left."""

    @property
    def balls(self) -> tuple[int, ...]:
        """Those that it is drawn from."""
        first = () if self.share == 1.0 else (self.slower,)
        last = () if self.share == 0.0 else (self.faster,)
        return first + last + ((self.left, self.right) if self.more else ())


@lru_cache(maxsize=64)
def _spread_over(count: int) -> Index:
    """Numbers of `BESIDE` of so many balls, with the first and the last; of all where they are fewer."""
    return np.unique(np.linspace(0, count - 1, BESIDE).astype(np.intp))


class _Hunt:
    """The search for one wish: fans of head speeds, each nearer to it than the one before."""

    def __init__(self, wish: Wish, strokes: Strokes, number: int, hole: float, change: Change | None) -> None:
        self.wish, self.number, self.spot = wish, number, wish.spot(hole)
        self.slowest = max(float(strokes.slowest[number]), 0.02 * float(strokes.full_speed[number]))
        self.fastest = float(strokes.fastest[number])
        self.way = copysign(hypot(*self.spot), self.spot[0])
        self.met = max(MET, MET_SHARE * abs(self.way))
        self.over, self.missed = False, 0
        self.found: _Found | None = None
        likely, fan, aim = wish.head_speed, FAN, wish.aim
        if wish.way is not None and min(wish.way, self.spot[0]) > MET:
            further = log(self.spot[0] / wish.way)
            likely *= exp(further / POWER[1])
            reach = SURE + ROUGHLY * abs(further)
            if change is not None and wish.landed is not None:
                known = change.asks(wish.landed, wish.way)
                likely, reach, aim = likely * exp(known.harder), reach + known.unsure, aim + known.turn
            # Where the wish is where it was, something else has changed, nobody knows how much.
            if change is not None or abs(further) >= MET_SHARE:
                fan = FAN[: FAN.searchsorted(reach) + 1]
            if change is not None and wish.landed is not None and 0.0 < wish.landed < change.front < wish.way:
                # What bounces over the green's edge finishes here or there: one fan shall do for it.
                step = min(NEAREST, EVENLY * CLOSE * self.met / abs(self.way))
                fan = step * np.arange(1.0, min(reach / step, MANY) + 1.0)
        self._spread(likely, fan, aim)

    def _spread(self, likely: float, steps: Array, aim: float) -> None:
        """Lay the next fan about the ``likely`` head speed in m/s, in ``steps`` of its logarithm."""
        likely, away = min(max(likely, self.slowest), self.fastest), np.exp(steps)
        self._lay(likely * np.concatenate([1.0 / away[::-1], [1.0], away]), likely, aim)

    def _lay(self, fan: Array, centre: float, aim: float) -> None:
        """Lay the next fan of head speeds in m/s, the likely one in its ``centre``."""
        fan = np.minimum(np.maximum(fan, self.slowest), self.fastest)
        self.fan = fan[np.append(True, fan[1:] > fan[:-1])]
        self.beside = _spread_over(len(self.fan))
        self.awaited: Index = np.arange(0)
        """Of the balls to play those without which nothing was to be learnt when that was tried."""
        self.centre, self.aim = centre, aim

    @property
    def many(self) -> int:
        """Number of balls to play."""
        return len(self.fan) + len(self.beside)

    def balls(self) -> tuple[Array, Array]:
        """Head speed in m/s and aim in rad of the balls to play."""
        aim = np.full(self.many, self.aim)
        aim[len(self.fan) :] += TURN
        return np.concatenate([self.fan, self.fan[self.beside]]), aim

    def learn(self, result: Result, rest: Array, first: int, last: bool) -> bool:
        """Take in where the balls went; they are those of ``result`` from ``first`` on.

        They ``rest`` at (2, balls) in m, NaN where a ball still moves: if that leaves open what is to be
        known nothing is learnt, and False returned. After the ``last`` fan what is nearest has to do.
        """
        v, some, n = self.fan, self.beside, len(self.fan)
        there = self._places(rest, first)
        places = there if self.wish.landing is None else self._places(result.landing, first)
        (x, y), (dx, dy) = places
        moving = bool(np.isnan(rest[0, first : first + self.many].sum()))
        turn, off = 0.0, np.inf
        for _ in range(TURNS):
            gx, gy = x + (turn / TURN) * dx, y + (turn / TURN) * dy
            gap = np.copysign(np.sqrt(gx * gx + gy * gy), gx) - self.way
            crossings = ((gap[:-1] <= 0.0) & (gap[1:] > 0.0)).nonzero()[0]
            if not len(crossings):
                if not moving:
                    self._look_beyond(gap + self.way, turn)
                return not moving
            away = np.abs(v - self.centre)
            j = int(crossings[away.take(crossings).argmin()])
            # No ball that still moves may turn out to go to the wish nearer to the likely speed.
            if moving and away[:-1][np.isnan(gap[1:] - gap[:-1])].min(initial=np.inf) <= away[j]:
                return False
            share = float(gap[j] / (gap[j] - gap[j + 1]))
            px, py = (float(g[j] + share * (g[j + 1] - g[j])) for g in (gx, gy))
            # Behind the ball or at it, a direction means nothing.
            ahead = px > 0.3 and self.spot[0] > 0.3
            old, turn = turn, atan2(self.spot[1], self.spot[0]) - atan2(py, px) if ahead else 0.0
            off = abs((turn - old) * self.way)
            if off < 0.1 * self.met:
                break
        k = int(np.abs(some - j).argmin())
        # A ball that lands between two others rests between them only if these do alike.
        both = (there,) if places is there else (places, there)
        if moving:
            near = np.arange(max(j - BESIDE_IT, 0), min(j + BESIDE_IT + 2, n))
            turned = np.arange(max(k - 1, 0), min(k + 2, len(some)))
            near = np.concatenate([near, some[turned]])
            self.awaited = np.concatenate([near, n + turned])
            if np.isnan(rest[0, first + self.awaited].sum() + there[1][0, near].sum()):
                return False
        self.missed, size = 0, float(v[j + 1] - v[j])
        speed, aim = float(v[j] + share * size), self.aim + turn
        unsure = off + abs(turn / TURN) * max(self._unlike(d, k) for _, d in both)
        bend = max(self._bend(p + (turn / TURN) * d, j) for p, d in both)
        straight = abs(turn) <= FURTHEST * TURN and unsure < self.met
        a, b = first + j, first + j + 1
        jumps = result.ending[a] != result.ending[b] or result.met[a] != result.met[b]
        smooth = not jumps and unsure + bend < self.met
        # Where the closest of balls stay away from the wish, the finish jumps: nearer is none. Across a
        # jump nothing is drawn between two balls; the aim must be about right, or do to all balls alike.
        steady = unsure + abs(turn * self.way) < max(2.0 * self.met, ASKEW * bend)
        met = min(-gap[j], gap[j + 1]) < self.met
        close = size < CLOSE * speed * self.met / max(abs(self.way), self.met)
        if last or (straight and smooth) or ((straight or steady) and (met or close)):
            share = share if smooth else float(-gap[j] > gap[j + 1])
            left, right = first + n + k, first + int(some[k])
            more = turn / TURN
            if not smooth and (steady or not straight):
                more = 0.0
            if abs(more) * hypot(dx[some[k]], dy[some[k]]) < SEEN:
                more = 0.0
            if not (smooth or straight or steady):
                turn, aim = 0.0, self.aim
            self.found = _Found(result, a, b, share, left, right, more, turn, v[j] + share * size, aim)
            self.over = True
            return True
        # As much further on both sides as the turn may have moved the finishes.
        wide = 1.0 + 4.0 * unsure / float(gap[j + 1] - gap[j])
        self._lay(v[j] + (0.5 + wide * (FINER - 0.5)) * size, speed, aim)
        return True

    def _look_beyond(self, gone: Array, turn: float) -> None:
        """Lay the next fan where the wish may be, which this one does not hold; its balls went ``gone`` m."""
        v = self.fan
        short = gone[-1] < self.way
        near, limit = (float(v[-1]), self.fastest) if short else (float(v[0]), self.slowest)
        rising = bool((gone[1:] > gone[:-1] - MET).all())
        self.missed += 1
        if self.missed > MISSES or len(v) < 2 or (near == limit and rising):
            self.over = True
        elif self.missed < MISSES and near != limit and min(gone[0], gone[-1], self.way) > 0.0:
            power = np.clip(np.log(gone[-1] / gone[0]) / np.log(v[-1] / v[0]), POWER[0], POWER[2])
            end = gone[-1] if short else gone[0]
            further = float(np.clip((self.way / end) ** (1.0 / power), *BEYOND))
            self._spread(near * further, FAN, self.aim + turn)
        else:
            self.missed = MISSES
            share = np.linspace(0.0, 1.0, 30) ** 1.2
            self._lay(self.slowest + (self.fastest - self.slowest) * share, near, self.aim + turn)

    def _places(self, ends: Array, first: int) -> tuple[Array, Array]:
        """Where the balls went, of ``ends`` from ``first`` on, and what the turn made of it, in m.

        Both are (2, n); the second is what the turn did apart from turning the whole way with it. ``ends``
        are (2, balls) or more rows.
        """
        v, some, n = self.fan, self.beside, len(self.fan)
        place = ends[:2, first : first + n]
        x, y = ends[:2, first + n : first + n + len(some)]
        c, s = np.cos(TURN), np.sin(TURN)
        more = np.array([c * x + s * y, c * y - s * x]) - place[:, some]
        return place, np.array([np.interp(v, v[some], row) for row in more])

    def _bend(self, place: Array, j: int) -> float:
        """By how much in m ``place`` (2, n) between balls ``j`` and the next may leave a straight line."""
        first = max(j - BESIDE_IT, 0)
        at, mine = slice(first, j + BESIDE_IT + 2), j - first
        # In plain numbers: arrays of five cost more than their sums.
        v = [b - a for a, b in pairwise(self.fan[at].tolist())]
        rows = [
            [(b - a) / step for (a, b), step in zip(pairwise(row), v, strict=True)]
            for row in place[:, at].tolist()
        ]
        x, y = ([rate - row[mine] for rate in row] for row in rows)
        # A jump between the balls before or after makes one of the neighbours unlike, seldom both.
        near = (hypot(x[k], y[k]) for k in (mine - 1, mine + 1) if 0 <= k < len(v))
        jump = hypot(sorted(x)[len(v) // 2], sorted(y)[len(v) // 2])
        return float(v[mine] * (BENDS * min(near, default=0.0) + JUMPS * jump))

    def _unlike(self, change: Array, k: int) -> float:
        """By how much in m the ``change`` (2, n) that a turn made differs between balls near the ``k``th."""
        x, y = change.take(self.beside[max(k - 1, 0) : k + 2], axis=1).tolist()
        return 0.25 * hypot(max(x) - min(x), max(y) - min(y))


def _play(bench: Bench, strokes: Strokes, hunts: list[_Hunt], last: bool) -> None:
    """Play the fans of ``hunts`` in one batch, without the hole, which is looked at in what is drawn.

    Balls that still roll when the hunts have learnt what they want to know are left where they are.
    """
    balls = [h.balls() for h in hunts]
    speed, aim = (np.concatenate(part) for part in zip(*balls, strict=True))
    many = [len(b[0]) for b in balls]
    who = np.repeat([h.number for h in hunts], many)
    none, same = np.zeros(len(who)), np.zeros(len(who), dtype=np.intp)
    draws = still(len(who))
    ball = play(strokes.take(who), speed, aim, draws, none, none, none, none, bench.left_handed, bench.table)
    met = scene.conditions(
        bench.situations, same, bench.table, bench.ground, same, scatter=draws.turf, gusts=(none, none),
        hole=False,
    )  # fmt: skip
    ends = np.cumsum(many)
    todo = [(h, int(end) - n) for h, end, n in zip(hunts, ends, many, strict=True)]
    moved: dict[_Hunt, int] = dict.fromkeys(hunts, len(who))

    def enough(result: Result, moves: Mask) -> bool:
        """Let the hunts learn that can; whether all have."""
        rest = np.where(moves, np.nan, result.rest[:2])
        left = []
        for hunt, first in todo:
            mine = int(np.count_nonzero(moves[first : first + hunt.many]))
            ask = mine < moved[hunt] and mine <= FEW * hunt.many and not moves[first + hunt.awaited].any()
            moved[hunt] = mine
            if not (ask and hunt.learn(result, rest, first, last)):
                left.append((hunt, first))
        todo[:] = left
        return not left

    done = simulate(
        ball.velocity, ball.spin, met, bench.table, rolling=ball.rolling, trace=True, enough=enough
    )
    for hunt, first in todo:
        hunt.learn(done, done.rest, first, last)


def _drawn(bench: Bench, strokes: Strokes, hunts: list[_Hunt]) -> Iterator[tuple[int, Drawn]]:
    """Number and picture of each of the ``hunts`` that reached its wish."""
    table, ground, distance = bench.table, bench.ground, bench.situation.hole.distance
    lane = np.zeros(1, dtype=np.intp)
    hole = np.array([distance, 0.0, 0.0])
    hole[2] = ground.height(hole[:1], hole[1:2], lane)[0]
    met: dict[int, list[tuple[_Hunt, _Found]]] = {}
    for hunt in hunts:
        if hunt.found is not None:
            met.setdefault(id(hunt.found.result), []).append((hunt, hunt.found))
    for some in met.values():
        result = some[0][1].result
        balls = sorted({k for _, found in some for k in found.balls})
        ways = dict(zip(balls, ways_of(result.take(np.array(balls))), strict=True))
        for hunt, found in some:
            wish, putt = hunt.wish, hunt.wish.technique == "putt"
            near, far, share = found.slower, found.faster, found.share
            if share > 0.5:
                near, far, share = far, near, 1.0 - share
            way = ways[near].between(ways[far], share) if share else ways[near]
            apex = float(result.apex[near] + share * (result.apex[far] - result.apex[near]))
            if found.more:
                way = way.shifted(ways[found.left].turned(-TURN), ways[found.right], found.more)
                apex += found.more * float(result.apex[found.left] - result.apex[found.right])
            if found.turn:
                way = way.turned(found.turn)
            into = way.dropped(hole, ground, table)
            holed, track = into is not way, into.track
            x, y, _ = track.position[:, -1].tolist()
            landing = (float(track.position[0, track.landing]), float(track.position[1, track.landing]))
            power = float(found.speed / strokes.full_speed[hunt.number])
            surface = ground.surface(track.position[0, -1:], track.position[1, -1:], lane)
            yield hunt.number, Drawn(
                wish.club, wish.technique, found.speed, power,
                "stroke" if putt else swing_code(power, table), found.aim,
                0.0 if putt else hypot(*landing), landing, (x, y),
                0.0 if holed else hypot(x - distance, y),
                "holed" if holed else ENDINGS[int(result.ending[near])], SURFACES[int(surface[0])],
                apex, track,
            )  # fmt: skip
