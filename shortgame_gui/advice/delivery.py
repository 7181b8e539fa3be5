"""From technique, lie, stance and player to the club as it meets the ball.

Angles come from turning vectors, not from tables: the face is turned about the shaft when it is opened,
about the line when heel or slope lift it, and about the cross axis by lean and slope. The set-up frame has
x along the line of play, y to the left, z along the normal of the ground; a left-hander is its mirror.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import cos, sin

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.spreads import Draws
from shortgame_gui.model.coefficients import Coefficients, LevelRow, Technique
from shortgame_gui.model.player import THROUGH
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import steps_from_medium
from shortgame_gui.physics.strike import Delivered, direction, face_normal, strike

Array = npt.NDArray[np.float64]

MISHITS = ("clean", "fat", "thin", "blade", "shank", "toe", "slid_under")
CLEAN, FAT, THIN, BLADE, SHANK, TOE, SLID_UNDER = range(len(MISHITS))

SWING = ("speed", "loft", "attack", "face", "path")
"""Errors of a swing that now and then are far larger than usual; a putter's stroke is steadier."""

OUT_OF_REACH = 1.0
"""Height of a face, in m, under which no ball is slid."""

FLATTEST = 0.05
"""Least angle to the ground, in rad, at which a ball comes out of it."""

SLOWEST_SHARE = 0.05
"""Least share of head speed that any disturbance leaves, so that speed stays positive."""


@dataclass(frozen=True)
class Stroke:
    """How one candidate is delivered here before any error; angles in rad, speeds in m/s, SI throughout."""

    putt: bool
    loft: float
    """Elevation of the face's normal in the world frame."""
    face: float
    """Azimuth of the face, left of the aim for either hand (mirrored for a left-hander)."""
    attack: float
    bounce: float
    """Effective bounce against the ground under the ball."""
    full_speed: float
    """Fastest head speed on this stance, in m/s."""
    level_speed: float
    """The same on level ground: part of it is what a swing is, however little a slope lets a player swing."""
    slowest: float
    fastest: float
    friction: float
    grass: float
    """Grass between face and ball and on the way out, in m."""
    spread_speed: float
    part_swing: float
    """By how much the spread of head speed grows at most for a swing held back."""
    part_swing_half: float
    """Share of full head speed at which half of that is left."""
    part_swing_power: float
    stock: float
    """How much of that fall this kind of swing has."""
    spread_floor: float
    spread_loft: float
    loft_attack: float
    spread_face: float
    spread_path: float
    spread_low: float
    """Spread of where the club meets the ground, in m along the line."""
    spread_side: float
    means_through: bool
    """Whether the technique means to enter behind the ball."""
    entry: float
    """Where the club means to enter the ground behind the ball, in m; negative where it is to meet the
    ball first."""
    sunk: float
    """Height of the ground over the ball's bottom, in m; negative where the ball stands on grass."""
    descent: float
    """Fall of the edge towards that ground over its way, 1 or less."""
    deeper: float
    """How much deeper in m than clean a ball lies that is to be passed under."""
    further: float
    """How much further behind the ball, in m, the club means to enter for that."""
    fall: float
    """Fall of the edge in that ground over its way, less than `descent` where the sole is turned up."""
    more: float
    """How much lower in m than under a clean ball the edge means to pass, and can."""
    load: float
    """Mass in front of the head over its own, for each m2 that is cut in the plane of the swing."""
    burden: float
    """Mass of the grass in which a ball is down, over the head's."""
    breaks: float
    """Elevation in rad at which ground breaks out that is pushed."""
    tilt: float
    """Slope of the ground under the ball along the line, in rad."""
    lift: float
    """Height of the edge over the ground when the sole just touches that, in m."""
    give: float
    """How far the sole goes into the ground over how far the swing would take it: 0 where it glides, above 1
    where it digs for want of bounce, negative where firm ground throws it up."""
    transfer: float
    """Ball speed over head speed for an entry at the ball, through sand or grass; 0 on turf, where what is
    cut takes its share of the ball's speed from a clean strike."""
    transfer_length: float
    through_launch: float
    through_spin: float
    spin_length: float
    heel: float
    top: float
    """Height of the face's upper end over its edge, in m; out of reach where no grass holds the ball up."""
    read_speed: float
    read_slope: float


Vector = tuple[float, float, float]


def turn_x(v: Vector, angle: float) -> Vector:
    """``v`` turned about the x axis by ``angle`` in rad (y towards z)."""
    c, s = cos(angle), sin(angle)
    return v[0], c * v[1] - s * v[2], s * v[1] + c * v[2]


def turn_up(v: Vector, angle: float) -> Vector:
    """``v`` turned about the cross axis by ``angle`` in rad so that x rises towards z."""
    c, s = cos(angle), sin(angle)
    return c * v[0] - s * v[2], v[1], s * v[0] + c * v[2]


def turn_about(v: Vector, axis: Vector, angle: float) -> Vector:
    """``v`` turned about the unit ``axis`` by ``angle`` in rad (Rodrigues)."""
    (x, y, z), (a, b, d), c, s = v, axis, cos(angle), sin(angle)
    along = (a * x + b * y + d * z) * (1.0 - c)
    return (
        x * c + (b * z - d * y) * s + a * along,
        y * c + (d * x - a * z) * s + b * along,
        z * c + (a * y - b * x) * s + d * along,
    )


def address(
    loft: float, bounce: float, lie: float, heel: float, opened: float, lean: float
) -> tuple[Vector, Vector]:
    """Unit normals of face and sole of a right-hander's club set to the ground; angles in rad.

    ``opened`` is the turn of the face about the shaft (to the right), ``heel`` how much more upright the
    shaft stands than the club's ``lie``, ``lean`` how far the shaft leans forward.
    """
    shaft = turn_x((0.0, cos(lie), sin(lie)), heel)
    face = turn_x((cos(loft), 0.0, sin(loft)), heel)
    sole = turn_x((sin(bounce), 0.0, -cos(bounce)), heel)
    face, sole = turn_about(face, shaft, -opened), turn_about(sole, shaft, -opened)
    return turn_up(face, -lean), turn_up(sole, -lean)


def head_speed_scale(situation: Situation, level: LevelRow, table: Coefficients) -> float:
    """The player's length over that of the level, from the full wedge carry that the player states."""
    carry = situation.player.wedge_carry
    return 1.0 if carry <= 0.0 else float((carry / level.wedge_carry) ** table.delivery.carry_power)


def grass_between(situation: Situation, table: Coefficients) -> float:
    """Height of grass in m that stands between face and ball."""
    lie, out = situation.lie, table.grass_out
    height = lie.rough_depth if lie.ground == "rough" else table.lie[lie.ground].grass
    height *= table.sits[lie.sits].depth
    if lie.ground == "sand":
        return height
    height *= out.wiry if lie.grass == "wiry" else 1.0
    height *= {"none": 1.0, "with": 1.0 / out.grain, "against": out.grain}[lie.grain]
    return height + (out.collar if lie.collar else 0.0)


def friction(situation: Situation, groove_shots: float, grass: float, table: Coefficients) -> float:
    """Friction coefficient between ball and face for this lie, cover, wetness and wear."""
    lie, d, g = situation.lie, table.delivery, table.grass_out
    base = table.lie[lie.ground].friction * table.sits[lie.sits].friction
    if lie.ground == "rough":
        base = max(g.friction_floor, base * float(np.exp(-grass / g.friction_length)))
    covered = min(grass / g.full_share, 1.0)
    worn = 1.0 - float(np.exp(-groove_shots / d.groove_life))
    dirty = max(covered, 1.0 if lie.wet else 0.0)
    base *= 1.0 - worn * (d.groove_loss_dry + dirty * (d.groove_loss_grass - d.groove_loss_dry))
    if situation.player.ball_cover == "hard":
        # Deep grass between the two takes the cover's advantage away.
        base *= d.cover_hard + covered * (1.0 - d.cover_hard)
    return base * (d.wet_face if lie.wet else 1.0)


def balance(slope_along: float, slope_across: float, table: Coefficients) -> float:
    """Share of full head speed that footing on the slope allows."""
    d = table.delivery
    steep = max(float(np.hypot(slope_along, slope_across)) - d.balance_start, 0.0)
    return max(1.0 - d.balance_loss * steep, d.balance_floor)


def embedded(situation: Situation, table: Coefficients) -> float:
    """How deep in m a ball that lies in no sand is in the ground: deeper than at the bottom of the grass."""
    sits = table.sits
    return table.through.embedded * max(sits[situation.lie.sits].depth - sits["nested"].depth, 0.0)


def sunk_under(situation: Situation, table: Coefficients) -> float:
    """Height in m of sand or soil over the ball's bottom, negative where grass holds the ball above it."""
    lie, sits = situation.lie, table.sits
    deep = sits[lie.sits].depth
    if lie.ground == "sand":
        return table.sand[lie.sand].sunk + table.through.buried * (deep - sits["clean"].depth)
    height = lie.rough_depth if lie.ground == "rough" else table.lie[lie.ground].grass
    share = max(1.0 - deep, 0.0) / (1.0 - sits["up"].depth)
    # Blades that a ball has bent carry it no higher for being longer; only one that sits up has all under it.
    carries = height if share >= 1.0 else min(height, table.mishit.bent)
    stands = carries * table.mishit.up_room * share
    return table.lie[lie.ground].sunk + embedded(situation, table) - stands


def give_of(situation: Situation, width: float, angle: float, table: Coefficients) -> float:
    """How far turf lets a sole in that is ``width`` m wide and meets it at ``angle`` rad, over how far the
    swing would take it: 1 where nothing bears it, 0 where it glides, negative where it is thrown up.

    No published measurement exists: what bears the sole grows with its width, with the sine of the angle and
    with firmness (estimates).
    """
    lie, t = situation.lie, table.turf_strike
    firm = steps_from_medium(np.asarray(lie.firmness + table.lie[lie.ground].firmness), table.turf)
    borne = t.bearing * float(np.exp(t.bearing_firmness * firm)) * width * sin(max(angle, 0.0))
    return (1.0 + t.rebound) * float(np.exp(-borne)) - t.rebound


def way_under(deeper: float, fall: float, turn: float) -> tuple[float, float]:
    """How much further behind the ball an edge is to enter that is to pass ``deeper`` m lower, and how much
    lower it passes then; both in m.

    It goes down by ``fall`` over its way, and what bears the sole turns that up by ``turn`` rad a metre: no
    further than to where the sole glides.
    """
    reached = min(deeper, fall * fall / (2.0 * turn)) if turn > 0.0 else deeper
    return 2.0 * reached / (fall + float(np.sqrt(max(fall * fall - 2.0 * turn * reached, 0.0)))), reached


def meant(clear: float, lift: float, give: float) -> float:
    """How deep in m a player means to swing the edge under the ground, at the ball; negative above it.

    The face is to touch the ball ``clear`` m above the ground: an edge that passes higher is thin. One that
    goes into the ground is fat, and one that the ground throws up too far is thin as well. The middle of
    what is clean is meant, but nothing deeper than where the sole brushes the ground. Where even that holds
    the edge too high, the edge is to come to the place where the face touches.
    """
    if clear < lift:
        return (lift - clear) / max(give, 1.0) - lift
    if give > 0.0:
        deepest = lift / give - lift
    elif give < 0.0:
        deepest = (clear - lift) / -give - lift
    else:
        return -lift
    return min((deepest - clear) / 2.0, -lift)


def stroke(situation: Situation, candidate: Candidate, table: Coefficients) -> Stroke:
    """How ``candidate`` is delivered in ``situation``."""
    club, player, stance, lie = candidate.club, situation.player, situation.stance, situation.lie
    tech: Technique = table.technique[candidate.technique]
    level, d = table.level[player.level], table.delivery
    hard = level.learning if candidate.learning else 1.0
    putt = candidate.technique == "putt"
    habit = {"steep": d.steep_attack, "neutral": 0.0, "shallow": d.shallow_attack}[player.turf_habit]
    along, across = float(np.arctan(stance.slope_along)), float(np.arctan(stance.slope_across))
    follow = d.follow_up if along > 0.0 else d.follow_down
    face, sole = address(club.loft, club.bounce, club.lie_angle, tech.heel, tech.open, tech.lean)
    bounce = float(np.arctan2(sole[0], -sole[2])) - (1.0 - follow) * along + habit
    # Ball above the feet: the shaft lies flatter and a lofted face looks to the low side, the left.
    face = turn_up(turn_x(face, -across * d.follow_across), follow * along)
    # A putter comes through the tips of a collar; its lies have no other grass behind the ball.
    tips = table.grass_out.collar_putt if lie.collar and lie.ground != "sand" else 0.0
    grass = tips if putt else grass_between(situation, table)
    reach = (club.length - tech.grip_down) / d.length_reference
    full = level.head_speed * head_speed_scale(situation, level, table) * reach**d.length_power
    wide = tech.stance_width - d.width_reference
    level_speed = full * (1.0 - d.width_speed * max(wide, 0.0))
    full = level_speed * balance(stance.slope_along, stance.slope_across, table)
    short = stance.backswing == "short" and not putt
    sits, ground = table.sits[lie.sits], table.lie[lie.ground]
    slope = float(np.hypot(stance.slope_along, stance.slope_across))
    steep = max((1.0 - follow) * along - tech.attack - habit, table.through.least_attack)
    descent = float(np.tan(steep))
    # The flatter a club comes, the further an error of its height moves where it meets the ground.
    low = (level.sand_height if lie.ground == "sand" else level.turf_height) / descent
    low *= tech.low_point_difficulty * hard * sits.low_point
    low *= (1.0 + d.stance_low_point * slope) * (1.0 - d.width_low * wide)
    low *= d.short_backswing_low if short else 1.0
    steady = 1.0 - d.grip_steady * tech.grip_down
    through = candidate.technique in THROUGH
    # Sand is met by whatever enters behind the ball, meant to or not; grass only by what means to.
    loose = (lie.ground == "sand" or through) and not putt
    met = table.sand[lie.sand if lie.ground == "sand" else "grass"]
    loft = float(np.arcsin(face[2]))
    sunk, lift, give, entry = sunk_under(situation, table), 0.0, 1.0, tech.entry
    more, further, fall, burden = 0.0, 0.0, descent, 0.0
    if lie.ground == "sand":
        deeper, density = max(sunk - met.sunk, 0.0), met.density
    else:
        deeper, density = 0.0 if putt else embedded(situation, table), table.through.soil
    if loose:
        cushion = bounce - met.bounce
        give += met.dig * max(-cushion, 0.0)
        entry -= met.skid * max(cushion, 0.0)
        # Where a club enters grass on purpose is counted at the height of the ball's bottom.
        sunk = max(sunk, 0.0)
        if through:
            clean = give * descent * entry
            asked = max(sunk + min(table.through.under, deeper) - clean, 0.0)
            turn = table.through.bears * club.sole_width * sin(max(bounce + steep, 0.0))
            further, more = way_under(asked, give * descent, turn)
            entry += further
            fall *= (clean + more) / (give * descent * entry)
            give = (clean + more) / (descent * entry)
            if lie.ground != "sand":
                high = grass * (1.0 - min(table.sits["clean"].depth / sits.depth, 1.0))
                burden = met.density * table.through.width / table.strike.head_mass * high**2 / 2.0 / descent
    elif not putt:
        # A raised heel stands the edge on its toe end.
        lift = table.turf_strike.contact * club.sole_width * float(np.tan(max(bounce, 0.0)))
        lift += table.turf_strike.heel_arm * float(np.tan(tech.heel))
        give = give_of(situation, club.sole_width, bounce + steep, table)
    if not (through or putt):
        clear = table.ball.radius * (1.0 - sin(loft - along)) - sunk
        entry = meant(clear, lift, give) / descent
    return Stroke(
        putt=putt,
        loft=loft,
        face=float(np.arctan2(face[1], face[0])) + table.grass_out.closing * grass,
        attack=tech.attack + (0.0 if putt else habit) + follow * along,
        bounce=bounce,
        full_speed=full,
        level_speed=level_speed,
        slowest=full * tech.swing_low,
        fastest=full * min(tech.swing_high, d.short_backswing if short else 1.0),
        friction=friction(situation, club.groove_shots, grass, table),
        grass=grass,
        spread_speed=(level.putt_speed if putt else level.speed) * tech.speed_difficulty * hard,
        part_swing=0.0 if putt else level.part_swing,
        part_swing_half=level.part_swing_half,
        part_swing_power=level.part_swing_power,
        # From sand an open face is what is practised.
        stock=1.0 if through else max(1.0 - abs(tech.open) / d.stock_open, 0.0),
        spread_floor=(0.0 if putt else level.speed_floor) * tech.speed_difficulty * hard,
        spread_loft=level.loft * tech.loft_difficulty * hard,
        loft_attack=level.loft_attack,
        spread_face=(level.putt_direction if putt else level.face * ground.face * steady)
        * tech.face_difficulty
        * hard,
        spread_path=level.path * tech.face_difficulty * hard,
        spread_low=low,
        spread_side=level.side * tech.face_difficulty * hard * (1.0 + table.mishit.slope * abs(across)),
        means_through=through,
        entry=entry,
        sunk=sunk,
        descent=descent,
        deeper=deeper,
        further=further,
        fall=fall,
        more=more,
        load=density * table.through.width / table.strike.head_mass,
        burden=burden,
        breaks=along + float(np.pi / 4.0 - np.arctan(table.through.repose) / 2.0),
        tilt=along,
        lift=lift,
        give=give,
        transfer=met.transfer if loose else 0.0,
        transfer_length=met.length if loose else table.turf_strike.cut_length,
        through_launch=met.launch,
        through_spin=met.spin * (d.wet_face if lie.wet else 1.0),
        spin_length=met.spin_length,
        heel=tech.heel,
        top=OUT_OF_REACH if loose or putt else table.mishit.face_height * cos(loft),
        read_speed=level.read_speed,
        read_slope=level.read_slope,
    )


@dataclass(frozen=True)
class Strokes:
    """Many strokes as arrays (n,), one entry a ball, with the same fields as `Stroke`."""

    fields: dict[str, Array]

    @classmethod
    def of(cls, strokes: list[Stroke]) -> Strokes:
        """One entry a stroke."""
        names = Stroke.__dataclass_fields__
        return cls({n: np.array([getattr(s, n) for s in strokes], dtype=float) for n in names})

    def take(self, index: npt.NDArray[np.intp]) -> Strokes:
        """The strokes in ``index``, repeats allowed."""
        return Strokes({k: v.take(index) for k, v in self.fields.items()})

    def __getattr__(self, name: str) -> Array:
        # A copy is asked for its special methods before it has any fields.
        try:
            return self.__dict__["fields"][name]  # type: ignore[no-any-return]
        except KeyError as error:
            raise AttributeError(name) from error


@dataclass(frozen=True)
class Ball:
    """n balls as they leave the club: velocity (3, n) in m/s, spin (3, n) in rad/s; how they were struck."""

    velocity: Array
    spin: Array
    rolling: Array
    """1 for balls that start along the ground (putts), (n,)."""
    head_speed: Array
    loft: Array
    """Delivered loft in rad (n,)."""
    attack: Array
    mishit: npt.NDArray[np.intp]
    """Index into `MISHITS`, (n,)."""

    def take(self, index: npt.NDArray[np.intp]) -> Ball:
        """The balls in ``index``."""
        return Ball(*(getattr(self, f.name).take(index, axis=-1) for f in fields(self)))


RAREST = 200.0
"""Logarithm at which a normal error is as rare as none."""


def tailed(normal: Array, freedom: float) -> Array:
    """Standard ``normal`` draws, any shape, as draws of Student's t with ``freedom`` and the same quartiles.

    D. L. Wallace, Ann. Math. Stat. 30:1124 (1959), turned round: for 99 of 100 draws
    within 3 % of the exact quantile (tested).
    """
    stretch, scale = _tail(freedom)
    return np.asarray(np.copysign(scale * np.sqrt(np.expm1(stretch * normal * normal)), normal))


def _tail(freedom: float) -> tuple[float, float]:
    """What `tailed` stretches squares by, and the error at which 1 + t^2 / ``freedom`` is 2."""
    stretch = ((8.0 * freedom + 3.0) / (8.0 * freedom + 1.0)) ** 2 / freedom
    quartile = 0.6744897501960817
    return stretch, quartile / float(np.sqrt(np.expm1(stretch * quartile**2)))


def likelihood(
    strokes: Strokes,
    draws: dict[str, Array],
    harder: Array,
    wider: Array,
    turn: Array,
    table: Coefficients,
) -> Array:
    """How likely n plans are to be struck as other ones were, (n, m), but for a factor common to all.

    ``draws`` (m,) are the errors of the others, which mean to swing ``harder`` by so many spreads of the n
    plans, spread ``wider`` by that factor, and aim further left of a right-hander by ``turn`` in rad, each
    (n,).
    """
    putt, freedom = strokes.putt > 0.5, table.delivery.tails
    scale, putts = _tail(freedom)[1], bool(putt.any())

    def rare(name: str, factor: Array, shift: Array) -> Array:
        """The density to the power of -2 / (freedom + 1)."""
        error = np.outer(factor, tailed(draws[name], freedom) / scale) + (shift / scale)[:, None]
        out = 1.0 + error * error
        if putts:
            error = np.outer(factor[putt], draws[name]) + shift[putt, None]
            out[putt] = np.exp(np.minimum(error * error / (freedom + 1.0), RAREST))
        return out

    out = rare("speed", wider, harder)
    if turn.any():
        one = np.ones(len(turn))
        out *= rare("face", one, turn / strokes.spread_face)
        # A putter's path does not count.
        out *= rare("path", np.where(putt, 0.0, one), np.where(putt, 0.0, turn / strokes.spread_path))
    return np.asarray(wider[:, None] * out ** (-0.5 * (freedom + 1.0)))


def speed_spread(strokes: Strokes, speed: Array, table: Coefficients) -> Array:
    """Spread of the head speed in m/s of n swings that are meant to be made with ``speed`` in m/s.

    A part of a full swing is judged less well than a full one, which is practised; but the shortest strokes,
    and all with the putter, are judged alike.
    """
    s, d = strokes, table.delivery
    share = speed / s.level_speed
    held = 1.0 - s.stock * (1.0 - 1.0 / (1.0 + (share / s.part_swing_half) ** s.part_swing_power))
    part = 1.0 + s.part_swing * held * share**2 / (share**2 + d.part_swing_short**2)
    return np.asarray(np.sqrt((s.spread_speed * part * speed) ** 2 + s.spread_floor**2))


def play(
    strokes: Strokes,
    speed: Array,
    aim: Array,
    draws: Draws,
    speed_per_run: Array,
    run: Array,
    break_angle: Array,
    slope_pull: Array,
    left_handed: bool,
    table: Coefficients,
) -> Ball:
    """Strike n balls: head ``speed`` in m/s and ``aim`` in rad left of the line, disturbed by ``draws``.

    ``speed_per_run`` (s) turns a misjudged length of run into head speed, ``run`` (m) is the length that is
    judged, ``break_angle`` (rad) the aim taken for break, and ``slope_pull`` the slope's share of all that
    brakes the ball, negative downhill; all (n,).
    """
    s, e, ts, g = strokes, draws.execution, table.turf_strike, table.grass_out
    putt = s.putt > 0.5
    loose = tailed(np.stack([e[name] for name in SWING]), table.delivery.tails)
    e = e | {name: np.where(putt, e[name], loose[k]) for k, name in enumerate(SWING)}
    sigma, share = speed_spread(s, speed, table), speed / s.level_speed
    # Green and slope brake the ball together: the one counts for less where the other counts for more.
    misread = (
        s.read_speed * (1.0 - slope_pull) * e["read_speed"] + s.read_slope * slope_pull * e["read_slope"]
    )
    # A misread roll is misread wherever it brakes: for v squared is twice all braking, half of the share.
    judged = np.where(putt, 0.5 * speed, speed_per_run * run)
    head = speed + sigma * e["speed"] + judged * misread
    head = np.maximum(head, SLOWEST_SHARE * speed)
    # Grass costs energy on the way in, so that a short swing loses most; how thick it stands nobody sees.
    thick = np.maximum(1.0 + g.speed_scatter * e["grass_speed"], 0.0)
    head = np.sqrt(np.maximum(head**2 - 2.0 * g.head_drag * s.grass * thick, (SLOWEST_SHARE * head) ** 2))
    # The bottom of the swing moves about the more, the more of the body swings.
    still = table.delivery.height_still
    missed = s.spread_low * (still + (1.0 - still) * share) * e["low_point"]
    hand = -1.0 if left_handed else 1.0
    start = aim + s.read_slope * e["read_slope"] * break_angle
    turned = s.face + s.spread_face * e["face"] + g.face_scatter * s.grass * e["grass_face"]
    # Errors are drawn for a right-hander and mirrored, so that a mirrored situation mirrors exactly.
    face, path = start + hand * turned, start + hand * s.spread_path * e["path"]
    together = s.loft_attack * e["loft"] + np.sqrt(1.0 - s.loft_attack**2) * e["attack"]
    loft, attack = s.loft + s.spread_loft * e["loft"], s.attack + s.spread_loft * together
    # How deep the swing would take the sole into the ground, and what the ground makes of it.
    depth = (s.entry + missed) * s.descent
    pressed = np.maximum(depth + s.lift, 0.0)
    edge = s.sunk - depth + (1.0 - s.give) * pressed
    # What is cut before the ball comes between face and ball, and deadens the strike bit by bit.
    cut = np.maximum(s.sunk - edge, 0.0) * np.sqrt(0.5 / s.fall)
    clean = np.exp(-((cut / table.through.cut) ** 2))
    deep = clean < 0.5
    thin = clean * _edge(edge, loft - s.tilt, table)
    meets = table.ball.radius * (1.0 - np.sin(loft - s.tilt))
    under = meets - edge > s.top
    lowered = loft * (1.0 - ts.thin_loft * thin)
    club = Delivered(
        velocity=head * np.where(under, table.mishit.under_speed, 1.0) * direction(attack, path),
        normal=face_normal(lowered, face),
        friction=s.friction * (1.0 - ts.thin_friction * thin),
    )
    struck = strike(club, table.ball, table.strike)
    velocity, spin = struck.velocity, struck.spin
    some = np.flatnonzero(cut > 0.0)
    if len(some):
        velocity_in, spin_in = _through(
            s.take(some), head[some], velocity[:, some], cut[some], edge[some], loft[some], face[some],
            path[some], table,
        )  # fmt: skip
        velocity[:, some] = clean[some] * velocity[:, some] + (1.0 - clean[some]) * velocity_in
        spin[:, some] = clean[some] * spin[:, some] + (1.0 - clean[some]) * spin_in
    some = np.flatnonzero(s.deeper > 0.0)
    if len(some):
        velocity[:, some], spin[:, some] = _out_of_the_ground(s.take(some), velocity[:, some], spin[:, some])
    # Grass on the way out.
    size = np.sqrt((velocity * velocity).sum(axis=0))
    climb = np.maximum(velocity[2], 0.0) / np.maximum(size, 1e-9)
    way = np.minimum(s.grass / np.maximum(climb, 1e-3), g.path_cap) / g.speed_length
    held = np.exp(-way * thick)
    velocity = velocity * held * np.maximum(1.0 - ts.heel_dead * s.heel, 0.0)
    velocity, spin, side = _off_centre(s, velocity, spin, start, hand, e["side"], table)
    mishit = np.where(thin > table.mishit.clear, THIN, CLEAN)
    mishit = np.where(thin > table.mishit.blade, BLADE, mishit)
    mishit = np.where(deep, FAT, np.where(under, SLID_UNDER, mishit))
    through = np.where(deep, np.where(s.entry + missed - s.further > table.through.chunk, FAT, CLEAN), THIN)
    mishit = np.where(s.means_through > 0.5, through, mishit)
    mishit = np.where(putt, CLEAN, np.where(side != CLEAN, side, mishit))
    some = np.flatnonzero(putt)
    if len(some):
        line = (start + hand * s.spread_face * e["face"])[some]
        velocity[:, some] = table.strike.putter_ratio * head[some] * direction(np.zeros(len(some)), line)
        spin[:, some] = 0.0
    met = np.where(deep, loft, lowered)
    return Ball(velocity, spin, putt.astype(float), head, met, attack, mishit)


def _edge(height: Array, loft: Array, table: Coefficients) -> Array:
    """How far strikes have gone over to the edge, 0 to 1 (n,), by geometry.

    ``height`` is the edge's over the ball's bottom, in m, ``loft`` the face's to the ground, in rad; both
    (n,). Above the point where its face would touch the ball the edge itself meets it, along the radius.
    """
    left = np.arcsin(1.0 - np.clip(height / table.ball.radius, 0.0, 1.0))
    return np.clip((1.0 - left / np.maximum(loft, 0.01)) / table.turf_strike.thin_loft, 0.0, 1.0)


def _through(
    s: Strokes,
    head: Array,
    clean: Array,
    cut: Array,
    edge: Array,
    loft: Array,
    face: Array,
    path: Array,
    table: Coefficients,
) -> tuple[Array, Array]:
    """Velocity and spin (3, n) of balls that the club moves through sand, grass or turf.

    ``clean`` (3, n) is the velocity that the strike would give without it, ``cut`` (n,) the root of the
    area, in m, that the edge has cut before the ball in the plane of the swing, ``edge`` (n,) the height in m
    at which it passes the ball's bottom. No published measurement exists: speed and spin fall exponentially
    with the cut, and the launch is a share of the dynamic loft (estimates). What is cut besides under a ball
    that lies deeper shares the club's momentum and goes the way that ground breaks out which is pushed
    (Rankine's passive wedge); so the more there is of it, the slower is the ball, and the less counts loft.
    """
    root = np.sqrt(0.5 / s.fall)
    usual = np.maximum(cut - s.more * root, 0.0)
    # An edge above where its face would touch the ball pushes that along the radius.
    left = s.tilt + np.arcsin(1.0 - np.clip(edge / table.ball.radius, 0.0, 1.0))
    kept = 1.0 / (1.0 + s.burden + s.load * (cut**2 - usual**2))
    launch = kept * s.through_launch * np.minimum(loft, left) + (1.0 - kept) * s.breaks
    whole = np.where(s.transfer > 0.0, head * s.transfer, np.sqrt((clean * clean).sum(axis=0)))
    speed = whole * np.exp(-usual / s.transfer_length) * kept
    azimuth = 0.8 * face + 0.2 * path
    velocity = speed * direction(launch, azimuth)
    rate = s.through_spin * np.exp(-cut / s.spin_length) * speed / table.ball.radius
    return velocity, np.stack([rate * np.sin(azimuth), -rate * np.cos(azimuth), np.zeros(len(rate))])


def _out_of_the_ground(s: Strokes, velocity: Array, spin: Array) -> tuple[Array, Array]:
    """Velocity and spin (3, n) of balls that lie deep, once they have pushed away what lies before them.

    That is what stands over the straight way out: it shares the momentum, and breaks out as ground does.
    """
    level = np.hypot(velocity[0], velocity[1])
    size, rise = np.hypot(level, velocity[2]), np.arctan2(velocity[2], level)
    over = 0.5 * s.deeper**2 / np.tan(np.maximum(rise - s.tilt, FLATTEST))
    kept = 1.0 / (1.0 + s.load * over)
    up = kept * rise + (1.0 - kept) * s.breaks
    along = kept * size * np.cos(up) / np.maximum(level, 1e-9)
    return np.stack([along * velocity[0], along * velocity[1], kept * size * np.sin(up)]), kept * spin


def _off_centre(
    s: Strokes, velocity: Array, spin: Array, start: Array, hand: float, draw: Array, table: Coefficients
) -> tuple[Array, Array, npt.NDArray[np.intp]]:
    """Velocity and spin (3, n) after strikes far towards heel or toe, and which mishit it was (n,)."""
    m = table.mishit
    place = s.spread_side * draw
    which = np.where(place > m.hosel, SHANK, np.where(place < -m.toe, TOE, CLEAN))
    shank, toe = np.flatnonzero(which == SHANK), np.flatnonzero(which == TOE)
    # Off the hosel the ball flies low and far to the right of a right-hander.
    speed = np.sqrt((velocity[:, shank] ** 2).sum(axis=0))
    wild = direction(np.full(len(shank), m.shank_launch), start[shank] - hand * m.shank_angle)
    velocity[:, shank] = m.shank_speed * speed * wild
    spin[:, shank] *= 0.2
    c, sn = np.cos(hand * m.toe_angle), np.sin(hand * m.toe_angle)
    x, y, z = velocity[:, toe]
    velocity[:, toe] = m.toe_speed * np.stack([c * x + sn * y, c * y - sn * x, z])
    return velocity, spin, which
