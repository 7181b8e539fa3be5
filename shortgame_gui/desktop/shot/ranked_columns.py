"""The columns of the ranked table: what each is called, means, sorts by and shows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from shortgame_gui.advice.explain import link
from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.measures import Unit
from shortgame_gui.words.language import N_
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import SWINGS, TECHNIQUES, behind_best_text, lands_text, shot_name
from shortgame_gui.words.watch import lip_text


@dataclass(frozen=True)
class Look:
    """What a cell needs besides its shot."""

    style: Style
    counts: str
    """What counts today, as the player says."""
    unit: Unit
    """The unit of distances, which stands in the heading."""

    def distance(self, metres: float) -> str:
        """A distance without its unit."""
        return self.style.number(self.unit.shown(metres), 1)


@dataclass(frozen=True)
class Column:
    """One column: heading, what it means, the value it sorts by, and its text."""

    code: str
    heading: str
    text: str
    value: Callable[[Shot, Look], Any]
    shown: Callable[[Shot, Look], str]
    longest: str
    """As much text as a cell of the column is likely to hold."""
    name: str = ""
    """What it is called in the menu of columns; empty where it is always shown."""
    usual: bool = False
    """Whether it is shown until somebody chooses."""


def name_lines(shot: Shot, look: Look) -> str:
    """Club and technique, one under the other; marked where the lip often catches it."""
    club, technique = shot.club.name, TECHNIQUES[shot.technique]
    way = ", ".join(part for part in (technique, lip_text(shot, look.style)) if part)
    return f"{club[0].upper()}{club[1:]}\n{way}"


def strokes_lines(shot: Shot, look: Look) -> str:
    """Strokes, and how far behind the best, one under the other."""
    behind = behind_best_text(shot, look.counts, look.style)
    return f"{look.style.strokes(shot.expected_strokes)}\n{behind}"


def ring(number: int) -> Callable[[Shot, Look], float]:
    """The chance of finishing inside the player's ring ``number``, 0 to 2."""
    return lambda shot, look: shot.within(look.style.rings[number])


def chance(value: Callable[[Shot, Look], float]) -> Callable[[Shot, Look], str]:
    """A share shown in per cent."""
    return lambda shot, look: look.style.percent(value(shot, look))


def length(value: Callable[[Shot, Look], float]) -> Callable[[Shot, Look], str]:
    """A distance shown without its unit, which stands in the heading."""
    return lambda shot, look: look.distance(value(shot, look))


def column(
    code: str, heading: str, name: str, text: str, value: Callable[[Shot, Look], Any],
    shown: Callable[[Shot, Look], str], longest: str, *, usual: bool = False,
) -> Column:  # fmt: skip
    """A column that somebody may leave out."""
    return Column(code, heading, text, value, shown, longest, name, usual)


RINGS = (
    (N_("In {ring1}"), N_("Inside {ring1}"), N_("Chance of finishing within {ring1} of the hole, or in it.")),
    (N_("In {ring2}"), N_("Inside {ring2}"), N_("Chance of finishing within {ring2} of the hole, or in it.")),
    (N_("In {ring3}"), N_("Inside {ring3}"), N_("Chance of finishing within {ring3} of the hole, or in it.")),
)
"""Heading, name and meaning of the columns of rings."""


def _in(number: int, usual: bool = False) -> Column:
    code = f"ring{number + 1}"
    return column(
        code, *RINGS[number],
        ring(number), chance(ring(number)), "100 %", usual=usual,
    )  # fmt: skip


def share(
    code: str, heading: str, name: str, text: str, value: Callable[[Shot], float], usual: bool = False
) -> Column:
    """A column of chances."""
    return column(
        code, heading, name, text, lambda s, look: value(s), lambda s, look: look.style.percent(value(s)),
        "100 %", usual=usual,
    )  # fmt: skip


COLUMNS: tuple[Column, ...] = (
    Column("rank", "", N_("Place in the order of strokes; a bracket joins shots that are too close to call."),
           lambda s, look: s.rank, lambda s, look: str(s.rank), "00"),
    Column("shot", N_("Shot"), N_("Club and technique."),
           lambda s, look: shot_name(s.club.name, s.technique).casefold(), name_lines, "60-degree wedge"),
    column("strokes", N_("Strokes"), N_("Strokes and distance to the best"),
           N_("Strokes to hole out, this one counted, on average; under it, how far behind the best."),
           lambda s, look: s.expected_strokes, strokes_lines, "+9.99", usual=True),
    column("error", "\N{PLUS-MINUS SIGN}", N_("Margin of error of the strokes"),
           N_("Standard error of the strokes: how far the average may be off, with so many balls played."),
           lambda s, look: s.standard_error, lambda s, look: look.style.strokes(s.standard_error), "0.00"),
    column("lands", N_("Lands, {unit}"), N_("Landing spot"),
           N_("Where the ball lands, against the green's near edge."),
           lambda s, look: s.landing[0], lambda s, look: lands_text(s, look.distance), "99.9 short",
           usual=True),
    column("carry", N_("Carries, {unit}"), N_("Carry"), N_("How far the ball flies to its first landing."),
           lambda s, look: s.carry, length(lambda s, look: s.carry), "99.9"),
    column("runs", N_("Runs, {unit}"), N_("Run"),
           N_("How far it goes on after landing; negative when it spins back."),
           lambda s, look: s.run, length(lambda s, look: s.run), "-99.9", usual=True),
    _in(0),
    _in(1, usual=True),
    _in(2),
    share("two", N_("In two"), N_("Down in two"),
          N_("Chance of being down in two strokes, this one counted."),
          lambda s: s.down_in_two, usual=True),
    share("three", N_("3 or more"), N_("Three or more"),
          N_("Chance of needing three strokes or more, this one counted."),
          lambda s: s.three_or_more),
    share("holed", N_("Holed"), N_("Holed out"),
          N_("Chance that this stroke is the last."), lambda s: s.holed),
    share("mishit", N_("Mishit"), N_("Struck badly"), N_("Chance of a strike that is fat, thin or worse."),
          lambda s: link(s, "mishit")),
    share("off", N_("Off green"), N_("Misses the green"), N_("Chance that the ball stops off the green."),
          lambda s: link(s, "off_green")),
    share("lip", N_("Lip"), N_("Hits the lip"), N_("Chance that the lip of the bunker catches the ball."),
          lambda s: s.trouble.get("lip", 0.0)),
    column("swing", N_("Swing"), N_("Length of swing"), N_("How far the hands go back."),
           lambda s, look: s.share, lambda s, look: SWINGS[s.swing], "hands chest-high"),
)  # fmt: skip

CODES = tuple(each.code for each in COLUMNS)
USUAL = tuple(each.code for each in COLUMNS if each.usual or not each.name)
"""What is shown until somebody chooses."""
LEFT = ("shot", "swing")
"""Columns of words, which start at the left."""
