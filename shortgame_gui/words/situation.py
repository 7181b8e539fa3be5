"""A situation in a few sentences, for a sheet that is read away from the window."""

from __future__ import annotations

from math import atan

from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import STYLE, SURFACES

GROUNDS = Phrases(
    {
        "tight": N_("on tight mown grass"),
        "fairway": N_("on the fairway"),
        "fringe": N_("on the fringe"),
        "first_cut": N_("in the first cut"),
        "rough": N_("in rough, {depth} deep"),
        "bare": N_("on bare, hard ground"),
        "divot": N_("in a divot"),
        "sanded_divot": N_("in a divot filled with sand"),
        "sand": N_("in sand ({sand})"),
    }
)
SANDS = Phrases(
    {
        "fine": N_("fine and loose"),
        "firm": N_("firm"),
        "wet": N_("wet"),
        "thin": N_("thin over hard ground"),
    }
)
SITS = Phrases(
    {
        "up": N_("sitting up"),
        "clean": N_("lying clean"),
        "half_down": N_("half down"),
        "down": N_("down"),
        "nested": N_("nested at the bottom"),
        "plugged": N_("plugged"),
        "furrow": N_("in a rake furrow"),
    }
)
LEVELS = Phrases(
    {
        "tour": N_("Tour player"),
        "scratch": N_("Scratch player"),
        "10": N_("Handicap 10"),
        "20": N_("Handicap 20"),
        "30": N_("Handicap 30"),
        "junior": N_("Junior"),
    }
)
COUNTS = Phrases(
    {
        "average": N_("counting the lowest average"),
        "down_in_two": N_("counting down in two"),
        "no_disaster": N_("counting no disaster"),
    }
)
SHAPES = Phrases(
    {
        "tier": N_("A tier rises {height} at {at}."),
        "false_front": N_("A false front rises {height} at {at}."),
        "run_off": N_("A run-off falls {height} at {at}."),
        "backstop": N_("A backstop rises {height} at {at}."),
    }
)
#: firmness in g below which a green is called so; common practice, no source
FIRM = ((72.0, N_("soft")), (98.0, N_("medium")), (118.0, N_("firm")))
VERY_FIRM = N_("very firm")
LEVEL_SLOPE = 0.0025
LEVEL_STANCE = 0.0087
CALM = 0.2


def firmness_word(grams: float) -> str:
    """How firm a green is, in a word."""
    return _(next((word for bound, word in FIRM if grams < bound), VERY_FIRM))


def _far(metres: float, style: Style) -> str:
    """A distance as one would pace it."""
    return style.long(metres, 0 if metres > 10.0 else 1)


def _lie(situation: Situation, style: Style) -> list[str]:
    lie, stance = situation.lie, situation.stance
    where = GROUNDS[lie.ground].format(depth=style.fine(lie.rough_depth), sand=SANDS[lie.sand])
    lines = [_("Ball {where}, {sits}.").format(where=where, sits=SITS[lie.sits])]
    if lie.wet:
        lines.append(_("Grass or face wet."))
    if lie.ground == "sand" and lie.lip_height > 0.0:
        words = _("A lip {height} high stands {distance} ahead.")
        lines.append(words.format(height=style.short(lie.lip_height), distance=_far(lie.lip_distance, style)))
    for slope, up, down in (
        (stance.slope_along, _("Uphill lie, {a}."), _("Downhill lie, {a}.")),
        (stance.slope_across, _("Ball above the feet, {a}."), _("Ball below the feet, {a}.")),
    ):
        if abs(slope) >= LEVEL_STANCE:
            lines.append((up if slope > 0.0 else down).format(a=style.degrees(atan(abs(slope)))))
    if stance.backswing == "short":
        lines.append(_("Room for a short backswing only."))
    return lines


def _ahead(situation: Situation, style: Style) -> list[str]:
    green, ground = situation.green, situation.ground
    hole = situation.hole.distance
    lines = [
        _("Hole {hole} away; the green begins at {front}, with {beyond} of green beyond the hole.").format(
            hole=_far(hole, style),
            front=_far(green.front, style),
            beyond=_far(green.front + green.depth - hole, style),
        )
    ]
    for band in ground.bands:
        if band.left > 0.0 and band.right > 0.0 and band.end > 0.0:
            words = _("{surface} from {start} to {end}.")
            name = SURFACES[band.surface]
            a, b = _far(max(band.start, 0.0), style), _far(band.end, style)
            lines.append(words.format(surface=name[0].upper() + name[1:], start=a, end=b))
    lines += [
        SHAPES[s.kind].format(height=style.short(s.height), at=_far(s.at, style)) for s in ground.shapes
    ]
    for thing in ground.obstacles:
        words = (
            _("Something {high} high stands in the way at {at}.")
            if thing.low <= 0.0
            else _("Something hangs in the way at {at}, from {low} to {high} above the ball.")
        )
        lines.append(
            words.format(high=style.short(thing.high), low=style.short(thing.low), at=_far(thing.at, style))
        )
    return lines


def _green(situation: Situation, style: Style) -> list[str]:
    green = situation.green
    parts = [
        _("Green {speed} ft of stimp").format(speed=style.number(green.speed / FOOT, 1)),
        firmness_word(green.firmness),
    ]
    if green.wet:
        parts.append(_("wet"))
    along = _("rising {s} away") if green.slope_along > 0.0 else _("falling {s} away")
    across = _("{s} higher on the left") if green.slope_across > 0.0 else _("{s} higher on the right")
    slopes = [
        words.format(s=style.percent(abs(slope), 1))
        for slope, words in ((green.slope_along, along), (green.slope_across, across))
        if abs(slope) >= LEVEL_SLOPE
    ]
    if situation.survey.file:
        slopes = [_("slopes as surveyed")]
    return [", ".join(parts + (slopes or [_("level")])) + "."]


def _air(situation: Situation, style: Style) -> list[str]:
    air, parts = situation.air, []
    if abs(air.wind_along) >= CALM:
        words = _("helping {w}") if air.wind_along > 0.0 else _("against {w}")
        parts.append(words.format(w=style.speed(abs(air.wind_along))))
    if abs(air.wind_across) >= CALM:
        words = _("from the left {w}") if air.wind_across > 0.0 else _("from the right {w}")
        parts.append(words.format(w=style.speed(abs(air.wind_across))))
    return [_("Wind {parts}.").format(parts=", ".join(parts))] if parts else []


def situation_text(situation: Situation, style: Style = STYLE) -> list[str]:
    """Lie and stance, ground ahead, green, air and player, a sentence each."""
    player = situation.player
    hand = _("left-handed") if player.hand == "left" else _("right-handed")
    who = f"{LEVELS[player.level]}, {hand}, {COUNTS[player.counts]}."
    parts = (_lie, _ahead, _green, _air)
    return [line for part in parts for line in part(situation, style)] + [who]
