"""How a shot is delivered, flies and ends, figure by figure in plain words: for the page of details."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shortgame_gui.advice.result import Shot
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.units import RPM
from shortgame_gui.words.language import N_, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import SWINGS


@dataclass(frozen=True)
class Detail:
    """One figure: what it is called, what it means, and how it reads for a shot; empty where it has none."""

    name: str
    meaning: str
    shown: Callable[[Shot, Style], str]


def _flown(shown: Callable[[Shot, Style], str]) -> Callable[[Shot, Style], str]:
    """Nothing for a shot that only rolls."""
    return lambda shot, style: shown(shot, style) if shot.technique != "putt" else ""


def _seconds(seconds: float, style: Style) -> str:
    return _("{s} s").format(s=style.number(seconds, 1))


def _attack(shot: Shot, style: Style) -> str:
    words = _("{a} downwards") if shot.attack <= 0.0 else _("{a} upwards")
    return words.format(a=style.degrees(abs(shot.attack)))


def _spin(shot: Shot, style: Style) -> str:
    words = _("{n} turns a minute") if shot.spin >= 0.0 else _("{n} turns a minute, forwards")
    return words.format(n=style.number(round(abs(shot.spin) / RPM, -1), 0))


def _sole(club: Club, style: Style) -> str:
    wide = style.fine(club.sole_width) if style.yards else f"{style.number(1000.0 * club.sole_width, 0)} mm"
    return _("{bounce} of bounce, {width} wide").format(bounce=style.degrees(club.bounce), width=wide)


def _grooves(club: Club, style: Style) -> str:
    shots = club.groove_shots
    return _("{n} shots old").format(n=style.number(shots, 0)) if shots > 0.0 else _("fresh")


def clubs_text(bag: Bag, style: Style) -> str:
    """The clubs of ``bag``, a line each: loft, and what the sole and the grooves of all but putters are."""
    lines = []
    for club in bag.clubs:
        parts = [_("{loft} of loft").format(loft=style.degrees(club.loft))]
        if club.kind != "putter":
            parts += [_sole(club, style), _("grooves {state}").format(state=_grooves(club, style))]
        lines.append(f"{club.name}: {', '.join(parts)}")
    return "\n".join(lines)


def _in_air(shot: Shot) -> float:
    return float(shot.track.time[shot.track.landing])


def _ring(number: int) -> Detail:
    def shown(shot: Shot, style: Style) -> str:
        return style.percent(shot.within(style.rings[number]))

    words = (N_("Inside {ring1}"), N_("Inside {ring2}"), N_("Inside {ring3}"))[number]
    return Detail(words, N_("Chance of finishing so near to the hole, or in it."), shown)


def name_of(detail: Detail, style: Style) -> str:
    """What a figure is called, with the player's rings in their places."""
    return _(detail.name).format(
        **{f"ring{k}": style.short(radius, 0) for k, radius in enumerate(style.rings, start=1)}
    )


DETAILS: tuple[Detail, ...] = (
    Detail(
        N_("Swing"),
        N_("How far the hands go back, and the speed of the club as a share of this club's full swing."),
        lambda s, style: f"{SWINGS[s.swing]}, {style.percent(s.share)}",
    ),
    Detail(
        N_("Loft of the club"), N_("As it stands on the club."), lambda s, style: style.degrees(s.club.loft)
    ),
    Detail(
        N_("Sole of the club"), N_("The angle of the sole to the ground as it stands, and its width."),
        _flown(lambda s, style: _sole(s.club, style)),
    ),
    Detail(
        N_("Grooves"), N_("Shots played with this face; a shot from sand wears like several."),
        _flown(lambda s, style: _grooves(s.club, style)),
    ),
    Detail(
        N_("Delivered loft"),
        N_("The loft that the ball meets: the club's own with lean, slope and an open face counted."),
        lambda s, style: style.degrees(s.delivered_loft),
    ),
    Detail(N_("The club moves"), N_("How steeply the club comes down, or up, at the strike."), _attack),
    Detail(
        N_("Leaves the face at"),
        N_("The angle at which the ball starts, above the level."),
        _flown(lambda s, style: style.degrees(s.launch)),
    ),
    Detail(N_("Backspin"), N_("How fast the ball turns back as it leaves."), _flown(_spin)),
    Detail(
        N_("Peak height"),
        N_("The highest point of the flight, above the ball's lie."),
        _flown(lambda s, style: style.short(s.apex)),
    ),
    Detail(
        N_("Comes down at"),
        N_("The angle of the descent, below the level."),
        _flown(lambda s, style: style.degrees(s.landing_angle)),
    ),
    Detail(N_("Carry"), N_("To the first landing."), _flown(lambda s, style: style.long(s.carry, 1))),
    Detail(
        N_("Run"),
        N_("From the landing on; negative when it spins back."),
        lambda s, style: style.long(s.run, 1),
    ),
    Detail(
        N_("Share in the air"),
        N_("The carry as a share of the whole way."),
        _flown(lambda s, style: style.percent(s.air_share)),
    ),
    Detail(
        N_("Time in the air"),
        N_("To the first landing."),
        _flown(lambda s, style: _seconds(_in_air(s), style)),
    ),
    Detail(
        N_("Time until it rests"),
        N_("From the strike to rest."),
        lambda s, style: _seconds(float(s.track.time[-1]), style),
    ),
    _ring(0), _ring(1), _ring(2),
    Detail(
        N_("Holed out"),
        N_("Chance that this stroke is the last."),
        lambda s, style: style.percent(s.holed),
    ),
    Detail(
        N_("Down in two"),
        N_("Chance, this stroke counted."),
        lambda s, style: style.percent(s.down_in_two),
    ),
    Detail(
        N_("Strokes"),
        N_("To hole out, on average, this one counted, with the standard error."),
        lambda s, style: f"{style.strokes(s.expected_strokes)} ± {style.strokes(s.standard_error)}",
    ),
)  # fmt: skip
