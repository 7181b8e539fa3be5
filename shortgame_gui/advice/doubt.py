"""What not being sure of the conditions costs, and whether knowing them would change the choice.

The cost is what the best shot needs on the average, less what the best shots for each condition would: E of
the leader under doubt minus the mean over conditions of E(best there). A nested design tells it: a few
conditions spread evenly over the doubt (a Latin hypercube), the best ranked shots solved and aimed anew for
each of them, and the leader as it was planned without knowing, on samples that are used for nothing else.

The least of several estimates is too small. So the shot that a player who knows would choose is picked on one
half of the samples and counted on the other, and then the halves change parts: neither side of the difference
is flattered. What is left errs towards less cost, as half of the samples do not always pick the best.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.aim import choose_aims
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.rank import Ranked, paired, sample
from shortgame_gui.advice.result import Doubt
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.score import Baseline
from shortgame_gui.advice.solve import ON_AIM, Bench, Plans, bench_for, guessed, scan, solve
from shortgame_gui.advice.spreads import DOUBT_STREAM, KNOWING, draws
from shortgame_gui.advice.truth import Truth, as_known, doubts, truth_of

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


def spread_evenly(names: set[str], count: int, seed: int) -> dict[str, Array]:
    """Standard normal values (count,) of each name: a Latin hypercube with mean 0 and spread 1.

    Middles of ``count`` equally likely slices, put in an order of its own for each name (M. D. McKay,
    R. J. Beckman and W. J. Conover, Technometrics 21:239, 1979).
    """
    middles = np.array([NormalDist().inv_cdf((k + 0.5) / count) for k in range(count)])
    middles /= middles.std()
    out = {}
    for number, field in enumerate(fields(Truth)):
        if field.name in names:
            key = [seed, (DOUBT_STREAM + number << 32) + KNOWING]
            out[field.name] = middles[np.random.Generator(np.random.Philox(key=key)).permutation(count)]
    return out


@dataclass(frozen=True)
class Known:
    """What J conditions are worth: ``blind`` (J, m) with the leader planned without knowing them.

    ``aware`` (J, K, m) with each of K shots planned for them, infinite where no speed finishes well.
    """

    blind: Array
    aware: Array

    def halves(self) -> tuple[tuple[slice, slice], ...]:
        """Samples to count on and samples to pick on, and the other way round."""
        half = self.blind.shape[1] // 2
        first, second = slice(0, half), slice(half, None)
        return (first, second), (second, first)

    def saved(self) -> Array:
        """What knowing saves, (J, m): the best is picked on the other half of the samples."""
        options = np.concatenate([self.blind[:, None], self.aware], axis=1)
        out = []
        for count, pick in self.halves():
            best = options[:, :, pick].mean(axis=2).argmin(axis=1)
            out.append(options[:, 0, count] - options[np.arange(len(best)), best][:, count])
        return np.concatenate(out, axis=1)

    def winners(self, tie_errors: float, tie_strokes: float) -> list[int]:
        """Number of the shot that wins in each condition and half: 0, unless one wins beyond a tie."""
        found = []
        for values in self.aware:
            for count, pick in self.halves():
                best = int(values[:, pick].mean(axis=1).argmin())
                if best and np.isfinite(values[0, 0]):
                    behind, error = paired(values[:1, count], values[best, count])
                    best = best if behind[0] > max(tie_errors * float(error[0]), tie_strokes) else 0
                found.append(best)
        return found


def error_between(saved: Array, drawn: dict[str, Array]) -> float:
    """Error of the mean of ``saved`` (J,) over the conditions ``drawn`` (J,) evenly.

    A Latin hypercube takes out what is a sum of terms of one quantity each (M. Stein, Technometrics 29:143,
    1987): what straight and bent dependence on each explains is no error, while there are conditions enough
    to tell.
    """
    count = len(saved)
    columns = [np.ones(count), *(d for z in drawn.values() for d in (z, z * z))]
    if len(columns) + 2 > count:
        columns = columns[:1]
    design = np.stack(columns, axis=1)
    left = saved - design @ np.linalg.lstsq(design, saved, rcond=None)[0]
    return float(np.sqrt((left**2).sum() / (count - len(columns)) / count))


def cost_of_doubt(
    bench: Bench,
    shots: list[Candidate],
    leader: Plans,
    ranked: Ranked,
    aims: Array,
    base: Baseline,
    seed: int,
    tick: Callable[[], None],
) -> Doubt | None:
    """What the doubt in ``bench.situation`` costs, or None where there is none (or no shot can be planned).

    ``shots`` are the candidates best first, ``leader`` the plan (1) of the first of them, ``ranked`` the race
    that it won, ``aims`` the finishes tried. Strokes, or the chance of missing what counts for the player.
    """
    situation, table = bench.situation, bench.table
    unsure = doubts(situation)
    if not unsure:
        return None
    count, some = int(table.choose.doubt_conditions), shots[: int(table.choose.doubt_shots)]
    drawn = spread_evenly(set(unsure), count, seed)
    truth = truth_of(situation, drawn, count)
    conditions = [as_known(situation, truth, k) for k in range(count)]
    # Shot by shot in each condition, and behind them the leader once more in each.
    of = np.concatenate([np.repeat(np.arange(count), len(some)), np.arange(count)])
    who = [*some] * count + [some[0]] * count
    strokes = Strokes.of([stroke(conditions[j], c, table) for j, c in zip(of, who, strict=True)])
    known = replace(bench_for(conditions, of, table), partner=bench.partner)
    ahead = strokes.take(np.arange(count * len(some)))
    found = scan(known, ahead, int(table.choose.speeds))
    if leader.toward[0]:
        # Round what stands in the way all start on the leader's side.
        toward = np.full(len(found.clean), np.arctan2(*leader.finish[::-1]))
        found = scan(known, ahead, found.speed.shape[1], replace(found, toward=toward))
        plans, _ = solve(known, ahead, found, aims, rounds=1, within=ON_AIM, tick=tick)
    else:
        plans = guessed(known, ahead, found, aims, tick)
    if not len(plans.speed):
        return None
    plans = choose_aims(known, ahead, plans, base, seed, tick)
    blind = leader.take(np.zeros(count, dtype=np.intp))
    blind = replace(blind, candidate=count * len(some) + np.arange(count))
    luck = draws(seed, int(table.choose.doubt_samples), int(table.choose.block), KNOWING)
    value = sample(known, strokes, plans.join(blind), luck, base, tick).told(situation.player.counts)
    aware = np.full((count * len(some), value.shape[1]), np.inf)
    aware[plans.candidate] = value[: len(plans.speed)]
    worth = Known(value[len(plans.speed) :], aware.reshape(count, len(some), -1))
    saved = worth.saved()
    # Conditions and luck both scatter, and each condition meets the same luck.
    luck_error = saved.mean(axis=0).std(ddof=1) / np.sqrt(saved.shape[1])
    error = np.hypot(error_between(saved.mean(axis=1), drawn), luck_error)
    winners = worth.winners(table.score.tie_errors, table.score.tie_strokes)
    others = [w for w in winners if w]
    often = some[Counter(others).most_common(1)[0][0]] if others else None
    return Doubt(
        cost=float(saved.mean()),
        error=float(error),
        clear=bool(saved.mean() > table.score.tie_errors * error),
        changes=len(others) / len(winners),
        instead=None if often is None else (often.club.name, often.technique),
        most=moves_most(bench, ranked, set(unsure), seed),
    )


def moves_most(bench: Bench, ranked: Ranked, unsure: set[str], seed: int) -> str | None:
    """The doubt (a field of `NotSure`) that moves the leader's finishes most; None where that cannot be told.

    Told by the share of their variance that straight and bent dependence on each draw explains.
    """
    leader = ranked.samples[0]
    n = leader.strokes.shape[1]
    luck = draws(seed, n, int(bench.table.choose.block), 0, unsure)
    finish = np.stack([leader.x[0], leader.y[0]], axis=1)
    finish = finish - finish.mean(axis=0)
    explained = dict.fromkeys(("wind" if u.startswith("wind") else u for u in sorted(unsure)), 0.0)
    for name, draw in luck.doubt.items():
        design = np.stack([np.ones(n), draw, draw * draw], axis=1)
        fitted = design @ np.linalg.lstsq(design, finish, rcond=None)[0]
        explained["wind" if name.startswith("wind") else name] += float((fitted**2).sum())
    most, share = max(explained.items(), key=lambda item: item[1])
    # Pure chance explains about two parts in n of each.
    return most if len(explained) == 1 or share > 10.0 / n * float((finish**2).sum()) else None
