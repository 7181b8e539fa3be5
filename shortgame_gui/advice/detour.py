"""Round what stands in the way: plans that start past an edge of it and finish where little is left.

Only shots that something stops on the line have them. Every edge is an aim of the start, further out by what
the shot scatters or, between two things, at the middle of the gap; how far the ball shall go in that
direction is told by what is left from there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.delivery import Strokes
from shortgame_gui.advice.escapes import left_at
from shortgame_gui.advice.score import Baseline
from shortgame_gui.advice.solve import ON_AIM, Bench, Plans, Scan, plan, scan, solve
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.obstacles import CLEAR, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

MARGIN = 2.0
"""How far past an edge a ball is to start, in parts of how its direction scatters, a ball's radius apart."""
WIDEST = np.radians(75.0)
"""Directions further from the line are left to the ways of playing out sideways."""
EDGES = 2
"""How many edges are tried on each side, the open ones first, then the nearest."""
COVERED = np.pi
"""By how much in rad an edge stands behind where something else stands there as well."""
LENGTHS = np.arange(0.4, 1.301, 0.05)
"""Distances looked at along a turned line, over that to the hole."""
BLUR = np.array([1.0, 2.0, 3.0, 2.0, 1.0]) / 9.0
"""How shares of the balls stop beside those distances: a spot is worth what is round it."""
TRIED = (-1, 0, 1)
"""The best distance and, in their steps, those that are played to beside it."""


def past_edges(blocks: Obstacles, margin: Array, radius: float) -> Array:
    """Directions (n, `EDGES`) in rad to the left in which balls with a ``margin`` (n,) in rad start past the
    left edges of ``blocks`` that lie left of the line; NaN for none.
    """
    left, right = np.arctan2(blocks.left, blocks.at), np.arctan2(-blocks.right, blocks.at)
    out = np.full((len(margin), len(left)), np.nan)
    rank = np.full(len(left), np.inf)
    for k, edge in enumerate(left):
        if not 0.0 <= edge <= WIDEST:
            continue
        rank[k] = edge + COVERED * np.count_nonzero((right < edge) & (left > edge))
        gap = (right[right >= edge] - edge).min(initial=np.inf)
        out[:, k] = edge + np.minimum(margin + radius / np.hypot(blocks.at[k], blocks.left[k]), 0.5 * gap)
    order = np.argsort(rank, kind="stable")[:EDGES]
    return out[:, order]


def directions(blocks: Obstacles, margin: Array, radius: float, left_handed: bool) -> Array:
    """Directions (n, d) in rad left of the hole past the edges on both sides, NaN for none.

    A left-hander has those of the mirror in the same order.
    """
    mirror = replace(blocks, left=blocks.right, right=blocks.left)
    sides = [past_edges(b, margin, radius) for b in ((mirror, blocks) if left_handed else (blocks, mirror))]
    hand = -1.0 if left_handed else 1.0
    return np.concatenate([hand * sides[0], -hand * sides[1]], axis=1)


def barriers(situation: Situation) -> tuple[Obstacles | None, bool]:
    """What may be played round: all that stands in the way, and water or out of bounds across the line.

    Also whether there is any of the latter. That counts from its near side on: nobody is to fly it.
    """
    blocks, hole = scene.obstacles(situation), situation.hole.distance
    wet = [
        (b.start, b.left, b.right)
        for b in situation.ground.bands
        if b.surface in ("water", "out") and 0.0 < b.start < hole and b.left >= 0.0 <= b.right
    ]
    if not wet:
        return blocks, False
    at, left, right = np.array(wet).T
    there = Obstacles(at, np.full(len(at), -np.inf), np.full(len(at), np.inf), left, right)
    return there if blocks is None else blocks.join(there), True


def detours(
    bench: Bench,
    strokes: Strokes,
    found: Scan,
    reach: Index,
    base: Baseline,
    tick: Callable[[], None],
) -> Plans:
    """Plans round what stands in the way, of candidates that do not ``reach`` and that something may stop.

    ``found`` is the scan of all candidates at the hole. What flies over water is left on the line.
    """
    stopped, short = (found.met != CLEAR).any(axis=1), np.ones(len(found.met), dtype=bool)
    short[reach] = False
    place = bench.place(np.arange(len(short)))
    whose, ways = [np.zeros(0, dtype=np.intp)], [np.zeros(0)]
    for k, situation in enumerate(bench.situations):
        blocks, wet = barriers(situation)
        some = np.flatnonzero((place == k) & short & (stopped | wet))
        if blocks is None or not len(some):
            continue
        margin = MARGIN * strokes.spread_face[some]
        way = directions(blocks, margin, bench.table.ball.radius, bench.left_handed)
        shot, number = np.isfinite(way).nonzero()
        whose.append(some[shot])
        ways.append(way[shot, number])
    who, toward = np.concatenate(whose), np.concatenate(ways)
    if not len(who):
        return plan(who, toward, toward)
    # One entry more, as a single one would be that of all.
    aside = replace(bench, of=np.append(place[who], 0), partner=None)
    before = Scan(**{name: value[who] for name, value in vars(found).items()} | {"toward": toward})
    targets = lengths(aside, base, who, toward)
    made = strokes.take(who)
    tick()
    there = scan(aside, made, found.speed.shape[1], before)
    # What bends aside goes past the edge all the same, and finishes further in or out.
    there = there.ending(targets[:, TRIED.index(0)])
    plans, _ = solve(aside, made, there, targets, rounds=1, within=ON_AIM, tick=tick)
    return replace(plans, candidate=who[plans.candidate])


def lengths(bench: Bench, base: Baseline, who: Index, toward: Array) -> Array:
    """Distances in m that are tried in the directions ``toward`` (n,) in rad, (n, `TRIED`)."""
    of = bench.of[: len(who)]
    at = bench.hole(np.arange(len(who)))[:, None] * LENGTHS
    left = np.empty(at.shape)
    for k in np.unique(of):
        mine = np.flatnonzero(of == k)
        alone = replace(bench, situations=(bench.situations[k],), of=of[:1], lane=bench.lane[k : k + 1])
        x, y = (f(toward[mine])[:, None] * at[mine] for f in (np.cos, np.sin))
        left[mine] = left_at(alone, base, x.ravel(), y.ravel()).reshape(x.shape)
    side = len(BLUR) // 2
    blurred = np.apply_along_axis(np.convolve, 1, left, BLUR, "valid")
    best = blurred.argmin(axis=1) + side
    return np.take_along_axis(at, best[:, None] + np.array(TRIED), axis=1)
