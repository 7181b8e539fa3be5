"""Several shots side by side with one thing held equal: where they land, where they finish, or the swing.

Balls run over the hole here, so that runs can be compared; nothing scatters. A shot that the rules would not
offer is played all the same and carries the reason, as in `advice.trace`. What something stops on the line to
the hole goes past an edge of it, as in `advice.detour`, with the same thing equal on the line it has there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import cos, sin
from typing import Literal

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import explain
from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Ball, Stroke, Strokes, stroke
from shortgame_gui.advice.detour import MARGIN, barriers, directions
from shortgame_gui.advice.escapes import left_at
from shortgame_gui.advice.explain import swing_code
from shortgame_gui.advice.result import SetUp, Track
from shortgame_gui.advice.rules import Candidate, refusal
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import Bench, Plans, Scan, hit, plan, scan, solve
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import ENDINGS
from shortgame_gui.advice.ways import tracks_of
from shortgame_gui.model.club import Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.physics.obstacles import CLEAR
from shortgame_gui.physics.shot import Result

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Held = Literal["landing", "finish", "swing"]
HELD: tuple[Held, ...] = ("landing", "finish", "swing")
Pick = tuple[Club, str]
"""A club and the technique it is played with."""

NOT_DONE = (
    "does_not_land",
    "stopped",
    "no_speed_lands_there",
    "no_speed_finishes_there",
    "swing_out_of_range",
)
"""Reason codes why a shot cannot be shown with the thing held equal; words/ has a sentence for each."""

NEAR = {"landing": 0.05, "finish": 0.15}
"""How near in m a shot must come to what is held equal; finishes jump at edges and tiers."""
AGAIN = 0.02
"""How near in m to the landing spot an earlier swing must come to be played again."""
STRAIGHT = 0.002
"""Aim in rad off the line below which a ball that finishes on the line lands on it, too."""
ROUNDS = 2
"""Steps of the solver; with the scan of `choose.speeds` they end within millimetres."""
WIDEST = np.radians(45.0)
"""Directions further from the hole are another shot than the one that is compared."""
AIMINGS = 2
"""Times that a swing held equal is aimed anew; an open face starts the ball far from where it looks."""


@dataclass(frozen=True)
class Compared:
    """One shot of a comparison: lengths in m, speeds in m/s, angles in rad, spin in rad/s, times in s."""

    club: Club
    technique: str
    refused: str | None
    """Reason code where the rules would not offer this shot here."""
    swing: str
    head_speed: float
    share: float
    """Head speed over this club's full swing."""
    aim: float
    toward: float
    """Direction in rad left of the hole of its line: 0 on that to the hole, else past what stands in it."""
    delivered_loft: float
    attack: float
    ball_speed: float
    launch: float
    spin: float
    carry: float
    flight_time: float
    apex: float
    landing_angle: float
    landing_speed: float
    landing_surface: str
    bounces: int
    forward_before: float
    """Speed along the ground at the first landing."""
    forward_after: float
    """Speed along the ground after the first bounce in the direction of the flight; negative backwards."""
    spin_after: float
    run: float
    """Signed: negative when it spins back."""
    total: float
    air_share: float
    stop_time: float
    """From the first landing to rest."""
    ending: str
    """As in `advice.trace.ENDINGS`; never holed."""
    obstacle: bool
    """Whether something in the way stopped it."""
    track: Track = field(repr=False)
    setup: SetUp = field(default_factory=lambda: SetUp(()))
    """Cues of how to stand, as those of an advised shot."""

    @property
    def key(self) -> tuple[str, str]:
        """Club name and technique."""
        return (self.club.name, self.technique)

    @property
    def putt(self) -> bool:
        return self.technique == "putt"


@dataclass(frozen=True)
class NotDone:
    """A shot that cannot have the thing held equal: reason code, and the reach it has, in SI."""

    club: Club
    technique: str
    reason: str
    low: float
    high: float

    @property
    def key(self) -> tuple[str, str]:
        """Club name and technique."""
        return (self.club.name, self.technique)


@dataclass(frozen=True)
class Comparison:
    """All shots asked for, in the order asked, with ``held`` at ``value`` (m or m/s)."""

    situation: Situation
    held: Held
    value: float
    shots: tuple[Compared, ...]
    not_done: tuple[NotDone, ...]


CLOSE = 0.25
"""Share of the way to the hole up to which it is asked of a landing spot whether a shot gets half way."""


def usual_value(situation: Situation, picks: Sequence[Pick], table: Coefficients, held: Held) -> float:
    """A sensible value of what is held: where one lands, the hole, or a swing that gets there.

    One lands just on the green or, where no pick gets on from there, so as to finish at the hole or near it.

    m, or m/s for a swing, which is that of the first pick that can finish at the hole.
    """
    green, hole = situation.green, situation.hole.distance
    if held == "finish":
        return hole
    if held == "landing":
        # A pace on to the green, yet short of the hole; from the green's own edge a third of the way.
        near = min(green.front + 1.0, 0.5 * (green.front + hole)) if green.front > 0.0 else 0.35 * hole
        if near > CLOSE * hole:
            return near
        # So far from the hole nobody lands a splash or a pitch, which hardly run.
        done = compare(situation, picks, table, "landing", near).shots
        if any(shot.total > 0.5 * hole for shot in done):
            return near
        for share in (1.0, 0.8, 0.6):
            meant = compare(situation, picks, table, "finish", share * hole).shots
            if meant:
                return min(shot.carry for shot in meant)
        return near
    found = compare(situation, picks, table, "finish", hole)
    if found.shots:
        return found.shots[0].head_speed
    return 0.3 * max((stroke_of(situation, p, table).full_speed for p in picks), default=30.0)


def compare(
    situation: Situation,
    picks: Sequence[Pick],
    table: Coefficients,
    held: Held,
    value: float | None = None,
    *,
    before: Comparison | None = None,
) -> Comparison:
    """Play every pick once, unperturbed, with ``held`` at ``value`` (`usual_value` if None).

    ``landing`` and ``finish`` are distances in m along the line, ``swing`` is the head speed in m/s. Balls
    are aimed to land on the line where the landing is held, else to come to rest on it. The line is that to
    the hole or, for what is stopped there, one past what stops it. Raises KeyError for
    an unknown technique. ``before`` may be an earlier comparison: where its swings still land on the spot,
    nothing is solved anew.
    """
    at = usual_value(situation, picks, table, held) if value is None else value
    if not picks:
        return Comparison(situation, held, at, (), ())
    bench = bench_of(situation, table)
    strokes = Strokes.of([stroke_of(situation, pick, table) for pick in picks])
    if before is not None and held == before.held == "landing" and at == before.value:
        again = _again(bench, strokes, picks, before)
        if again is not None:
            return Comparison(situation, held, at, again, before.not_done)
    found: Scan | None = None
    if held == "swing":
        plans = swung(bench, strokes, at)
    else:
        found = scan(bench, strokes, int(table.choose.speeds))
        plans, _ = solve(bench, strokes, found, np.array([at]), by_landing=held == "landing", rounds=ROUNDS)
    if held == "landing":
        plans = _on_line(bench, strokes, plans, at)
    shots: dict[int, Compared] = {}
    for who, shot in _played(bench, strokes, plans, picks):
        if who not in shots and holds(shot, held, at):
            shots[who] = shot
    stopped = [k for k in range(len(picks)) if k not in shots or (held == "swing" and shots[k].obstacle)]
    shots |= _round(bench, strokes, picks, np.array(stopped, dtype=np.intp), held, at, found)
    left = tuple(_not_done(pick, k, strokes, held, found) for k, pick in enumerate(picks) if k not in shots)
    return Comparison(situation, held, at, tuple(shots[k] for k in sorted(shots)), left)


def holds(shot: Compared, held: Held, value: float) -> bool:
    """Whether ``shot`` has the thing held equal, near enough to be called so."""
    if held == "landing":
        return not shot.putt and _beside(shot, value) <= NEAR["landing"]
    if held == "finish":
        # A ball that ended in water or still rolls has no finish.
        x, y = shot.track.position[:2, -1].tolist()
        along = x * cos(shot.toward) + y * sin(shot.toward)
        return shot.ending == "at_rest" and abs(along - value) <= NEAR["finish"]
    return True


def _beside(shot: Compared, value: float) -> float:
    """How far in m ``shot`` lands from the spot ``value`` m out on its line."""
    x, y = shot.track.position[:2, shot.track.landing]
    return float(np.hypot(x - value * cos(shot.toward), y - value * sin(shot.toward)))


def _round(
    bench: Bench,
    strokes: Strokes,
    picks: Sequence[Pick],
    some: Index,
    held: Held,
    value: float,
    found: Scan | None,
) -> dict[int, Compared]:
    """Of the picks ``some``, those that have the thing held equal past an edge of what stands in the way.

    ``found`` is the scan of all picks at the hole; a swing held equal needs none. All go round on the side on
    which most can and, of two such, least is left from where they stop.
    """
    blocks, _ = barriers(bench.situation)
    if blocks is None or not len(some):
        return {}
    margin = MARGIN * strokes.spread_face[some]
    way = directions(blocks, margin, bench.table.ball.radius, bench.left_handed)
    shot, number = (np.abs(way) <= WIDEST).nonzero()  # none is NaN
    who, toward = some[shot], way[shot, number]
    if not len(who):
        return {}
    made, ways = strokes.take(who), [picks[k] for k in who.tolist()]
    if found is None:
        plans = swung(bench, made, value, toward)
    else:
        before = Scan(**{f: v[who] for f, v in vars(found).items()} | {"toward": toward})
        there = scan(bench, made, found.speed.shape[1], before)
        if held == "finish":  # what bends aside goes past the edge all the same
            there = there.ending(np.full(len(who), value))
        plans, _ = solve(bench, made, there, np.array([value]), by_landing=held == "landing", rounds=ROUNDS)
        if held == "landing":
            plans = _on_line(bench, made, plans, value)
    base = baseline(bench.situation.player.level, bench.table)
    sides: dict[bool, dict[int, tuple[float, Compared]]] = {True: {}, False: {}}
    for lane, done in _played(bench, made, plans, ways):
        if done.obstacle or not holds(done, held, value):
            continue
        left = float(left_at(bench, base, *done.track.position[:2, -1:])[0])
        k, side = int(who[lane]), sides[bool(toward[lane] > 0.0)]
        if k not in side or left < side[k][0]:
            side[k] = (left, done)
    one, other = sorted(sides.values(), key=lambda side: (-len(side), sum(left for left, _ in side.values())))
    return {k: done for k, (_, done) in (other | one).items()}


def _on_line(bench: Bench, strokes: Strokes, plans: Plans, value: float) -> Plans:
    """``plans``, which finish on the line, aimed and swung so that they land on it, ``value`` m out.

    Where the ground breaks a ball these are two different aims. On the level nothing is played anew.
    """
    turned = np.abs(plans.breaks) > STRAIGHT
    to, aim = plans.toward, plans.aim - plans.breaks
    speed = plans.speed * np.where(turned, np.sqrt(np.cos(plans.breaks)), 1.0)
    wind = bench.situation.air.wind_across
    for _ in range(AIMINGS if len(aim) and (wind or turned.any()) else 0):
        _, done = hit(bench, strokes, plan(plans.candidate, speed, aim), still(1), hole=False)
        x, y = done.landing[0], done.landing[1]
        aim = aim - (np.arctan2(y, np.maximum(x, 0.1)) - to)
        speed = speed * np.clip(np.sqrt(value / np.maximum(np.hypot(x, y), 0.1)), 0.9, 1.1)
    return replace(plan(plans.candidate, speed, aim), toward=to)


def _played(
    bench: Bench, strokes: Strokes, plans: Plans, picks: Sequence[Pick]
) -> Iterator[tuple[int, Compared]]:
    """Every plan played, with the number of its pick."""
    if len(plans.speed):
        ball, result = hit(bench, strokes, plans, still(1), hole=False, trace=True)
        for lane, (who, way) in enumerate(zip(plans.candidate.tolist(), tracks_of(result), strict=True)):
            yield who, _shot(bench, strokes, plans, picks[who], lane, ball, result, way)


def _again(
    bench: Bench, strokes: Strokes, picks: Sequence[Pick], before: Comparison
) -> tuple[Compared, ...] | None:
    """The swings of an earlier comparison played here, or None unless all still land on its spot."""
    swings = {(shot.club, shot.technique): shot for shot in before.shots}
    missed = {(shot.club, shot.technique): shot for shot in before.not_done}
    if set(picks) != set(swings) | set(missed) or any(s.reason != "does_not_land" for s in missed.values()):
        return None
    who = [k for k, pick in enumerate(picks) if pick in swings]
    fields = ("head_speed", "aim", "toward")
    speed, aim, toward = (np.array([getattr(swings[picks[k]], f) for k in who]) for f in fields)
    plans = replace(plan(np.array(who, dtype=np.intp), speed, aim), toward=toward)
    shots = tuple(shot for _, shot in _played(bench, strokes, plans, picks))
    met = any(shot.toward and shot.obstacle for shot in shots)
    return shots if not met and all(_beside(shot, before.value) <= AGAIN for shot in shots) else None


def stroke_of(situation: Situation, pick: Pick, table: Coefficients) -> Stroke:
    """How ``pick`` is delivered in ``situation``."""
    club, technique = pick
    if technique not in TECHNIQUES:
        raise KeyError(technique)
    learning = getattr(situation.player.techniques, technique) == "learning"
    return stroke(situation, Candidate(club, technique, learning), table)


def swung(bench: Bench, strokes: Strokes, speed: float, toward: Array | None = None) -> Plans:
    """Plans with head speed ``speed`` in m/s for all that are swung so, aimed to finish on the line.

    With directions ``toward`` (n,) in rad left of the hole on those lines.
    """
    who = np.flatnonzero((strokes.slowest <= speed) & (speed <= strokes.fastest))
    to = np.zeros(len(who)) if toward is None else toward[who]
    aim = to
    plans = plan(who, np.full(len(who), speed), aim)
    for _ in range(AIMINGS if len(who) else 0):
        _, done = hit(bench, strokes, plans, still(1), hole=False)
        aim = aim - (np.arctan2(done.rest[1], np.maximum(done.rest[0], 0.1)) - to)
        plans = plan(who, plans.speed, aim)
    return replace(plans, toward=to)


def _not_done(pick: Pick, k: int, strokes: Strokes, held: Held, found: Scan | None) -> NotDone:
    club, technique = pick
    if held == "swing" or found is None:
        slow, fast = float(strokes.slowest[k]), float(strokes.fastest[k])
        return NotDone(club, technique, "swing_out_of_range", slow, fast)
    if held == "landing" and technique == "putt":
        return NotDone(club, technique, "does_not_land", 0.0, 0.0)
    reach = found.landing[k] if held == "landing" else found.way[k]
    reason = "no_speed_lands_there" if held == "landing" else "no_speed_finishes_there"
    if found.met[k, reach.argmax()] != CLEAR:
        reason = "stopped"
    return NotDone(club, technique, reason, float(reach.min()), float(reach.max()))


def _shot(
    bench: Bench,
    strokes: Strokes,
    plans: Plans,
    pick: Pick,
    lane: int,
    ball: Ball,
    result: Result,
    track: Track,
) -> Compared:
    """Everything told of the shot in ``lane``."""
    club, technique = pick
    putt = technique == "putt"
    velocity, down = ball.velocity[:, lane], result.landing_velocity[:, lane]
    carry = 0.0 if putt else float(np.hypot(result.landing[0, lane], result.landing[1, lane]))
    total = float(np.copysign(np.hypot(*result.rest[:2, lane]), result.rest[0, lane]))
    before = float(np.hypot(down[0], down[1]))
    after, spin_after = before, -float(result.landing_spin[1, lane])
    if result.bounces is not None and result.count[lane]:
        out = result.bounces.velocity_out[0, :, lane]
        after = float(out[0] * down[0] + out[1] * down[1]) / max(before, 1e-9)
        spin_after = -float(result.bounces.spin_out[0, 1, lane])
    where = bench.ground.surface(result.landing[:1, lane], result.landing[1:2, lane], np.zeros(1, np.intp))
    share = float(plans.speed[lane] / strokes.full_speed[plans.candidate[lane]])
    made = Compared(
        club=club,
        technique=technique,
        refused=refusal(bench.situation, club, technique),
        swing="stroke" if putt else swing_code(share, bench.table),
        head_speed=float(plans.speed[lane]),
        share=share,
        aim=float(plans.aim[lane]),
        toward=float(plans.toward[lane]),
        delivered_loft=float(ball.loft[lane]),
        attack=float(ball.attack[lane]),
        ball_speed=float(np.sqrt((velocity * velocity).sum())),
        launch=float(np.arctan2(velocity[2], np.hypot(velocity[0], velocity[1]))),
        spin=-float(ball.spin[1, lane]),
        carry=carry,
        flight_time=float(result.landing_time[lane]),
        apex=float(result.apex[lane]),
        landing_angle=0.0 if putt else float(np.arctan2(-down[2], before)),
        landing_speed=0.0 if putt else float(np.sqrt((down * down).sum())),
        landing_surface=SURFACES[int(where[0])],
        bounces=0 if putt else int(result.count[lane]),
        forward_before=before,
        forward_after=after,
        spin_after=spin_after,
        run=total - carry,
        total=total,
        air_share=carry / (carry + max(total - carry, 0.0)) if carry > 0.0 else 0.0,
        stop_time=float(result.time[lane] - result.landing_time[lane]),
        ending=ENDINGS[int(result.ending[lane])],
        obstacle=bool(result.met[lane] != CLEAR),
        track=track,
    )
    return replace(made, setup=explain.setup(bench.situation, made, bench.table))
