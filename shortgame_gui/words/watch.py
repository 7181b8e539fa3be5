"""What to watch out for, in sentences: misses to avoid and to have, bad ends, and a swing a little off."""

from __future__ import annotations

from shortgame_gui.advice.result import Advice, Miss, Shot, WhatIf
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import STYLE, caution_text

MOST = 6
"""Lines of what to watch out for; cautions for people's safety are never left out."""
WORTH_SAYING = 0.01
"""Chance of a bad end from which it is told."""

TROUBLES = Phrases(
    {
        "fringe": N_("Ends on the fringe: {chance}."),
        "fairway": N_("Ends on the fairway: {chance}."),
        "first_cut": N_("Ends in the first cut: {chance}."),
        "rough": N_("Ends in rough: {chance}."),
        "deep_rough": N_("Ends in deep rough: {chance}."),
        "bare": N_("Ends on bare ground: {chance}."),
        "sand": N_("Ends in sand: {chance}."),
        "water": N_("Ends in the water: {chance}."),
        "out": N_("Ends out of bounds: {chance}."),
        "rolled_away": N_("Rolls on and on down the slope: {chance}."),
        "lip": N_("Hits the lip: {chance}."),
        "obstacle": N_("Hits what stands in the way: {chance}."),
        "fat": N_("Struck fat: {chance}."),
        "thin": N_("Struck thin: {chance}."),
        "blade": N_("Struck with the leading edge: {chance}."),
        "shank": N_("Shanked: {chance}."),
        "toe": N_("Struck off the toe: {chance}."),
        "slid_under": N_("The club slides under the ball: {chance}."),
    }
)

#: miss -> the words for it as one to avoid; sides are quarters of the balls, mishits have a chance
AVOID = Phrases(
    {
        "short": N_("Miss to avoid: short. The quarter of balls that stop shortest needs {strokes} strokes."),
        "long": N_("Miss to avoid: long. The quarter of balls that go furthest needs {strokes} strokes."),
        "left": N_("Miss to avoid: left. The quarter of balls furthest left needs {strokes} strokes."),
        "right": N_("Miss to avoid: right. The quarter of balls furthest right needs {strokes} strokes."),
        "fat": N_("Miss to avoid: fat, the ground before the ball ({chance}). It needs {strokes} strokes."),
        "thin": N_("Miss to avoid: thin, low on the face ({chance}). It needs {strokes} strokes."),
        "blade": N_("Miss to avoid: the leading edge into the ball ({chance}). It needs {strokes} strokes."),
        "shank": N_("Miss to avoid: a shank ({chance}). It needs {strokes} strokes."),
        "toe": N_("Miss to avoid: off the toe ({chance}). It needs {strokes} strokes."),
        "slid_under": N_("Miss to avoid: sliding under the ball ({chance}). It needs {strokes} strokes."),
    }
)
HAVE = Phrases(
    {
        "short": N_("Miss to have: short. There the shortest quarter needs {strokes}."),
        "long": N_("Miss to have: long. There the longest quarter needs {strokes}."),
        "left": N_("Miss to have: left. There the quarter furthest left needs {strokes}."),
        "right": N_("Miss to have: right. There the quarter furthest right needs {strokes}."),
    }
)
OFF = Phrases(
    {
        "landed_short": N_("Landed {off} short, it stops {place}; {strokes}."),
        "landed_long": N_("Landed {off} long, it stops {place}; {strokes}."),
        "swung_harder": N_("Swung 5 % harder, it stops {place}; {strokes}."),
    }
)
OFF_BY = 1.0
"""The metre by which `advice.misses` lands a shot short and long."""


def trouble_text(code: str, chance: float, style: Style = STYLE) -> str:
    """One way in which a shot goes wrong, with its chance."""
    return TROUBLES[code].format(chance=style.percent(chance))


def lip_text(shot: Shot, style: Style = STYLE) -> str:
    """The mark of a shot that the lip often catches, and the chance; empty for others."""
    if "lip" not in shot.cautions:
        return ""
    return _("lip {chance}").format(chance=style.percent(shot.trouble["lip"]))


def miss_texts(shot: Shot, style: Style = STYLE) -> list[str]:
    """The miss to avoid and the miss to have, where they stand out."""

    def told(words: Phrases[str], miss: Miss | None) -> list[str]:
        if miss is None:
            return []
        strokes = style.strokes(miss.strokes)
        return [words[miss.code].format(chance=style.percent(miss.chance), strokes=strokes)]

    avoid, have = (shot.misses.of(code) if code else None for code in (shot.misses.avoid, shot.misses.have))
    return told(AVOID, avoid) + told(HAVE, have)


def watch_text(advice: Advice, shot: Shot | None, style: Style = STYLE) -> list[str]:
    """What to watch out for when ``shot`` is played: cautions, misses, then the likeliest bad ends."""
    own = [code for code in advice.cautions if code != "lip"]
    if shot is None:
        return [caution_text(code) for code in own]
    # The gravest come first and the rule on advice last, so what the shot itself brings stands between.
    rule = [code for code in own if code == "rule_4_3"]
    lines = [caution_text(code) for code in [*(c for c in own if c not in rule), *shot.cautions]]
    lines += miss_texts(shot, style)
    said = {shot.misses.avoid}
    bad = sorted(((chance, code) for code, chance in shot.trouble.items() if code not in said), reverse=True)
    room = max(MOST - len(lines) - len(rule), 0)
    lines += [trouble_text(code, chance, style) for chance, code in bad[:room] if chance >= WORTH_SAYING]
    return lines + [caution_text(code) for code in rule]


def place_text(along: float, left: float, style: Style = STYLE) -> str:
    """Where a ball stops against the hole, m along and left of it."""
    parts = []
    if abs(along) >= 0.15:
        words = _("{d} past the hole") if along > 0.0 else _("{d} short of the hole")
        parts.append(words.format(d=style.gap(abs(along))))
    if abs(left) >= 0.3:
        words = _("{d} left of it") if left > 0.0 else _("{d} right of it")
        if not parts:
            words = _("{d} left of the hole") if left > 0.0 else _("{d} right of the hole")
        parts.append(words.format(d=style.gap(abs(left))))
    return ", ".join(parts) or _("at the hole")


def change_text(strokes: float, error: float, style: Style = STYLE) -> str:
    """A change of the expected strokes in words; none within twice its standard ``error``."""
    if abs(strokes) < max(0.005, 2.0 * error):
        return _("about as many strokes")
    words = _("{n} strokes more") if strokes > 0.0 else _("{n} strokes fewer")
    return words.format(n=style.strokes(abs(strokes)))


def what_if_text(what: WhatIf, style: Style = STYLE) -> str:
    """What a shot does that is landed or swung a little off."""
    return OFF[what.code].format(
        off=style.long(OFF_BY, 1),
        place=place_text(*what.finish, style),
        strokes=change_text(what.strokes, what.error, style),
    )


def off_text(shot: Shot, style: Style = STYLE) -> list[str]:
    """What the shot does landed short, landed long and swung harder, as far as that was worked out."""
    return [what_if_text(what, style) for what in shot.what_ifs]
