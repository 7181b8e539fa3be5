"""The ground between ball and hole, the green, the hole, the air and who is about."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal

from shortgame_gui.model.base import Checked, FieldError, canonical, labelled, quantity
from shortgame_gui.units import FOOT

Surface = Literal["fairway", "fringe", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out"]
BandSurface = Literal[
    "green", "fairway", "fringe", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out"
]


class ProfilePoint(Checked, frozen=True, kw_only=True):
    """One point of the drawn side profile."""

    at: Annotated[
        float,
        quantity("length", -20.0, 150.0, "Distance", "Distance from the ball towards the hole.", step=0.5),
    ]
    height: Annotated[float, quantity("length", -20.0, 20.0, "Height", "Height above the ball.", step=0.1)]


class Band(Checked, frozen=True, kw_only=True):
    """A rectangle of one surface laid over the rest; later bands lie on top of earlier ones."""

    surface: Annotated[BandSurface, labelled("Surface", "What the band is covered with.")]
    start: Annotated[
        float, quantity("length", -20.0, 150.0, "From", "Where the band begins, from the ball.", step=0.5)
    ]
    end: Annotated[
        float, quantity("length", -20.0, 150.0, "To", "Where the band ends, from the ball.", step=0.5)
    ]
    left: Annotated[
        float,
        quantity(
            "length", -60.0, 60.0, "Reaches left", "How far the band reaches left of the line to the hole.",
            step=0.5,
        ),
    ] = 40.0  # fmt: skip
    right: Annotated[
        float,
        quantity(
            "length", -60.0, 60.0, "Reaches right", "How far the band reaches right of the line to the hole.",
            step=0.5,
        ),
    ] = 40.0  # fmt: skip

    def check(self) -> None:
        if self.end <= self.start:
            raise FieldError("end", "must lie beyond `start`")
        if self.left + self.right <= 0.0:
            raise FieldError("right", "must leave the band a width together with `left`")


class Shape(Checked, frozen=True, kw_only=True):
    """One step in the ground ahead, set by where it begins, how long and how high it is."""

    kind: Annotated[
        Literal["tier", "false_front", "run_off", "backstop"],
        labelled(
            "Shape", "Tier and false front rise towards the hole, a backstop rises behind, a run-off falls."
        ),
    ]
    at: Annotated[
        float, quantity("length", -20.0, 150.0, "Begins at", "Where it begins, from the ball.", step=0.5)
    ]
    length: Annotated[
        float, quantity("length", 0.5, 30.0, "Length", "Over what distance the ground changes.", step=0.5)
    ] = 3.0
    height: Annotated[
        float, quantity("length", 0.05, 5.0, "Height", "How much the ground rises or falls.", step=0.05)
    ] = 0.5


class Obstacle(Checked, frozen=True, kw_only=True):
    """Something upright across the line that stops a ball: a hedge, a branch, a wall."""

    at: Annotated[
        float, quantity("length", 0.5, 150.0, "Distance", "From the ball to the obstacle.", step=0.5)
    ]
    low: Annotated[
        float,
        quantity("length", -20.0, 30.0, "Lower edge", "Height of its lower edge above the ball.", step=0.25),
    ] = -20.0
    high: Annotated[
        float,
        quantity("length", -20.0, 30.0, "Upper edge", "Height of its upper edge above the ball.", step=0.25),
    ] = 2.0
    left: Annotated[
        float,
        quantity("length", -60.0, 60.0, "Reaches left", "How far it reaches left of the line.", step=0.5),
    ] = 10.0
    right: Annotated[
        float,
        quantity("length", -60.0, 60.0, "Reaches right", "How far it reaches right of the line.", step=0.5),
    ] = 10.0

    def check(self) -> None:
        if self.high <= self.low:
            raise FieldError("high", "must lie above `low`")
        if self.left + self.right <= 0.0:
            raise FieldError("right", "must leave the obstacle a width together with `left`")


class Ground(Checked, frozen=True, kw_only=True):
    """What lies before, beside and behind the green, and the side profile."""

    approach: Annotated[Surface, labelled("Before the green", "The ground between ball and green.")] = (
        "fairway"
    )
    beside: Annotated[Surface, labelled("Beside the green", "The ground left and right of the green.")] = (
        "rough"
    )
    behind: Annotated[Surface, labelled("Behind the green", "The ground beyond the green.")] = "rough"
    fringe: Annotated[
        float,
        quantity("length", 0.0, 5.0, "Width of the fringe", "Width of the collar round the green.", step=0.1),
    ] = 1.0
    profile: Annotated[
        tuple[ProfilePoint, ...],
        labelled(
            "Side profile",
            "Points of the ground's height along the line, from the ball; empty where it is level. "
            "The green's own slope is added to it.",
            most=24,
        ),
    ] = ()
    bands: Annotated[
        tuple[Band, ...], labelled("Bands", "Bunkers, water and other strips laid over the ground.", most=12)
    ] = ()

    shapes: Annotated[
        tuple[Shape, ...], labelled("Shapes", "Tiers, false fronts, run-offs and backstops.")
    ] = ()
    obstacles: Annotated[
        tuple[Obstacle, ...], labelled("Obstacles", "Hedges, branches and walls that the ball must pass.")
    ] = ()

    def check(self) -> None:
        for number, (here, following) in enumerate(pairwise(self.profile), start=1):
            if canonical(following.at - here.at) < 0.05:
                raise FieldError(f"profile[{number}].at", "must be at least 5 cm beyond the point before it")


class Green(Checked, frozen=True, kw_only=True):
    """The green: where it begins and ends, how fast, firm and tilted it is."""

    front: Annotated[
        float,
        quantity(
            "length", 0.0, 105.0, "Distance to the green",
            "From the ball to the green's near edge along the line.", step=0.25,
        ),
    ] = 6.0  # fmt: skip
    depth: Annotated[
        float,
        quantity("length", 4.0, 60.0, "Depth of the green", "From its near edge to its far edge.", step=0.5),
    ] = 24.0
    left: Annotated[
        float,
        quantity(
            "length", 1.0, 40.0, "Green left of the line", "Room from the line to its left edge.", step=0.5
        ),
    ] = 10.0
    right: Annotated[
        float,
        quantity(
            "length", 1.0, 40.0, "Green right of the line", "Room from the line to its right edge.", step=0.5
        ),
    ] = 10.0
    speed: Annotated[
        float,
        quantity(
            "length",
            5.0 * FOOT,
            16.0 * FOOT,
            "Green speed",
            "Stimpmeter reading.",
            step=0.5 * FOOT,
            file_unit="ft",
        ),
    ] = 10.0 * FOOT
    firmness: Annotated[
        float,
        quantity(
            "firmness", 40.0, 140.0, "Firmness of the green",
            "0.5 kg impact hammer, peak deceleration in g: soft 60, medium 85, firm 110, very firm 125.",
            step=5.0,
        ),
    ] = 85.0  # fmt: skip
    slope_along: Annotated[
        float,
        quantity(
            "slope", -0.10, 0.10, "Green rises away",
            "Slope of the green along the line: positive where it rises away from the ball.", step=0.005,
            file_unit="%",
        ),
    ] = 0.0  # fmt: skip
    slope_across: Annotated[
        float,
        quantity(
            "slope", -0.10, 0.10, "Ground rises to the left",
            "Slope across the line: positive where the left is higher, so that a ball breaks right.",
            step=0.005, file_unit="%",
        ),
    ] = 0.0  # fmt: skip
    wet: Annotated[
        bool, labelled("Wet green", "Standing moisture: the first bounce skids, and the ball runs less.")
    ] = False
    grain: Annotated[
        Literal["none", "with", "against", "left", "right"],
        labelled("Grain of the green", "Where the grass grows to: with the line, against it, left or right."),
    ] = "none"
    takes_spin: Annotated[
        float,
        quantity(
            "share", 0.5, 1.6, "Takes spin",
            "How well the green grips a spinning ball: 1 as usual, less where worn or dry, more where moist.",
            step=0.05,
        ),
    ] = 1.0  # fmt: skip


class Hole(Checked, frozen=True, kw_only=True):
    """Where the hole is cut."""

    distance: Annotated[
        float, quantity("length", 1.0, 110.0, "Distance to the hole", "From the ball to the hole.", step=0.25)
    ] = 18.0
    flag: Annotated[Literal["in", "out"], labelled("Flag", "Flagstick left in the hole or taken out.")] = "in"


class Air(Checked, frozen=True, kw_only=True):
    """Wind at 2 m above the ground, temperature and altitude."""

    wind_along: Annotated[
        float,
        quantity(
            "speed", -15.0, 15.0, "Wind along the line",
            "Wind at 2 m height: positive helps (tailwind), negative hurts (headwind).", step=0.5,
        ),
    ] = 0.0  # fmt: skip
    wind_across: Annotated[
        float,
        quantity(
            "speed", -15.0, 15.0, "Wind across the line",
            "Wind at 2 m height: positive blows from left to right.", step=0.5,
        ),
    ] = 0.0  # fmt: skip
    gust: Annotated[
        float,
        quantity(
            "speed",
            0.0,
            5.0,
            "Gusts",
            "How much the wind varies from shot to shot (one spread); a small part of it at least.",
            step=0.5,
        ),
    ] = 0.0
    temperature: Annotated[
        float,
        quantity("temperature", -10.0, 45.0, "Temperature", "Air temperature.", step=1.0, file_unit="C"),
    ] = 20.0
    altitude: Annotated[
        float, quantity("length", 0.0, 4000.0, "Altitude", "Height above the sea.", step=100.0)
    ] = 0.0


class Surroundings(Checked, frozen=True, kw_only=True):
    """What the cautions need to know."""

    people_near: Annotated[
        bool, labelled("People close by", "Somebody stands within a club's swing or close behind.")
    ] = False
    players_ahead: Annotated[
        bool, labelled("Players ahead", "Somebody is on or near the line of play, within reach of the ball.")
    ] = False
    lightning: Annotated[bool, labelled("Lightning about", "Thunder heard or lightning seen.")] = False
    deep_bunker: Annotated[bool, labelled("In a deep bunker", "The way in and out is over a steep edge.")] = (
        False
    )
    round: Annotated[
        bool, labelled("During a round", "The advice would be used while a round is being played.")
    ] = False


class NotSure(Checked, frozen=True, kw_only=True):
    """How far off each condition may be from what was stated: one standard deviation, 0 where it is known.

    About two times in three the truth lies within one of these.
    """

    green_speed: Annotated[
        float,
        quantity(
            "length", 0.0, 4.0 * FOOT, "Green speed, give or take",
            "How far off the stimpmeter reading may be.",
            step=0.25 * FOOT, file_unit="ft",
        ),
    ] = 0.0  # fmt: skip
    firmness: Annotated[
        float,
        quantity(
            "firmness", 0.0, 30.0, "Firmness, give or take", "How far off the firmness may be.", step=2.5
        ),
    ] = 0.0
    slope_along: Annotated[
        float,
        quantity(
            "slope", 0.0, 0.04, "Rise away, give or take", "How far off the slope along the line may be.",
            step=0.0025, file_unit="%",
        ),
    ] = 0.0  # fmt: skip
    slope_across: Annotated[
        float,
        quantity(
            "slope", 0.0, 0.04, "Rise to the left, give or take", "How far off the slope across may be.",
            step=0.0025, file_unit="%",
        ),
    ] = 0.0  # fmt: skip
    wind: Annotated[
        float,
        quantity(
            "speed",
            0.0,
            5.0,
            "Wind, give or take",
            "How far off the wind along and across may be.",
            step=0.25,
        ),
    ] = 0.0
    lie: Annotated[
        float,
        quantity(
            "count", 0.0, 2.0, "How it sits, give or take",
            "How many grades deeper or higher the ball may sit.",
            step=0.25,
        ),
    ] = 0.0  # fmt: skip
