"""No number of the table is dead: each, moved by a fifth, changes what some situation's advice says."""

import math
import pickle
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from hashlib import blake2b
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice import solve
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import Ball, Strokes
from shortgame_gui.advice.escapes import BAD_ENDS
from shortgame_gui.advice.result import Shot, WhatIf
from shortgame_gui.advice.solve import Bench, Plans, Scan
from shortgame_gui.advice.spreads import still
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.player import LEVELS, TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import HeightGrid, Survey
from shortgame_gui.physics.shot import Conditions, Result, simulate
from shortgame_gui.store.coefficients import Row, load, rows
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import DEGREE, FOOT, si

ROWS = {row.name: row for row in rows()}
SHARE = 0.2
#: step of a number that is 0, in the unit that the table gives it
STEP = {"1": 0.1, "deg": 3.0, "m": 0.02, "m/s": 0.2, "g": 20.0, "rad/s": 20.0, "%": 1.0}

#: numbers that no advice can feel, with the reason
IRRELEVANT = {
    r"penner\..*": "Penner's own map of the bounce, kept for the comparison with what he published",
    r"technique\.putt\.(ball_position|loft_difficulty|low_point_difficulty)": (
        "a putt neither meets the turf nor flies, and the set-up says nothing of its ball position"
    ),
    r"run\.stop_speed": "numerical: decides only for a ball that creeps where the slope all but moves it",
    r"surface\.water\.(restitution|friction|tilt|scatter|slide|deceleration|grass|uneven|roughness)": (
        "a ball that touches water is lost at once: it neither bounces nor rolls"
    ),
}


#: one short look at the aims, and other ways out only where they are asked for: what is told of a shot
#: depends on every other number as it does by the usual sizes
QUICK = {"choose.try_samples": 2.0, "choose.try_more": 0.0, "escape.trouble": 1.0, "escape.samples": 8.0}
USUAL: dict[str, float] = {}


@dataclass(frozen=True)
class Scene:
    """A situation in which some numbers matter, with few clubs and few samples."""

    values: dict[str, Any] = field(default_factory=dict)
    techniques: tuple[str, ...] = ("chip",)
    clubs: tuple[str, ...] = ("sand wedge",)
    samples: int | None = 8
    learning: bool = False
    table: dict[str, float] = field(default_factory=lambda: QUICK)
    """Rows of the table that are set otherwise, in its units, so that a number gets its say."""

    def situation(self) -> Situation:
        owned = "learning" if self.learning else "yes"
        own = {f"player.techniques.{t}": owned if t in self.techniques else "no" for t in TECHNIQUES}
        return put_all(Situation(), own | self.values)


def band(surface: str, start: float, end: float) -> dict[str, Any]:
    return {"ground.bands": (Band(surface=surface, start=start, end=end),)}


def bank(*points: tuple[float, float]) -> dict[str, Any]:
    return {"ground.profile": tuple(ProfilePoint(at=x, height=z) for x, z in points)}


WEDGES = ("60-degree wedge", "sand wedge", "gap wedge")
CLOSE: dict[str, Any] = {"green.front": 3.0, "hole.distance": 9.0}
SAND = CLOSE | {"lie.ground": "sand", "player.level": "20"}
DEEP = CLOSE | {"lie.ground": "rough", "lie.sits": "down", "lie.rough_depth": 0.1, "player.level": "20"}
NEAR = {"lie.ground": "fringe", "green.front": 0.5, "hole.distance": 4.0, "player.level": "tour"}
FAR = {"green.front": 70.0, "green.depth": 30.0, "hole.distance": 80.0, "player.level": "tour"}
HANDICAP = CLOSE | {"player.level": "30"}
LOW_BOUNCE = Club(name="low bounce", kind="wedge", loft=56.0 * DEGREE, bounce=-5.0 * DEGREE)
WORN = Club(name="worn", kind="wedge", loft=60.0 * DEGREE, bounce=10.0 * DEGREE, groove_shots=4000.0)
FASTEST = 16.0 * FOOT
#: fall of the fastest green on which a rolling ball neither gains nor loses speed: (5/7) g s = v^2 / (2 S)
BALANCE = 1.83**2 / (2.0 * FASTEST) / (5.0 / 7.0 * 9.80665)


#: a player who now and then putts well past the hole, wherever the aim is
PAST = NEAR | {"player.level": "30"}


def falling(slope: float) -> dict[str, Any]:
    """A level part of the fastest green with the hole on it, and then a fall of ``slope``."""
    ground = bank((0.0, 0.0), (4.1, 0.0), (60.0, -55.9 * slope))
    return PAST | {"green.speed": FASTEST, "green.depth": 60.0} | ground


def cliff(surface: str) -> dict[str, Any]:
    """A long steep bank behind the hole, at the foot of which lies ``surface``."""
    rolls, rests = band("bare", 4.6, 139.0)["ground.bands"], band(surface, 139.0, 150.0)["ground.bands"]
    ground = bank((0.0, 20.0), (4.6, 20.0), (150.0, -20.0))
    return PAST | {"ground.bands": rolls + rests, "ground.behind": surface} | ground


def waves() -> dict[str, Any]:
    """Ball and hole on a height grid of waves."""
    x = np.arange(60.0)
    grid = HeightGrid(0.0, 0.0, 1.0, 0.15 * np.sin(0.7 * x) + 0.1 * np.cos(0.4 * x)[:, None])
    return {"survey": Survey(file="waves.asc", ball_x=20.0, ball_y=30.0, hole_x=29.0, hole_y=30.0, grid=grid)}


SCENES: dict[str, Scene] = {
    "chip": Scene(),
    "chip of a handicap": Scene(HANDICAP | {"green.slope_along": -0.02}, samples=48),
    "pitch": Scene({"green.front": 12.0, "hole.distance": 20.0}, ("pitch",)),
    "longer pitch": Scene({"green.front": 30.0, "hole.distance": 40.0}, ("pitch",)),
    "spinning pitch": Scene(
        {"green.front": 50.0, "hole.distance": 62.0, "player.level": "tour", "green.slope_along": 0.03},
        ("partial",),
        ("60-degree wedge",),
    ),
    "flat and fast": Scene(
        {"green.front": 8.0, "green.depth": 60.0, "hole.distance": 40.0, "player.level": "tour"},
        ("pitch",),
        ("5-iron",),
    ),
    "soft and wet": Scene(
        {
            "green.wet": True,
            "green.firmness": 50.0,
            "lie.wet": True,
            "green.front": 12.0,
            "hole.distance": 20.0,
        },
        ("pitch",),
    ),
    "firm": Scene(
        {"green.front": 4.0, "hole.distance": 10.0, "green.firmness": 140.0} | band("bare", 2.0, 60.0),
        ("pitch",),
        samples=32,
    ),
    "wind": Scene(
        FAR
        | {"air.wind_along": -4.0, "air.wind_across": 3.0, "air.altitude": 1500.0, "air.temperature": 33.0},
        ("partial",),
    ),
    "wind on a chip": Scene(CLOSE | {"air.wind_along": 8.0, "lie.ground": "tight"}),
    "from a height": Scene(
        FAR
        | {"air.altitude": 4000.0}
        | bank((0.0, 0.0), (20.0, -20.0), (60.0, -20.0))
        | band("bare", 60.0, 90.0),
        ("partial",),
        WEDGES,
    ),
    "surveyed": Scene(CLOSE | waves(), samples=16),
    "over a rise": Scene(NEAR | bank((0.0, 0.0), (1.5, 0.0), (2.5, 0.1)), ("putt",), ("putter",), 16),
    "grain with": Scene(CLOSE | {"green.grain": "with"}),
    "grain left": Scene(CLOSE | {"green.grain": "left"}),
    "wet putt": Scene(NEAR | {"green.wet": True}, ("putt",), ("putter",)),
    "short putt": Scene(PAST, ("putt",), ("putter",), 200, table=USUAL),
    "short putt without the flag": Scene(
        NEAR | {"hole.flag": "out"}, ("putt",), ("putter",), 128, table=USUAL
    ),
    "putt": Scene(NEAR | {"hole.distance": 9.0}, ("putt",), ("putter",), 16),
    "putt over firm fairway": Scene(
        NEAR | {"green.front": 3.0, "hole.distance": 6.0, "green.firmness": 130.0, "lie.ground": "fairway"},
        ("putt",),
        ("putter",),
        16,
    ),
    "steep fall": Scene(NEAR | {"green.slope_along": -0.065}, ("putt",), ("putter",), 16),
    "rolling away": Scene(falling(1.03 * BALANCE) | {"hole.distance": 5.0}, ("putt",), ("putter",), 200),
    "rolling far": Scene(cliff("bare"), ("putt",), ("putter",), 200),
    "wild": Scene(HANDICAP | {"stance.slope_across": 0.3}, ("pitch",), ("sand wedge",), 200, True),
    "now and then thin": Scene(HANDICAP, ("pitch",), ("gap wedge",), 400, table=USUAL),
    "fat and thin": Scene(HANDICAP | {"lie.ground": "tight"}, ("lob",), ("60-degree wedge",), 200, True),
    "uneven": Scene(
        CLOSE | {"stance.slope_across": -0.15, "stance.slope_along": 0.1, "player.level": "20"}, ("pitch",)
    ),
    "very steep": Scene(CLOSE | {"stance.slope_across": 0.45, "stance.slope_along": 0.45}, ("pitch",)),
    "uphill": Scene(CLOSE | {"stance.slope_along": 0.12}, ("pitch",)),
    "downhill": Scene(CLOSE | {"stance.slope_along": -0.12}, ("pitch",)),
    "slightly uphill": Scene(CLOSE | {"stance.slope_along": 0.033}),
    "bank of one in five": Scene(CLOSE | {"stance.slope_along": 0.21}, ("pitch",)),
    "deep bunker": Scene(SAND | {"lie.lip_height": 1.1, "lie.lip_distance": 2.5}, ("splash",), WEDGES, 64),
    "steep player": Scene(CLOSE | {"player.turf_habit": "steep"}),
    "shallow player": Scene(CLOSE | {"player.turf_habit": "shallow"}),
    "hard cover": Scene(CLOSE | {"player.ball_cover": "hard", "lie.ground": "first_cut"}, ("lob",)),
    "worn grooves": Scene(DEEP | {"lie.sits": "clean"}, ("pitch",), ("worn",)),
    "worn grooves dry": Scene(CLOSE | {"lie.ground": "tight"}, ("lob",), ("worn",)),
    "own length": Scene(CLOSE | {"player.wedge_carry": 75.0}),
    "short backswing": Scene(
        {"stance.backswing": "short", "green.front": 4.0, "hole.distance": 15.0},
        ("pitch", "partial"),
        WEDGES,
        16,
    ),
    "flat into sand": Scene(
        SAND | {"player.turf_habit": "shallow", "lie.sand": "firm"}, ("upright",), samples=32
    ),
    "wide stance": Scene(SAND, ("splash",), samples=16),
    "deep grass": Scene(DEEP, ("pitch",), samples=16),
    "deepest grass": Scene(
        DEEP | {"lie.rough_depth": 0.12, "hole.distance": 6.0}, ("pitch",), ("sand wedge", "8-iron"), 16
    ),
    "shallow grass": Scene(
        CLOSE | {"lie.ground": "rough", "lie.sits": "clean", "lie.rough_depth": 0.05}, ("lob",)
    ),
    "wiry grass": Scene(DEEP | {"lie.grass": "wiry", "lie.sits": "clean"}, ("pitch",)),
    "grain at the ball": Scene(DEEP | {"lie.grain": "against", "lie.sits": "clean"}, ("pitch",)),
    "against the collar": Scene(CLOSE | {"lie.collar": True}),
    "putt against the collar": Scene(NEAR | {"lie.collar": True}, ("putt",), ("putter",)),
    "up in the rough": Scene(
        HANDICAP | {"lie.ground": "rough", "lie.sits": "up", "lie.rough_depth": 0.1}, ("pitch",), samples=64
    ),
    "down in long grass": Scene(
        HANDICAP | {"lie.ground": "rough", "lie.sits": "half_down", "lie.rough_depth": 0.1},
        ("pitch",),
        samples=64,
    ),
    "soft ground": Scene(HANDICAP | {"lie.firmness": 50.0}, ("pitch",), samples=64),
    "firm ground": Scene(HANDICAP | {"lie.ground": "bare", "lie.firmness": 120.0}, ("pitch",), samples=64),
    "grass explosion": Scene(DEEP, ("explode",), ("low bounce", "sand wedge"), 32),
    "upright": Scene(HANDICAP, ("upright",), samples=64),
    "lip": Scene(
        SAND | {"lie.lip_height": 1.0, "lie.lip_distance": 1.5}, ("splash", "dig"), ("gap wedge",), 64
    ),
    "water and out": Scene(
        HANDICAP
        | {
            "ground.bands": (
                Band(surface="water", start=9.5, end=40.0, right=0.0),
                Band(surface="out", start=9.5, end=40.0, left=0.0),
            )
        },
        ("pitch",),
        samples=48,
    ),
    "every length": Scene(FAR, tuple(TECHNIQUES), (), 2),
    "every length, nearer": Scene(
        {"green.front": 30.0, "hole.distance": 40.0, "player.level": "tour"}, tuple(TECHNIQUES), WEDGES, 2
    ),
    "every length, near": Scene({"player.level": "30", "hole.distance": 20.0}, tuple(TECHNIQUES), WEDGES, 2),
    "dropped": Scene(
        CLOSE, ("chip", "pitch", "bump_and_run"), (), 160, table={"choose.first": 12.0, "choose.growth": 3.0}
    ),
    "hedge ahead": Scene(
        {
            "green.front": 18.0,
            "hole.distance": 26.0,
            "ground.obstacles": (Obstacle(at=1.9, high=1.3, left=4.0, right=12.0),),
        },
        ("pitch", "lob", "high_soft"),
        WEDGES,
        32,
    ),
    "branch ahead": Scene(
        {
            "green.front": 10.0,
            "hole.distance": 18.0,
            "ground.obstacles": (Obstacle(at=8.0, low=2.2, high=9.0, left=12.0, right=12.0),),
        },
        ("chip", "bump_and_run"),
        WEDGES,
        32,
    ),
    "aims at a glance": Scene(
        HANDICAP,
        ("chip", "pitch", "bump_and_run", "low_check"),
        (),
        4,
        table={"choose.try_samples": 2.0, "choose.try_more": 2.0},
    ),
    "aims from further": Scene(
        {"green.front": 12.0, "hole.distance": 24.0, "player.level": "20"},
        ("chip", "pitch", "bump_and_run", "low_check"),
        WEDGES,
        8,
        table={"choose.try_samples": 2.0, "choose.try_more": 2.0},
    ),
    "often in water": Scene(
        HANDICAP | band("water", 9.5, 40.0), ("pitch",), samples=48, table={"escape.trouble": 0.2}
    ),
    "not sure": Scene(
        CLOSE | {"not_sure.green_speed": 0.6, "not_sure.firmness": 15.0},
        ("chip", "pitch", "bump_and_run"),
        WEDGES,
        table=USUAL,
    ),
    "not sure at all": Scene(
        NEAR | {"not_sure.green_speed": 1.2, "not_sure.firmness": 30.0, "not_sure.slope_along": 0.02},
        ("chip", "pitch", "bump_and_run", "high_soft"),
        WEDGES,
        table=USUAL,
    ),
    "as usual": Scene(CLOSE, ("chip",), samples=None, table={"choose.samples": 40.0}),
    "blocks": Scene(CLOSE, samples=40, table={"choose.block": 32.0}),
    "aims from far": Scene(
        CLOSE | {"hole.distance": 25.0, "player.level": "20"},
        ("chip", "pitch", "bump_and_run"),
        ("sand wedge", "gap wedge", "8-iron"),
        4,
        table=USUAL,
    ),
    "aims": Scene(
        CLOSE | {"hole.distance": 12.0, "player.level": "20"},
        ("chip", "pitch", "bump_and_run"),
        ("sand wedge", "gap wedge", "8-iron"),
        4,
        table=USUAL,
    ),
}
for _surface in ("fringe", "fairway", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out"):
    # The hole stands close before it, so that what goes past lands and rolls there.
    SCENES[_surface] = Scene(
        {"player.level": "30", "green.front": 5.0, "hole.distance": 10.0} | band(_surface, 10.5, 60.0),
        ("pitch",),
        samples=64,
    )
for _ground in ("tight", "fairway", "fringe", "first_cut", "rough", "bare", "divot", "sanded_divot", "sand"):
    # Hardly any ball is struck where the friction of sand counts but on many samples.
    _sizes = USUAL if _ground == "sand" else QUICK
    SCENES[f"on {_ground}"] = Scene(
        HANDICAP | {"lie.ground": _ground, "lie.firmness": 60.0}, ("pitch",), samples=32, table=_sizes
    )
for _sits in ("up", "clean", "half_down", "down", "nested", "plugged", "furrow"):
    SCENES[f"sits {_sits}"] = Scene(
        HANDICAP | {"lie.ground": "first_cut", "lie.sits": _sits}, ("lob", "pitch"), samples=32
    )
    SCENES[f"in sand, {_sits}"] = Scene(SAND | {"lie.sits": _sits}, ("splash",), samples=32)
SCENES["embedded"] = Scene(
    CLOSE | {"lie.ground": "rough", "lie.sits": "plugged", "player.level": "tour"}, ("explode",), samples=32
)
for _sand in ("fine", "firm", "wet", "thin"):
    SCENES[f"{_sand} sand"] = Scene(SAND | {"lie.sand": _sand}, ("splash",), ("sand wedge", "low bounce"), 32)
    SCENES[f"clean from {_sand} sand"] = Scene(SAND | {"lie.sand": _sand}, ("pitch",), samples=64)
    SCENES[f"down in {_sand} sand"] = Scene(SAND | {"lie.sand": _sand, "lie.sits": "down"}, ("splash",))
    SCENES[f"dig from {_sand} sand"] = Scene(SAND | {"lie.sand": _sand}, ("dig",), ("low bounce",))
for _level in LEVELS:
    _values = CLOSE | {"player.level": _level, "player.wedge_carry": 60.0, "green.slope_along": -0.02}
    SCENES[f"level {_level}"] = Scene(_values, samples=32, learning=True)
    SCENES[f"sand {_level}"] = Scene(SAND | {"player.level": _level}, ("splash",), samples=16)
    SCENES[f"putting {_level}"] = Scene(NEAR | {"player.level": _level}, ("putt",), ("putter",), 32)
    SCENES[f"wild {_level}"] = Scene(
        CLOSE | {"player.level": _level, "stance.slope_across": 0.3, "hole.distance": 5.0},
        ("lob",),
        samples=400,
        learning=True,
    )
for _technique in TECHNIQUES:
    _place = dict(HANDICAP)
    if _technique in ("splash", "thin_splash", "dig"):
        _place = dict(SAND)
    elif _technique == "explode":
        _place = dict(DEEP)
    elif _technique == "putt":
        _place |= {"lie.ground": "fringe"}
    elif _technique == "partial":
        _place |= {"green.front": 30.0, "hole.distance": 40.0, "player.level": "20"}
    _clubs = ("putter",) if _technique == "putt" else ("sand wedge",)
    SCENES[_technique] = Scene(_place, (_technique,), _clubs, 32)
    SCENES[f"{_technique} downhill"] = Scene(_place | {"stance.slope_along": -0.05}, (_technique,), _clubs, 4)
    # Where any difference is too close to call the plainest is named.
    _other = {
        "chip": "pitch",
        "partial": "pitch",
        "splash": "dig",
        "dig": "splash",
        "thin_splash": "dig",
        "explode": "high_soft",
    }.get(_technique, "chip")
    SCENES[f"{_technique} or another"] = Scene(
        _place, (_technique, _other), (*_clubs, "gap wedge"), 3, table={"score.tie_errors": 1000.0}
    )

#: names of rows -> scenes in which they should be felt, the likeliest first; the first pattern counts
WHERE: list[tuple[str, tuple[str, ...]]] = [
    (r"strike\.putter_ratio", ("putt",)),
    (r"ball\..*|strike\..*", ("chip", "pitch")),
    (r"air\..*", ("wind on a chip", "wind")),
    (r"flight\.flight_way", ("longer pitch",)),
    (r"flight\..*", ("pitch", "wind")),
    (r"turf\.firmness_roll", ("putt over firm fairway",)),
    (r"turf\.(wet|firm).*", ("soft and wet",)),
    (r"turf\.scatter_limit", ("deep_rough",)),
    (r"turf\.restitution_most", ("firm",)),
    (r"turf\.restitution_(join|floor)", ("spinning pitch", "from a height")),
    (r"turf\.tilt_most.*", ("flat and fast",)),
    (r"turf\..*", ("chip", "pitch")),
    (r"surface\.green\..*", ("chip", "pitch")),
    (r"surface\.(\w+)\..*", (r"\1",)),
    (r"run\.wet_.*", ("wet putt",)),
    (r"run\.hold_floor", ("steep fall",)),
    (r"run\.grain_stimp", ("grain with",)),
    (r"run\.grain_bend", ("grain left",)),
    (r"run\.step_length", ("over a rise",)),
    (r"run\.time_limit", ("rolling away",)),
    (r"run\.distance_limit", ("rolling far",)),
    (r"run\..*", ("putt",)),
    (r"hole\..*", ("short putt", "short putt without the flag")),
    (r"lie\.(\w+)\..*", (r"on \1",)),
    (r"sits\.(plugged|furrow)\..*", (r"in sand, \1", r"sits \1")),
    (r"sits\.(\w+)\..*", (r"sits \1",)),
    (r"sand\.grass\..*", ("grass explosion",)),
    (r"sand\.(\w+)\.sunk", (r"clean from \1 sand",)),
    (r"sand\.(\w+)\.density", (r"down in \1 sand",)),
    (r"sand\.(\w+)\.dig", (r"dig from \1 sand",)),
    (r"sand\.(\w+)\..*", (r"\1 sand",)),
    (r"through\.least_attack", ("flat into sand",)),
    (r"through\.cut", ("clean from fine sand",)),
    (r"through\.(buried|under|bears|width|repose)", ("in sand, half_down", "in sand, down")),
    (r"through\.(embedded|soil)", ("embedded",)),
    (r"through\..*", ("thin sand", "fine sand")),
    (r"mishit\.(up_room|face_height|under_speed)", ("up in the rough",)),
    (r"mishit\.bent", ("down in long grass",)),
    (r"mishit\.clear", ("now and then thin",)),
    (r"mishit\..*", ("wild", "fat and thin", "firm ground")),
    (r"grass_out\.wiry", ("wiry grass",)),
    (r"grass_out\.grain", ("grain at the ball",)),
    (r"grass_out\.collar", ("against the collar",)),
    (r"grass_out\.collar_putt", ("putt against the collar",)),
    (r"grass_out\.(full_share)", ("hard cover",)),
    (r"grass_out\..*", ("deep grass", "shallow grass", "deepest grass")),
    (r"delivery\.wet_face", ("soft and wet",)),
    (r"delivery\.cover_hard", ("hard cover",)),
    (r"delivery\.groove_loss_dry", ("worn grooves dry",)),
    (r"delivery\.groove.*", ("worn grooves",)),
    (r"delivery\.balance_floor", ("very steep",)),
    (r"delivery\.follow_down", ("downhill",)),
    (r"delivery\.(balance|stance|follow).*", ("uneven",)),
    (r"delivery\.carry_power", ("own length",)),
    (r"delivery\.short_.*", ("short backswing",)),
    (r"delivery\.width_.*", ("wide stance",)),
    (r"delivery\.stock_open", ("fat and thin",)),
    (r"delivery\.steep.*", ("steep player",)),
    (r"delivery\.shallow.*", ("shallow player",)),
    (r"delivery\..*", ("chip",)),
    (r"turf_strike\.heel.*", ("upright",)),
    (r"turf_strike\.(bearing|contact|cut).*", ("soft ground",)),
    (r"turf_strike\.rebound", ("firm ground",)),
    (r"turf_strike\..*", ("chip of a handicap", "fat and thin")),
    (r"level\.(\w+)\.putt_.*", (r"putting \1",)),
    (r"level\.(\w+)\.sand_height", (r"sand \1",)),
    (r"level\.(\w+)\.side", (r"wild \1",)),
    (r"level\.(\w+)\..*", (r"level \1", r"wild \1")),
    (r"technique\.(\w+)\.plainness", (r"\1 or another",)),
    (r"technique\.(\w+)\..*", (r"\1", r"\1 downhill")),
    (r"score\.edge_deep", ("deep_rough",)),
    (r"score\.edge_(\w+)", (r"\1",)),
    (r"score\.penalty", ("water and out",)),
    (r"score\.tie_strokes", ("dropped",)),
    (r"score\.tie_errors", ("dropped",)),
    (r"score\..*", ("chip of a handicap", "rough")),
    (r"choose\.(first|growth|keep_errors)", ("dropped",)),
    (r"choose\.samples", ("as usual",)),
    (r"choose\.block", ("blocks",)),
    (r"choose\.try_balls", ("aims from far",)),
    (r"choose\.try_plans", ("aims at a glance", "aims from further")),
    (r"choose\.try_\w+", ("aims", "aims from further", "aims at a glance")),
    (r"escape\.trouble", ("often in water",)),
    (r"escape\.under", ("branch ahead",)),
    (r"escape\..*", ("hedge ahead",)),
    (r"choose\.doubt_\w+", ("not sure", "not sure at all")),
    (r"choose\..*", ("chip",)),
    (r"caution\.steep_bank", ("bank of one in five",)),
    (r"caution\.deep_lip", ("deep bunker",)),
    (r"caution\.gentle_slope", ("slightly uphill",)),
    (r"caution\.lip_chance", ("lip",)),
    (r"caution\.aim_worth_saying", ("chip",)),
    (r"swing\.knee", ("chip",)),
    (r"swing\..*", ("every length, near", "every length, nearer", "every length")),
]  # fmt: skip

#: limits that are compared with a figure of the advice: first they are set just below it
LIMITS: dict[str, Callable[[tuple[Shot, ...]], float]] = {
    "caution.lip_chance": lambda shots: 0.9 * shots[0].trouble["lip"],
    "caution.aim_worth_saying": lambda shots: 0.9 * abs(shots[0].aim) / DEGREE,
    "escape.trouble": lambda shots: 0.9 * sum(shots[0].trouble.get(end, 0.0) for end in BAD_ENDS),
    # The nearest of the shots that left the race at the first look.
    "choose.keep_errors": lambda shots: 0.98
    * min(s.behind_best / s.behind_best_error for s in shots if len(s.left) < len(shots[0].left)),
    "score.tie_errors": lambda shots: 0.9 * shots[-1].behind_best / shots[-1].behind_best_error,
    # Half-way between knee and hip, just below the length of the swing.
    "swing.knee": lambda shots: 0.95 * (2.0 * shots[0].share - ROWS["swing.hip"].value),
    "score.tie_strokes": lambda shots: 0.9 * shots[-1].behind_best,
}

COUNTS = re.compile(r"choose\.(?!keep_errors).*|escape\.samples")
"""Rows that count something: they move by one at least."""


def again_from(row: Row) -> tuple[str, Scene]:
    """The scene that needs a published curve at the distance of ``row``: out of bounds, and so played again.

    What lies nearer than a hole can be cut is felt by short putts; further than a situation can be, by a
    ball that rolls away down a bank.
    """
    _, curve, key = row.name.split(".")
    distance = float(key.replace("_", ".")) * (0.9144 if curve in STARTS else 0.3048)
    ground = STARTS.get(curve, "fairway")
    if distance < 0.9:
        return "short putt", SCENES["short putt"]
    if distance > 130.0:
        return f"cliff to {ground}", Scene(cliff(ground), ("putt",), ("putter",), 200)
    at = min(max(distance, 1.0), 110.0)
    green = {"green.front": min(max(at - 3.0, 0.0), 105.0), "green.depth": 8.0}
    # From firm sand the ball can be met first, and so played as far as from turf.
    here = (
        {"lie.ground": ground, "lie.sand": "firm", "hole.distance": at} | green | band("out", at + 0.2, 150.0)
    )
    name = f"again from {at:.1f} m on {ground}"
    if at > 20.0:
        clubs = ("gap wedge", "pitching wedge")
        return name, Scene(here | {"player.level": "tour"}, ("pitch", "partial"), clubs, 8)
    return name, Scene(here | {"player.level": "30"}, ("chip", "pitch"), samples=12)


STARTS = {"fairway": "fairway", "rough": "rough", "sand": "sand"}


class Remembered:
    """`simulate` that need not play again what it played for the table as it stands.

    The chain keeps nothing between calls, so that the same arguments give the same result; most rows are
    no business of it, and their tests need not wait for it.
    """

    def __init__(self) -> None:
        self.known: dict[bytes, Result] = {}
        self.learning = False

    def __call__(
        self, velocity: np.ndarray, spin: np.ndarray, met: Conditions, table: Coefficients, **more: Any
    ) -> Result:
        physics = (table.ball, table.air, table.flight, table.turf, table.surface, table.run, table.hole)
        parts = pickle.dumps((velocity, spin, met, physics, sorted(more.items())))
        key = blake2b(parts).digest()
        if key in self.known:
            return self.known[key]
        result = simulate(velocity, spin, met, table, **more)
        if self.learning:
            self.known[key] = result
        return result


MEMORY = Remembered()


@pytest.fixture(autouse=True)
def remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "simulate", MEMORY)
    # No figure that is compared here is one of a swing a little off, which takes a third of the time.
    monkeypatch.setattr("shortgame_gui.advice.advise.what_ifs_and_ways", only_ways)


def only_ways(
    bench: Bench, strokes: Strokes, found: Scan, plans: Plans, *rest: Any
) -> tuple[list[tuple[WhatIf, ...]], Ball, Result]:
    """`what_ifs_and_ways` that tells nothing of each of ``plans``."""
    ball, done = solve.hit(bench, strokes, rest[-1], still(1), trace=True)
    return [()] * len(plans.speed), ball, done


@cache
def bag_of(clubs: tuple[str, ...]) -> Bag:
    known = {club.name: club for club in (*packaged_bag().clubs, LOW_BOUNCE, WORN)}
    return packaged_bag() if not clubs else Bag(clubs=tuple(known[name] for name in clubs))


def moved(row: Row, share: float) -> Row:
    """``row`` moved by ``share`` of itself; by a step where it is 0, by one at least where it counts."""
    change = share * row.value
    if row.value == 0.0:
        change = math.copysign(STEP[row.unit], share)
    elif COUNTS.fullmatch(row.name):
        change = math.copysign(max(round(abs(change)), 1), share)
    return replace(row, value=row.value + change)


def table_of(scene: Scene, row: Row | None = None) -> Coefficients:
    """The table of ``scene``, with ``row`` moved; by the same share where the scene sets it otherwise."""
    changed = {name: replace(ROWS[name], value=value) for name, value in scene.table.items()}
    if row is not None:
        share = row.value / ROWS[row.name].value if row.name in changed else 0.0
        changed[row.name] = replace(row, value=share * changed[row.name].value) if share else row
    table = load()
    for name, one in changed.items():
        table = put(table, name.split("."), si(one.value, one.unit))
    return table


def put(holder: Any, names: list[str], value: float) -> Any:
    """``holder``, a struct or dict of the table, with ``value`` below ``names``."""
    name, *below = names
    if isinstance(holder, dict):
        return holder | {name: put(holder[name], below, value) if below else value}
    new = put(getattr(holder, name), below, value) if below else value
    return msgspec.structs.replace(holder, **{name: new})


Said = tuple[Any, Any]
Figures = Callable[[Shot], dict[str, float]]


def said(scene: Scene, of: Figures, row: Row | None = None) -> Said:
    """What the advice says of its shots in ``scene``, and what it says beside them, with ``row`` moved."""
    MEMORY.learning = row is None
    table = table_of(scene, row)
    found = advise(scene.situation(), bag_of(scene.clubs), table, samples=scene.samples)
    shots = [((s.club.name, s.technique, s.swing), of(s)) for s in found.shots]
    plainest = found.why.plainest if found.why is not None else None
    return (shots, found.refused, found.doubt, found.escapes), (found.setup.cues, found.cautions, plainest)


BEFORE: dict[str, Said] = {}


def before(name: str, scene: Scene, of: Figures) -> Said:
    """What is said in ``scene`` with the table as it stands, once a process."""
    if name not in BEFORE:
        BEFORE[name] = said(scene, of)
    return BEFORE[name]


def scenes_for(row: Row) -> Iterator[tuple[str, Scene]]:
    if row.name.startswith("baseline."):
        yield again_from(row)
        return
    for pattern, names in WHERE:
        match = re.fullmatch(pattern, row.name)
        if match:
            yield from ((match.expand(name), SCENES[match.expand(name)]) for name in names)
            return
    raise KeyError(f"no scene is named for {row.name}")


#: rows that only set-up, cautions and words tell of
WORDS = re.compile(
    r"caution\..*|technique\.\w+\.(ball_position|weight_lead|handle|plainness)|technique\.putt\.(open|lean)"
)
PLAINNESS = re.compile(r"technique\.\w+\.plainness")
"""An order: a number of it is moved past all others."""


def felt(row: Row, of: Figures) -> str | None:
    """The scene whose advice changes when ``row`` is moved up or down, or None."""
    for name, scene in scenes_for(row):
        if row.name in LIMITS:
            found = advise(scene.situation(), bag_of(scene.clubs), table_of(scene), samples=scene.samples)
            scene = replace(scene, table=scene.table | {row.name: LIMITS[row.name](found.shots)})
            name = f"{name}, {row.name} just below"
        for share in (20.0, -20.0) if PLAINNESS.fullmatch(row.name) else (SHARE, -SHARE):
            was, now = before(name, scene, of), said(scene, of, moved(row, share))
            assert was[0][0], f"no shot can be played in the scene {name!r}"
            if now[0] != was[0] or (WORDS.fullmatch(row.name) and now[1] != was[1]):
                return name
    return None


def group_of(name: str) -> str:
    """Rows that are tested together: one lie, one level, one technique, or one struct of the table."""
    first, second, *rest = name.split(".")
    return f"{first}.{second}" if rest else first


def irrelevant(name: str) -> bool:
    return any(re.fullmatch(pattern, name) for pattern in IRRELEVANT)


@pytest.mark.parametrize("group", sorted({group_of(name) for name in ROWS if not irrelevant(name)}))
def test_every_number_is_felt(group: str, figures: Figures) -> None:
    rows_here = [row for name, row in ROWS.items() if group_of(name) == group and not irrelevant(name)]
    assert [row.name for row in rows_here if felt(row, figures) is None] == []


def test_what_is_declared_irrelevant_is_little_and_there() -> None:
    for pattern, reason in IRRELEVANT.items():
        assert any(re.fullmatch(pattern, name) for name in ROWS) and len(reason.split()) > 5
    assert sum(map(irrelevant, ROWS)) < 0.03 * len(ROWS)
