"""The main job: from one situation to ranked shots with reasons, set-up and cautions."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import explain, scene
from shortgame_gui.advice.aim import aims, choose_aims
from shortgame_gui.advice.delivery import Ball, Strokes, stroke
from shortgame_gui.advice.detour import detours
from shortgame_gui.advice.doubt import cost_of_doubt
from shortgame_gui.advice.escapes import asked, escapes, marked
from shortgame_gui.advice.misses import LEADERS, misses, what_ifs_and_ways
from shortgame_gui.advice.partner import Partner, begun, unwatched
from shortgame_gui.advice.rank import Ranked, by_size, race, trouble
from shortgame_gui.advice.result import Advice, Doubt, Escape, Misses, Refused, SetUp, Shot, Track
from shortgame_gui.advice.rules import Candidate, candidates
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import (
    Bench,
    Plans,
    Scan,
    bench_for,
    hit,
    met_cleanly,
    reaching,
    rolling_past,
    scan_and_solve,
)
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.truth import sitting, steps
from shortgame_gui.advice.ways import tracks_of
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.obstacles import CLEAR
from shortgame_gui.physics.shot import Result

Array = npt.NDArray[np.float64]


class Cancelled(Exception):
    """The caller no longer wants the answer."""


def bench_of(situation: Situation, table: Coefficients) -> Bench:
    """What all shots of ``situation`` share."""
    return bench_for([situation], np.zeros(1, dtype=np.intp), table)


def advise(
    situation: Situation,
    bag: Bag,
    table: Coefficients,
    *,
    samples: int | None = None,
    seed: int = 1,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    partner: Partner | None = None,
) -> Advice:
    """Ranked shots for ``situation`` with ``bag``.

    ``samples`` is the number of samples of a contender (the table's default if None), ``seed`` a whole
    number from 0; the same seed gives the same answer. ``progress`` is told a share from 0 to 1;
    ``cancelled`` is asked between batches; a ``partner`` plays half of the large ones. Raises Cancelled when
    ``cancelled`` says so, ValueError when ``samples`` or ``seed`` is out of range.
    """
    size = int(table.choose.samples) if samples is None else samples
    if not 2 <= size <= 100_000:
        raise ValueError("`samples` must be 2 to 100000")
    if not 0 <= seed < 2**63:
        raise ValueError("`seed` must be 0 or more and below 2^63")
    done = 0.0

    def tick() -> None:
        nonlocal done
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(done)
            done += (1.0 - done) * 0.15

    offered, refused = candidates(situation, bag)
    bench = replace(bench_of(situation, table), partner=partner)
    base = baseline(situation.player.level, table)
    if not offered:
        only = escapes(bench, offered, [], base, seed, tick)
        return _advice(situation, bag, seed, size, (), refused, table, None, only)
    lies = steps(situation)
    graded = Strokes.of([stroke(sitting(situation, s), c, table) for s in lies for c in offered])
    strokes = graded.take(np.arange(len(offered)))
    tick()
    tried = aims(situation)
    found, plans = scan_and_solve(bench, strokes, tried, tick)
    plans, reach = reaching(bench, found, tried, plans)
    plans = plans.join(detours(bench, strokes, found, reach, base, tick))
    # Where no ball rests by the hole to stop short of it is not all that is left.
    if (len(plans.speed) and not len(reach)) or not scene.holds_a_ball(situation, table):
        plans = plans.join(rolling_past(bench, strokes, found))
    plans = met_cleanly(bench, found, plans)
    if not len(plans.speed):
        refused += out_of_range(offered, found, plans, situation)
        only = escapes(bench, offered, [], base, seed, tick)
        return _advice(situation, bag, seed, size, (), refused, table, None, only)
    doubted = replace(bench, lies=len(offered)) if len(lies) > 1 else bench
    plans = choose_aims(doubted, graded, plans, base, seed, tick, reach)
    refused += out_of_range(offered, found, plans, situation)
    ranked = race(doubted, graded, plans, base, seed, size, tick)
    plans = plans.take(ranked.order)
    in_order = [offered[k] for k in plans.candidate.tolist()]
    first = plans.take(np.zeros(1, dtype=np.intp))
    finishes = tried if first.candidate[0] in reach else np.hypot(*first.finish)
    doubt = cost_of_doubt(bench, in_order, first, ranked, finishes, base, seed, tick)
    tick()
    count, front = len(plans.speed), min(LEADERS, len(plans.speed))
    alone, leaders = replace(bench, partner=None), plans.take(np.arange(front))
    ways = None
    if asked(situation, trouble(ranked.samples[0], scene.has_lip(situation)), table.escape.trouble):
        sound = [c for c, clean in zip(offered, found.clean, strict=True) if clean] or offered
        ways = begun(partner, partial(escapes, alone, sound, in_order, base, seed, unwatched))
    swings = partial(what_ifs_and_ways, alone, strokes, found, leaders, ranked.samples[:front], base, seed)
    ifs = None if partner is None else begun(partner, partial(swings, plans.take(np.arange(0))))
    if ifs is None:
        tries, ball, still_result = swings(plans)
    else:
        ball, still_result = hit(bench, strokes, plans, still(1), trace=True)
    tracks, told = tracks_of(still_result), told_together(ranked, table)
    shots = tuple(
        _shot(
            k,
            in_order[k],
            strokes,
            plans,
            ball,
            still_result,
            ranked,
            tracks[k],
            told[k],
            situation,
            table,
        )
        for k in range(count)
    )
    tries = tries if ifs is None else ifs()[0]
    shots = tuple(replace(shot, what_ifs=t) for shot, t in zip(shots, tries, strict=False)) + shots[front:]
    others = () if ways is None else marked(shots[0], ways(), table.score.tie_errors)
    if progress is not None:
        progress(1.0)
    return _advice(situation, bag, seed, size, shots, refused, table, doubt, others)


def _advice(
    situation: Situation,
    bag: Bag,
    seed: int,
    size: int,
    shots: tuple[Shot, ...],
    refused: list[Refused],
    table: Coefficients,
    doubt: Doubt | None = None,
    ways: tuple[Escape, ...] = (),
) -> Advice:
    leader = shots[0] if shots else None
    most = max((s.n for s in shots), default=size)
    return Advice(
        situation, bag, seed, most, shots, tuple(refused), explain.why(shots, situation.player.counts, table),
        leader.setup if leader else SetUp(()), explain.cautions(situation, leader, table), doubt, ways,
    )  # fmt: skip


def out_of_range(offered: list[Candidate], found: Scan, plans: Plans, situation: Situation) -> list[Refused]:
    """Candidates that have no plan, with the reason."""
    has = set(plans.candidate.tolist())
    return [
        Refused(candidate.club.name, candidate.technique, _out_of_range(found, k, situation))
        for k, candidate in enumerate(offered)
        if k not in has
    ]


def _out_of_range(found: Scan, k: int, situation: Situation) -> str:
    """The reason's code why candidate ``k`` of the scan ``found`` is not offered."""
    if not found.clean[k]:
        return "no_clean_strike"
    reaches = found.way[k] >= situation.hole.distance
    # The swing that goes furthest, or the hardest of those that go less far than the first that reaches.
    met = int(found.met[k, int(reaches.argmax()) - 1])
    if met != CLEAR:
        return "lip_in_the_way" if scene.has_lip(situation) and met == 0 else "obstacle_in_the_way"
    return "cannot_stop_short" if reaches.any() else "cannot_reach"


@dataclass(frozen=True)
class _Told:
    """What the samples of one shot come to."""

    half: tuple[float, float]
    """Quartiles of how far it finishes, in m."""
    misses: Misses
    spread: float
    """Standard deviation of its strokes."""
    holed: float
    two: float


def told_together(ranked: Ranked, table: Coefficients) -> list[_Told]:
    """What the samples of each ranked shot come to."""
    out: dict[int, _Told] = {}
    for those, some in by_size(ranked.samples):
        low, high = np.percentile(some.x, (25, 75), axis=1).tolist()
        spread, holed = some.strokes.std(axis=1, ddof=1).tolist(), some.holed.mean(axis=1).tolist()
        two = some.two.mean(axis=1).tolist()
        half, missed = zip(low, high, strict=True), misses(some, table)
        told = (_Told(*each) for each in zip(half, missed, spread, holed, two, strict=True))
        out |= zip(those, told, strict=True)
    return [out[k] for k in range(len(out))]


def _shot(
    k: int,
    candidate: Candidate,
    strokes: Strokes,
    plans: Plans,
    ball: Ball,
    done: Result,
    ranked: Ranked,
    track: Track,
    told: _Told,
    situation: Situation,
    table: Coefficients,
) -> Shot:
    """Everything told of one ranked shot; ``done`` is what becomes of all of them without scatter."""
    putt, sampled = candidate.technique == "putt", ranked.samples[k]
    velocity, landing = ball.velocity[:, k], done.landing[:, k]
    down, hole = done.landing_velocity[:, k], situation.hole.distance
    flat = float(np.hypot(velocity[0], velocity[1]))
    carry = 0.0 if putt else float(np.hypot(landing[0], landing[1]))
    # How far it would run if there were no hole.
    total = float(np.hypot(plans.finish[0, k], plans.finish[1, k]))
    run = total - carry
    share = float(plans.speed[k] / strokes.full_speed[plans.candidate[k]])
    n = sampled.strokes.shape[1]
    ends = trouble(sampled, scene.has_lip(situation))
    swing = explain.Swing(candidate.technique, share, float(plans.aim[k]), float(plans.speed[k]))
    return Shot(
        rank=k + 1,
        club=candidate.club,
        technique=candidate.technique,
        swing="stroke" if putt else explain.swing_code(share, table),
        head_speed=swing.head_speed,
        share=share,
        aim=swing.aim,
        start=float(np.arctan2(velocity[1], velocity[0])),
        finish_aim=(float(plans.finish[0, k]) - hole, float(plans.finish[1, k])),
        delivered_loft=float(ball.loft[k]),
        attack=float(ball.attack[k]),
        ball_speed=float(np.sqrt((velocity**2).sum())),
        launch=float(np.arctan2(velocity[2], flat)),
        spin=-float(ball.spin[1, k]),
        carry=carry,
        landing=(float(landing[0]), float(landing[1])),
        landing_past_edge=None
        if putt or situation.green.front <= 0.0
        else float(landing[0]) - situation.green.front,
        landing_angle=0.0 if putt else float(np.arctan2(-down[2], np.hypot(down[0], down[1]))),
        landing_speed=0.0 if putt else float(np.sqrt((down**2).sum())),
        apex=float(done.apex[k]),
        run=run,
        air_share=carry / (carry + max(run, 0.0)) if carry > 0.0 else 0.0,
        n=n,
        expected_strokes=float(ranked.mean[k]),
        standard_error=told.spread / math.sqrt(n),
        behind_best=float(ranked.behind[k]),
        behind_best_error=float(ranked.error[k]),
        tie=bool(ranked.tie[k]),
        holed=told.holed,
        down_in_two=told.two,
        three_or_more=1.0 - told.two,
        trouble=ends,
        half=told.half,
        finishes=np.concatenate([sampled.x, sampled.y]),
        landings=np.concatenate([sampled.land_x, sampled.land_y]),
        left=sampled.distance[0],
        track=track,
        misses=told.misses,
        setup=explain.setup(situation, swing, table),
        cautions=explain.shot_cautions(ends, table),
        past="" if plans.toward[k] == 0.0 else "left" if velocity[1] > 0.0 else "right",
    )
