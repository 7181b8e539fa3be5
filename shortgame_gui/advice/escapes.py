"""Other ways out: playing sideways or backwards, the embedded and the unplayable ball, and what each costs.

They are worked out where something stands in the way or the ball lies badly (see `asked`), and then all of
them are listed. A ball played out is simulated on the ground turned to its direction, from the lie as it is
and without what stands in the way ahead; the stance is taken as it is, too. What is left is the score's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from math import hypot

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import explain, scene
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.result import Escape, Shot
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.score import Baseline, lay, score, start_of
from shortgame_gui.advice.solve import LEAST_WAY, PARTS, Bench, Plans, guessed, hit_and_met, scan
from shortgame_gui.advice.spreads import ESCAPING, Draws, draws
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import GREEN, OUT, SAND, WATER
from shortgame_gui.physics.steps import AT_REST
from shortgame_gui.physics.turned import Turned

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

DIRECTIONS = {
    "sideways_left": (90.0,), "sideways_right": (-90.0,), "backwards": (180.0, 135.0, -135.0),
}  # fmt: skip
"""Ways of playing out -> directions tried, in degrees left of the line to the hole."""
REACHES = (2.0, 3.0, 4.5, 6.0, 8.0, 11.0, 15.0, 20.0)
"""Lengths in m that are tried when playing out."""
BEHIND = np.concatenate([np.arange(0.5, 10.0, 0.5), np.arange(10.0, 61.0, 2.5)])
"""Distances in m behind the ball at which it may be dropped back on the line."""
LOOK, CONTENDERS = 8, 4
"""Part of the samples on which all ways of playing out are tried, and how many of each kind go on."""
BAD_ENDS = ("lip", "obstacle", "water", "out", "sand")


def asked(situation: Situation, ends: dict[str, float] | None, trouble: float) -> bool:
    """Whether other ways out are worth working out.

    Where an obstacle or a lip stands ahead, the ball is plugged or nested, nothing can be played, or the
    leader, whose chances of bad ``ends`` are given, ends so more often than ``trouble``.
    """
    if ends is None or scene.obstacles(situation) is not None or situation.lie.sits in ("nested", "plugged"):
        return True
    return sum(ends.get(end, 0.0) for end in BAD_ENDS) > trouble


def left_from(bench: Bench, base: Baseline, rest: Array) -> Array:
    """Strokes left (n,) from a ball at ``rest`` (3, n) in m."""
    return _worth(bench, base, rest, np.full(rest.shape[1], AT_REST)) - 1.0


def left_at(bench: Bench, base: Baseline, x: Array, y: Array) -> Array:
    """The same for balls that are meant to stop at ``x``, ``y`` in m (n,): in trouble they cost one more."""
    return left_from(bench, base, _at(bench, x, y)) + np.isin(_surface(bench, x, y), (WATER, OUT, SAND))


def left_beside(bench: Bench, base: Baseline, rest: Array) -> Array:
    """Strokes left (n,) from a ball at ``rest`` beside this one, on ground like that under it."""
    like = np.full(rest.shape[1], start_of(bench.situation.lie.ground))
    return _worth(bench, base, rest, np.full(rest.shape[1], AT_REST), like) - 1.0


def _worth(bench: Bench, base: Baseline, rest: Array, ending: Index, on: Index | None = None) -> Array:
    """Strokes (n,) of a shot that ends at ``rest`` (3, n) in m as ``ending`` says, and of all after it.

    ``on`` is the surface there, that of the bench's ground if None.
    """
    n = rest.shape[1]
    lane, situation = np.full(n, bench.lane[0]), bench.situation
    surface = _surface(bench, rest[0], rest[1]) if on is None else on
    hole = np.tile([[situation.hole.distance], [0.0]], n)
    way = lay(rest, surface, hole, bench.ground, lane, scene.stimp(situation, bench.table), bench.table)
    start = (start_of(situation.lie.ground), situation.hole.distance)
    blocked = scene.blocked(situation, bench.ground, lane, rest, situation.hole.distance, bench.table)
    return score(rest, ending, surface, hole, base, start, way, blocked).strokes


def _surface(bench: Bench, x: Array, y: Array) -> Index:
    """The surface at ``x``, ``y`` in m, (n,)."""
    return bench.ground.surface(x, y, np.full(len(x), bench.lane[0]))


def _at(bench: Bench, x: Array, y: Array) -> Array:
    return np.stack([x, y, bench.ground.height(x, y, np.full(len(x), bench.lane[0]))])


def relief(bench: Bench, base: Baseline) -> list[Escape]:
    """Relief for a plugged ball, and for an unplayable one (Rules of Golf 2023, 16.3, 19.2 and 19.3).

    A ball embedded in the general area is dropped within one club-length of the spot behind it, no nearer the
    hole and not on the green, without penalty; not in a bunker (R&A and USGA; 19.2 and 19.3 from memory).

    Stroke and distance costs a penalty stroke and whatever the last spot is worth, which is not known here.
    Back on the line and within two club-lengths cost one, too; in a bunker the ball stays in it then, and
    back on the line outside of it costs two. Of the spots that a rule allows the best is taken.
    """
    hole, in_sand = bench.situation.hole.distance, bench.situation.lie.ground == "sand"
    turn, reach = np.meshgrid(np.radians(np.arange(0.0, 360.0, 15.0)), (0.5, 1.0))
    near = (
        bench.table.escape.club_length * reach.ravel() * np.stack([np.cos(turn), np.sin(turn)]).reshape(2, -1)
    )
    beside = 2.0 * near[0], 2.0 * near[1]
    behind = -BEHIND, np.zeros(len(BEHIND))
    ways = [
        ("unplayable_back", "19.2b", 1, behind, in_sand),
        ("unplayable_side", "19.2c", 1, beside, in_sand),
    ]
    if in_sand:
        ways = [(kind, "19.3a", penalty, spots, stays) for kind, _, penalty, spots, stays in ways]
        ways.append(("unplayable_out", "19.3b", 2, behind, False))
    elif bench.situation.lie.sits == "plugged":
        ways.append(("embedded", "16.3b", 0, (near[0], near[1]), False))
    found = [Escape("stroke_and_distance", "19.2a", 1, None, 0.0, None, None)]
    for kind, rule, penalty, (x, y), stays in ways:
        rest, surface = _at(bench, x, y), _surface(bench, x, y)
        allowed = (np.hypot(x - hole, y) >= hole - 1e-9) & (surface != WATER) & (surface != OUT)
        allowed &= (surface == SAND) == stays
        free = penalty == 0
        allowed &= ~(free & (surface == GREEN))
        if not allowed.any():
            continue
        left = np.where(allowed, (left_beside if free else left_from)(bench, base, rest), np.inf)
        best = int(left.argmin())
        place = float(x[best]), float(y[best])
        found.append(Escape(kind, rule, penalty, float(penalty + left[best]), 0.0, place, None))
    return found


def _spots(bench: Bench, base: Baseline) -> tuple[list[str], Array, Array]:
    """Kind, direction in rad (j,) and the two best lengths in m (j, 2) of each way, by where they lead."""
    kinds, angles, lengths = [], [], []
    for kind, degrees in DIRECTIONS.items():
        for angle in np.radians(degrees):
            x, y = np.array(REACHES) * np.cos(angle), np.array(REACHES) * np.sin(angle)
            left = left_at(bench, base, x, y)
            kinds.append(kind)
            angles.append(float(angle))
            lengths.append(np.array(REACHES)[np.argsort(left, kind="stable")[:2]])
    return kinds, np.array(angles), np.array(lengths)


def _within_reach(lengths: Array, far: Array) -> Array:
    """Lengths (ways x shots, 2) in m to try: those wanted (ways, 2), or where none of the shots, which
    go ``far`` (ways, shots), gets there, as far as the furthest of them goes."""
    ways, count = far.shape
    tried = np.repeat(lengths, count, axis=0).reshape(ways, count, 2)
    best, most = far.argmax(axis=1), PARTS[0] * far.max(axis=1)
    short = most < lengths.min(axis=1)
    tried[short] = np.nan
    some = np.flatnonzero(short & (most > LEAST_WAY))
    tried[some, best[some], 0] = most[some]
    return tried.reshape(-1, 2)


def _middle(x: Array, y: Array) -> tuple[float, float]:
    """The median place of balls, in m."""
    return float(np.median(x)), float(np.median(y))


def played_out(
    bench: Bench,
    shots: list[Candidate],
    base: Baseline,
    seed: int,
    tick: Callable[[], None],
) -> list[Escape]:
    """The best of ``shots`` sideways to either side and backwards; picked and told on different samples."""
    situation, table = bench.situation, bench.table
    open_ = put_all(situation, {"ground.obstacles": (), "lie.lip_height": 0.0})
    kinds, angles, lengths = _spots(bench, base)
    ways, count = len(kinds), len(shots)
    land = Turned(bench.ground, angles)
    turned = replace(
        bench,
        situations=(open_,) * ways,
        ground=land,
        of=np.repeat(np.arange(ways), count),
        lane=np.arange(ways),
    )
    made = [stroke(open_, c, table) for c in shots]
    strokes = Strokes.of(made * ways)
    found_at = scan(turned, strokes, int(table.choose.speeds))
    targets = _within_reach(lengths, found_at.way.max(axis=1).reshape(ways, count))
    plans = guessed(turned, strokes, found_at, targets, tick)
    if not len(plans.speed):
        return []
    m, kind_of = int(table.escape.samples), np.array(kinds)[turned.of[plans.candidate]]
    half, first = m // 2, max(m // LOOK, 1)
    luck = draws(seed, m, int(table.choose.block), ESCAPING)
    tick()
    early = _outcomes(turned, bench, strokes, plans, luck.take(0, first), base)
    kept = [k for kind in DIRECTIONS for k in _best(early.strokes, kind_of == kind, CONTENDERS)]
    plans, kind_of, early = plans.take(np.array(kept)), kind_of[kept], early.take(np.array(kept))
    tick()
    played = early.join(_outcomes(turned, bench, strokes, plans, luck.take(first, m), base))
    found = []
    for kind in DIRECTIONS:
        for best in _best(played.strokes[:, :half], kind_of == kind, 1):
            told = played.take(np.array([best]))
            place = _middle(told.x, told.y)
            if hypot(*place) < LEAST_WAY:  # that leads nowhere
                continue
            number, speed = int(plans.candidate[best]), float(plans.speed[best])
            candidate, share = shots[number % count], speed / float(strokes.full_speed[number])
            # The aim is left to where the ball is to land.
            swing, value = explain.Swing(candidate.technique, share, 0.0, speed), told.strokes[0, half:]
            found.append(
                Escape(
                    kind, "", 0, float(value.mean()), float(value.std(ddof=1) / np.sqrt(len(value))),
                    place, (candidate.club.name, candidate.technique),
                    _middle(told.land_x, told.land_y), explain.swing_code(share, table),
                    explain.setup(open_, swing, table),
                )
            )  # fmt: skip
    return found


@dataclass(frozen=True)
class _Outcomes:
    """What k balls played out come to over m samples, in the directions of the bench; (k, m) each."""

    strokes: Array
    x: Array
    y: Array
    land_x: Array
    land_y: Array

    def take(self, index: Index) -> _Outcomes:
        """The plans in ``index``."""
        return _Outcomes(*(getattr(self, f.name)[index] for f in fields(self)))

    def join(self, other: _Outcomes) -> _Outcomes:
        """The same plans with the samples of ``other`` appended."""
        both = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return _Outcomes(*(np.concatenate(pair, axis=1) for pair in both))


def _outcomes(
    turned: Bench, bench: Bench, strokes: Strokes, plans: Plans, luck: Draws, base: Baseline
) -> _Outcomes:
    """Play ``plans`` on the ``turned`` bench with every sample of ``luck`` and score them on the real one."""
    land = turned.ground
    assert isinstance(land, Turned)
    _, done, met = hit_and_met(turned, strokes, plans, luck, hole=False)
    x, y = land.world(done.rest[0], done.rest[1], met.lane)
    landed = land.world(done.landing[0], done.landing[1], met.lane)
    worth = _worth(bench, base, np.stack([x, y, done.rest[2]]), done.ending)
    return _Outcomes(*(v.reshape(len(plans.speed), -1) for v in (worth, x, y, *landed)))


def _best(strokes: Array, among: Mask, count: int) -> list[int]:
    """Numbers of the ``count`` plans ``among`` all (k, m) that need the fewest strokes, best first."""
    mean = np.where(among, strokes.mean(axis=1), np.inf)
    return [int(k) for k in np.argsort(mean, kind="stable")[:count] if among[k]]


def one_each(offered: list[Candidate], ranked: list[Candidate]) -> list[Candidate]:
    """For each technique but the putt the best ranked club, or the first offered where none is ranked."""
    chosen: dict[str, Candidate] = {}
    for candidate in (*ranked, *offered):
        if candidate.technique != "putt":
            chosen.setdefault(candidate.technique, candidate)
    return list(chosen.values())


def escapes(
    bench: Bench,
    offered: list[Candidate],
    ranked: list[Candidate],
    base: Baseline,
    seed: int,
    tick: Callable[[], None],
) -> tuple[Escape, ...]:
    """All other ways out, those with the fewest strokes first and those without a figure last."""
    shots = one_each(offered, ranked)
    found = (played_out(bench, shots, base, seed, tick) if shots else []) + relief(bench, base)
    return tuple(sorted(found, key=lambda e: np.inf if e.strokes is None else e.strokes))


def marked(leader: Shot, ways: tuple[Escape, ...], errors: float) -> tuple[Escape, ...]:
    """``ways`` out, marked where they need fewer strokes than ``leader`` by more than so many ``errors``."""

    def less(way: Escape) -> bool:
        if way.strokes is None:
            return False
        gap = leader.expected_strokes - way.strokes
        return gap > errors * hypot(way.error, leader.standard_error)

    return tuple(replace(way, clear=less(way)) for way in ways)
