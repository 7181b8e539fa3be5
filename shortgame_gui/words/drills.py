"""One drill to take away from a lesson, by what differs between two shots."""

from __future__ import annotations

from shortgame_gui.advice.difference import Difference, drill
from shortgame_gui.words.compare import names
from shortgame_gui.words.language import N_, Phrases
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import STYLE

#: drill -> what to do; common practice put in words of our own, no source
DRILLS = Phrases({
    "roll_or_fly": N_(
        "Put two balls down side by side. Roll the first to the hole with {a}, play the second with {b}, "
        "and leave both where they stop. Ten pairs; walk off how far each ball ended from the hole, and add"
        " up. The smaller sum is your shot from here."
    ),
    "line_in_sand": N_(
        "Draw a line in the sand across your stance, without a ball, and splash until the club enters on "
        "the line five times running. Then put balls a hand's width ahead of the line and play five with "
        "{a} and five with {b}. Look at the line first, the ball's flight second."
    ),
    "one_club_two_ways": N_(
        "One club, ten balls, by turns {a} and {b} from the same spot. Change only the set-up, not the "
        "rhythm. Say before each ball how high it will fly and where it will stop, then look who was right."
    ),
    "one_spot": N_(
        "Lay a towel on the landing spot, {spot} away. Play five balls with {a} and five with {b}, and "
        "count only those that land on the towel. Push a tee in where each of these stops: the gap between "
        "the two rows of tees is what the loft does. Move the towel and guess the gap before you play."
    ),
    "one_finish": N_(
        "Put a tee where the ball is to stop. Play {a} and {b} by turns until three balls of each stop "
        "within a step of it, and have a partner mark where they landed. Two landing spots for one finish: "
        "remember how many steps lie between them."
    ),
    "one_swing": N_(
        "Count one for back and two for through, and keep that count and the length of the swing for every "
        "ball. Five with {a}, five with {b}. Walk off where each set ends: with one swing the clubs have "
        "made the distances for you. Write them on the lines below."
    ),
})  # fmt: skip


def drill_text(found: Difference, style: Style = STYLE) -> str:
    """One drill to take away, by what differs."""
    code, pair = drill(found), (found.first, found.second)
    if code == "roll_or_fly" and not found.first.putt:
        pair = (found.second, found.first)
    a, b = names(*pair)
    spot = style.long(found.first.carry, 0)
    return DRILLS[code].format(a=a, b=b, spot=spot)
