"""A cell of the map in words: short for the cell itself, long for whoever points at it."""

from __future__ import annotations

import re
from functools import cache

from shortgame_gui.advice.map import Cell, Map
from shortgame_gui.words.axes import TITLES, value_text
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import shot_name

SHORT_TECHNIQUES = Phrases(
    {
        "putt": N_("putt"),
        "chip": N_("chip"),
        "bump_and_run": N_("run"),
        "pitch": N_("pitch"),
        "low_check": N_("check"),
        "high_soft": N_("soft"),
        "lob": N_("lob"),
        "partial": N_("appr."),
        "upright": N_("upr."),
        "splash": N_("splash"),
        "thin_splash": N_("thin"),
        "dig": N_("dig"),
        "explode": N_("expl."),
    }
)
PROBLEMS = Phrases(
    {
        "no_situation": N_("There is no such situation."),
        "no_shot": N_("No shot of this bag can be played here."),
    }
)


MOST_NAMED = 5
"""Shots named among those that are too close to call."""


@cache
def short_club(name: str) -> str:
    """A club's name in a few letters: "8-iron" is "8i", "sand wedge" "SW", "60-degree wedge" "60"."""
    number = re.match(r"[0-9]+(?=.?(deg|°))", name)
    if number:
        return number[0]
    parts = re.findall(r"[0-9]+|[^\W\d_]+", name)
    if len(parts) == 1:
        return parts[0][:4]
    if parts and parts[0].isdigit():
        return parts[0] + parts[1][0].lower()
    return "".join(part[0] for part in parts).upper()[:4]


def short_shot(cell: Cell) -> tuple[str, str]:
    """Club and technique of the winner in a few letters; no technique that would only say the club again."""
    if cell.club is None:
        return "", ""
    club, technique = short_club(cell.club.name), SHORT_TECHNIQUES[cell.technique]
    return club, technique if technique != club else ""


def place_text(made: Map, column: int, row: int, style: Style) -> str:
    """Both values of a cell."""
    return "; ".join(
        f"{TITLES[scale.axis]} {value_text(scale.axis, scale.values[k], style)}"
        for scale, k in ((made.x, column), (made.y, row))
    )


def lead_text(cell: Cell, counts: str, style: Style) -> str:
    """How far the winner is ahead of the second best."""
    if cell.second is None:
        return _("It is the only shot.")
    lead = style.strokes(cell.lead) if counts == "average" else style.percent(cell.lead)
    what = _("strokes") if counts == "average" else _("of what counts")
    return _("{lead} {what} ahead of the {shot}.").format(
        lead=lead, what=what, shot=shot_name(*cell.second, begins=False)
    )


def cell_text(made: Map, column: int, row: int, style: Style) -> str:
    """All that a cell says, in lines."""
    lines = [place_text(made, column, row, style)]
    cell = made.cells[row][column]
    if cell is None:
        return "\n".join([*lines, _("Not worked out yet.")])
    if cell.club is None:
        return "\n".join([*lines, PROBLEMS[cell.problem]])
    name, strokes = shot_name(cell.club.name, cell.technique), style.strokes(cell.expected_strokes)
    lines.append(_("{shot}: {strokes} strokes").format(shot=name, strokes=strokes))
    lines.append(lead_text(cell, made.situation.player.counts, style))
    if cell.too_close:
        names = [shot_name(*shot, begins=False) for shot in cell.too_close]
        more = len(names) - MOST_NAMED
        tail = _(" and {more} more").format(more=more) if more > 0 else ""
        lines.append(_("Too close to call: ") + ", ".join(names[:MOST_NAMED]) + tail)
    return "\n".join(lines)
