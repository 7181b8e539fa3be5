"""What misses cost, by where the ball stops and how it is struck, and what a swing a little off would do."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.delivery import CLEAN, MISHITS, Ball, Strokes
from shortgame_gui.advice.rank import Samples, sample_and_trace
from shortgame_gui.advice.result import Miss, Misses, WhatIf
from shortgame_gui.advice.score import Baseline
from shortgame_gui.advice.solve import Bench, Plans, Scan
from shortgame_gui.advice.spreads import draws
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics.obstacles import CLEAR
from shortgame_gui.physics.shot import Result

Array = npt.NDArray[np.float64]

SIDES = {"short": "long", "long": "short", "left": "right", "right": "left"}
"""The quarters of the well struck balls that stop nearest, furthest, most to the left and to the right."""
KINDS = tuple(k for k in range(len(MISHITS)) if k != CLEAN)
"""Numbers of the mishits."""
CODES = ("short", "left", "long", "right", *(MISHITS[k] for k in KINDS))
"""What is told of, in the order in which it is worked out."""
LEAST = 8
"""Samples below which nothing is said of a kind of miss."""
OFF = 1.0
"""How far short or long of its spot a shot is landed to see what that does, in m."""
SPOT = 0.1
"""How near that the landing must come, in m."""
NO_AIR = 2.0
"""Power of the speed with which the carry goes where there is no air."""
HARDER = 0.05
"""Share more of head speed that is tried."""
TRIES = ("landed_short", "landed_long", "swung_harder")
SWINGS = 64
"""Samples on which a swing a little off is played."""
LEADERS = 5
"""Shots for which a swing a little off is played: as many as views show at once."""


def misses(samples: Samples, table: Coefficients) -> list[Misses]:
    """The misses of k plans with their outcomes (k, n), dearest first, and which to avoid and which to have.

    To be avoided is the miss that costs most, its chance counted; to be had the side whose opposite costs
    clearly more. Both stay None below the differences at which two shots are too close to call.
    """
    strokes, clean = samples.strokes, samples.mishit == CLEAN
    mean, where = strokes.mean(axis=1), np.stack([samples.x, -samples.y])
    well = np.count_nonzero(clean, axis=1, keepdims=True)
    # The places of the well struck balls from one end to the other; the others stand behind them.
    place = np.argsort(np.argsort(np.where(clean, where, np.inf), axis=-1, kind="stable"), axis=-1)
    quarter = well // 4
    sides = np.concatenate([place < quarter, clean & (place >= well - quarter)]) & (quarter >= LEAST)
    some = np.concatenate([sides, samples.mishit == np.array(KINDS)[:, None, None]]).astype(float)
    count, off = some.sum(axis=2), strokes - mean[:, None]
    total, squares = np.einsum("jkn,kn->jk", some, off), np.einsum("jkn,kn->jk", some, off * off)
    more = total / np.maximum(count, 1.0)
    sigma = np.sqrt(np.maximum(squares - total * more, 0.0) / np.maximum((count - 1.0) * count, 1.0))
    told, chance, cost = count >= LEAST, count / strokes.shape[1], mean + more
    columns = (told.T.tolist(), chance.T.tolist(), cost.T.tolist(), sigma.T.tolist(), mean.tolist())
    return [_misses(*column, table) for column in zip(*columns, strict=True)]


def _misses(
    told: list[bool],
    chance: list[float],
    cost: list[float],
    sigma: list[float],
    mean: float,
    table: Coefficients,
) -> Misses:
    """What is told of one plan, by values in the order of `CODES`."""
    found = [Miss(CODES[j], chance[j], cost[j]) for j in range(len(CODES)) if told[j]]
    found.sort(key=lambda miss: miss.chance * (miss.strokes - mean), reverse=True)
    error, worth = dict(zip(CODES, sigma, strict=True)), {m.code: m.strokes for m in found}

    def clear(gap: float, sigma: float) -> bool:
        return gap > max(table.score.tie_errors * sigma, table.score.tie_strokes)

    avoid = next((m.code for m in found if clear(m.strokes - mean, error[m.code])), None)
    gaps = sorted((worth[code] - worth[other], code) for code, other in SIDES.items() if code in worth)
    have = next(
        (code for gap, code in gaps if clear(-gap, math.hypot(error[code], error[SIDES[code]]))), None
    )
    return Misses(tuple(found), avoid, have)


def what_ifs_and_ways(
    bench: Bench,
    strokes: Strokes,
    found: Scan,
    plans: Plans,
    played: list[Samples],
    base: Baseline,
    seed: int,
    ways: Plans,
) -> tuple[list[tuple[WhatIf, ...]], Ball, Result]:
    """What each of ``plans`` (k,) would do landed `OFF` short or long of its spot, and swung `HARDER`.

    ``found`` is the scan of all candidates. Strokes are those of the first samples that ``played`` has of
    each, so the change is a paired one. A shot that does not fly, or whose landing does not answer to the
    speed, is only swung harder. In the same batch a ball of each of ``ways`` is played, traced and without
    scatter: what is returned beside.
    """
    k = len(plans.speed)
    way = np.hypot(*plans.finish)
    carry, ahead = way - plans.run, plans.finish / np.maximum(way, 0.1)
    power = _power(found, plans)
    flies = (strokes.putt[plans.candidate] < 0.5) & (carry > 0.1) & (power > 0.1)
    wanted = np.maximum(np.where(flies, carry, OFF) + np.array([[-OFF], [OFF]]), 0.1)
    part = (wanted / np.maximum(carry, 0.1)) ** (1.0 / np.where(flies, power, 1.0))
    speed = plans.speed * np.concatenate([np.maximum(part, 0.2), np.full((1, k), 1.0 + HARDER)])
    size = min(SWINGS, max(some.strokes.shape[1] for some in played))
    luck = draws(seed, size, int(bench.table.choose.block))
    tries = replace(plans.take(np.tile(np.arange(k), len(TRIES))), speed=speed.ravel())
    done, still, ball, traced = sample_and_trace(bench, strokes, tries, luck, base, tries, ways)
    shape = (len(TRIES), k)
    x, y, *land = (v.reshape(shape) for v in (still.x, still.y, still.land_x, still.land_y))
    landed = ahead[0] * land[0] + ahead[1] * land[1]
    swung = done.strokes.reshape(*shape, size)
    told = np.concatenate([flies & (np.abs(landed[:2] - wanted) < SPOT), np.ones((1, k), dtype=bool)])
    out: list[list[WhatIf]] = [[] for _ in range(k)]
    for t, code in enumerate(TRIES):
        for j in np.flatnonzero(told[t]):
            n = min(size, played[j].strokes.shape[1])
            gap = swung[t, j, :n] - played[j].strokes[0, :n]
            finish = (float(x[t, j]) - bench.situation.hole.distance, float(y[t, j]))
            out[j].append(WhatIf(code, finish, float(gap.mean()), float(gap.std(ddof=1) / np.sqrt(n))))
    return [tuple(some) for some in out], ball, traced


def _power(found: Scan, plans: Plans) -> Array:
    """Power of the speed with which the carry of ``plans`` (k,) goes about them, as ``found`` tells it."""
    speed, landing = found.speed[plans.candidate], found.landing[plans.candidate]
    each, count = np.arange(len(speed)), speed.shape[1]
    low = np.clip((speed <= plans.speed[:, None]).sum(axis=1) - 1, 0, count - 2)
    near, far = (np.log(np.maximum(landing[each, at], 1e-3)) for at in (low, low + 1))
    # Where something on the line stopped the scan the shot goes round it, about as without air.
    stopped = (found.met[plans.candidate[:, None], np.stack([low, low + 1], axis=1)] != CLEAR).any(axis=1)
    return np.where(stopped, NO_AIR, (far - near) / np.log(speed[each, low + 1] / speed[each, low]))
