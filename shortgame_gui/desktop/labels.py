"""The words of the situation panel: groups, choices, words for figures, what applies when.

Titles and meanings of single fields stand in the model and are not repeated here.
"""

from __future__ import annotations

from collections.abc import Callable

from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT
from shortgame_gui.words.situation import firmness_word

GROUPS: dict[str, tuple[str, tuple[str, ...]]] = {
    "lie": ("Lie", ("lie",)),
    "stance": ("Stance", ("stance",)),
    "green": ("Green and hole", ("hole", "green")),
    "ground": ("Ground ahead", ("ground",)),
    "air": ("Air", ("air",)),
    "player": ("Player", ("player",)),
    "surroundings": ("Around you", ("surroundings",)),
    "notes": ("Name and note", ("name", "note")),
}
"""Group code -> its heading, and the first parts of the paths that it holds, in order."""

IN_GRASS = ("up", "clean", "half_down", "down", "nested")
IN_SAND = ("clean", "half_down", "plugged", "furrow")
"""How a ball can sit in grass and in sand; what is neither gives way when the ground changes."""

OPEN_AT_FIRST = ("lie", "stance", "green")

CHOICES: dict[str, dict[str, str]] = {
    "ground": {
        "tight": "Tight mown",
        "fairway": "Fairway",
        "fringe": "Fringe",
        "first_cut": "First cut",
        "rough": "Rough",
        "bare": "Bare and hard",
        "divot": "Divot",
        "sanded_divot": "Divot filled with sand",
        "sand": "Sand",
    },
    "sits": {
        "up": "Up on the grass",
        "clean": "Clean",
        "half_down": "Half down",
        "down": "Down",
        "nested": "Nested at the bottom",
        "plugged": "Plugged",
        "furrow": "In a rake furrow",
    },
    "surface": {
        "green": "Green",
        "fringe": "Fringe",
        "fairway": "Fairway",
        "first_cut": "First cut",
        "rough": "Rough",
        "deep_rough": "Deep rough",
        "bare": "Bare and hard",
        "sand": "Sand",
        "water": "Water",
        "out": "Out of bounds",
    },
    "level": {
        "tour": "Tour player",
        "scratch": "Scratch",
        "10": "Handicap 10",
        "20": "Handicap 20",
        "30": "Handicap 30",
        "junior": "Junior",
    },
    "hand": {"right": "Right", "left": "Left"},
    "ball_cover": {"soft": "Soft", "hard": "Hard"},
    "turf_habit": {"steep": "Steeply", "neutral": "In between", "shallow": "Shallow"},
    "counts": {
        "average": "Lowest average",
        "down_in_two": "Down in two",
        "no_disaster": "No disaster",
    },
    "grass": {"fine": "Fine", "wiry": "Wiry"},
    "sand": {"fine": "Fine and loose", "firm": "Firm", "wet": "Wet", "thin": "Thin over hard"},
    "grain": {
        "none": "None",
        "with": "With the line",
        "against": "Against it",
        "left": "To the left",
        "right": "To the right",
    },
    "backswing": {"free": "Free", "short": "Short"},
    "flag": {"in": "In", "out": "Out"},
    "kind": {
        "tier": "Tier",
        "false_front": "False front",
        "run_off": "Run-off",
        "backstop": "Backstop",
    },
    "owned": {"yes": "Yes", "learning": "Learning", "no": "No"},
}

_KIND: dict[str, str] = {
    "lie.ground": "ground",
    "ground.approach": "surface",
    "ground.beside": "surface",
    "ground.behind": "surface",
    "ground.bands[].surface": "surface",
}


def choice_labels(path: str, choices: tuple[str, ...]) -> dict[str, str]:
    """What each of ``choices`` of the leaf ``path`` is called; its own code where it has no other name."""
    kind = "owned" if path.startswith("player.techniques.") else _KIND.get(path, path.rsplit(".", 1)[-1])
    names = CHOICES.get(kind, {})
    return {choice: names.get(choice, choice.replace("_", " ").capitalize()) for choice in choices}


def _ladder(*steps: tuple[float, str], above: str) -> Callable[[float], str]:
    """The word of the first step whose bound lies above the value."""

    def word(value: float) -> str:
        return next((name for bound, name in steps if value < bound), above)

    return word


def _signed(negative: str, level: str, positive: str, least: float) -> Callable[[float], str]:
    def word(value: float) -> str:
        return level if abs(value) < least else (positive if value > 0 else negative)

    return word


# Words for green speed, and presets of speed and firmness: common practice, no source. Speeds as spoken of
# today: 7 to 8 ft slow, 9 to 10 medium, 11 to 12 fast, 13 and more very fast.

SPOKEN: dict[str, Callable[[float], str]] = {
    "green.speed": _ladder(
        (8.5 * FOOT, "slow"), (10.5 * FOOT, "medium"), (12.5 * FOOT, "fast"), above="very fast"
    ),
    "green.firmness": firmness_word,
    "lie.firmness": firmness_word,
    "green.slope_along": _signed("falls away", "level", "rises away", 0.0025),
    "green.slope_across": _signed("right is higher", "level", "left is higher", 0.0025),
    "stance.slope_along": _signed("downhill", "level", "uphill", 0.0087),
    "stance.slope_across": _signed("ball below the feet", "level", "ball above the feet", 0.0087),
    "green.takes_spin": _ladder((0.9, "less"), (1.1, "as usual"), above="more"),
    "air.wind_along": _signed("against", "calm", "helping", 0.2),
    "air.wind_across": _signed("from the right", "calm", "from the left", 0.2),
}
"""Leaf -> the word that a golfer would use for its SI value."""

_TURF = (("Soft", 60.0), ("Medium", 85.0), ("Firm", 108.0), ("Very firm", 125.0))

PRESETS: dict[str, tuple[tuple[str, float], ...]] = {
    "green.speed": (
        ("Slow", 7.5 * FOOT), ("Medium", 9.5 * FOOT), ("Fast", 11.5 * FOOT), ("Very fast", 13.0 * FOOT)
    ),
    "green.firmness": _TURF,
    "lie.firmness": _TURF,
}  # fmt: skip
"""Leaf -> values that golfers have a word for, as (word, SI value)."""

DOUBTS: dict[str, tuple[str, float]] = {
    "lie.sits": ("not_sure.lie", 0.5),
    "green.speed": ("not_sure.green_speed", 1.0 * FOOT),
    "green.firmness": ("not_sure.firmness", 10.0),
    "green.slope_along": ("not_sure.slope_along", 0.01),
    "green.slope_across": ("not_sure.slope_across", 0.01),
    "air.wind_along": ("not_sure.wind", 1.5),
}
"""Leaf that can be doubted -> the leaf of its doubt, and the spread that its switch begins with (SI)."""

PICTURED: dict[str, Callable[[Situation, str], tuple[str, str]]] = {
    "lie.ground": lambda s, choice: (choice, "clean"),
    "lie.sits": lambda s, choice: (s.lie.ground, choice),
}
"""Leaf that is chosen by drawings -> what the drawing of a choice shows, as (ground, how the ball sits)."""

TILES: dict[str, str] = {
    "bare": "Bare, hard",
    "sanded_divot": "Filled divot",
    "up": "Up",
    "nested": "Nested",
    "furrow": "In a furrow",
}
"""Choice -> its caption below a drawing, where its label is too long."""

PAGES: dict[str, str] = {"surroundings": "around"}
"""Group code -> its page in the help, where that is not called like the group."""

FIGURES: dict[str, str] = {
    "lie": "lie.{lie.ground}. sits.{lie.sits}. turf_strike. mishit.",
    "lie.ground": "lie.{lie.ground}. turf_strike. mishit.",
    "lie.sits": "sits.{lie.sits}.",
    "lie.rough_depth": "lie.rough. grass_out.",
    "lie.grass": "grass_out. lie.{lie.ground}.",
    "lie.sand": "sand.{lie.sand}.",
    "lie.lip": "caution. sand.{lie.sand}.",
    "lie.wet": "delivery.wet_face",
    "lie.firmness": "turf_strike.",
    "stance": "delivery.follow delivery.balance delivery.stance caution.",
    "stance.backswing": "delivery.short_backswing",
    "green": "surface.green. run. turf. hole.",
    "green.speed": "run.stimp surface.green. score.fast score.usual_stimp",
    "green.firmness": "turf. surface.green.",
    "green.slope": "run. score.uphill score.across score.usual_across",
    "green.wet": "run.wet turf.",
    "green.grain": "run.grain",
    "green.takes_spin": "turf. surface.green.",
    "hole": "hole.",
    "ground": "surface.",
    "ground.approach": "surface.{ground.approach}.",
    "ground.beside": "surface.{ground.beside}.",
    "ground.behind": "surface.{ground.behind}.",
    "air": "air. flight.",
    "player": "level.{player.level}. mishit. delivery. swing.",
    "player.ball_cover": "delivery.cover",
    "player.turf_habit": "delivery.steep delivery.shallow",
    "player.counts": "score. baseline.",
    **{f"player.techniques.{name}": f"technique.{name}." for name in TECHNIQUES},
    "surroundings": "caution.",
}
"""Beginning of a leaf's path -> beginnings of the rows that matter for it, as `help.about` takes them."""


def figures_of(path: str) -> str:
    """The rows that matter for the leaf ``path``: those of the longest beginning that is known."""
    known = [start for start in FIGURES if path.startswith(start)]
    return FIGURES[max(known, key=len)] if known else ""


LOWEST_MEANS: dict[str, str] = {"player.wedge_carry": "as usual", "ground.obstacles[].low": "ground"}
"""Leaf -> what its lowest value stands for."""

OFFERED: dict[str, Callable[[Situation], tuple[str, ...]]] = {
    "lie.sits": lambda s: IN_SAND if s.lie.ground == "sand" else IN_GRASS,
}
"""Leaf -> the choices that there are in a situation, for leaves of which not all always are."""

APPLIES: dict[str, Callable[[Situation], bool]] = {
    "lie.rough_depth": lambda s: s.lie.ground == "rough",
    "lie.grass": lambda s: s.lie.ground != "sand",
    "lie.grain": lambda s: s.lie.ground != "sand",
    "lie.collar": lambda s: s.lie.ground != "sand",
    "lie.sand": lambda s: s.lie.ground == "sand",
    "lie.lip_distance": lambda s: s.lie.ground == "sand",
    "lie.lip_height": lambda s: s.lie.ground == "sand",
    "lie.firmness": lambda s: s.lie.ground != "sand",
}
"""Leaf -> whether it matters in a situation; others always do. What does not apply is hidden."""
