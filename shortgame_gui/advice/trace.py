"""One unperturbed shot, link by link: what a teacher shows and what every claim is checked against."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Ball, Strokes, stroke
from shortgame_gui.advice.result import Track
from shortgame_gui.advice.rules import Candidate, refusal
from shortgame_gui.advice.solve import hit, plan, scan, solve
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.ways import tracks_of
from shortgame_gui.model.club import Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import Result
from shortgame_gui.physics.steps import AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY

ENDINGS = {
    AT_REST: "at_rest",
    HOLED: "holed",
    IN_WATER: "in_water",
    OUT_OF_BOUNDS: "out_of_bounds",
    ROLLED_AWAY: "rolled_away",
}


class Unreachable(ValueError):
    """No head speed of this technique lands or finishes there."""


@dataclass(frozen=True)
class Traced:
    """The shot of one club and technique; ball 0 of ``ball`` and ``result`` is the shot."""

    club: Club
    technique: str
    head_speed: float
    share: float
    aim: float
    refused: str | None
    """Reason code where the rules would not offer this shot here; it is played all the same."""
    ball: Ball
    result: Result
    track: Track
    ending: str


def trace(
    situation: Situation,
    table: Coefficients,
    club: Club,
    technique: str,
    *,
    land: float | None = None,
    finish: float | None = None,
    head_speed: float | None = None,
) -> Traced:
    """Play ``club`` with ``technique`` once, without scatter.

    Give exactly one of ``land`` (carry in m), ``finish`` (rest without a hole, in m on the line) and
    ``head_speed`` (m/s, straight at the hole). Raises ValueError for none or several, Unreachable when no
    speed of the technique gives that, KeyError for an unknown technique.
    """
    if sum(v is not None for v in (land, finish, head_speed)) != 1:
        raise ValueError("give exactly one of land, finish and head speed")
    candidate = Candidate(club, technique, getattr(situation.player.techniques, technique) == "learning")
    bench = bench_of(situation, table)
    made = stroke(situation, candidate, table)
    strokes = Strokes.of([made])
    if head_speed is not None:
        if not 0.05 <= head_speed <= 1.2 * made.full_speed:
            raise Unreachable(f"head speed must be 0.05 to {1.2 * made.full_speed:.1f} m/s for this club")
        plans = plan(np.zeros(1, dtype=np.intp), np.array([head_speed]), np.zeros(1))
    else:
        target = land if land is not None else finish
        if made.putt and land is not None:
            raise Unreachable("a putt does not land: give finish or head speed")
        found = scan(bench, strokes, 2 * int(table.choose.speeds))
        plans, _ = solve(bench, strokes, found, np.array([target]), by_landing=land is not None, rounds=4)
        if not len(plans.speed):
            value = found.landing if land is not None else found.way
            raise Unreachable(
                f"no head speed of this technique gives {target:.2f} m: "
                f"it reaches {float(value.min()):.2f} to {float(value.max()):.2f} m"
            )
        plans = plans.take(np.zeros(1, dtype=np.intp))
    ball, result = hit(bench, strokes, plans, still(1), trace=True)
    return Traced(
        club,
        technique,
        float(plans.speed[0]),
        float(plans.speed[0]) / made.full_speed,
        float(plans.aim[0]),
        refusal(situation, club, technique),
        ball,
        result,
        tracks_of(result)[0],
        ENDINGS[int(result.ending[0])],
    )
