"""The typed form of the one coefficient table; the engine receives it and reads no file.

Field names are the dotted names of resources/coefficients.csv; values are SI. What each number means,
its standing and its source stand in the table alone.
"""

from __future__ import annotations

import msgspec


class Ball(msgspec.Struct, frozen=True):
    mass: float
    radius: float


class AirTable(msgspec.Struct, frozen=True):
    """ISO 2533 constants and the wind profile."""

    gravity: float
    pressure: float
    temperature: float
    lapse: float
    gas_constant: float
    viscosity: float
    sutherland: float
    wind_height: float
    wind_exponent: float
    wind_floor: float
    turbulence: float


class Flight(msgspec.Struct, frozen=True):
    drag_base: float
    drag_spin: float
    drag_spin_hold: float
    lift_scale: float
    lift_power: float
    lift_hold: float
    lift_hold_sharpness: float
    lift_reynolds_low: float
    lift_reynolds_high: float
    spin_decay: float
    flight_way: float


class Strike(msgspec.Struct, frozen=True):
    restitution_base: float
    restitution_speed: float
    head_mass: float
    tangential_restitution: float
    putter_ratio: float


class Turf(msgspec.Struct, frozen=True):
    """Bounce on turf: the tilted surface, restitution and friction, and how firmness moves them."""

    tilt: float
    tilt_speed: float
    tilt_angle: float
    tilt_speed_power: float
    tilt_angle_power: float
    tilt_fade_speed: float
    tilt_spin: float
    tilt_most: float
    tilt_most_speed: float
    restitution_0: float
    restitution_1: float
    restitution_2: float
    restitution_floor: float
    restitution_join: float
    restitution_most: float
    rebound_most: float
    tangential_restitution: float
    firmness_medium: float
    firmness_step: float
    firmness_restitution: float
    firmness_tilt: float
    firmness_roll: float
    wet_friction: float
    wet_restitution: float
    wet_tilt: float
    rest_speed: float
    scatter_limit: float


class Penner(msgspec.Struct, frozen=True):
    """What turns `Turf` and a green's friction into Penner's own map, kept as a reference."""

    tilt: float
    tilt_speed_power: float
    tilt_angle_power: float
    tilt_fade_speed: float
    tilt_spin: float
    tilt_most: float
    rebound_most: float
    tangential_restitution: float
    friction: float


class SurfaceRow(msgspec.Struct, frozen=True):
    """One kind of ground as the ball meets it."""

    restitution: float
    friction: float
    tilt: float
    scatter: float
    uneven: float
    roughness: float
    slide: float
    grass: float
    deceleration: float = 0.0
    """The green has none: its own comes from the stimpmeter reading."""


class Run(msgspec.Struct, frozen=True):
    stimp_speed: float
    stop_speed: float
    step_length: float
    step_plane: float
    time_limit: float
    distance_limit: float
    hold_floor: float
    wet_deceleration: float
    grain_stimp: float
    grain_bend: float


class HoleTable(msgspec.Struct, frozen=True):
    radius: float
    capture_speed: float
    flag_speed: float
    flag_width: float


class LieRow(msgspec.Struct, frozen=True):
    """One kind of lie as the club meets it."""

    friction: float
    face: float
    firmness: float = 0.0
    grass: float = 0.0
    """Rough has none: its depth is the golfer's to say."""
    sunk: float = 0.0
    """How much deeper than on such grass the ball lies: in a divot."""


class SitsRow(msgspec.Struct, frozen=True):
    """How the ball sits: share of the grass that must be crossed, and what the strike suffers."""

    depth: float
    friction: float
    low_point: float


class ThroughRow(msgspec.Struct, frozen=True):
    """What a club meets that enters behind the ball: one kind of sand, or deep grass."""

    transfer: float
    length: float
    launch: float
    spin: float
    spin_length: float
    bounce: float
    dig: float
    skid: float
    density: float
    sunk: float = 0.0
    """How deep a ball that lies clean is in it; grass has none."""


class Through(msgspec.Struct, frozen=True):
    """A strike that cuts the ground before the ball, whatever its kind."""

    cut: float
    """Side of the square, cut before the ball, that deadens the strike to 1/e."""
    least_attack: float
    buried: float
    """How much deeper than clean a ball lies in sand that is down by all of `sits.*.depth`."""
    chunk: float
    under: float
    """How far an edge need pass below a ball that lies deep."""
    embedded: float
    """How much deeper than nested a ball lies in turf that is down by all of `sits.*.depth`."""
    bears: float
    """How sharply a sole is turned up that goes deep, over its width times the sine of its angle."""
    width: float
    """Of what is cut and moved."""
    soil: float
    """Density of the ground in which a ball is embedded."""
    repose: float
    """Tangent of the angle of repose."""


class Mishit(msgspec.Struct, frozen=True):
    """Strikes far from the middle of the face."""

    hosel: float
    toe: float
    shank_angle: float
    shank_speed: float
    shank_launch: float
    toe_speed: float
    toe_angle: float
    slope: float
    blade: float
    clear: float
    up_room: float
    bent: float
    face_height: float
    under_speed: float


class GrassOut(msgspec.Struct, frozen=True):
    """Grass between face and ball, and on the ball's way out."""

    speed_length: float
    path_cap: float
    speed_scatter: float
    face_scatter: float
    friction_length: float
    friction_floor: float
    full_share: float
    head_drag: float
    closing: float
    wiry: float
    grain: float
    collar: float
    collar_putt: float


class Delivery(msgspec.Struct, frozen=True):
    """From technique, lie and stance to the delivered club."""

    wet_face: float
    cover_hard: float
    groove_life: float
    groove_loss_dry: float
    groove_loss_grass: float
    length_reference: float
    length_power: float
    carry_power: float
    follow_down: float
    follow_up: float
    follow_across: float
    balance_start: float
    balance_loss: float
    balance_floor: float
    part_swing_short: float
    stock_open: float
    height_still: float
    """Share of the spread of a full swing's height that the shortest has; the rest grows with the swing."""
    tails: float
    short_backswing: float
    short_backswing_low: float
    width_reference: float
    width_low: float
    width_speed: float
    grip_steady: float
    steep_attack: float
    shallow_attack: float
    stance_low_point: float


class TurfStrike(msgspec.Struct, frozen=True):
    """Clean, fat and thin from where edge and sole pass."""

    contact: float
    bearing: float
    bearing_firmness: float
    rebound: float
    cut_length: float
    thin_loft: float
    thin_friction: float
    heel_arm: float
    heel_dead: float


class LevelRow(msgspec.Struct, frozen=True):
    """Who swings: spreads and length of one level."""

    head_speed: float
    wedge_carry: float
    speed: float
    part_swing: float
    part_swing_half: float
    """Share of full head speed at which half of that growth is left."""
    part_swing_power: float
    """How suddenly it falls there."""
    speed_floor: float
    loft: float
    loft_attack: float
    face: float
    path: float
    turf_height: float
    """Spread of a full swing's height over turf: the flatter it comes, the less sure is where they meet."""
    sand_height: float
    """The same over sand."""
    side: float
    read_speed: float
    read_slope: float
    putt_speed: float
    putt_direction: float
    learning: float
    short_game: float
    putting: float


class Technique(msgspec.Struct, frozen=True):
    """One way of playing a shot, as the club is delivered and the player is set up."""

    lean: float
    open: float
    attack: float
    swing_low: float
    swing_high: float
    ball_position: float
    weight_lead: float
    handle: float
    heel: float
    grip_down: float
    stance_width: float
    speed_difficulty: float
    loft_difficulty: float
    face_difficulty: float
    low_point_difficulty: float
    plainness: float
    entry: float = 0.0
    """Where the club enters behind the ball; none for shots that meet the ball first."""


class Score(msgspec.Struct, frozen=True):
    """How finishes are turned into strokes."""

    tie_errors: float
    tie_strokes: float
    penalty: float
    edge_fringe: float
    edge_fairway: float
    edge_rough: float
    edge_deep: float
    edge_sand: float
    three_putt_odds: float
    chip_in: float
    uphill: float
    across: float
    usual_across: float
    fast: float
    usual_stimp: float
    short_sided: float
    usual_room: float


class Baseline(msgspec.Struct, frozen=True):
    """Published strokes to hole out; keys are distances, yards for the lies and feet for putts."""

    fairway: dict[str, float]
    rough: dict[str, float]
    sand: dict[str, float]
    putts: dict[str, float]
    one_putt_tour: dict[str, float]
    one_putt_scratch: dict[str, float]
    one_putt_90: dict[str, float]
    three_putt_tour: dict[str, float]


class Choose(msgspec.Struct, frozen=True):
    """Sizes of the search and the Monte Carlo."""

    block: float
    samples: float
    first: float
    growth: float
    try_samples: float
    try_more: float
    try_plans: float
    try_balls: float
    speeds: float
    keep_errors: float
    doubt_conditions: float
    doubt_shots: float
    doubt_samples: float


class Escape(msgspec.Struct, frozen=True):
    """Other ways out than towards the hole, and when they are worked out."""

    club_length: float
    over: float
    under: float
    trouble: float
    samples: float


class Caution(msgspec.Struct, frozen=True):
    steep_bank: float
    gentle_slope: float
    lip_chance: float
    deep_lip: float
    aim_worth_saying: float


class Coefficients(msgspec.Struct, frozen=True):
    """Every number of the model, in SI."""

    ball: Ball
    air: AirTable
    flight: Flight
    strike: Strike
    turf: Turf
    penner: Penner
    surface: dict[str, SurfaceRow]
    run: Run
    hole: HoleTable
    lie: dict[str, LieRow]
    sits: dict[str, SitsRow]
    through: Through
    sand: dict[str, ThroughRow]
    mishit: Mishit
    grass_out: GrassOut
    delivery: Delivery
    turf_strike: TurfStrike
    level: dict[str, LevelRow]
    technique: dict[str, Technique]
    swing: dict[str, float]
    baseline: Baseline
    score: Score
    choose: Choose
    caution: Caution
    escape: Escape
