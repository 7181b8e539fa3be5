"""Monte Carlo and ranking: few samples for every shot, more for the contenders, paired errors throughout.

All shots meet the same draws (common random numbers), so that the error of a difference is the error of the
paired difference. Aims are chosen on one set of samples and reported on another, or the winner would look
too good.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from functools import partial
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.delivery import CLEAN, MISHITS, Ball, Strokes
from shortgame_gui.advice.partner import WORTH, both
from shortgame_gui.advice.score import Baseline, lay, score, start_of
from shortgame_gui.advice.solve import Bench, Plans, hit_and_met
from shortgame_gui.advice.spreads import Draws, draws
from shortgame_gui.advice.truth import doubts
from shortgame_gui.physics.ground import GREEN, SURFACES
from shortgame_gui.physics.shot import Conditions, Result
from shortgame_gui.physics.steps import ROLLED_AWAY

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

BATCH = 8000
"""Lanes of one batch: most looks are one, as each costs as much as 1,000 balls; a cancel waits for it."""
STROKE = 0.05
"""What a stroke weighs where a chance counts: shots level in it stand in the order of their strokes."""
AT_ONCE = 2000
"""Balls up to which all that is left of a race is one look."""


@dataclass(frozen=True)
class Samples:
    """Outcomes of k plans over m samples; (k, m) each."""

    strokes: Array
    holed: Array
    two: Array
    four: Array
    distance: Array
    x: Array
    y: Array
    surface: Array
    rolled: Array
    mishit: Array
    met: Array
    land_x: Array
    land_y: Array

    def join(self, other: Samples) -> Samples:
        """The same plans with the samples of ``other`` appended."""
        return Samples(
            *(np.concatenate([getattr(self, f.name), getattr(other, f.name)], axis=1) for f in fields(self))
        )

    def take(self, index: Index) -> Samples:
        """The plans in ``index``."""
        return Samples(*(getattr(self, f.name)[index] for f in fields(self)))

    def told(self, counts: str) -> Array:
        """What counts, smaller is better, (k, m): strokes, or the chance of missing the player's aim."""
        return {"average": self.strokes, "down_in_two": 1.0 - self.two, "no_disaster": self.four}[counts]

    def value(self, counts: str) -> Array:
        """What shots are put in order by, (k, m): what counts; of those level in a chance, fewer strokes."""
        told = self.told(counts)
        return told if counts == "average" else told + STROKE * self.strokes


def stacked(parts: Sequence[Samples]) -> Samples:
    """The plans of all ``parts``, played on the same samples."""
    return Samples(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Samples)))


def by_size(samples: Sequence[Samples]) -> list[tuple[list[int], Samples]]:
    """Those of ``samples``, one plan each, that are as many together: their places, and they as one."""
    places: dict[int, list[int]] = {}
    for k, some in enumerate(samples):
        places.setdefault(some.strokes.shape[1], []).append(k)
    return [(those, stacked([samples[k] for k in those])) for those in places.values()]


def sample(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    luck: Draws,
    base: Baseline,
    tick: Callable[[], None],
) -> Samples:
    """Play every plan with every sample of ``luck`` (m) and score it; ``tick`` runs between batches."""
    return sample_and_still(bench, strokes, plans, luck, base, tick, plans.take(np.arange(0)))[0]


def sample_and_still(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    luck: Draws,
    base: Baseline,
    tick: Callable[[], None],
    beside: Plans,
) -> tuple[Samples, Samples]:
    """As `sample`; and of each plan ``beside`` a ball (b, 1) that is not scattered and has no hole."""
    every, others, m = np.arange(len(plans.speed)), np.arange(len(beside.speed)), luck.turf.shape[-1]
    alone = replace(bench, partner=None)
    step = max(BATCH // m, 1) * (1 if bench.partner is None else 2)
    batches = -(-len(every) // step)
    places: list[tuple[Index, Index]] = []
    parts: list[tuple[Samples, Samples]] = []
    for k in range(batches):
        tick()
        these, those = every[k * step : (k + 1) * step], others[k::batches]
        shared = bench.partner is not None and m * len(these) >= WORTH and len(these) > 1
        # Every other plan: neighbours are shots alike, and some cost more than others.
        halves = [(these[j::2], those[j::2]) for j in range(2)] if shared else [(these, those)]
        work = [
            partial(_played, alone, strokes, plans.take(some), luck, base, beside.take(more))
            for some, more in halves
        ]
        places += halves
        parts += both(bench.partner, *work) if shared else [work[0]()]
    if len(parts) == 1:
        return parts[0]
    done, still = (
        stacked(each).take(np.argsort(np.concatenate(order)))
        for each, order in zip(zip(*parts, strict=True), zip(*places, strict=True), strict=True)
    )
    return done, still


def _played(
    bench: Bench, strokes: Strokes, plans: Plans, luck: Draws, base: Baseline, beside: Plans
) -> tuple[Samples, Samples]:
    """One batch of `sample_and_still`."""
    done, still, _, _ = sample_and_trace(bench, strokes, plans, luck, base, beside, plans.take(np.arange(0)))
    return done, still


def sample_and_trace(
    bench: Bench, strokes: Strokes, plans: Plans, luck: Draws, base: Baseline, beside: Plans, ways: Plans
) -> tuple[Samples, Samples, Ball, Result]:
    """As `sample_and_still`, in one batch; and a ball of each of ``ways`` (w), not scattered and traced."""
    k, m, still = len(plans.speed), luck.turf.shape[-1], len(beside.speed)
    scored, more = k * m + still, beside.join(ways)
    lanes = np.arange(scored + len(ways.speed))
    hole = (lanes < k * m) | (lanes >= scored)
    ball, done, met = hit_and_met(
        bench, strokes, plans, luck, hole=hole, trace=len(ways.speed) > 0, beside=more
    )
    values = _scored(
        bench, np.concatenate([np.repeat(plans.candidate, m), more.candidate]), ball, done, met, base
    )
    samples = Samples(*(v[: k * m].reshape(k, m) for v in values))
    stills, last = Samples(*(v[k * m : scored, None] for v in values)), lanes[scored:]
    return samples, stills, ball.take(last), done.take(last)


def _scored(
    bench: Bench, candidate: Index, ball: Ball, done: Result, met: Conditions, base: Baseline
) -> tuple[Array, ...]:
    """The fields (n,) of `Samples` of n balls, each of the ``candidate`` (n,) that is played."""
    of, distance = bench.place(candidate), bench.hole(candidate)
    surface = met.ground.surface(done.rest[0], done.rest[1], met.lane)
    place = np.stack([distance, np.zeros(len(of))])
    way = lay(done.rest, surface, place, met.ground, met.lane, met.stimp, bench.table)
    start = np.array([start_of(s.lie.ground) for s in bench.situations])[of]
    behind = scene.blocked(bench.situation, met.ground, met.lane, done.rest, distance, bench.table)
    worth = score(done.rest, done.ending, surface, place, base, (start, distance), way, behind)
    rolled = (done.ending == ROLLED_AWAY).astype(float)
    return (
        worth.strokes, worth.holed, worth.two, worth.four, worth.distance, done.rest[0], done.rest[1],
        surface.astype(float), rolled, ball.mishit.astype(float), done.met.astype(float),
        done.landing[0], done.landing[1],
    )  # fmt: skip


@dataclass(frozen=True)
class Ranked:
    """The race's outcome, best first."""

    order: Index
    """Index of the plan of each place."""
    samples: list[Samples]
    """Outcomes of each place, (1, n) with its own n."""
    mean: Array
    """Expected strokes; of a shot that was dropped, the leader's and the difference on shared samples."""
    behind: Array
    error: Array
    tie: npt.NDArray[np.bool_]


def race(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    base: Baseline,
    seed: int,
    size: int,
    tick: Callable[[], None],
) -> Ranked:
    """Play all plans on a few samples, those not clearly behind on more, again and again; rank by the mean.

    A shot that was dropped is compared with the leader on the samples that both had.
    """
    c, near, counts = bench.table.choose, bench.table.score, bench.situation.player.counts
    luck = draws(seed, size, int(c.block), 0, doubts(bench.situation))
    looks = looks_of(size, int(c.first), c.growth)
    group = np.arange(len(plans.speed))
    played = sample(bench, strokes, plans, luck.take(0, looks[0]), base, tick)
    groups: list[tuple[Index, Samples]] = []
    for look, more in pairwise(looks):
        if played.strokes.shape[1] == size:
            break
        value = played.value(counts)
        behind, error = paired(value, value[int(np.argmin(value.mean(axis=1)))])
        stays = behind <= np.maximum(c.keep_errors * error, near.tie_strokes)
        out, stay = np.flatnonzero(~stays), np.flatnonzero(stays)
        groups.append((group[out], played.take(out)))
        group = group[stay]
        more = size if len(group) * (size - look) <= AT_ONCE else more
        new = sample(bench, strokes, plans.take(group), luck.take(look, more), base, tick)
        played = played.take(stay).join(new)
    while True:
        lead = int(np.argmin(played.value(counts).mean(axis=1)))
        # Dropped behind another shot, yet level with the one that leads now: such a shot is played out, too.
        back: list[int] = []
        for who, some in groups:
            n = some.strokes.shape[1]
            gap, sigma = paired(some.told(counts), played.told(counts)[lead, :n])
            level = np.flatnonzero(gap <= np.maximum(near.tie_errors * sigma, near.tie_strokes))
            back += who[level].tolist()
        if not back:
            break
        again = np.array(sorted(back), dtype=np.intp)
        groups = [
            (who[out], some.take(out))
            for who, some in groups
            if len(out := np.flatnonzero(~np.isin(who, again)))
        ]
        played = stacked([played, sample(bench, strokes, plans.take(again), luck, base, tick)])
        group = np.concatenate([group, again])
    groups.append((group, played))
    k = len(plans.speed)
    after, behind, error, mean = np.zeros(k), np.zeros(k), np.zeros(k), np.zeros(k)
    kept: list[Samples] = [played] * k
    for who, some in groups:
        n = some.strokes.shape[1]
        after[who], _ = paired(some.value(counts), played.value(counts)[lead, :n])
        behind[who], error[who] = paired(some.told(counts), played.told(counts)[lead, :n])
        gap, _ = paired(some.strokes, played.strokes[lead, :n])
        if who is not group:
            # A shot that was dropped early never stands before the leader.
            after[who], behind[who] = np.maximum(after[who], 0.0), np.maximum(behind[who], 0.0)
            gap = behind[who] if counts == "average" else gap
        mean[who] = played.strokes[lead].mean() + gap
        for place, number in enumerate(who):
            kept[int(number)] = some.take(np.array([place]))
    best = int(group[lead])
    order = np.lexsort((np.arange(k), after))
    order = np.concatenate([[best], order[order != best]]).astype(np.intp)
    close = (behind <= np.maximum(near.tie_errors * error, near.tie_strokes))[order]
    # A better rank is never outside of a group that holds a worse one: all up to the last that is close.
    last = int(np.flatnonzero(close)[-1])
    tie = (np.arange(k) <= last) & (last > 0)
    return Ranked(order, [kept[int(n)] for n in order], mean[order], behind[order], error[order], tie)


def looks_of(size: int, first: int, growth: float) -> list[int]:
    """Samples after each look of a race: from ``first`` to ``size`` by even factors near ``growth``."""
    if size <= first:
        return [size]
    steps = max(round(math.log(size / first) / math.log(growth)), 1)
    return [round(first * (size / first) ** (k / steps)) for k in range(steps)] + [size]


def paired(value: Array, leader: Array) -> tuple[Array, Array]:
    """Mean and standard error of the difference of each row (k, m) to the ``leader`` (m,)."""
    gap = value - leader
    m = value.shape[1]
    return gap.mean(axis=1), gap.std(axis=1, ddof=1) / np.sqrt(m) if m > 1 else np.full(len(gap), np.inf)


def trouble(samples: Samples, lip: bool) -> dict[str, float]:
    """Chances of one plan (1, n): finishing on each surface but green, rolling away, mishits, and obstacles.

    With ``lip`` the first obstacle is the lip of the bunker.
    """
    n = samples.strokes.shape[1]
    ended, struck = (np.bincount(v[0].astype(np.intp)).tolist() for v in (samples.surface, samples.mishit))
    out = {SURFACES[k]: some / n for k, some in enumerate(ended) if some and k != GREEN}
    rolled = float(samples.rolled[0].mean())
    if rolled > 0.0:
        out["rolled_away"] = rolled
    if lip and (samples.met[0] == 0).any():
        out["lip"] = float((samples.met[0] == 0).mean())
    if (samples.met[0] >= lip).any():
        out["obstacle"] = float((samples.met[0] >= lip).mean())
    return out | {MISHITS[k]: some / n for k, some in enumerate(struck) if some and k != CLEAN}
