"""Why one of two compared shots runs more: claims link by link along the chain, as codes and numbers.

Strike, flight, first bounce, run: each claim holds both figures, how they compare, and whether that follows
from a claim before it. The sentences stand in words/compare.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shortgame_gui.advice.compare import Compared, Held
from shortgame_gui.model.player import THROUGH

Relation = Literal["more", "less", "same"]


@dataclass(frozen=True)
class Link:
    """One link of the chain: ``part`` of the way, least difference worth a word (SI), and what it hangs on.

    ``causes`` names earlier links and the sense in which a larger figure there moves this one.
    """

    part: str
    step: float
    causes: tuple[tuple[str, float], ...] = ()


#: The links in the order of the chain; steps are so large that both figures never read the same.
LINKS: dict[str, Link] = {
    "delivered_loft": Link("strike", 0.02),
    "ball_speed": Link("strike", 0.5),
    "launch": Link("strike", 0.02, (("delivered_loft", 1.0),)),
    "spin": Link("strike", 12.0, (("delivered_loft", 1.0),)),
    "carry": Link("flight", 0.25, (("run", -1.0),)),
    "apex": Link("flight", 0.11, (("launch", 1.0),)),
    "landing_angle": Link("flight", 0.02, (("apex", 1.0), ("launch", 1.0))),
    "forward_after": Link("bounce", 0.15, (("landing_angle", -1.0), ("spin", -1.0))),
    "spin_after": Link("bounce", 12.0, (("spin", 1.0),)),
    "run": Link("run", 0.25, (("forward_after", 1.0), ("spin_after", -1.0))),
    "total": Link("run", 0.25),
}

AIRBORNE = {
    "landing": ("delivered_loft", "launch", "spin", "apex", "landing_angle", "forward_after", "run"),
    "finish": (
        "delivered_loft", "launch", "spin", "apex", "landing_angle", "forward_after", "run", "carry",
    ),
    "swing": (
        "delivered_loft", "launch", "spin", "carry", "landing_angle", "forward_after", "run", "total",
    ),
}  # fmt: skip
"""What is told of two shots that fly, by what is held equal, in the order of telling."""
ROLLING = ("ball_speed", "carry", "run", "total")
"""What is told where one or both only roll."""
BOUNCED = ("forward_after",)
AT_REST = ("run", "total")
"""Links that need a bounce, and those that need a ball that came to rest where it ran."""


@dataclass(frozen=True)
class Claim:
    """One link: both figures in SI and how the first compares with the second.

    ``because`` names the earlier claim that it follows from; ``against`` the one that it goes against.
    """

    link: str
    first: float
    second: float
    relation: Relation
    because: tuple[str, ...] = ()
    against: tuple[str, ...] = ()


@dataclass(frozen=True)
class Difference:
    """Two shots, the one that goes on further after landing first, and all claims on how they differ."""

    first: Compared
    second: Compared
    held: Held
    claims: tuple[Claim, ...]
    value: float
    """What is held equal, in m or m/s."""
    surfaces: bool
    """Whether they land on different ground, which no figure of the chain tells."""

    @property
    def stopped(self) -> tuple[Compared, ...]:
        """Those of the two that ended in trouble, so that nothing is said of their run."""
        return tuple(shot for shot in (self.first, self.second) if not comes_to_rest(shot))


def comes_to_rest(shot: Compared) -> bool:
    """Whether ``shot`` ran out where the ground let it, undisturbed."""
    return shot.ending == "at_rest" and not shot.obstacle


def difference(one: Compared, other: Compared, held: Held, value: float) -> Difference:
    """What differs between two shots with ``held`` at ``value`` (m or m/s), the one that runs further first.

    Beside a shot that does not come to rest the lower launch comes first.
    """
    if comes_to_rest(one) and comes_to_rest(other) and relation("run", one.run, other.run) != "same":
        one_first = one.run > other.run
    else:
        one_first = one.launch <= other.launch
    first, second = (one, other) if one_first else (other, one)
    rolls = first.putt or second.putt
    claims: dict[str, Claim] = {}
    for name in ROLLING if rolls else AIRBORNE[held]:
        if name in BOUNCED and not (first.bounces and second.bounces):
            continue
        if name in AT_REST and not (comes_to_rest(first) and comes_to_rest(second)):
            continue
        if rolls and (
            (name == "total" and held == "finish") or (name == "carry" and first.putt and second.putt)
        ):
            continue
        if name == "run" and "forward_after" in claims and not _claim(name, first, second, claims).because:
            # Speed alone does not tell why it runs further: then what spin is left belongs to the reason.
            claims["spin_after"] = _claim("spin_after", first, second, claims)
        claims[name] = _claim(name, first, second, claims)
    lands = not rolls and bool(first.bounces and second.bounces)
    surfaces = lands and first.landing_surface != second.landing_surface
    return Difference(first, second, held, tuple(claims.values()), value, surfaces)


def relation(name: str, first: float, second: float) -> Relation:
    """How the figure ``first`` of link ``name`` compares with ``second``."""
    gap = first - second
    if abs(gap) < LINKS[name].step:
        return "same"
    return "more" if gap > 0.0 else "less"


def _claim(name: str, first: Compared, second: Compared, before: dict[str, Claim]) -> Claim:
    a, b = float(getattr(first, name)), float(getattr(second, name))
    found = relation(name, a, b)
    sign = {"more": 1.0, "less": -1.0, "same": 0.0}
    because: list[str] = []
    against: list[str] = []
    for cause, sense in LINKS[name].causes:
        if cause in before:
            pull = sense * sign[before[cause].relation] * sign[found]
            if pull:
                (because if pull > 0.0 else against).append(cause)
    return Claim(name, a, b, found, tuple(because), tuple(against))


DRILLS = ("roll_or_fly", "line_in_sand", "one_club_two_ways", "one_spot", "one_finish", "one_swing")
"""Codes of the drills; words/ has the text of each."""


def drill(found: Difference) -> str:
    """The one drill that lets a player feel what differs between two shots."""
    first, second = found.first, found.second
    if first.putt or second.putt:
        return "roll_or_fly"
    if first.technique in THROUGH and second.technique in THROUGH:
        return "line_in_sand"
    if first.club == second.club:
        return "one_club_two_ways"
    return {"landing": "one_spot", "finish": "one_finish", "swing": "one_swing"}[found.held]
