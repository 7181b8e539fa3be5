"""Sentences on shots side by side: what is held equal, why one runs more, for an adult or a junior."""

from __future__ import annotations

from itertools import groupby
from typing import Literal

from shortgame_gui.advice.compare import Compared, Comparison, NotDone
from shortgame_gui.advice.difference import LINKS, Claim, Difference, comes_to_rest
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import STYLE, SURFACES, SWINGS, TECHNIQUES, cue_text, shot_name

Reader = Literal["adult", "junior"]
READERS: Phrases[Reader] = Phrases({"adult": N_("Adult"), "junior": N_("Junior")})

HELD = Phrases(
    {
        "landing": N_("The landing spot"),
        "finish": N_("The finish"),
        "swing": N_("The swing (head speed)"),
    }
)

#: link -> relation -> what is said of the first shot (or of both) to an adult
ADULT: dict[str, Phrases[str]] = {
    "delivered_loft": Phrases(
        {
            "less": N_("{it} meets the ball with less loft ({a} against {b})"),
            "more": N_("{it} meets the ball with more loft ({a} against {b})"),
            "same": N_("both meet the ball with much the same loft ({a} and {b})"),
        }
    ),
    "ball_speed": Phrases(
        {
            "less": N_("the ball of {first} starts slower ({a} against {b})"),
            "more": N_("the ball of {first} starts faster ({a} against {b})"),
            "same": N_("both balls start about equally fast ({a} and {b})"),
        }
    ),
    "launch": Phrases(
        {
            "less": N_("{it} leaves lower ({a} against {b})"),
            "more": N_("{it} leaves higher ({a} against {b})"),
            "same": N_("both leave about equally high ({a} and {b})"),
        }
    ),
    "spin": Phrases(
        {
            "less": N_("{it} spins less ({a} against {b})"),
            "more": N_("{it} spins more ({a} against {b})"),
            "same": N_("both spin about alike ({a} and {b})"),
        }
    ),
    "carry": Phrases(
        {
            "less": N_("{it} flies less far ({a} against {b})"),
            "more": N_("{it} flies further ({a} against {b})"),
            "same": N_("both fly about equally far ({a} and {b})"),
        }
    ),
    "apex": Phrases(
        {
            "less": N_("{it} stays lower in the air (peak {a} against {b})"),
            "more": N_("{it} climbs higher in the air (peak {a} against {b})"),
            "same": N_("both climb about equally high (peak {a} and {b})"),
        }
    ),
    "landing_angle": Phrases(
        {
            "less": N_("{it} comes down flatter ({a} against {b})"),
            "more": N_("{it} comes down steeper ({a} against {b})"),
            "same": N_("both come down about equally steep ({a} and {b})"),
        }
    ),
    "forward_after": Phrases(
        {
            "less": N_("{it} goes on slower after the first bounce ({a} along the ground against {b})"),
            "more": N_("{it} goes on faster after the first bounce ({a} along the ground against {b})"),
            "same": N_("both go on about equally fast after the first bounce ({a} and {b})"),
        }
    ),
    "spin_after": Phrases(
        {
            "less": N_("{it} keeps less backspin ({a} against {b})"),
            "more": N_("{it} keeps more backspin ({a} against {b})"),
            "same": N_("both keep about the same spin ({a} and {b})"),
        }
    ),
    "run": Phrases(
        {
            "less": N_("{it} {a}, while {second} {b}"),
            "more": N_("{it} {a}, while {second} {b}"),
            "same": N_("both run about equally far: one {a}, the other {b}"),
        }
    ),
    "total": Phrases(
        {
            "less": N_("in all {it} goes less far ({a} against {b})"),
            "more": N_("in all {it} goes further ({a} against {b})"),
            "same": N_("in all both go about equally far ({a} and {b})"),
        }
    ),
}

#: the same for a junior: one short sentence a link
JUNIOR: dict[str, Phrases[str]] = {
    "delivered_loft": Phrases(
        {
            "less": N_("{why}{it} has less loft when it hits the ball: {a}, and {second} has {b}."),
            "more": N_("{why}{it} has more loft when it hits the ball: {a}, and {second} has {b}."),
            "same": N_("{why}both clubs hit the ball with nearly the same loft: {a} and {b}."),
        }
    ),
    "ball_speed": Phrases(
        {
            "less": N_("{why}the ball of {first} starts slower: {a}, not {b}."),
            "more": N_("{why}the ball of {first} starts faster: {a}, not {b}."),
            "same": N_("{why}both balls start nearly equally fast: {a} and {b}."),
        }
    ),
    "launch": Phrases(
        {
            "less": N_("{why}{it} sends the ball lower: {a}, not {b}."),
            "more": N_("{why}{it} sends the ball higher: {a}, not {b}."),
            "same": N_("{why}both send the ball nearly equally high: {a} and {b}."),
        }
    ),
    "spin": Phrases(
        {
            "less": N_("{why}{it} spins less: {a}, not {b}."),
            "more": N_("{why}{it} spins more: {a}, not {b}."),
            "same": N_("{why}both balls spin nearly the same: {a} and {b}."),
        }
    ),
    "carry": Phrases(
        {
            "less": N_("{why}{it} flies less far: {a}, not {b}."),
            "more": N_("{why}{it} flies further: {a}, not {b}."),
            "same": N_("{why}both balls fly nearly equally far: {a} and {b}."),
        }
    ),
    "landing_angle": Phrases(
        {
            "less": N_("{why}{it} comes down flatter: {a}, not {b}."),
            "more": N_("{why}{it} comes down steeper: {a}, not {b}."),
            "same": N_("{why}both balls come down nearly equally steep: {a} and {b}."),
        }
    ),
    "forward_after": Phrases(
        {
            "less": N_("{why}after the first bounce {it} has less speed left: {a}, not {b}."),
            "more": N_("{why}after the first bounce {it} has more speed left: {a}, not {b}."),
            "same": N_(
                "{why}after the first bounce both balls have nearly the same speed left: {a} and {b}."
            ),
        }
    ),
    "spin_after": Phrases(
        {
            "less": N_("{why}{it} has less backspin left to hold it: {a}, not {b}."),
            "more": N_("{why}{it} has more backspin left to hold it: {a}, not {b}."),
            "same": N_("{why}both balls have nearly the same spin left: {a} and {b}."),
        }
    ),
    "run": Phrases(
        {
            "less": N_("{why}{it} {a}, and {second} {b}."),
            "more": N_("{why}{it} {a}, and {second} {b}."),
            "same": N_("{why}both balls run nearly equally far: one {a}, the other {b}."),
        }
    ),
    "total": Phrases(
        {
            "less": N_("{why}all in all {it} goes less far: {a}, not {b}."),
            "more": N_("{why}all in all {it} goes further: {a}, not {b}."),
            "same": N_("{why}all in all both balls go nearly equally far: {a} and {b}."),
        }
    ),
}

#: link and relation -> the claim it must follow from, and why it does, said to a junior
LESSONS = {
    ("launch", "less"): ("delivered_loft", N_("The face points less to the sky, so ")),
    ("launch", "more"): ("delivered_loft", N_("The face points more to the sky, so ")),
    ("spin", "less"): ("delivered_loft", N_("The face cuts under it less, so ")),
    ("spin", "more"): ("delivered_loft", N_("The face cuts under it more, so ")),
    ("landing_angle", "less"): ("launch", N_("What starts low comes down flat: ")),
    ("landing_angle", "more"): ("launch", N_("What goes up high drops down: ")),
    ("forward_after", "more"): ("landing_angle", N_("A flat ball skips on like a stone on water: ")),
    ("forward_after", "less"): ("landing_angle", N_("A ball that drops from above bites: ")),
    ("run", "more"): ("forward_after", N_("More speed left means more roll: ")),
    ("run", "less"): ("forward_after", N_("Less speed left means less roll: ")),
}

ROLLED = Phrases(
    {
        "less": N_("{it} rolls all the way, while {second} flies {b} first"),
        "more": N_("{it} flies {a} first, while {second} rolls all the way"),
    }
)
"""What is said of the flight where only one of the two is putted, to both readers."""

SOONER = Phrases(
    {
        "less": N_("to stop at the same place {it} has to land sooner ({a} against {b})"),
        "more": N_("to stop at the same place {it} has to fly further ({a} against {b})"),
    }
)
"""What is said of the flight where both stop at one place, to both readers."""

NOT_DONE = Phrases(
    {
        "does_not_land": N_("a putt does not land anywhere, it rolls all the way"),
        "stopped": N_("what stands in the way stops this shot: it gets no further than {high}"),
        "no_speed_lands_there": N_("no swing of this shot lands there: it can land {low} to {high} away"),
        "no_speed_finishes_there": N_("no swing of this shot stops there: it can go {low} to {high}"),
        "swing_out_of_range": N_("this shot is not swung so: only at {low} to {high}"),
    }
)
ENDED = Phrases(
    {
        "in_water": N_("ends in the water"),
        "out_of_bounds": N_("ends out of bounds"),
        "rolled_away": N_("rolls away and does not stop"),
        "obstacle": N_("is stopped by what stands in the way"),
    }
)


def full_name(shot: Compared | NotDone) -> str:
    """ "Sand wedge, chip"."""
    return shot_name(shot.club.name, shot.technique)


def setup_text(shot: Compared, style: Style = STYLE) -> str:
    """How to stand and swing, in one run of short sentences."""
    lines = [cue_text(code, number, style) for code, number in shot.setup.cues if code != "swing"]
    return " ".join([*lines, _("Swing: {swing}.").format(swing=SWINGS[shot.swing])])


def figures_text(shot: Compared, style: Style = STYLE) -> tuple[str, ...]:
    """Air, run, launch, landing angle, spin, speed after the first bounce and time to stop; "-" for none."""
    flies = bool(shot.bounces)
    return (
        style.long(shot.carry, 1) if not shot.putt else "-",
        style.long(shot.run, 1) if shot.ending == "at_rest" else "-",
        style.degrees(shot.launch) if not shot.putt else "-",
        style.degrees(shot.landing_angle) if flies else "-",
        style.spin(shot.spin) if not shot.putt else "-",
        style.speed(shot.forward_after, 1) if flies else "-",
        f"{style.number(shot.stop_time, 1)} s" if shot.ending == "at_rest" else "-",
    )


def bar_text(shot: Compared, style: Style = STYLE) -> str:
    """Air and run as a sum: "5.1 + 4.9 yd"."""
    if shot.putt:
        return style.long(shot.run, 1)
    air = style.long(shot.carry, 1).split(" ")[0]
    return f"{air} {'+' if shot.run >= 0.0 else '-'} {style.long(abs(shot.run), 1)}"


def undisturbed(shot: Compared) -> bool:
    """Whether ``shot`` ran out by itself, so that nothing need be said of its end."""
    return comes_to_rest(shot)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def names(one: Compared, other: Compared) -> tuple[str, str]:
    """What the two are called in a sentence: by club, or by what tells them apart."""
    if one.club.name == other.club.name:
        return _the(TECHNIQUES[one.technique]), _the(TECHNIQUES[other.technique])
    if one.technique == other.technique:
        return _the(one.club.name), _the(other.club.name)
    return _the(_short(one)), _the(_short(other))


def _the(name: str) -> str:
    return _("the {name}").format(name=name)


def _short(shot: Compared) -> str:
    return shot.club.name if shot.putt else f"{shot.club.name} {TECHNIQUES[shot.technique]}"


def figure(link: str, value: float, style: Style = STYLE) -> str:
    """The figure of one link with its unit, as sentences and tables write it."""
    if link in ("delivered_loft", "launch", "landing_angle"):
        return style.degrees(value)
    if link in ("spin", "spin_after"):
        return style.spin(value) if value >= 0.0 else _("{spin} forwards").format(spin=style.spin(-value))
    if link == "apex":
        return style.short(value)
    if link == "forward_after" and value < -0.05:
        return _("{speed} backwards").format(speed=style.speed(-value, 1))
    if link in ("forward_after", "ball_speed", "head_speed"):
        return style.speed(value, 1)
    if link == "run":
        if value < -0.05:
            return _("comes back {run}").format(run=style.long(-value, 1))
        return _("runs {run}").format(run=style.long(value, 1))
    return style.long(value, 1)


def held_text(found: Comparison, style: Style = STYLE) -> str:
    """What is held equal, and at what."""
    if found.held == "swing":
        return _("All are swung at {speed}.").format(speed=style.speed(found.value, 1))
    length = style.long(found.value, 1)
    if found.held == "landing":
        return _("All land {length} away.").format(length=length)
    return _("All come to rest {length} away.").format(length=length)


def not_done_text(shot: NotDone, style: Style = STYLE) -> str:
    """Why a shot cannot be shown with the thing held equal."""
    tell = style.speed if shot.reason == "swing_out_of_range" else style.long
    return NOT_DONE[shot.reason].format(low=tell(shot.low, 1), high=tell(shot.high, 1))


def ended_text(shot: Compared) -> str:
    """How a shot ended that did not come to rest undisturbed."""
    return ENDED["obstacle" if shot.obstacle and shot.ending == "at_rest" else shot.ending]


def heading(found: Difference) -> str:
    """The question that the paragraph answers."""
    first, second = names(found.first, found.second)
    if not found.stopped and any(c.link == "run" and c.relation != "same" for c in found.claims):
        return _("Why {first} runs more than {second}").format(first=first, second=second)
    return _("What differs between {first} and {second}").format(first=first, second=second)


def paragraph(found: Difference, style: Style = STYLE, reader: Reader = "adult") -> str:
    """Why the first of the two does what it does, link by link."""
    first, second = names(found.first, found.second)
    told = _Telling(found, first, second, style)
    sentences = [_opening(found, style, reader)]
    sentences += told.junior(found.claims) if reader == "junior" else told.adult(found.claims)
    if found.surfaces:
        text = _("what they land on differs as well: {a} for {first}, {b} for {second}.")
        a, b = (SURFACES[shot.landing_surface] for shot in (found.first, found.second))
        sentences.append(text.format(first=first, second=second, a=a, b=b))
    for shot, name in ((found.first, first), (found.second, second)):
        if shot in found.stopped:
            text = _("{name} {ended}, so the runs cannot be compared.")
            sentences.append(text.format(name=name, ended=ended_text(shot)))
    return " ".join(_upper(sentence) for sentence in sentences)


def _opening(found: Difference, style: Style, reader: Reader) -> str:
    simple = reader == "junior"
    if found.held == "swing":
        text = _("Both clubs swing equally fast: {figure}.") if simple else _("Both are swung at {figure}.")
        return text.format(figure=style.speed(found.value, 1))
    if found.held == "landing":
        text = _("Both balls land on one spot, {figure} away.") if simple else _("Both land {figure} away.")
    else:
        text = _("Both balls stop at one place, {figure} away.") if simple else _("Both stop {figure} away.")
    return text.format(figure=style.long(found.value, 1))


class _Telling:
    """The claims on two shots, told one after the other; "it" is the first shot while that is clear."""

    def __init__(self, found: Difference, first: str, second: str, style: Style) -> None:
        self.rolls = found.first.putt != found.second.putt
        self.first, self.second, self.style = first, second, style
        self.clear = False

    def clause(self, book: dict[str, Phrases[str]], claim: Claim, why: str = "") -> str:
        a, b = (figure(claim.link, value, self.style) for value in (claim.first, claim.second))
        it = _("it") if self.clear else self.first
        self.clear = claim.relation != "same"
        text = book[claim.link][claim.relation]
        if claim.link == "carry" and self.rolls:
            text = ROLLED.get(claim.relation, text)
        elif claim.link == "carry" and "run" in claim.because:
            text = SOONER[claim.relation]
        return text.format(a=a, b=b, it=it, first=self.first, second=self.second, why=why)

    def adult(self, claims: tuple[Claim, ...]) -> list[str]:
        """A sentence for each part of the way."""
        sentences = []
        for _part, group in groupby(claims, lambda claim: LINKS[claim.link].part):
            text, before = "", ""
            for claim in group:
                link = self.joint(claim, before) if text else self.lead(claim)
                text += link + self.clause(ADULT, claim)
                # One "so" is enough for a sentence.
                before = "" if link == _("so ") else claim.link
            sentences.append(text + ".")
        return sentences

    def joint(self, claim: Claim, before: str) -> str:
        """What joins a claim to the one about the link ``before``."""
        if claim.against and not claim.because:
            return _(", and yet ")
        if before in claim.because and not claim.against:
            return _(", so ")
        return _(", and ")

    def lead(self, claim: Claim) -> str:
        """How a sentence begins that follows from those before, or goes against them."""
        if claim.link == "forward_after" and claim.because:
            flat, steep = _("coming down flatter"), _("coming down steeper")
            less, more = _("spinning less"), _("spinning more")
            pulls = {"landing_angle": (flat, steep), "spin": (less, more)}
            faster = claim.relation == "more"
            given = _(" and ").join(pulls[cause][not faster] for cause in claim.because)
            spite = "".join(_(", in spite of ") + pulls[cause][faster] for cause in claim.against)
            return f"{given}{spite}, "
        if "run" in claim.because:
            return ""
        if claim.because and not claim.against:
            return _("so ")
        return _("even so ") if claim.against and not claim.because else ""

    def junior(self, claims: tuple[Claim, ...]) -> list[str]:
        """A short sentence for each link that a junior can picture."""
        sentences = []
        for claim in claims:
            if claim.link not in JUNIOR:
                continue
            cause, lesson = LESSONS.get((claim.link, claim.relation), ("", ""))
            why = _(lesson) if cause in claim.because else ""
            if claim.against and not claim.because:
                why = _("even so ")
            sentences.append(self.clause(JUNIOR, claim, why).rstrip(".") + ".")
        return sentences
