"""Expected strokes to hole out from where a ball finishes, and the chance of one more stroke being enough.

On the green by distance and level, off it by surface as well. Tour figures are published (M. Broadie,
Interfaces 42:146, 2012, and Every Shot Counts, 2014: see the table); other levels are derived from the
published one-putt tables and, off the green, from the table's estimates.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics.ground import FRINGE, GREEN, OUT, SURFACES, Ground
from shortgame_gui.physics.steps import HOLED, IN_WATER, OUT_OF_BOUNDS
from shortgame_gui.units import FOOT, YARD

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

STEP = 0.05
FARTHEST = 220.0
"""Reach of the score tables in m; a ball further away counts as being there."""

LOOKS = (0.0625, 0.1875, 0.3125, 0.4375, 0.5625, 0.6875, 0.8125, 0.9375)
"""Parts of the way to the hole at which the ground is looked at."""

#: surface -> (row of the table that gives its cost at the edge of the green, published curve it joins)
OFF_GREEN = {
    "fringe": ("edge_fringe", "fairway"),
    "fairway": ("edge_fairway", "fairway"),
    "first_cut": ("edge_rough", "rough"),
    "rough": ("edge_rough", "rough"),
    "deep_rough": ("edge_deep", "rough"),
    "bare": ("edge_fairway", "fairway"),
    "sand": ("edge_sand", "sand"),
    "water": ("edge_rough", "rough"),
    "out": ("edge_rough", "rough"),
}


def _curve(rows: dict[str, float], unit: float) -> tuple[Array, Array]:
    """Distances in m and values of a table keyed by distance in ``unit``."""
    pairs = sorted((float(k.replace("_", ".")) * unit, v) for k, v in rows.items())
    return np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])


def _odds(distance: Array, at: Array, p: Array, at_hole: float = 0.9999) -> Array:
    """Log odds of a chance at ``distance``: straight over log distance, of ``at_hole`` at the hole itself."""
    at = np.concatenate([[0.15], at])
    p = np.clip(np.concatenate([[at_hole], p]), 0.0003, 0.9999)
    return np.interp(np.log(np.maximum(distance, 0.15)), np.log(at), np.log(p / (1.0 - p)))


def _chance(odds: Array) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-odds)))


@dataclass(frozen=True)
class _Putts:
    """Putts from each of n distances, for any player."""

    holed: tuple[Array, Array, Array]
    """Log odds of holing them in the published tables: tour, scratch, around 90."""
    tour: Array
    """The tour's expected putts, and its chance of three or more."""
    three: Array
    odds: float
    """What two steps of ``putting`` make of the odds of three or more."""

    @classmethod
    def of(cls, distance: Array, table: Coefficients) -> _Putts:
        """Putts of ``distance`` in m (n,)."""
        b = table.baseline
        holed = [
            _odds(distance, *_curve(rows, FOOT))
            for rows in (b.one_putt_tour, b.one_putt_scratch, b.one_putt_90)
        ]
        at, tour = _curve(b.putts, FOOT)
        base = np.interp(distance, np.concatenate([[0.0], at]), np.concatenate([[1.0], tour]))
        feet, three = _curve(b.three_putt_tour, FOOT)
        third = _odds(distance, np.concatenate([[0.3], feet]), np.concatenate([[0.0003], three]), at_hole=0.0)
        return cls((holed[0], holed[1], holed[2]), base, _chance(third), table.score.three_putt_odds)

    def one(self, putting: float) -> Array:
        """Chance (n,) of holing out at once, see `one_putt`."""
        low = 0 if putting < 1.0 else 1
        return _chance(self.holed[low] + (putting - low) * (self.holed[low + 1] - self.holed[low]))

    def count(self, putting: float) -> Array:
        """Expected putts (n,), see `putts`."""
        odds = self.three / (1.0 - self.three) * self.odds ** (putting / 2.0)
        more = odds / (1.0 + odds) - self.three
        return np.asarray(np.maximum(self.tour + more + self.one(0.0) - self.one(putting), 1.0))


def one_putt(distance: Array, putting: float, table: Coefficients) -> Array:
    """Chance (n,) of holing a putt of ``distance`` in m (n,).

    ``putting`` places the player between the published tables: 0 tour, 1 scratch, 2 scores around 90, and
    beyond by going on in log odds.
    """
    return _Putts.of(distance, table).one(putting)


def putts(distance: Array, putting: float, table: Coefficients) -> Array:
    """Expected putts (n,) from ``distance`` in m (n,): the tour's table, moved by E = 2 - p1 + p3.

    The identity ties putts to the chances of one and of three or more (derived).
    """
    return _Putts.of(distance, table).count(putting)


@dataclass(frozen=True)
class Baseline:
    """Strokes and chances of one level on an even grid of distances (`STEP` apart)."""

    strokes: Array
    """(surfaces, k)."""
    next_one: Array
    """Chance of holing the next stroke, (surfaces, k)."""
    penalty: float

    def at(self, surface: Index, distance: Array) -> tuple[Array, Array]:
        """Expected strokes and chance of one more (n,) from ``distance`` in m (n,) on ``surface`` (n,)."""
        place = np.clip(distance, 0.0, FARTHEST - 2.0 * STEP) / STEP
        k = place.astype(np.intp)
        part = place - k
        s, p = self.strokes, self.next_one
        return (
            s[surface, k] + part * (s[surface, k + 1] - s[surface, k]),
            p[surface, k] + part * (p[surface, k + 1] - p[surface, k]),
        )


def baseline(level: str, table: Coefficients) -> Baseline:
    """The score tables of ``level``.

    Off the green the cost over a putt of the same length grows from the table's estimate at the edge to
    the published difference at 20 yards (Broadie 2012), scaled by the level's short game; beyond 20 yards
    the published curve goes on. What rough costs over fairway is the tour's for all levels (estimate).
    """
    row = table.level[level]
    distance = np.arange(0.0, FARTHEST, STEP)
    rolled = _Putts.of(distance, table)
    green, make, tour_green = rolled.count(row.putting), rolled.one(row.putting), rolled.count(0.0)
    strokes = np.tile(green, (len(SURFACES), 1))
    chance = np.tile(make, (len(SURFACES), 1))
    join = 20.0 * YARD

    def over_a_putt(edge: str, curve: str) -> Array:
        """What the tour loses against a putt as long."""
        at, published = _curve(getattr(table.baseline, curve), YARD)
        far = np.interp(distance, at, published)
        start = getattr(table.score, edge)
        end = float(published[0] - np.interp(join, distance, tour_green))
        share = np.clip(distance / join, 0.0, 1.0)
        more = max(start - getattr(table.score, OFF_GREEN_EDGE[curve]), 0.0)
        extra = np.where(distance < join, start + share * (end + more - start), far + more - tour_green)
        return np.asarray(np.maximum(extra, 0.0))

    fairway = over_a_putt(*OFF_GREEN["fairway"])
    for name, (edge, curve) in OFF_GREEN.items():
        extra = over_a_putt(edge, curve)
        tour = tour_green + extra
        scaled = np.minimum(extra, fairway) if curve == "rough" else extra
        behind = green + row.short_game * scaled + (extra - scaled) - tour
        # What the edge costs falls with distance from sand, and putts still grow from 20 to 30 yards where a
        # fairway hardly does: scaled by the level, neither may make it a gain to be further away.
        near = distance < join
        behind[near] = np.maximum.accumulate(tour[near] + behind[near]) - tour[near]
        behind[~near] = np.maximum.accumulate(np.maximum(behind[~near], behind[near][-1]))
        k = SURFACES.index(name)
        strokes[k] = tour + behind
        chance[k] = make * table.score.chip_in
    return Baseline(strokes, chance, table.score.penalty)


#: published curve -> the row that gives its own cost at the edge
OFF_GREEN_EDGE = {"fairway": "edge_fairway", "rough": "edge_rough", "sand": "edge_sand"}


@dataclass(frozen=True)
class Scored:
    """What n finishes are worth, (n,) each."""

    strokes: Array
    """This shot and the expected strokes after it, penalties included."""
    holed: Array
    two: Array
    """Chance of being down in two (this shot and one more, or less)."""
    four: Array
    """Chance of four strokes or more, by the same identity that ties putts to one and three putts."""
    distance: Array
    """Distance left in m."""


@dataclass(frozen=True)
class Lay:
    """How the next stroke from n finishes lies, beside its length and surface."""

    felt: Array
    """Length on a usual green that is as hard as the stroke is, in m, (n,)."""
    more: Array
    """Strokes that little or much green to work with costs or saves, (n,)."""


def lay(
    rest: Array,
    surface: Index,
    hole: Array,
    ground: Ground,
    lane: Index,
    stimp: Array | float,
    table: Coefficients,
) -> Lay:
    """How strokes from ``rest`` (3, n) in m to ``hole`` (2, n) lie on ``ground``; green speed ``stimp`` in m.

    ``lane`` (n,) says on which ground of ``ground`` each ball is.

    Putts uphill are holed more often than downhill ones (M. Broadie 2019: about 5 % at 8 ft, as quoted), and
    slopes across and speed make a putt harder (estimates); all enter as a longer or shorter putt. Off the
    green the share of green on the way decides: short-sided costs more (common practice, no source).
    """
    row = table.score
    dx, dy = hole[0] - rest[0], hole[1] - rest[1]
    distance = np.sqrt(dx * dx + dy * dy)
    far = np.maximum(distance, 0.3)
    rise = (ground.height(hole[0], hole[1], lane) - ground.height(rest[0], rest[1], lane)) / far
    gx, gy = ground.slopes(rest[0], rest[1], lane)
    across = np.abs(gy * dx - gx * dy) / far
    on = (surface == GREEN) | (surface == FRINGE)
    harder = row.across * (across - row.usual_across) - row.uphill * rise
    harder = harder + row.fast * (stimp / row.usual_stimp - 1.0)
    felt = np.where(on, distance * np.exp(np.clip(harder, -0.5, 0.5)), distance)
    more = np.zeros(len(distance))
    off = np.flatnonzero(~on)
    if len(off):
        share = np.zeros(len(off))
        for part in LOOKS:
            x, y = rest[0, off] + part * dx[off], rest[1, off] + part * dy[off]
            share += (ground.surface(x, y, lane[off]) == GREEN) / len(LOOKS)
        more[off] = row.short_sided * (row.usual_room - share)
    return Lay(felt, more)


def score(
    rest: Array,
    ending: Index,
    surface: Index,
    hole: Array,
    base: Baseline,
    start: tuple[Index | int, Array | float],
    way: Lay | None = None,
    blocked: npt.NDArray[np.bool_] | None = None,
) -> Scored:
    """Value n finishes ``rest`` (3, n) in m with ``ending`` and ``surface`` (n,); ``hole`` is (2, n) in m.

    ``way`` tells how the next strokes lie; without it they are as usual. ``blocked`` (n,) balls must first be
    played out from behind what stands in the way, which costs a stroke.

    Water costs the penalty and a drop in rough as far from the hole (Rules of Golf 17); out of bounds the
    penalty and the same shot again (Rules of Golf 18.2), counted by ``start``: surface and distance in m,
    (n,) each or one for all.
    """
    gap = rest[:2] - hole
    distance = np.sqrt((gap * gap).sum(axis=0))
    left, chance = base.at(surface, distance if way is None else way.felt)
    if way is not None:
        left = np.maximum(left + way.more, 1.0)
    if blocked is not None:
        left, chance = left + blocked, np.where(blocked, 0.0, chance)
    out = (ending == OUT_OF_BOUNDS) | (surface == OUT)
    again, _ = base.at(np.atleast_1d(start[0]), np.atleast_1d(start[1]))
    wet = ending == IN_WATER
    left = np.where(out, again, left) + base.penalty * (wet | out)
    chance = np.where(wet | out, 0.0, chance)
    holed = (ending == HOLED).astype(float)
    strokes = 1.0 + np.where(holed > 0.0, 0.0, left)
    four = np.where(holed > 0.0, 0.0, np.clip(left - 2.0 + chance, 0.0, 1.0))
    return Scored(strokes, holed, np.maximum(holed, chance), four, np.where(holed > 0.0, 0.0, distance))


def start_of(ground: str) -> int:
    """The score surface of a lie's ``ground``."""
    names = {"tight": "fairway", "divot": "fairway", "sanded_divot": "fairway"}
    return SURFACES.index(names.get(ground, ground))
