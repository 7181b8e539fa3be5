"""What the conditions may truly be where the golfer is not sure of them, drawn alike for every candidate."""

from __future__ import annotations

from dataclasses import dataclass, fields

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.model.ground import NotSure
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

IN_GRASS = ("up", "clean", "half_down", "down", "nested")
IN_SAND = ("clean", "half_down", "plugged")
"""How deep a ball may sit, step by step; from a rake furrow there is no next."""
GREEN_SPEEDS = (5.0 * FOOT, 16.0 * FOOT)
"""Greens in m of stimp, and what follows, stay within what can be described at all: firmness in g."""
FIRMNESSES = (40.0, 140.0)
SLOPES = (-0.10, 0.10)
WINDS = (-15.0, 15.0)


@dataclass(frozen=True)
class Truth:
    """How far n truths lie from what was stated, (n,) each: SI, firmness in g, slopes as rise over run."""

    green_speed: Array
    firmness: Array
    slope_along: Array
    slope_across: Array
    wind_along: Array
    wind_across: Array
    lie: Index
    """Grades deeper than stated."""

    def take(self, index: Index) -> Truth:
        """The truths in ``index``, repeats allowed."""
        return Truth(*(getattr(self, f.name)[index] for f in fields(self)))


def doubts(situation: Situation) -> dict[str, float]:
    """What is not sure in ``situation`` and its standard deviation, by the names of `Truth`."""
    unsure = situation.not_sure
    wind = {"wind_along": unsure.wind, "wind_across": unsure.wind}
    spreads = {f.name: float(getattr(unsure, f.name, 0.0)) for f in fields(Truth)} | wind
    if len(steps(situation)) == 1:
        spreads["lie"] = 0.0
    if situation.survey.file:
        # What was surveyed is not in doubt.
        spreads["slope_along"] = spreads["slope_across"] = 0.0
    return {name: spread for name, spread in spreads.items() if spread > 0.0}


def _grades(situation: Situation) -> tuple[str, ...]:
    return IN_SAND if situation.lie.ground == "sand" else IN_GRASS


def steps(situation: Situation) -> tuple[int, ...]:
    """Grades deeper than stated that the ball may sit at all, 0 first."""
    grades, sits = _grades(situation), situation.lie.sits
    if sits not in grades or situation.not_sure.lie == 0.0:
        return (0,)
    here = grades.index(sits)
    return (0, *(k - here for k in range(len(grades)) if k != here))


def sitting(situation: Situation, step: int) -> Situation:
    """``situation`` with the ball ``step`` grades deeper."""
    if step == 0:
        return situation
    grades = _grades(situation)
    return put_all(situation, {"lie.sits": grades[grades.index(situation.lie.sits) + step]})


def truth_of(situation: Situation, draws: dict[str, Array], n: int) -> Truth:
    """The truth for standard normal ``draws`` (n,) of what is not sure, mirrored for a left-hander."""
    spread = doubts(situation)
    hand = -1.0 if situation.player.hand == "left" else 1.0
    off = {f.name: np.zeros(n) for f in fields(Truth)}
    for name, draw in draws.items():
        off[name] = spread[name] * draw * (hand if name.endswith("_across") else 1.0)
    deep = steps(situation)
    lie = np.clip(np.rint(off.pop("lie")), min(deep), max(deep)).astype(np.intp)
    return Truth(**off, lie=lie)


def lie_number(situation: Situation, truth: Truth) -> Index:
    """Which of the `steps` of ``situation`` each of ``truth`` (n,) is, (n,)."""
    deep = steps(situation)
    number = np.zeros(max(deep) - min(deep) + 1, dtype=np.intp)
    for k, step in enumerate(deep):
        number[step - min(deep)] = k
    return np.asarray(number[truth.lie - min(deep)])


def as_known(situation: Situation, truth: Truth, k: int) -> Situation:
    """``situation`` stated as entry ``k`` of ``truth`` has it, and sure."""
    green, air = situation.green, situation.air
    found = {
        "green.speed": (green.speed + truth.green_speed[k], GREEN_SPEEDS),
        "green.firmness": (green.firmness + truth.firmness[k], FIRMNESSES),
        "green.slope_along": (green.slope_along + truth.slope_along[k], SLOPES),
        "green.slope_across": (green.slope_across + truth.slope_across[k], SLOPES),
        "air.wind_along": (air.wind_along + truth.wind_along[k], WINDS),
        "air.wind_across": (air.wind_across + truth.wind_across[k], WINDS),
    }
    values = {path: float(np.clip(value, *ends)) for path, (value, ends) in found.items()}
    known = put_all(sitting(situation, int(truth.lie[k])), values)
    return msgspec.structs.replace(known, not_sure=NotSure())
