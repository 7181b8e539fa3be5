"""What a shot's aims are worth, each told by the balls that were played to any of them.

A ball that was struck at one aim would have gone the same way had the player meant another one and erred by
so much more or less. So it counts for each aim by how likely that error is. This is multiple importance
sampling with the balance heuristic (E. Veach, L. J. Guibas, SIGGRAPH 1995): a few balls an aim tell the
differences between aims two to three times as well as each aim's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.delivery import Strokes, likelihood, speed_spread
from shortgame_gui.advice.solve import Bench, Plans
from shortgame_gui.advice.spreads import Draws

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Look:
    """Balls of some plans, all on the same samples."""

    plans: Index
    """Which plans, each once (j,)."""
    luck: Draws
    """Of m samples."""
    value: Array
    """What each ball is worth (j, m)."""


def pooled(bench: Bench, strokes: Strokes, plans: Plans, looks: Sequence[Look], turned: Index) -> Array:
    """Mean worth (k,) of each of ``plans``; all were played in the first of ``looks``.

    The last of ``plans`` were ``turned`` (t,) from others, which were played wherever they were: these are
    told by the difference on the same samples, as few balls of the others come near them.
    """
    k, line = len(plans.speed), len(plans.speed) - len(turned)
    out, gap, count = np.empty(k), np.zeros(k), np.zeros(k)
    on = [look.plans < line for look in looks]
    out[:line] = _on_the_line(
        bench,
        strokes,
        plans.take(np.arange(line)),
        [Look(look.plans[some], look.luck, look.value[some]) for look, some in zip(looks, on, strict=True)],
    )
    for look, some in zip(looks, on, strict=True):
        which, place = look.plans[~some], np.zeros(k, dtype=np.intp)
        place[look.plans] = np.arange(len(look.plans))
        gap[which] += (look.value[~some] - look.value[place[turned[which - line]]]).sum(axis=1)
        count[which] += look.value.shape[1]
    out[line:] = out[turned] + gap[line:] / count[line:]
    return out


def _on_the_line(bench: Bench, strokes: Strokes, plans: Plans, looks: Sequence[Look]) -> Array:
    """Mean worth (k,) of each of ``plans``, by all balls of its candidate.

    Plans of a candidate differ in speed and aim. That the height of the swing and what is misjudged of the
    run change a little with them is left out.
    """
    k, candidate = len(plans.speed), plans.candidate
    count, total = np.zeros(k), np.zeros(k)
    for look in looks:
        count[look.plans] += look.value.shape[1]
        total[look.plans] += look.value.sum(axis=1)
    # What all have in common is taken off, or the weights' own errors would be multiplied by it.
    middle = (np.bincount(candidate, total) / np.maximum(np.bincount(candidate, count), 1.0))[candidate]
    order = np.argsort(candidate, kind="stable")
    first, many = np.searchsorted(candidate[order], candidate), np.bincount(candidate)[candidate]
    mine, hand = strokes.take(candidate), -1.0 if bench.left_handed else 1.0
    spread = speed_spread(mine, plans.speed, bench.table)
    out = middle.copy()
    for look in looks:
        # Beside every plan that was played each one of its candidate.
        others = many[look.plans]
        each, starts = np.repeat(np.arange(len(others)), others), np.cumsum(others) - others
        here = look.plans[each]
        there = order[first[here] + np.arange(len(each)) - starts[each]]
        likely = likelihood(
            mine.take(there),
            look.luck.execution,
            (plans.speed[here] - plans.speed[there]) / spread[there],
            spread[here] / spread[there],
            hand * (plans.aim[here] - plans.aim[there]),
            bench.table,
        )
        of_all = np.add.reduceat(count[there, None] * likely, starts)
        beyond = (look.value - middle[look.plans, None]) / of_all
        out += np.bincount(there, (likely * beyond[each]).sum(axis=1), k)
    return out
