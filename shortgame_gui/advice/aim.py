"""Where to aim: finishes past, short, left and right of the hole, each tried on samples that report nothing.

The first try goes along the line through the hole, a few samples an aim. Then the best aims of what may still
lead are played on more; where left and right of the line differ, aims beside it as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.delivery import Strokes
from shortgame_gui.advice.rank import Samples, sample
from shortgame_gui.advice.score import Baseline
from shortgame_gui.advice.solve import Bench, Plans, hit
from shortgame_gui.advice.spreads import CHOOSING, draws, still
from shortgame_gui.advice.truth import doubts
from shortgame_gui.model.situation import Situation

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

ALONG = (-1.5, -0.5, 0.0, 0.5, 1.0, 2.0, 3.5, 5.5)
"""Finishes tried, in m past the hole; those off the green are left out."""
BESIDE = (-1.6, -0.8, -0.4, 0.4, 0.8, 1.6)
"""Finishes tried beside the line, in parts of the shot's own spread across it; positive to the left."""
LEAST_SPREAD = 0.2
"""Spread across the line in m that is taken at least."""
STILL_LEADS = 0.2
"""Behind the best of the first try, in strokes or chance, up to which a shot's aims are tried again."""


def aims(situation: Situation) -> Array:
    """Distances in m at which a finish is tried."""
    green, hole = situation.green, situation.hole.distance
    at = hole + np.array(ALONG)
    inside = (at > green.front + 0.2) & (at < green.front + green.depth - 0.2)
    return np.asarray(at[inside | (np.array(ALONG) == 0.0)])


def lopsided(situation: Situation) -> bool:
    """Whether the ground left and right of the line differs, so that it may pay to aim beside it."""
    green, ground = situation.green, situation.ground
    slanted = green.slope_across != 0.0 or green.grain in ("left", "right") or bool(situation.survey.file)
    sides = [(green.left, green.right)]
    sides += [(b.left, b.right) for b in ground.bands] + [(o.left, o.right) for o in ground.obstacles]
    return slanted or any(left != right for left, right in sides)


def beside(bench: Bench, strokes: Strokes, plans: Plans, played: Samples) -> Plans:
    """``plans`` (k) turned to each of `BESIDE` in turn; ``played`` tells how their finishes spread."""
    middle = np.median(played.y, axis=1, keepdims=True)
    # The median deviation, over that of a normal distribution: a shank among a few samples is no spread.
    spread = np.maximum(np.median(np.abs(played.y - middle), axis=1) / 0.6745, LEAST_SPREAD)
    way = np.maximum(np.hypot(*plans.finish), 1.0)
    turned = plans.take(np.tile(np.arange(len(way)), len(BESIDE)))
    turn = np.arctan((np.array(BESIDE)[:, None] * spread / way).ravel())
    turned = replace(turned, aim=turned.aim + turn)
    _, done = hit(bench, strokes, turned, still(1), hole=False)
    return replace(turned, finish=done.rest[:2])


def choose_aims(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    base: Baseline,
    seed: int,
    tick: Callable[[], None],
) -> Plans:
    """The best plan of every candidate, judged on samples that are used for nothing else.

    ``plans`` (one at least) finish on the line; what is returned may finish beside it.
    """
    c, counts = bench.table.choose, bench.situation.player.counts
    few, many = int(c.try_samples), int(c.try_samples + c.try_more)
    luck = draws(seed, many, int(c.block), CHOOSING, doubts(bench.situation))
    played = sample(bench, strokes, plans, luck.take(0, few), base, tick)
    value = played.value(counts)
    ranked, first = _by_candidate(plans.candidate, value.mean(axis=1))
    best = ranked[first]
    mean = value[best].mean(axis=1)
    of = bench.place(plans.candidate[best])
    front = np.full(len(bench.situations), np.inf)
    np.minimum.at(front, of, mean)
    near = mean <= front[of] + STILL_LEADS
    tries = int(c.try_plans)
    slanted = np.array([lopsided(s) for s in bench.situations])[of] & near
    if slanted.any():
        some = best[slanted]
        turned = beside(bench, strokes, plans.take(some), played.take(some))
        more = sample(bench, strokes, turned, luck.take(0, few), base, tick)
        plans, value = plans.join(turned), np.concatenate([value, more.value(counts)])
        ranked, first = _by_candidate(plans.candidate, value.mean(axis=1))
        tries += 1
    place = np.arange(len(ranked)) - np.repeat(first, np.diff(np.append(first, len(ranked))))
    leads = np.isin(plans.candidate[ranked], plans.candidate[best[near]])
    again = np.sort(ranked[(place < tries) & leads])
    total = value.mean(axis=1)
    if many > few:
        more_value = sample(bench, strokes, plans.take(again), luck.take(few, many), base, tick).value(counts)
        total[again] = (value[again].sum(axis=1) + more_value.sum(axis=1)) / many
    # Plans that were not tried again stand behind those of their candidate that were.
    late = np.ones(len(total))
    late[again] = 0.0
    ranked, first = _by_candidate(plans.candidate, total, late)
    return plans.take(ranked[first])


def _by_candidate(candidate: Index, *keys: Array) -> tuple[Index, Index]:
    """Order by candidate and then by ``keys``, the last one first; and where each candidate begins in it."""
    ranked = np.lexsort((*keys, candidate))
    _, first = np.unique(candidate[ranked], return_index=True)
    return ranked, first
