"""Head speed and aim for a wanted finish: a scan of speeds, then a few steps between two, all in one batch.

Capture is switched off while solving. Finish against speed jumps at edges and tiers and can have several
roots; the first and the last are kept, and "no speed finishes there" is an answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from functools import partial

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.delivery import CLEAN, Ball, Strokes, play
from shortgame_gui.advice.partner import WORTH, Partner, both, unwatched
from shortgame_gui.advice.spreads import Draws, still
from shortgame_gui.advice.truth import lie_number, truth_of
from shortgame_gui.advice.ways import cubic
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Green
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR
from shortgame_gui.physics.shot import Conditions, Result, simulate

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]


MET = 0.01
"""Distance in m from where it should rest at which a plan is no longer bettered, if not told otherwise."""
ON_AIM = 0.08
"""The same where a plan is one of several aims that are a step apart."""
NEAR = 0.6
"""Distance in m up to which a plan is of use, since it is known where it finishes."""
STEEP = 3.0
"""Times the even growth of a finish with the speed above which it jumps: one more try would seldom help."""
BESIDE = 1.0
"""Distance in m up to which a plan that jumps takes the ball of another: half of the widest step of aims."""
JUMP = 1.0
"""Distance in m: a plan that is further off after two tries, and no half nearer by the last, is given up. Its
finish jumps over where it should rest."""
PARTS = (0.98, 0.85, 0.7, 0.5)
"""Parts of the furthest finish that are tried where the hole is out of reach."""
SIDEWAYS = np.radians(75.0)
"""Turn in rad from which a ball does not start towards the hole any more: that is another way out."""
PASSING, PASSING_TURNS = 4, 3
"""Swings of a shot that go over the hole where no ball rests by it, and times that each is turned so."""
LEAST_WAY, LEAST_PART, LEAST_OF_MOST = 1.0, 0.15, 0.4
"""Way in m that is worth playing at least, part of the way to the hole where an obstacle ends it, and part of
what any shot goes to the hole."""
TURNS = 1
"""Times that a plan is turned so that it passes over the hole: nearly all then do within 1 cm, over a survey
within 4 cm; a second time would leave nothing."""
HALVINGS = 20
"""Halvings of a step in which a ball passes the hole."""


@dataclass(frozen=True)
class Bench:
    """What stays the same for all shots of one situation, or of several that share a batch.

    Situations of one bench have the same obstacles, flag and player; the rest may differ.
    """

    situations: tuple[Situation, ...]
    table: Coefficients
    ground: Ground
    of: Index
    """Which of ``situations`` each candidate is played in; one entry is that of all candidates."""
    lane: Index
    """Which ground of ``ground`` each of ``situations`` has."""
    lies: int = 0
    """Number of candidates where the lie is not sure: their strokes then follow lie by lie, see `steps`."""
    partner: Partner | None = None
    """Who plays half of the large batches."""

    @property
    def situation(self) -> Situation:
        """The situation, where there is but one."""
        return self.situations[0]

    @property
    def left_handed(self) -> bool:
        return self.situation.player.hand == "left"

    def place(self, candidate: Index) -> Index:
        """Which of the situations ``candidate`` (k,) are played in, (k,)."""
        return self.of[candidate] if len(self.of) > 1 else np.zeros(len(candidate), dtype=np.intp)

    def hole(self, candidate: Index) -> Array:
        """Distance to the hole in m in the situations that ``candidate`` (k,) are played in, (k,)."""
        return np.array([s.hole.distance for s in self.situations])[self.place(candidate)]


def bench_for(situations: Sequence[Situation], of: Index, table: Coefficients) -> Bench:
    """The bench on which candidates, each in that one of ``situations`` which ``of`` says, share batches.

    Situations that differ in nothing that shapes the ground share it, which is quicker.
    """
    places: dict[object, int] = {}
    # One alone shares nothing, and is asked for at every step of an edit.
    drawn: list[Situation] = list(situations) if len(situations) == 1 else []
    lane = [0] * len(drawn)
    for s in () if drawn else situations:
        green = msgspec.structs.replace(s.green, speed=Green().speed, firmness=Green().firmness)
        shape = (s.ground, s.survey, green, s.lie, s.hole)
        if shape not in places:
            places[shape] = len(drawn)
            drawn.append(s)
        lane.append(places[shape])
    grounds = scene.ground(drawn, table)
    return Bench(tuple(situations), scene.hole_table(situations[0], table), grounds, of, np.array(lane))


@dataclass(frozen=True)
class Plans:
    """k ways of playing candidates: which one, how hard, where aimed; (k,) each."""

    candidate: Index
    speed: Array
    aim: Array
    run: Array
    """Length of the run that the player must judge, in m."""
    speed_per_run: Array
    """Head speed in m/s for a metre more of finish."""
    breaks: Array
    """Where the unperturbed ball starts, left of where it is to finish, in rad: what the player takes for the
    break."""
    toward: Array
    """Direction in rad left of the hole in which the unperturbed ball is to finish: 0 on the line."""
    finish: Array
    """Where the unperturbed ball rests without a hole in m, (2, k)."""
    tried: Mask
    """Whether that was played; else ``finish`` is where it should rest, and ``run`` is by that."""

    def take(self, index: Index) -> Plans:
        """The plans in ``index``."""
        return Plans(*(getattr(self, f.name)[..., index] for f in fields(self)))

    def put(self, index: Index, some: Plans) -> Plans:
        """These plans with ``some`` in place of those in ``index``."""
        out = self.take(np.arange(len(self.speed)))
        for f in fields(self):
            getattr(out, f.name)[..., index] = getattr(some, f.name)
        return out

    def join(self, other: Plans) -> Plans:
        """These plans, then those of ``other``."""
        both = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return Plans(*(np.concatenate(pair, axis=-1) for pair in both))


def hit(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    draws: Draws,
    *,
    hole: bool | Mask = True,
    trace: bool = False,
) -> tuple[Ball, Result]:
    """Play every plan with every sample of ``draws`` (m): lanes are plan by plan, k x m in all.

    ``hole`` says whether there is one, for all or for each lane (k x m,).
    """
    ball, done, _ = hit_and_met(bench, strokes, plans, draws, hole=hole, trace=trace)
    return ball, done


def hit_and_met(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    draws: Draws,
    *,
    hole: bool | Mask = True,
    trace: bool = False,
    beside: Plans | None = None,
) -> tuple[Ball, Result, Conditions]:
    """As `hit`, and with the conditions that each ball met.

    Each of the plans ``beside`` has one lane more, after the others and without scatter.
    """
    k, m = len(plans.speed), draws.turf.shape[-1]
    hand = -1.0 if bench.left_handed else 1.0
    # Turf that leans left for a right-hander leans right for a left-hander.
    tiled = replace(draws, turf=draws.turf * np.array([1.0, 1.0, hand])[:, None, None]).tile(k)
    each = np.repeat(np.arange(k), m)
    if beside is not None:
        plans, tiled = plans.join(beside), tiled.and_still(len(beside.speed))
        each = np.concatenate([each, np.arange(k, len(plans.speed))])
    candidate = plans.candidate[each]
    of = bench.place(candidate)
    truth = None
    if draws.doubt:
        # The player plans for what was stated; only what happens then is another matter.
        truth = truth_of(bench.situation, tiled.doubt, len(each))
        candidate = candidate + bench.lies * lie_number(bench.situation, truth)
    pull = _slope_pull(bench, strokes, plans)
    ball = play(
        strokes.take(candidate),
        plans.speed[each],
        plans.aim[each],
        tiled,
        plans.speed_per_run[each],
        plans.run[each],
        plans.breaks[each],
        pull[each],
        bench.left_handed,
        bench.table,
    )
    met = scene.conditions(
        bench.situations,
        of,
        bench.table,
        bench.ground,
        bench.lane[of],
        scatter=tiled.turf,
        gusts=(tiled.execution["wind_along"], hand * tiled.execution["wind_across"]),
        hole=hole,
        truth=truth,
    )
    done = simulate(ball.velocity, ball.spin, met, bench.table, rolling=ball.rolling, trace=trace)
    return ball, done, met


def _slope_pull(bench: Bench, strokes: Strokes, plans: Plans) -> Array:
    """Share of the green's slope in all that brakes the ball of ``plans`` (k,), negative downhill.

    What rolls from the start tells all that brakes it by its speed: ground before the green brakes it, too.
    """
    situations, run = bench.situations, bench.table.run
    of = bench.place(plans.candidate)
    rises = [scene.rise(s, bench.ground, lane) for s, lane in zip(situations, bench.lane, strict=True)]
    brake = (run.stimp_speed**2 / (2.0 * np.array([s.green.speed for s in situations])))[of]
    pull = np.array(rises)[of] * bench.table.air.gravity * (5.0 / 7.0)
    share = pull / np.maximum(brake + pull, run.hold_floor * brake)
    putt = (strokes.putt[plans.candidate] > 0.5) & (plans.run > 0.0)
    if putt.any():
        # It slides first, until 5/7 of its speed are left.
        speed = bench.table.strike.putter_ratio * plans.speed
        slide = (1.0 - (5.0 / 7.0) ** 2) * speed**2 / 2.0
        slides = slide / (bench.table.surface["green"].slide * bench.table.air.gravity)
        spent = np.maximum(speed**2 / 2.0 - slide, run.hold_floor * brake * plans.run)
        front = np.array([s.green.front for s in situations])[of]
        on = np.maximum(plans.run - np.maximum(front, slides), 0.0)
        share = np.where(putt, pull * on / spent, share)
    return np.asarray(share)


def plan(candidate: Index, speed: Array, aim: Array) -> Plans:
    """Plans with nothing known of their finish yet."""
    zero = np.zeros(len(speed))
    tried = np.zeros(len(speed), dtype=bool)
    return Plans(candidate, speed, aim, zero, zero, zero, zero, np.zeros((2, len(speed))), tried)


def rested(strokes: Strokes, plans: Plans, x: Array, y: Array, landing: Array) -> Plans:
    """``plans`` (k) that were tried: what is not scattered lands at ``landing``, rests at ``x``, ``y``."""
    run = np.where(strokes.putt[plans.candidate] > 0.5, x, x - landing) / np.cos(plans.toward)
    return replace(plans, finish=np.array([x, y]), run=run, tried=np.ones(len(x), dtype=bool))


@dataclass(frozen=True)
class Scan:
    """Unperturbed finishes of each candidate over its range of head speeds; (candidates, speeds) each.

    Places are told along and left of the direction in which they are to finish.
    """

    speed: Array
    finish_x: Array
    finish_y: Array
    landing: Array
    """Carry in m, negative where it lands behind the ball."""
    met: Index
    """Which obstacle stops the ball, `CLEAR` for none."""
    off: Array
    """How far left of where it is aimed the ball starts, in rad."""
    clean: Mask
    """Whether the club meets the ball as it is meant to, (candidates,)."""
    toward: Array
    """The direction in rad left of the hole, (candidates,)."""

    @property
    def way(self) -> Array:
        """Distance of the finish in m: aimed right, an open face goes as far on the line as it did off it."""
        return _signed(self.finish_x, self.finish_y)

    def ending(self, way: Array) -> Scan:
        """The same balls told along where those rest that go nearest to ``way`` (candidates,) in m."""
        each, near = np.arange(len(way)), np.abs(self.way - way[:, None]).argmin(axis=1)
        bend = np.arctan2(self.finish_y[each, near], self.finish_x[each, near])
        x, y = _along(np.stack([self.finish_x, self.finish_y]), bend[:, None])
        return replace(self, finish_x=x, finish_y=y, toward=self.toward + bend)


def _signed(x: Array, y: Array) -> Array:
    return np.asarray(np.copysign(np.hypot(x, y), x))


def scan(bench: Bench, strokes: Strokes, count: int, before: Scan | None = None) -> Scan:
    """Play every candidate straight at the hole at ``count`` head speeds from its slowest to its fastest.

    With a scan ``before``, of as many speeds, they start in its directions ``toward`` instead, an open face
    as well: that tells how far off it starts.
    """
    share = np.linspace(0.0, 1.0, count)
    low = np.maximum(strokes.slowest, 0.02 * strokes.full_speed)[:, None]
    # Finish grows about as the square of the speed: steps that widen with speed spread evenly on the ground.
    speed = low + (strokes.fastest[:, None] - low) * share**1.2
    toward = np.zeros(len(speed)) if before is None else before.toward
    aim = np.zeros(speed.shape) if before is None else toward[:, None] - before.off
    plans = plan(np.repeat(np.arange(len(speed)), count), speed.ravel(), aim.ravel())
    ball, done = hit(bench, strokes, plans, still(1), hole=False)
    shape, to = speed.shape, np.repeat(toward, count)
    rest, carry = _along(done.rest, to).reshape(2, *shape), _signed(*_along(done.landing, to))
    off = np.arctan2(ball.velocity[1], ball.velocity[0]) - plans.aim
    clean = (ball.mishit == CLEAN).reshape(shape).all(axis=1)
    return Scan(
        speed, rest[0], rest[1], carry.reshape(shape), done.met.reshape(shape), off.reshape(shape), clean,
        toward,
    )  # fmt: skip


def _along(place: Array, toward: Array) -> Array:
    """Places (2, n) along and left of the direction ``toward`` (n,) in rad; ``place`` has 2 rows or 3."""
    c, s = np.cos(toward), np.sin(toward)
    return np.array([c * place[0] + s * place[1], c * place[1] - s * place[0]])


def scan_and_solve(
    bench: Bench, strokes: Strokes, targets: Array, tick: Callable[[], None]
) -> tuple[Scan, Plans]:
    """A `scan` of all candidates of one situation and from it plans on ``targets`` (t,) or short of them.

    The targets are aims of which the best is yet to be chosen: plans come roughly there, see `guessed`. A
    partner does every other candidate.
    """
    every = np.arange(len(strokes.slowest))
    if bench.partner is None or len(every) * int(bench.table.choose.speeds) < WORTH:
        return _scan_and_solve(bench, strokes, every, targets, tick)
    alone = replace(bench, partner=None)
    ours, theirs = both(
        bench.partner,
        partial(_scan_and_solve, alone, strokes, every[::2], targets, tick),
        partial(_scan_and_solve, alone, strokes, every[1::2], targets, unwatched),
    )
    order = np.argsort(np.concatenate([every[::2], every[1::2]]))
    scans = ((getattr(ours[0], f.name), getattr(theirs[0], f.name)) for f in fields(Scan))
    plans = ours[1].join(theirs[1])
    return (
        Scan(*(np.concatenate(pair)[order] for pair in scans)),
        plans.take(np.argsort(plans.candidate, kind="stable")),
    )


def _scan_and_solve(
    bench: Bench, strokes: Strokes, some: Index, targets: Array, tick: Callable[[], None]
) -> tuple[Scan, Plans]:
    """`scan_and_solve` of the candidates ``some``."""
    strokes = strokes.take(some)
    found = scan(bench, strokes, int(bench.table.choose.speeds))
    plans = guessed(bench, strokes, found, _goals(bench, found, targets), tick, or_nearest=True)
    return found, replace(plans, candidate=some[plans.candidate])


def first_plans(
    bench: Bench,
    strokes: Strokes,
    found: Scan,
    targets: Array,
    *,
    rounds: int,
    within: float,
    tick: Callable[[], None],
) -> Plans:
    """Plans on ``targets``, see `solve`, or short of them where none is reached in the scan ``found``.

    What jumps over all targets is planned as near as it came; what hits an obstacle on the way is not.
    """
    goals = _goals(bench, found, targets)
    plans, _ = solve(bench, strokes, found, goals, rounds=rounds, within=within, tick=tick, or_nearest=True)
    return plans


def _goals(bench: Bench, found: Scan, targets: Array) -> Array:
    """The ``targets`` of each candidate, or `PARTS` of its furthest finish where that falls short of all."""
    wanted = np.broadcast_to(targets, (len(found.speed), targets.shape[-1]))
    far = _furthest(bench, found)
    short = found.way.max(axis=1) <= np.nanmin(wanted, axis=1)
    goals = np.full((len(wanted), max(wanted.shape[1], len(PARTS))), np.nan)
    goals[:, : wanted.shape[1]] = np.where(short[:, None], np.nan, wanted)
    goals[short, : len(PARTS)] = far[short, None] * np.array(PARTS)
    return goals


def rolling_past(bench: Bench, strokes: Strokes, found: Scan) -> Plans:
    """Plans of one situation where the scan ``found`` shows no ball that rests by the hole.

    The green holds none, or what reaches it runs off on another side.
    The slowest swings of each candidate that pass it, turned so that they go over it; where such a ball
    comes to rest is not chosen.
    """
    hole = bench.situation.hole.distance
    passes = (found.finish_x > hole + MET) & (found.met == CLEAR)
    who, at = np.nonzero(passes & (passes.cumsum(axis=1) <= PASSING))
    at = np.minimum(at, found.speed.shape[1] - 2)
    start, step = found.off[who, at], np.arange(2)[:, None] + at
    more = np.diff(found.way[who, step], axis=0)[0], np.diff(found.speed[who, step], axis=0)[0]
    plans = replace(
        plan(who, found.speed[who, at], -start),
        speed_per_run=more[1] / np.maximum(more[0], 0.05),
        finish=np.stack([found.finish_x[who, at], found.finish_y[who, at]]),
    )
    for _ in range(PASSING_TURNS):
        plans = over_hole(bench, strokes, plans)
    return plans.take(np.flatnonzero(ahead(plans)))


def _furthest(bench: Bench, found: Scan) -> Array:
    """How far each candidate gets at most, in m, at the hole at most, by what meets no obstacle."""
    far = np.where(found.met != CLEAR, 0.0, found.way).max(axis=1)
    return np.asarray(np.minimum(far, bench.hole(np.arange(len(far)))))


def reaching(bench: Bench, found: Scan, targets: Array, plans: Plans) -> tuple[Plans, Index]:
    """Those of ``plans`` (k) worth playing, and which candidates come among their ``targets``.

    The others are worth it where they move the ball and go a part of what any goes to the hole; up to an
    obstacle, a part of the way to the hole as well. What starts `SIDEWAYS`, as up a bank that throws the ball
    back, is none.
    """
    plans = plans.take(np.flatnonzero(ahead(plans)))
    every = np.arange(len(found.speed))
    wanted = np.broadcast_to(targets, (len(every), targets.shape[-1]))[plans.candidate]
    way = np.hypot(*plans.finish)
    among = (way > np.nanmin(wanted, axis=1) - NEAR) & (way < np.nanmax(wanted, axis=1) + NEAR)
    reach = np.unique(plans.candidate[among])
    of, far = bench.place(every), _furthest(bench, found)
    most = np.zeros(len(bench.situations))
    np.maximum.at(most, of, far)
    stopped = (found.met != CLEAR).any(axis=1)
    least = np.where(stopped, LEAST_PART * bench.hole(every), LEAST_WAY)
    worth = far > np.maximum(least, LEAST_OF_MOST * most[of])
    worth[reach] = True
    return plans.take(np.flatnonzero(worth[plans.candidate])), reach


def ahead(plans: Plans, turn: Array | float = 0.0) -> Mask:
    """Whether each of ``plans`` (k), turned by ``turn`` rad to the left, starts towards the hole."""
    return np.asarray(np.abs(plans.toward + plans.breaks + turn) < SIDEWAYS)


def met_cleanly(bench: Bench, found: Scan, plans: Plans) -> Plans:
    """Those of ``plans`` whose club, swung without error, meets the ball as it is meant to.

    All of a situation in which no plan does: its lie leaves nothing else.
    """
    clean, of = found.clean[plans.candidate], bench.place(plans.candidate)
    some = np.bincount(of, clean, len(bench.situations)) > 0.0
    return plans.take(np.flatnonzero(clean | ~some[of]))


def solve(
    bench: Bench,
    strokes: Strokes,
    found: Scan,
    targets: Array,
    *,
    by_landing: bool = False,
    rounds: int = 3,
    within: float = MET,
    tick: Callable[[], None] | None = None,
    or_nearest: bool = False,
) -> tuple[Plans, Index]:
    """Plans that finish (or land, ``by_landing``) at each of ``targets`` (t,), distances in m on the line.

    The line is that to the hole or where the scan ``found`` was played ``toward``.
    ``targets`` may be (candidates, t), too, with NaN for none. Returns the plans and the index of each plan's
    target. Targets that no speed reaches yield no plan. ``tick`` runs before each of the ``rounds`` at most
    in which plans come ``within`` that distance in m. A candidate none of whose plans comes near has none or,
    if ``or_nearest``, the nearest one on the line that met no obstacle.
    """
    plans, target_of, goal, bracket = _sought(found, found.landing if by_landing else found.way, targets)
    if not len(goal):
        return plans, target_of
    who, s, a, to = plans.candidate, plans.speed, plans.aim, plans.toward
    shape = len(s)
    missed = np.full(shape, np.inf)
    best = [
        np.full(shape, np.inf),
        s.copy(),
        a.copy(),
        np.zeros(shape),
        np.zeros((2, shape)),
        np.zeros((2, shape)),
        np.zeros(shape),
    ]
    left = np.arange(shape)
    for number in range(rounds + 1):
        if not len(left):
            break
        if tick is not None:
            tick()
        ball, done = hit(bench, strokes, plan(plans.candidate[left], s, a), still(1), hole=False)
        landing, rest = _along(done.landing, to[left]), _along(done.rest, to[left])
        reached = landing[0] if by_landing else rest[0]
        gap = reached - goal[left]
        error = np.hypot(gap, 0.0 if by_landing else rest[1])
        better = error < best[0][left]
        # An open face starts the ball far from where it looks: only the ball's own line is the break.
        breaks = np.arctan2(ball.velocity[1], ball.velocity[0]) - to[left]
        now = (error, s, a, breaks, landing, rest, done.met)
        for new, old in zip(now, best, strict=True):
            old[..., left[better]] = new[..., better]
        bracket.tried(s, gap)
        bracket.told(s, reached, goal[left])
        s = bracket.next()
        a = a - np.arctan2(rest[1], np.maximum(rest[0], 0.5))
        on = np.flatnonzero((error > within) & ((number == 0) | (error < np.maximum(JUMP, 0.5 * missed))))
        left, s, a, missed, bracket = left[on], s[on], a[on], error[on], bracket.take(on)
    error, s, a, breaks, landing, rest, met = best
    near = error < NEAR
    if or_nearest:
        straight = (met == CLEAR) & (np.abs(rest[1]) < NEAR) & np.isfinite(error)
        near[_nearest(who, error, straight & ~np.isin(who, who[near]))] = True
    keep = np.flatnonzero(near)
    putt = strokes.putt[plans.candidate] > 0.5
    run = np.where(putt, rest[0], rest[0] - landing[0])
    every = np.ones(shape, dtype=bool)
    made = Plans(who, s, a, run, plans.speed_per_run, breaks, to, _along(rest, -to), every).take(keep)
    return made if by_landing else over_hole(bench, strokes, made), target_of[keep]


def _sought(found: Scan, value: Array, targets: Array) -> tuple[Plans, Index, Array, _Bracket]:
    """Plans yet to be tried where ``value`` (candidates, speeds) of the scan passes ``targets``, see `solve`.

    Beside them the index of each plan's target, the target itself in m, and the speeds between which it lies.
    """
    wanted = np.broadcast_to(targets, (len(value), targets.shape[-1]))
    beyond = value[:, None] - wanted[..., None] > 0.0
    crosses = ~beyond[..., :-1] & beyond[..., 1:]
    once: Mask = np.asarray(crosses.any(axis=2))
    lowest = crosses.argmax(axis=2)
    highest = crosses.shape[2] - 1 - crosses[..., ::-1].argmax(axis=2)
    twice: Mask = once & (highest > lowest)
    who, target_of = np.concatenate([once.nonzero(), twice.nonzero()], axis=1)
    at = np.concatenate([lowest[once], highest[twice]])
    order = np.lexsort((at, target_of, who))
    who, target_of, at = who[order], target_of[order], at[order]
    goal = wanted[who, target_of]
    (low, short, y0, x0), (high, past, y1, x1) = (
        (found.speed[who, k], value[who, k] - goal, found.finish_y[who, k], found.finish_x[who, k])
        for k in (at, at + 1)
    )
    part = short / (short - past)
    turn = -np.arctan2(y0 + part * (y1 - y0), np.maximum(x0 + part * (x1 - x0), 0.5))
    per_run = (high - low) / np.maximum(past - short, 0.05)
    to = found.toward[who]
    plans = replace(plan(who, low + part * (high - low), to + turn), speed_per_run=per_run, toward=to)
    return plans, target_of, goal, _Bracket(who, low, short, high, past, np.zeros(len(who)))


def guessed(
    bench: Bench,
    strokes: Strokes,
    found: Scan,
    targets: Array,
    tick: Callable[[], None],
    or_nearest: bool = False,
) -> Plans:
    """Plans on ``targets`` as `solve` makes them, of one round: those that came `ON_AIM`, and guesses.

    Where the finish does not jump a plan is put right by what one ball tells, and is yet to be tried. Where
    it does, the plan goes as near as another one of its candidate happened to come.
    """
    plans, _, goal, bracket = _sought(found, found.way, targets)
    if not len(goal):
        return plans
    tick()
    who = plans.candidate
    ball, done = hit(bench, strokes, plans, still(1), hole=False)
    rest, gap = done.rest[:2], done.rest[0] - goal
    error, turn = np.hypot(gap, rest[1]), -np.arctan2(rest[1], np.maximum(rest[0], 0.5))
    bracket.tried(plans.speed, gap)
    bracket.told(plans.speed, rest[0], goal)
    rises = (bracket.past - bracket.short) / np.maximum(bracket.high - bracket.low, 1e-9)
    jumps = (error > NEAR) & (rises > STEEP * 2.0 * goal / plans.speed)
    off = ~jumps & (np.abs(gap) > ON_AIM)
    # Whose ball each plan takes: its own, or where it jumps the nearest one that is of no better use.
    take, keep, lost = np.arange(len(goal)), ~jumps, np.flatnonzero(jumps)
    apart = np.hypot(rest[0] - goal[lost, None], rest[1])
    apart[(who != who[lost, None]) | (keep & ~off)] = np.inf
    near = np.flatnonzero(apart.min(axis=1) < BESIDE)
    others, first = np.unique(apart.argmin(axis=1)[near], return_index=True)
    take[lost[near[first]]], keep[lost[near[first]]] = others, True
    if or_nearest:
        straight = (done.met == CLEAR) & (np.abs(rest[1]) < NEAR)
        keep[_nearest(who, error, straight & ~np.isin(who, who[keep]))] = True
    turned = ~jumps & (error > ON_AIM)
    run = np.where(strokes.putt[who] > 0.5, rest[0], rest[0] - done.landing[0])
    breaks = np.arctan2(ball.velocity[1], ball.velocity[0])
    made = Plans(
        who,
        np.where(off, bracket.next(), plans.speed[take]),
        plans.aim[take] + turned * turn,
        run[take] - off * gap,
        plans.speed_per_run,
        breaks[take] + turned * turn,
        plans.toward,
        np.where(off, [goal, np.zeros(len(goal))], rest[:, take]),
        ~turned,
    )
    return over_hole(bench, strokes, made.take(np.flatnonzero(keep)), tick, guess=True)


def _nearest(candidate: Index, error: Array, among: Mask) -> Index:
    """Of each ``candidate`` (n,) that has some the plan ``among`` all with the least ``error`` (n,)."""
    some = np.flatnonzero(among)
    some = some[np.lexsort((error[some], candidate[some]))]
    return np.asarray(some[np.unique(candidate[some], return_index=True)[1]])


@dataclass
class _Bracket:
    """Two speeds of each of n plans between which lies the one that is sought; arrays are (n,)."""

    candidate: Index
    """In order."""
    low: Array
    """The slower one in m/s, and how far beyond the goal it goes in m: not at all."""
    short: Array
    high: Array
    past: Array
    last: Array
    """Which of both was found in the last step: -1 the slower, 1 the faster one."""

    def take(self, index: Index) -> _Bracket:
        """The plans in ``index``."""
        return _Bracket(*(getattr(self, f.name)[index] for f in fields(self)))

    def tried(self, speed: Array, gap: Array) -> None:
        """Take in how far in m beyond its goal each plan goes at its next ``speed``, by the Illinois rule.

        Finish against speed bends, and jumps at edges.
        """
        under = gap <= 0.0
        self.past = np.where(under, np.where(self.last < 0.0, 0.5 * self.past, self.past), gap)
        self.short = np.where(under, gap, np.where(self.last > 0.0, 0.5 * self.short, self.short))
        self.low, self.high = np.where(under, speed, self.low), np.where(under, self.high, speed)
        self.last = np.where(under, -1.0, 1.0)

    def told(self, speed: Array, reached: Array, goal: Array) -> None:
        """Take in what the other plans of the same candidate ``reached`` in m at their ``speed``."""
        most = int(np.bincount(self.candidate).max(initial=1))
        for d in range(1, most):
            for mine, other in ((slice(d, None), slice(None, -d)), (slice(None, -d), slice(d, None))):
                gap, fast, low, high = (
                    reached[other] - goal[mine],
                    speed[other],
                    self.low[mine],
                    self.high[mine],
                )
                inside = (self.candidate[mine] == self.candidate[other]) & (fast > low) & (fast < high)
                under, over = inside & (gap <= 0.0), inside & (gap > 0.0)
                np.copyto(low, fast, where=under)
                np.copyto(self.short[mine], gap, where=under)
                np.copyto(high, fast, where=over)
                np.copyto(self.past[mine], gap, where=over)

    def next(self) -> Array:
        """The speed in m/s to be tried next."""
        return self.low + (self.high - self.low) * self.short / np.minimum(self.short - self.past, -1e-9)


def slanted(situation: Situation) -> bool:
    """Whether a rolling ball is drawn to one side on this green."""
    green = situation.green
    return green.slope_across != 0.0 or green.grain in ("left", "right") or bool(situation.survey.file)


def over_hole(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    tick: Callable[[], None] | None = None,
    guess: bool = False,
) -> Plans:
    """``plans`` with those that break and finish past the hole turned so that they cross its middle.

    On a green that breaks a ball meant to stop behind the hole on its line would pass beside it: it breaks
    most at the end. Where that is a ``guess`` they are yet to be tried; all others that break are then tried.
    """
    of = bench.place(plans.candidate)
    hole = bench.hole(plans.candidate)
    bends = np.array([slanted(s) for s in bench.situations])[of]
    past = bends & (plans.toward == 0.0) & (plans.finish[0] > hole + MET)
    some = np.flatnonzero(past | (bends & ~plans.tried))
    if not len(some):
        return plans
    turned, way = plans.take(some), hole[some]
    for left in range(TURNS, guess - 1, -1):
        if tick is not None:
            tick()
        _, done = hit(bench, strokes, turned, still(1), hole=False, trace=left > 0)
        turned = rested(strokes, turned, done.rest[0], done.rest[1], done.landing[0])
        if left:
            beside = np.where(past[some], _beside(done, way), np.nan)
            turn = np.where(np.isfinite(beside), -np.arctan2(beside, way), 0.0)
            turned = replace(
                turned, aim=turned.aim + turn, breaks=turned.breaks + turn, tried=~np.isfinite(beside)
            )
    return plans.put(some, turned)


def _beside(done: Result, hole: Array) -> Array:
    """How far left of the hole, in m, n traced balls pass it on the ground (n,); NaN where they do not."""
    out = np.full(len(hole), np.nan)
    assert done.path is not None
    who, time, place, velocity = done.path.by_ball()
    start, end = slice(None, -1), slice(1, None)
    passes = (
        (who[start] == who[end]) & (place[0, start] < hole[who[start]]) & (place[0, end] >= hole[who[end]])
    )
    at = np.flatnonzero(passes & (done.landing[0, who[start]] < hole[who[start]]))
    ball, first = np.unique(who[at], return_index=True)
    at = at[first]
    low, high = np.zeros(len(at)), np.ones(len(at))
    dt = time[at + 1] - time[at]

    def there(k: int, share: Array) -> Array:
        """Between both ends of the step."""
        return cubic(place[k, at], place[k, at + 1], dt * velocity[k, at], dt * velocity[k, at + 1], share)

    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        short = there(0, middle) < hole[ball]
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    out[ball] = there(1, low)
    return out
