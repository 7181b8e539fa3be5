"""Which shots can be played here at all: technique by kind of club, by lie and by what the player owns.

Rules refuse only what cannot be played; whether a shot is wise is for the simulation to say. Common
practice, no source. No rule knows a loft.
"""

from __future__ import annotations

from dataclasses import dataclass

from shortgame_gui.advice.result import Refused
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.player import TECHNIQUES, THROUGH
from shortgame_gui.model.situation import Situation

#: Reason codes, each with the sentence's key in words/.
REASONS = (
    "not_owned",
    "needs_putter",
    "putter_only_putts",
    "needs_wedge",
    "not_with_hybrid",
    "grass_stops_putt",
    "hollow_stops_putt",
    "no_cushion",
    "no_way_under",
    "no_clean_contact",
    "only_from_sand",
    "only_from_deep_grass",
    "splash_instead",
    "lip_stops_putt",
    "sand_stops_putt",
    "no_clean_strike",
    "lip_in_the_way",
    "obstacle_in_the_way",
    "cannot_reach",
    "cannot_stop_short",
)

#: technique -> kinds of club it is played with
KINDS: dict[str, tuple[str, ...]] = {
    "putt": ("putter",),
    "chip": ("wedge", "iron", "hybrid"),
    "bump_and_run": ("wedge", "iron", "hybrid"),
    "pitch": ("wedge", "iron"),
    "low_check": ("wedge", "iron"),
    "high_soft": ("wedge",),
    "lob": ("wedge",),
    "partial": ("wedge", "iron", "hybrid"),
    "upright": ("wedge", "iron"),
    "splash": ("wedge",),
    "thin_splash": ("wedge",),
    "dig": ("wedge",),
    "explode": ("wedge",),
}

_NOT_SAND = (
    "tight", "fairway", "fringe", "first_cut", "rough", "bare", "divot", "sanded_divot",
)  # fmt: skip
_SHORT_GRASS = ("tight", "fairway", "fringe", "first_cut", "bare", "divot", "sanded_divot", "sand")

#: technique -> ground of the lie -> reason why it cannot be played from there
BY_GROUND: dict[str, dict[str, str]] = {
    "putt": {
        "first_cut": "grass_stops_putt",
        "rough": "grass_stops_putt",
        "divot": "hollow_stops_putt",
        "sanded_divot": "hollow_stops_putt",
    },
    "low_check": {
        "rough": "no_clean_contact",
        "sanded_divot": "no_clean_contact",
        "sand": "no_clean_contact",
    },
    "high_soft": {"divot": "no_way_under", "sand": "splash_instead"},
    "lob": {
        "bare": "no_cushion",
        "divot": "no_way_under",
        "sanded_divot": "no_cushion",
        "sand": "splash_instead",
    },
    "splash": dict.fromkeys(_NOT_SAND, "only_from_sand"),
    "thin_splash": dict.fromkeys(_NOT_SAND, "only_from_sand"),
    "dig": dict.fromkeys(_NOT_SAND, "only_from_sand"),
    "explode": dict.fromkeys(_SHORT_GRASS, "only_from_deep_grass"),
}

#: technique -> how the ball sits -> reason
BY_SITS: dict[str, dict[str, str]] = {
    "putt": {
        "half_down": "grass_stops_putt",
        "down": "grass_stops_putt",
        "nested": "grass_stops_putt",
        "plugged": "hollow_stops_putt",
        "furrow": "hollow_stops_putt",
    },
    "low_check": {"down": "no_clean_contact", "nested": "no_clean_contact", "plugged": "no_clean_contact"},
    "high_soft": {"nested": "no_way_under", "plugged": "no_way_under"},
    "lob": {"down": "no_way_under", "nested": "no_way_under", "plugged": "no_way_under"},
    "thin_splash": {"plugged": "no_clean_contact", "nested": "no_clean_contact"},
    "explode": {"up": "only_from_deep_grass", "clean": "only_from_deep_grass"},
}


@dataclass(frozen=True)
class Candidate:
    """One club played one way."""

    club: Club
    technique: str
    learning: bool


def refusal(situation: Situation, club: Club, technique: str) -> str | None:
    """Reason code why ``technique`` cannot be played with ``club`` here, or None."""
    if club.kind not in KINDS[technique]:
        if technique == "putt":
            return "needs_putter"
        if club.kind == "putter":
            return "putter_only_putts"
        return "not_with_hybrid" if club.kind == "hybrid" else "needs_wedge"
    if getattr(situation.player.techniques, technique) == "no":
        return "not_owned"
    lie = situation.lie
    if technique == "putt" and lie.ground == "sand":
        if lie.lip_height > 0.0:
            return "lip_stops_putt"
        if lie.sand == "fine":
            return "sand_stops_putt"
    if lie.ground == "sand" and lie.sits in ("nested", "plugged") and technique not in THROUGH:
        return "no_way_under"
    return BY_GROUND.get(technique, {}).get(lie.ground) or BY_SITS.get(technique, {}).get(lie.sits)


def candidates(situation: Situation, bag: Bag) -> tuple[list[Candidate], list[Refused]]:
    """All shots that can be played, and those that cannot with the reason.

    A club that is of the wrong kind for a technique is no refusal worth telling; it is left out.
    """
    wrong_kind = ("needs_putter", "putter_only_putts", "needs_wedge", "not_with_hybrid")
    offered, refused = [], []
    for technique in TECHNIQUES:
        for club in sorted(bag.clubs, key=lambda c: (-c.loft, c.name)):
            reason = refusal(situation, club, technique)
            if reason is None:
                learning = getattr(situation.player.techniques, technique) == "learning"
                offered.append(Candidate(club, technique, learning))
            elif reason not in wrong_kind:
                refused.append(Refused(club.name, technique, reason))
    return offered, refused
