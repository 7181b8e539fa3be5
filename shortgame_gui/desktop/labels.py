"""The words of the situation panel: groups, choices, words for figures, what applies when.

Titles and meanings of single fields stand in the model and are not repeated here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shortgame_gui.model.leaves import Leaf
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.situation import firmness_word

GROUPS: dict[str, tuple[str, tuple[str, ...]]] = {
    "lie": (N_("Lie"), ("lie",)),
    "stance": (N_("Stance"), ("stance",)),
    "green": (N_("Green and hole"), ("hole", "green")),
    "ground": (N_("Ground ahead"), ("ground",)),
    "air": (N_("Air"), ("air",)),
    "player": (N_("Player"), ("player",)),
    "surroundings": (N_("Around you"), ("surroundings",)),
    "notes": (N_("Name and note"), ("name", "note")),
}
"""Group code -> its heading, and the first parts of the paths that it holds, in order."""

IN_GRASS = ("up", "clean", "half_down", "down", "nested", "plugged")
IN_SAND = ("clean", "half_down", "plugged", "furrow")
HARD = ("bare", "divot", "sanded_divot")
"""Where no ball plugs: hard ground, and divots, whose hollow is deep already."""


def ways_to_sit(ground: str) -> tuple[str, ...]:
    """How a ball can sit in ``ground``; what cannot be gives way when the ground changes."""
    if ground == "sand":
        return IN_SAND
    return tuple(sits for sits in IN_GRASS if sits != "plugged" or ground not in HARD)


OPEN_AT_FIRST = ("lie", "stance", "green")

CHOICES: dict[str, Phrases[str]] = {
    "ground": Phrases(
        {
            "tight": N_("Tight mown"),
            "fairway": N_("Fairway"),
            "fringe": N_("Fringe"),
            "first_cut": N_("First cut"),
            "rough": N_("Rough"),
            "bare": N_("Bare and hard"),
            "divot": N_("Divot"),
            "sanded_divot": N_("Divot filled with sand"),
            "sand": N_("Sand"),
        }
    ),
    "sits": Phrases(
        {
            "up": N_("Up on the grass"),
            "clean": N_("Clean"),
            "half_down": N_("Half down"),
            "down": N_("Down"),
            "nested": N_("Nested at the bottom"),
            "plugged": N_("Plugged"),
            "furrow": N_("In a rake furrow"),
        }
    ),
    "surface": Phrases(
        {
            "green": N_("Green"),
            "fringe": N_("Fringe"),
            "fairway": N_("Fairway"),
            "first_cut": N_("First cut"),
            "rough": N_("Rough"),
            "deep_rough": N_("Deep rough"),
            "bare": N_("Bare and hard"),
            "sand": N_("Sand"),
            "water": N_("Water"),
            "out": N_("Out of bounds"),
        }
    ),
    "level": Phrases(
        {
            "tour": N_("Tour player"),
            "scratch": N_("Scratch"),
            "10": N_("Handicap 10"),
            "20": N_("Handicap 20"),
            "30": N_("Handicap 30"),
            "junior": N_("Junior"),
        }
    ),
    "hand": Phrases({"right": N_("Right"), "left": N_("Left")}),
    "ball_cover": Phrases({"soft": N_("Soft"), "hard": N_("Hard")}),
    "turf_habit": Phrases({"steep": N_("Steeply"), "neutral": N_("In between"), "shallow": N_("Shallow")}),
    "counts": Phrases(
        {
            "average": N_("Lowest average"),
            "down_in_two": N_("Down in two"),
            "no_disaster": N_("No disaster"),
        }
    ),
    "grass": Phrases({"fine": N_("Fine"), "wiry": N_("Wiry")}),
    "sand": Phrases(
        {
            "fine": N_("Fine and loose"),
            "firm": N_("Firm"),
            "wet": N_("Wet"),
            "thin": N_("Thin over hard"),
        }
    ),
    "grain": Phrases(
        {
            "none": N_("None"),
            "with": N_("With the line"),
            "against": N_("Against it"),
            "left": N_("To the left"),
            "right": N_("To the right"),
        }
    ),
    "backswing": Phrases({"free": N_("Free"), "short": N_("Short")}),
    "flag": Phrases({"in": N_("In"), "out": N_("Out")}),
    "kind": Phrases(
        {
            "tier": N_("Tier"),
            "false_front": N_("False front"),
            "run_off": N_("Run-off"),
            "backstop": N_("Backstop"),
        }
    ),
    "owned": Phrases({"yes": N_("Yes"), "learning": N_("Learning"), "no": N_("No")}),
}

_KIND: dict[str, str] = {
    "lie.ground": "ground",
    "ground.approach": "surface",
    "ground.beside": "surface",
    "ground.behind": "surface",
    "ground.bands[].surface": "surface",
}


def title_of(leaf: Leaf) -> str:
    """What the value is called, in the language of the reader."""
    return _(leaf.title)


def meaning_of(leaf: Leaf) -> str:
    """What the value means, in the language of the reader."""
    return _(leaf.description)


def choice_labels(path: str, choices: tuple[str, ...]) -> dict[str, str]:
    """What each of ``choices`` of the leaf ``path`` is called; its own code where it has no other name."""
    kind = "owned" if path.startswith("player.techniques.") else _KIND.get(path, path.rsplit(".", 1)[-1])
    names: Mapping[str, str] = CHOICES.get(kind, {})
    return {choice: names.get(choice, choice.replace("_", " ").capitalize()) for choice in choices}


def _ladder(*steps: tuple[float, str], above: str) -> Callable[[float], str]:
    """The word of the first step whose bound lies above the value."""

    def word(value: float) -> str:
        return _(next((name for bound, name in steps if value < bound), above))

    return word


def _signed(negative: str, level: str, positive: str, least: float) -> Callable[[float], str]:
    def word(value: float) -> str:
        return _(level if abs(value) < least else (positive if value > 0 else negative))

    return word


# Words for green speed, and presets of speed and firmness: common practice, no source. Speeds as spoken of
# today: 7 to 8 ft slow, 9 to 10 medium, 11 to 12 fast, 13 and more very fast.

SPOKEN: dict[str, Callable[[float], str]] = {
    "green.speed": _ladder(
        (8.5 * FOOT, N_("slow")),
        (10.5 * FOOT, N_("medium")),
        (12.5 * FOOT, N_("fast")),
        above=N_("very fast"),
    ),
    "green.firmness": firmness_word,
    "lie.firmness": firmness_word,
    "green.slope_along": _signed(N_("falls away"), N_("level"), N_("rises away"), 0.0025),
    "green.slope_across": _signed(N_("right is higher"), N_("level"), N_("left is higher"), 0.0025),
    "stance.slope_along": _signed(N_("downhill"), N_("level"), N_("uphill"), 0.0087),
    "stance.slope_across": _signed(N_("ball below the feet"), N_("level"), N_("ball above the feet"), 0.0087),
    "green.takes_spin": _ladder((0.9, N_("less")), (1.1, N_("as usual")), above=N_("more")),
    "air.wind_along": _signed(N_("against"), N_("calm"), N_("helping"), 0.2),
    "air.wind_across": _signed(N_("from the right"), N_("calm"), N_("from the left"), 0.2),
}
"""Leaf -> the word that a golfer would use for its SI value."""

_TURF = ((N_("Soft"), 60.0), (N_("Medium"), 85.0), (N_("Firm"), 108.0), (N_("Very firm"), 125.0))

PRESETS: dict[str, tuple[tuple[str, float], ...]] = {
    "green.speed": (
        (N_("Slow"), 7.5 * FOOT), (N_("Medium"), 9.5 * FOOT),
        (N_("Fast"), 11.5 * FOOT), (N_("Very fast"), 13.0 * FOOT)
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

TILES = Phrases(
    {
        "bare": N_("Bare, hard"),
        "sanded_divot": N_("Filled divot"),
        "up": N_("Up"),
        "nested": N_("Nested"),
        "furrow": N_("In a furrow"),
    }
)
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


LOWEST_MEANS = Phrases({"player.wedge_carry": N_("as usual"), "ground.obstacles[].low": N_("ground")})
"""Leaf -> what its lowest value stands for."""

OFFERED: dict[str, Callable[[Situation], tuple[str, ...]]] = {
    "lie.sits": lambda s: ways_to_sit(s.lie.ground),
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
