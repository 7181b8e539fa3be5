"""The views in sentences: what a picture shows, for whoever does not see it."""

from __future__ import annotations

from shortgame_gui.advice.result import Shot
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import STYLE, landing_text, run_text, shot_name, start_text


def side_text(
    situation: Situation, shots: tuple[Shot, ...], exact: bool, current: bool, style: Style = STYLE
) -> str:
    """The side view: where hole and green are, how the first of ``shots`` goes, and which others are drawn.

    ``exact`` says whether the ways, ``current`` whether the spreads are those of the situation as it is.
    """
    green = situation.green
    parts = [
        _("The hole is {hole} away, the green lies from {front} to {back}.").format(
            hole=style.long(situation.hole.distance, 1), front=style.long(green.front, 1),
            back=style.long(green.front + green.depth, 1),
        )
    ]  # fmt: skip
    if shots:
        front = shots[0]
        parts.append(f"{shot_name(front.club.name, front.technique)}: {_way(front, style)}.")
        if current:
            parts.append(
                _("Half of its balls stop between {low} and {high}.").format(
                    low=style.long(front.half[0], 1), high=style.long(front.half[1], 1)
                )
            )
    return " ".join([*parts, *_others(shots), *_past(shots, exact)])


def plan_text(
    situation: Situation, shots: tuple[Shot, ...], exact: bool, current: bool, style: Style = STYLE
) -> str:
    """The plan view: how the green slopes, on which line the ball starts, and how many come close."""
    parts = [slope_text(situation, style)]
    if shots:
        front = shots[0]
        name = shot_name(front.club.name, front.technique)
        start = start_text(front, situation.hole.distance, style) or _("starts at the hole")
        parts.append(f"{name}: {start}.")
        if current:
            ring = 6.0 * FOOT if style.yards else 2.0
            inside = style.percent(float((front.left <= ring).mean()))
            parts.append(
                _("{inside} of its balls finish inside {ring}.").format(
                    inside=inside, ring=style.short(ring, 0)
                )
            )
    return " ".join([*parts, *_others(shots), *_past(shots, exact)])


def slope_text(situation: Situation, style: Style = STYLE) -> str:
    """How the green slopes, in a sentence."""
    along, across = situation.green.slope_along, situation.green.slope_across
    parts = []
    if abs(along) >= 0.0025:
        way = _("rises {slope} away from the ball") if along > 0.0 else _("falls {slope} away from the ball")
        parts.append(way.format(slope=_steep(along, style)))
    if abs(across) >= 0.0025:
        way = _("falls {slope} to the right") if across > 0.0 else _("falls {slope} to the left")
        parts.append(way.format(slope=_steep(across, style)))
    return _("The green {slopes}.").format(slopes=_(" and ").join(parts) or _("is level"))


def _steep(slope: float, style: Style) -> str:
    return f"{style.number(100.0 * abs(slope), 1)} %"


def _way(shot: Shot, style: Style) -> str:
    if shot.technique == "putt":
        return landing_text(shot, style)
    return _("{land}, {peak} up at its peak, {run}").format(
        land=landing_text(shot, style), peak=style.short(shot.apex), run=run_text(shot, style)
    )


def _others(shots: tuple[Shot, ...]) -> list[str]:
    names = [shot_name(shot.club.name, shot.technique) for shot in shots[1:]]
    return [_("Also shown: {names}.").format(names="; ".join(names))] if names else []


def _past(shots: tuple[Shot, ...], exact: bool) -> list[str]:
    return [_("These are the shots of an earlier situation.")] if shots and not exact else []
