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
from shortgame_gui.advice.pooled import Look, pooled
from shortgame_gui.advice.rank import Samples, sample, sample_and_still
from shortgame_gui.advice.score import Baseline
from shortgame_gui.advice.solve import Bench, Plans, ahead, rested, slanted
from shortgame_gui.advice.spreads import CHOOSING, draws
from shortgame_gui.advice.truth import doubts
from shortgame_gui.model.situation import Situation

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

ALONG = (-1.5, 0.0, 1.0, 2.0, 3.5, 5.5)
"""Finishes tried, in m past the hole; those off the green are left out."""
CLOSE, WHOLE_FROM, LEAST_STEP = 2.0, 20.0, 0.3
"""Those up to `CLOSE` past the hole are so far apart from that distance in m to the hole on. Nearer they move
together with it, to this part at least: short shots scatter less."""
BESIDE = (-1.6, -0.8, -0.4, 0.4, 0.8, 1.6)
"""Finishes tried beside the line, in parts of the shot's own spread across it; for a right-hander positive to
the left."""
LEAST_SPREAD = 0.2
"""Spread across the line in m that is taken at least."""
TURNED = 2
"""How many aims beside the line are tried again."""
FILLED = 4
"""Times as many samples that the second look is filled up to at most, where it is at few plans."""
ENOUGH = 6
"""Shots that come near their aims from which those that do not are kept only where they may lead."""
NEAR = 0.2
"""Behind the best, in strokes or chance, up to which a shot's aims are tried again."""
KEPT = 0.5
"""The same up to which a shot that does not come near its aims may lead: a few samples err by half of it."""


def along(situation: Situation) -> Array:
    """Distances in m at which a finish may be tried, one for each of `ALONG`."""
    past, hole = np.array(ALONG), situation.hole.distance
    past[(past > 0.0) & (past <= CLOSE)] *= min(max(hole / WHOLE_FROM, LEAST_STEP), 1.0)
    return np.asarray(hole + past)


def aims(situation: Situation) -> Array:
    """Distances in m at which a finish is tried."""
    green, at = situation.green, along(situation)
    inside = (at > green.front + 0.2) & (at < green.front + green.depth - 0.2)
    return np.asarray(at[inside | (np.array(ALONG) == 0.0)])


def lopsided(situation: Situation) -> bool:
    """Whether the ground left and right of the line differs, so that it may pay to aim beside it."""
    green, ground = situation.green, situation.ground
    sides = [(green.left, green.right)]
    sides += [(b.left, b.right) for b in ground.bands] + [(o.left, o.right) for o in ground.obstacles]
    return slanted(situation) or any(left != right for left, right in sides)


def beside(plans: Plans, played: Samples, left_handed: bool) -> tuple[Plans, Index]:
    """``plans`` (k) turned to each of `BESIDE` in turn; ``played`` tells how their finishes spread.

    Also returns which of them each was turned from; what would start sideways is left out.
    Where the turned ones finish is yet to be tried. What a right-hander tries on the left a left-hander
    tries on the right: of aims that are worth the same the first is taken, in a mirror the same one.
    """
    c, s = np.cos(plans.toward)[:, None], np.sin(plans.toward)[:, None]
    across = c * played.y - s * played.x
    middle = np.median(across, axis=1, keepdims=True)
    # The median deviation, over that of a normal distribution: a shank among a few samples is no spread.
    spread = np.maximum(np.median(np.abs(across - middle), axis=1) / 0.6745, LEAST_SPREAD)
    way = np.maximum(np.hypot(*plans.finish), 1.0)
    each = np.tile(np.arange(len(way)), len(BESIDE))
    turned = plans.take(each)
    sides = -np.array(BESIDE) if left_handed else np.array(BESIDE)
    turn = np.arctan((sides[:, None] * spread / way).ravel())
    # Aimed beside it the ball breaks as much as before.
    starts = np.flatnonzero(ahead(turned, turn))
    return replace(turned, aim=turned.aim + turn).take(starts), each[starts]


def choose_aims(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    base: Baseline,
    seed: int,
    tick: Callable[[], None],
    reach: Index | None = None,
) -> Plans:
    """The best plan of every candidate, judged on samples that are used for nothing else.

    ``plans`` (one at least) finish on the line, or are guessed to; what is returned may finish beside it and
    was tried. A few samples for all plans, then more for the best few of what may still lead in its
    situation. What cannot lead any more is left out if it is not among the candidates ``reach``, where
    `ENOUGH` of these are.
    """
    c, counts = bench.table.choose, bench.situation.player.counts
    few, most = int(c.try_samples), int(FILLED * c.try_more)
    luck = draws(seed, few + most, int(c.block), CHOOSING, doubts(bench.situation))
    untried = np.flatnonzero(~plans.tried)
    guesses = plans.take(untried)
    played, still = sample_and_still(bench, strokes, plans, luck.take(0, few), base, tick, guesses)
    plans = plans.put(untried, rested(strokes, guesses, still.x[:, 0], still.y[:, 0], still.land_x[:, 0]))
    value, turned = played.value(counts), np.arange(0)
    looks = [Look(np.arange(len(value)), luck.take(0, few), value)]
    guess = pooled(bench, strokes, plans, looks, turned)
    near = _still_lead(bench, plans, guess, NEAR)
    leads = plans.candidate[_still_lead(bench, plans, guess, KEPT)]
    uneven = np.array([lopsided(s) for s in bench.situations])[bench.place(plans.candidate)]
    uneven = (uneven | (plans.toward != 0.0)) & near
    some = np.flatnonzero(_best(plans.candidate, guess, 1) & uneven)
    if len(some):
        more, each = beside(plans.take(some), played.take(some), bench.left_handed)
        tries, still = sample_and_still(bench, strokes, more, luck.take(0, few), base, tick, more)
        more = rested(strokes, more, still.x[:, 0], still.y[:, 0], still.land_x[:, 0])
        plans, turned = plans.join(more), some[each]
        value = np.concatenate([value, tries.value(counts)])
        looks = [Look(np.arange(len(value)), luck.take(0, few), value)]
        guess = pooled(bench, strokes, plans, looks, turned)
        near = np.concatenate([near, np.ones(len(turned), dtype=bool)])
    # The best aims on the line, or on one past an edge, and, apart from them, those beside it.
    line = np.arange(len(value)) < len(value) - len(turned)
    again = near & (
        _best(plans.candidate, guess, int(c.try_plans), line) | _best(plans.candidate, guess, TURNED, ~line)
    )
    n, some = np.full(len(guess), few), np.flatnonzero(again)
    if c.try_more and len(some):
        # Few plans are played on more samples: that takes no longer.
        until = few + int(np.clip(c.try_balls / len(some), c.try_more, most))
        further = luck.take(few, until)
        value = sample(bench, strokes, plans.take(some), further, base, tick).value(counts)
        guess = pooled(bench, strokes, plans, [*looks, Look(some, further, value)], turned)
        n[some] = until
    # Plans that were left out of the second look stand behind those of their candidate that were in it.
    ranked = np.lexsort((guess, -n, plans.candidate))
    _, first = np.unique(plans.candidate[ranked], return_index=True)
    chosen = plans.take(ranked[first])
    if reach is None:
        return chosen
    of, reaches = bench.place(chosen.candidate), np.isin(chosen.candidate, reach)
    enough = np.bincount(of, reaches, len(bench.situations))[of] >= ENOUGH
    return chosen.take(np.flatnonzero(reaches | ~enough | np.isin(chosen.candidate, leads)))


def _best(candidate: Index, mean: Array, count: int, among: Mask | None = None) -> Mask:
    """Which plans (k,) are the ``count`` best of their candidate, ``among`` some of them only."""
    mean = mean if among is None else np.where(among, mean, np.inf)
    ranked = np.lexsort((mean, candidate))
    _, first, many = np.unique(candidate[ranked], return_index=True, return_counts=True)
    place = np.empty(len(mean), dtype=np.intp)
    place[ranked] = np.arange(len(mean)) - np.repeat(first, many)
    return np.asarray((place < count) & np.isfinite(mean))


def _still_lead(bench: Bench, plans: Plans, mean: Array, within: float) -> Mask:
    """Whether the best plan of the same candidate is ``within`` the best in its situation, (k,)."""
    of = bench.place(plans.candidate)
    front, best = np.full(len(bench.situations), np.inf), np.full(int(plans.candidate.max()) + 1, np.inf)
    np.minimum.at(front, of, mean)
    np.minimum.at(best, plans.candidate, mean)
    return np.asarray(best[plans.candidate] <= front[of] + within)
