"""Many situations ranked in shared batches: what the map asks of the engine.

A situation is ranked whole, or only with the shots and aims that led in situations like it. The order of the
work is that of `advise`: scan, solve, the best aim of each shot on samples of its own, then a race; all
situations and shots meet the same draws, so that neighbours differ by what differs between them and not by
luck.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.advise import Cancelled
from shortgame_gui.advice.aim import aims, along, choose_aims, lopsided
from shortgame_gui.advice.delivery import Stroke, Strokes, stroke
from shortgame_gui.advice.detour import detours
from shortgame_gui.advice.rank import Samples, paired, sample
from shortgame_gui.advice.rules import Candidate, candidates
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import MET, bench_for, first_plans, met_cleanly, reaching, scan
from shortgame_gui.advice.spreads import draws
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
ShotName = tuple[str, str]
"""Club and technique."""

SPEEDS = 12
"""Head speeds of the scan: enough to bracket a finish, which the solver then finds."""
ROUNDS = 2
"""Steps of the solver after its first; a map needs no finish to the centimetre."""
TRY_SAMPLES = 12.0
"""Samples on which an aim is chosen."""
TRY_MORE, TRY_PLANS = 16.0, 3.0
"""Samples more, and the aims tried on them, of each shot where no hints are: the race could not tell apart
what more of them would."""
FIRST_LOOK = 32
"""Samples of every shot of a cell; what is behind by more than a tie's paired errors on them is dropped."""


@dataclass(frozen=True)
class Standing:
    """One shot in one situation, on the samples that it and the leader share."""

    shot: ShotName
    strokes: float
    """Expected strokes."""
    error: float
    """Standard error of ``strokes``."""
    behind: float
    """Behind the leader in what counts today: strokes, or the chance of missing the player's aim."""
    behind_error: float
    tie: bool
    """Too close to the leader to call; the leader itself where any other is."""
    aim: float
    """Where the unperturbed ball finishes, in m past the hole: what neighbours try."""
    n: int


@dataclass(frozen=True)
class Hints:
    """What led in situations like this one: shots, each with the aims that were best (m past the hole)."""

    aims: dict[ShotName, tuple[float, ...]]
    led: frozenset[ShotName] = frozenset()
    """The winners there: where none of them can be played, this situation is ranked whole."""
    wide: bool = False
    """Whether the aims between those are tried as well."""


@dataclass(frozen=True)
class Task:
    """One situation to rank; without ``hints`` every shot that the rules offer, at every aim."""

    situation: Situation
    hints: Hints | None = None


@dataclass(frozen=True)
class Settings:
    """What all tasks of a map share."""

    bag: Bag
    table: Coefficients
    samples: int
    seed: int


def rank_all(
    tasks: Sequence[Task], settings: Settings, cancelled: Callable[[], bool] | None = None
) -> list[tuple[Standing, ...]]:
    """Standings of each task's shots, best first; empty where nothing can be played.

    Raises Cancelled when ``cancelled``, asked between batches, says so.
    """

    def tick() -> None:
        if cancelled is not None and cancelled():
            raise Cancelled

    out: list[tuple[Standing, ...]] = [()] * len(tasks)
    groups: dict[object, list[int]] = {}
    for k, task in enumerate(tasks):
        s = task.situation
        # Obstacles, strokes still to play and flag are shared by a bench.
        bank = (s.lie.lip_distance, s.lie.lip_height) if scene.has_lip(s) else None
        key = (s.ground.obstacles, bank, s.player, s.hole.flag, task.hints is None)
        groups.setdefault(key, []).append(k)
    for group in groups.values():
        found = _rank_group([tasks[k] for k in group], settings, tick)
        for k, standings in zip(group, found, strict=True):
            out[k] = standings
    misled = [
        k
        for k, task in enumerate(tasks)
        if task.hints and task.hints.led and task.hints.led.isdisjoint(s.shot for s in out[k])
    ]
    if misled:
        again = rank_all([Task(tasks[k].situation) for k in misled], settings, cancelled)
        for k, standings in zip(misled, again, strict=True):
            out[k] = standings
    return out


def _offered(task: Task, bag: Bag) -> list[Candidate]:
    offered, _ = candidates(task.situation, bag)
    if task.hints is None:
        return offered
    return [c for c in offered if (c.club.name, c.technique) in task.hints.aims]


def _strokes(
    situations: Sequence[Situation], offered: Sequence[Sequence[Candidate]], table: Coefficients
) -> Strokes:
    """How each of ``offered`` is delivered, situation by situation.

    Situations that share lie, stance and player share their strokes: nothing else counts in a delivery.
    """
    known: dict[object, dict[ShotName, Stroke]] = {}
    out = []
    for s, some in zip(situations, offered, strict=True):
        here = known.setdefault((s.lie, s.stance, s.player), {})
        for c in some:
            shot = (c.club.name, c.technique)
            if shot not in here:
                here[shot] = stroke(s, c, table)
            out.append(here[shot])
    return Strokes.of(out)


def _targets(task: Task, offered: Sequence[Candidate]) -> Array:
    """Finishes to try, (candidates, aims) in m from the ball, NaN for none."""
    at = along(task.situation)
    past = at - task.situation.hole.distance
    allowed = np.isin(at, aims(task.situation))
    keep = np.tile(allowed, (len(offered), 1))
    if task.hints is not None:
        for k, candidate in enumerate(offered):
            wanted = np.zeros(len(at), dtype=bool)
            for aim in task.hints.aims[candidate.club.name, candidate.technique]:
                # The nearest of the usual aims: what the solver reached is not quite what it was asked for.
                wanted[np.argmin(np.abs(past - aim))] = True
            if task.hints.wide:
                first, *_, last = np.flatnonzero(wanted).tolist() * 2
                wanted[first : last + 1] = True
            if (wanted & allowed).any():
                keep[k] &= wanted
    return np.where(keep, at, np.nan)


def _map_table(table: Coefficients, hinted: bool) -> Coefficients:
    """The table with the sizes of a map's search: hinted shots have few aims, which are tried once."""
    choose = msgspec.structs.replace(
        table.choose, try_samples=TRY_SAMPLES, try_more=0.0 if hinted else TRY_MORE, try_plans=TRY_PLANS,
        try_balls=0.0,
    )  # fmt: skip
    return msgspec.structs.replace(table, choose=choose)


def _rank_group(
    tasks: Sequence[Task], settings: Settings, tick: Callable[[], None]
) -> list[tuple[Standing, ...]]:
    """Standings of tasks that may share a bench."""
    hinted = tasks[0].hints is not None
    table = _map_table(settings.table, hinted)
    offered = [_offered(task, settings.bag) for task in tasks]
    shots = [c for some in offered for c in some]
    if not shots:
        return [()] * len(tasks)
    of = np.repeat(np.arange(len(tasks)), [len(some) for some in offered])
    strokes = _strokes([task.situation for task in tasks], offered, table)
    bench = bench_for([task.situation for task in tasks], of, table)
    targets = np.concatenate([_targets(task, some) for task, some in zip(tasks, offered, strict=True)])
    tick()
    found = scan(bench, strokes, SPEEDS)
    plans = first_plans(bench, strokes, found, targets, rounds=ROUNDS, within=MET, tick=tick)
    plans, reach = reaching(bench, found, targets, plans)
    base = baseline(tasks[0].situation.player.level, table)
    plans = met_cleanly(bench, found, plans.join(detours(bench, strokes, found, reach, base, tick)))
    if not len(plans.speed):
        return [()] * len(tasks)
    # A shot with one aim has nothing to choose, but to aim left or right of the hole.
    several = np.bincount(plans.candidate)[plans.candidate] > 1
    several |= any(lopsided(task.situation) for task in tasks)
    if several.any():
        chosen = choose_aims(
            bench, strokes, plans.take(np.flatnonzero(several)), base, settings.seed, tick, reach
        )
        plans = plans.take(np.flatnonzero(~several)).join(chosen)
    luck = draws(settings.seed, settings.samples, int(table.choose.block))
    first = min(FIRST_LOOK, settings.samples)
    early = sample(bench, strokes, plans, luck.take(0, first), base, tick)
    counts, keep = tasks[0].situation.player.counts, table.score.tie_errors
    place = bench.place(plans.candidate)
    own = [np.flatnonzero(place == k) for k in range(len(tasks))]
    value = early.value(counts)
    stays = np.zeros(len(place), dtype=bool)
    for mine in own:
        if len(mine):
            behind, error = paired(value[mine], value[mine][_lead(value[mine])])
            stays[mine] = behind <= keep * error
    stay = np.flatnonzero(stays)
    whole = early.take(stay)
    if settings.samples > first:
        late = luck.take(first, settings.samples)
        whole = whole.join(sample(bench, strokes, plans.take(stay), late, base, tick))
    out = []
    for k, mine in enumerate(own):
        inside, outside = np.isin(stay, mine), mine[~stays[mine]]
        names = [(shots[c].club.name, shots[c].technique) for c in plans.candidate]
        aim = plans.finish[0] - tasks[k].situation.hole.distance
        out.append(
            _standings(
                whole.take(np.flatnonzero(inside)), stay[inside], early.take(outside), outside, names, aim,
                counts, table,
            )
        )  # fmt: skip
    return out


def _lead(value: Array) -> int:
    return int(np.argmin(value.mean(axis=1)))


def _standings(
    whole: Samples,
    stayed: Index,
    early: Samples,
    dropped: Index,
    names: Sequence[ShotName],
    aim: Array,
    counts: str,
    table: Coefficients,
) -> tuple[Standing, ...]:
    """Standings of one situation: ``whole`` outcomes of plans ``stayed``, ``early`` ones of ``dropped``.

    As in `rank.race` a shot that was dropped is compared with the leader on the samples that both had, and
    never stands before it.
    """
    if not len(stayed):
        return ()
    lead = _lead(whole.value(counts))
    out: list[Standing] = []
    order: list[float] = []
    for some, who in ((whole, stayed), (early, dropped)):
        if not len(who):
            continue
        n = some.strokes.shape[1]
        strokes = some.strokes
        after, _ = paired(some.value(counts), whole.value(counts)[lead, :n])
        behind, error = paired(some.told(counts), whole.told(counts)[lead, :n])
        gap, _ = paired(strokes, whole.strokes[lead, :n])
        tie = behind <= np.maximum(table.score.tie_errors * error, table.score.tie_strokes)
        if some is early:
            after, behind = np.maximum(after, 0.0), np.maximum(behind, 0.0)
        spread = strokes.std(axis=1, ddof=1) / np.sqrt(n)
        order += after.tolist()
        for j, plan in enumerate(who):
            mean = float(whole.strokes[lead].mean() + gap[j])
            out.append(
                Standing(
                    names[plan], mean, float(spread[j]), float(behind[j]), float(error[j]), bool(tie[j]),
                    float(aim[plan]), n,
                )
            )  # fmt: skip
    first = out.pop(lead)
    order.pop(lead)
    out = [out[k] for k in np.argsort(order, kind="stable")]
    first = replace(first, tie=any(standing.tie for standing in out))
    return (first, *out)
