"""What the advice returns: codes and numbers in SI; words/ makes sentences of them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.situation import Situation

Array = npt.NDArray[np.float64]


OUT_OF_REACH = 3.0
"""Distance in m short of the hole from which on a shot is not meant to reach it: more than any aim at it."""


@dataclass(frozen=True)
class Track:
    """The unperturbed ball's way: time in s (k,), position in m (3, k), speed in m/s (k,)."""

    time: Array
    position: Array
    speed: Array
    landing: int
    """Index of the first landing."""
    bounces: tuple[int, ...]
    """Indices of all bounces, the first landing included."""
    roll: int
    """Index of the start of rolling."""


@dataclass(frozen=True)
class SetUp:
    """Cues for a shot, code to number (see words/): at most six."""

    cues: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Miss:
    """One kind of miss: how likely it is and the strokes it needs on average, this one counted."""

    code: str
    """A side (``short``, ``long``, ``left``, ``right``: the quarter of the well struck balls that stop most
    that way) or a mishit of `advice.delivery.MISHITS`."""
    chance: float
    strokes: float


@dataclass(frozen=True)
class Misses:
    """The misses of a shot, those first that cost most with their chance counted."""

    found: tuple[Miss, ...]
    avoid: str | None
    """The miss that costs clearly most; None where none stands out."""
    have: str | None
    """The side whose opposite costs clearly more; None where none does."""

    def of(self, code: str) -> Miss | None:
        """The miss called ``code``, or None where there were too few to tell."""
        return next((miss for miss in self.found if miss.code == code), None)


@dataclass(frozen=True)
class WhatIf:
    """What a shot would do that is landed 1 m short or long of its spot, or swung 5 % harder."""

    code: str
    """``landed_short``, ``landed_long`` or ``swung_harder``."""
    finish: tuple[float, float]
    """Where the unperturbed ball would rest without a hole, in m from the hole: along, left."""
    strokes: float
    """Change of the expected strokes, and its paired standard error."""
    error: float


@dataclass(frozen=True)
class Shot:
    """One candidate as advised: lengths in m, speeds in m/s, angles in rad, spin in rad/s, chances 0..1.

    Delivery and flight are those of the unperturbed shot; strokes and chances are those of the samples.
    """

    rank: int
    club: Club
    technique: str
    swing: str
    """Code of the swing length, a name in the table's `swing`."""
    head_speed: float
    share: float
    """Head speed over this club's full swing."""
    aim: float
    """Direction of the aim, left of the line to the hole, in rad."""
    start: float
    """Direction in which the unperturbed ball starts, left of the line to the hole, in rad: the break."""
    finish_aim: tuple[float, float]
    """Where the unperturbed ball would rest without a hole, in m from the hole: along, left."""
    delivered_loft: float
    attack: float
    ball_speed: float
    launch: float
    spin: float
    carry: float
    landing: tuple[float, float]
    """First landing in m: along, left; for a putt the start."""
    landing_past_edge: float | None
    """First landing past the green's near edge; None where there is no edge to carry (or no flight)."""
    landing_angle: float
    landing_speed: float
    apex: float
    run: float
    """Signed: negative when it spins back."""
    air_share: float
    n: int
    expected_strokes: float
    standard_error: float
    behind_best: float
    """Behind the leader in what counts today: strokes, or the chance of missing the player's aim."""
    behind_best_error: float
    tie: bool
    holed: float
    down_in_two: float
    three_or_more: float
    trouble: dict[str, float]
    """Chances: of finishing on each surface that is not green, rolled away, and of fat and thin strikes."""
    half: tuple[float, float]
    """Distances from the ball along the line between which the middle half of the finishes lie."""
    finishes: Array = field(repr=False)
    """Finishes of the samples in m, (2, n)."""
    landings: Array = field(repr=False)
    """First landings of the samples in m, (2, n); the start for balls that never flew."""
    left: Array = field(repr=False)
    """Distances left to the hole in m, (n,); 0 where holed."""
    track: Track = field(repr=False)
    setup: SetUp = SetUp(())
    cautions: tuple[str, ...] = ()
    """Cautions that go with this shot alone, a code each: ``lip`` where the lip often catches it."""
    misses: Misses = Misses((), None, None)
    what_ifs: tuple[WhatIf, ...] = ()
    """Told of the leading shots only."""
    past: str = ""
    """On which side it goes round what is in the way, ``left`` or ``right``; empty where it does not."""

    @property
    def reaches(self) -> bool:
        """Whether it is meant to finish about the hole, not only to come nearer."""
        return self.finish_aim[0] > -OUT_OF_REACH

    @property
    def hole(self) -> float:
        """Distance to the hole in m, as the finish tells it."""
        along, left = self.finish_aim
        return float(np.sqrt(max((self.carry + self.run) ** 2 - left * left, 0.0))) - along

    def within(self, radius: float) -> float:
        """Chance of finishing within ``radius`` m of the hole; holed counts."""
        return float((self.left <= radius).mean())

    @property
    def inside(self) -> tuple[float, float, float]:
        """Chances of finishing inside 1, 2 and 3 m (holed counts)."""
        return self.within(1.0), self.within(2.0), self.within(3.0)


@dataclass(frozen=True)
class Drawn:
    """One shot of the quick picture, as it goes without any error: SI, angles in rad."""

    club: Club
    technique: str
    head_speed: float
    share: float
    """Head speed over this club's full swing."""
    swing: str
    """Code of the swing length, a key of the table's `swing`; "stroke" for a putt."""
    aim: float
    carry: float
    landing: tuple[float, float]
    """First landing in m: along, left; for a putt the start."""
    rest: tuple[float, float]
    """Where the ball ends in m: along, left."""
    left: float
    """From there to the hole in m; 0 when holed."""
    ending: str
    """A value of `advice.trace.ENDINGS`."""
    surface: str
    """What the ball ends on."""
    apex: float
    track: Track = field(repr=False)


@dataclass(frozen=True)
class Refused:
    """A shot that the rules do not offer here, with the reason's code (`advice.rules.REASONS`)."""

    club: str
    technique: str
    reason: str


@dataclass(frozen=True)
class Reason:
    """One difference between the two leading shots: a link of the chain and both figures in SI."""

    link: str
    first: float
    second: float


@dataclass(frozen=True)
class Why:
    """Why the leader leads: the two shots and the largest differences between their links."""

    first: tuple[str, str]
    second: tuple[str, str]
    margin: float
    margin_error: float
    tie: bool
    reasons: tuple[Reason, ...]
    plainest: tuple[str, str] | None = None
    """The plainest of the shots that are too close to call, the leader among them; None where none is."""
    counts: str = "average"
    """What counts today, and so what the margin is: strokes, or a chance (`Player.counts`)."""


@dataclass(frozen=True)
class Doubt:
    """What not being sure of the conditions costs (see `advice.doubt`)."""

    cost: float
    """What knowing would save in what counts for the player: strokes, or the chance of missing it."""
    error: float
    clear: bool
    """Whether the cost is more than chance would make of none (`score.tie_errors`)."""
    changes: float
    """Share of the conditions in which, were they known, another shot would win beyond a tie."""
    instead: tuple[str, str] | None
    """Club and technique of the shot that would most often win then."""
    most: str | None
    """The doubt that moves the leader's finishes most, a field of `NotSure`; None where none stands out."""


@dataclass(frozen=True)
class Escape:
    """Another way out than towards the hole (see `advice.escapes`)."""

    kind: str
    """``sideways_left``, ``sideways_right``, ``backwards``, ``embedded``, or how an unplayable is taken."""
    rule: str
    """Number of the Rule of Golf; empty where the ball is played."""
    penalty: int
    strokes: float | None
    """Expected strokes to hole out from here, penalty included; None where it cannot be told."""
    error: float
    place: tuple[float, float] | None
    """Where the ball then lies, in m from here: along, left; None where that is not known."""
    shot: tuple[str, str] | None
    """Club and technique; None where the ball is dropped."""
    landing: tuple[float, float] | None = None
    """Where the ball that is played first lands, in m from here: along, left; None where it is dropped."""
    swing: str = ""
    """Code of the swing length; empty where the ball is dropped."""
    setup: SetUp = SetUp(())
    """Of the shot; where to aim it is told by ``landing``."""
    clear: bool = False
    """Whether it needs fewer strokes than any shot towards the hole, beyond chance (`score.tie_errors`)."""


@dataclass(frozen=True)
class Advice:
    """The whole answer to one situation."""

    situation: Situation
    bag: Bag
    seed: int
    samples: int
    shots: tuple[Shot, ...]
    refused: tuple[Refused, ...]
    why: Why | None
    setup: SetUp
    """Of the leader."""
    cautions: tuple[str, ...]
    doubt: Doubt | None = None
    """None where the golfer is sure of all conditions."""
    escapes: tuple[Escape, ...] = ()
    """Other ways out, where something asks for them."""
