"""Why the leader leads, how to set up for it, and what to watch: codes and numbers for words/."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from shortgame_gui.advice import scene
from shortgame_gui.advice.delivery import MISHITS
from shortgame_gui.advice.result import Reason, SetUp, Shot, Why
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.player import THROUGH
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES

#: link of the chain -> difference that a golfer would call one step (used only to choose the reasons)
LINKS: dict[str, float] = {
    "launch": 0.09,
    "spin": 100.0,
    "apex": 0.5,
    "landing_angle": 0.09,
    "landing_speed": 1.0,
    "carry": 2.0,
    "run": 1.5,
    "spread": 0.5,
    "mishit": 0.03,
    "off_green": 0.05,
    "inside_2m": 0.05,
}
SPEAKS = {"spread": -1, "mishit": -1, "off_green": -1, "inside_2m": 1}
"""Links of which more speaks for a shot, or against it; of the others neither does."""
ON_GROUND = ("run", "spread", "mishit", "off_green", "inside_2m")
"""Links that a putt has, too."""
MOST_REASONS = 4
LEAST_REASONS = 2
LEAST_STEP = 0.45
"""Smaller differences, in steps, are said of the first reasons only: both figures would read the same."""
MOST_CUES = 6


def link(shot: Shot, name: str) -> float:
    """The figure of ``shot`` at one link of `LINKS`, SI; equal to the trace's or the samples' own."""
    if name == "spread":
        return shot.half[1] - shot.half[0]
    if name == "mishit":
        return sum(v for k, v in shot.trouble.items() if k in MISHITS)
    if name == "off_green":
        return sum(v for k, v in shot.trouble.items() if k in SURFACES)
    if name == "inside_2m":
        return shot.inside[1]
    return float(getattr(shot, name))


def plainest(shots: tuple[Shot, ...], table: Coefficients) -> tuple[str, str] | None:
    """Club and technique of the plainest of the shots that are too close to call, better ranks first."""
    ties = [s for s in shots if s.tie]
    if not ties:
        return None
    shot = min(ties, key=lambda s: (table.technique[s.technique].plainness, s.rank))
    return shot.club.name, shot.technique


def speaks(reason: Reason) -> int:
    """1 where the difference speaks for the first of the two shots, -1 against it, 0 for neither."""
    return int(np.sign(reason.first - reason.second)) * SPEAKS.get(reason.link, 0)


def reasons(first: Shot, second: Shot) -> tuple[Reason, ...]:
    """The largest differences between the links of two shots."""
    # A putt never flies: beside one only what a putt has is compared.
    names = ON_GROUND if "putt" in (first.technique, second.technique) else tuple(LINKS)
    found = [Reason(name, link(first, name), link(second, name)) for name in names]

    def steps(reason: Reason) -> float:
        return abs(reason.first - reason.second) / LINKS[reason.link]

    found.sort(key=steps, reverse=True)
    return tuple(
        r
        for k, r in enumerate(found[:MOST_REASONS])
        if steps(r) >= LEAST_STEP or (k < LEAST_REASONS and steps(r))
    )


def why(shots: tuple[Shot, ...], counts: str, table: Coefficients) -> Why | None:
    """The two leading shots by what ``counts`` and the largest differences of their links; None below two."""
    if len(shots) < 2:
        return None
    first, second = shots[0], shots[1]
    return Why(
        (first.club.name, first.technique),
        (second.club.name, second.technique),
        second.behind_best,
        second.behind_best_error,
        second.tie,
        reasons(first, second),
        plainest(shots, table),
        counts,
    )


def swing_code(share: float, table: Coefficients) -> str:
    """The named length of swing nearest to ``share`` of full head speed."""
    return min(table.swing, key=lambda code: abs(table.swing[code] - share))


class Swung(Protocol):
    """What the set-up reads of a shot: technique, share of a full swing, aim in rad, head speed in m/s."""

    @property
    def technique(self) -> str: ...
    @property
    def share(self) -> float: ...
    @property
    def aim(self) -> float: ...
    @property
    def head_speed(self) -> float: ...


@dataclass(frozen=True)
class Swing:
    """Just that, of a shot of which no more is told yet."""

    technique: str
    share: float
    aim: float
    head_speed: float


def setup(situation: Situation, shot: Swung, table: Coefficients) -> SetUp:
    """At most six cues for ``shot`` here, the ones that differ most from an ordinary stance first.

    Weight settles on the lower foot and the ball goes towards the higher one (common practice, no source).
    Numbers: share of weight, metres, radians; ``swing`` carries the share of a full swing.
    """
    tech = table.technique[shot.technique]
    along, across = situation.stance.slope_along, situation.stance.slope_across
    steep = table.caution.gentle_slope
    cues: list[tuple[float, str, float]] = [(0.0, "swing", shot.share)]
    if along < -steep:
        cues.append((-3.0, "downhill_weight_lead", min(0.9, tech.weight_lead + abs(along))))
        cues.append((-2.5, "downhill_ball_back", along))
        cues.append((-2.4, "shoulders_with_slope", float(np.arctan(along))))
    elif along > steep:
        cues.append((-3.0, "uphill_weight_trail", max(0.3, tech.weight_lead - abs(along))))
        cues.append((-2.5, "uphill_ball_forward", along))
        cues.append((-2.4, "shoulders_with_slope", float(np.arctan(along))))
    elif shot.technique != "putt":
        cues.append((-1.5, "weight_lead", tech.weight_lead))
        cues.append((-1.4, "ball_position", tech.ball_position))
    if across > steep:
        cues.append((-2.3, "ball_above_grip_down", across))
    elif across < -steep:
        cues.append((-2.3, "ball_below_stay_down", across))
    if tech.open > 0.0:
        cues.append((-2.2, "face_open", tech.open))
    if abs(shot.aim) > table.caution.aim_worth_saying:
        cues.append((-2.1, "aim_left" if shot.aim > 0.0 else "aim_right", abs(shot.aim)))
    if tech.handle != 0.0:
        cues.append((-0.8, "handle_high" if tech.handle > 0.0 else "handle_low", abs(tech.handle)))
    if tech.grip_down > 0.0 and across <= steep:
        cues.append((-0.7, "grip_down", tech.grip_down))
    if tech.lean > 0.0:
        cues.append((-0.6, "hands_ahead", tech.lean))
    # From sand the ball is taken first by whatever does not mean to go through the sand.
    clean = situation.lie.ground == "sand" and shot.technique not in ("putt", *THROUGH)
    cues.append((-0.5, "feel_clean" if clean else f"feel_{shot.technique}", shot.head_speed))
    cues.sort(key=lambda c: c[0])
    chosen = [c for c in cues if c[1] != "swing"][: MOST_CUES - 1] + [c for c in cues if c[1] == "swing"]
    return SetUp(tuple((code, number) for _, code, number in chosen))


def shot_cautions(ends: dict[str, float], table: Coefficients) -> tuple[str, ...]:
    """Codes of the cautions that go with one shot alone, by the chances of its bad ``ends``."""
    return ("lip",) if ends.get("lip", 0.0) > table.caution.lip_chance else ()


def cautions(situation: Situation, shot: Shot | None, table: Coefficients) -> tuple[str, ...]:
    """Codes of the cautions whose condition holds here or for the leading ``shot``, the gravest first."""
    around, stance = situation.surroundings, situation.stance
    bank = max(abs(stance.slope_along), abs(stance.slope_across)) > table.caution.steep_bank
    deep = situation.lie.ground == "sand" and situation.lie.lip_height > table.caution.deep_lip
    lip = shot is not None and "lip" in shot_cautions(shot.trouble, table)
    holds = (
        ("lightning", around.lightning),
        ("people_near", around.people_near),
        ("players_ahead", around.players_ahead),
        ("steep_bank", bank),
        ("deep_bunker", around.deep_bunker or deep),
        ("lip", lip),
        ("green_holds_no_ball", not scene.holds_a_ball(situation, table)),
        ("rule_4_3", around.round),
    )
    return tuple(code for code, yes in holds if yes)
