"""Every sentence the advice needs, from its codes and numbers; gettext, so that it can be translated."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import hypot, tan

from shortgame_gui.advice.explain import speaks
from shortgame_gui.advice.result import Advice, Drawn, Escape, Reason, SetUp, Shot, Why
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style

STYLE = Style()

TECHNIQUES = Phrases(
    {
        "putt": N_("putt"),
        "chip": N_("chip"),
        "bump_and_run": N_("bump and run"),
        "pitch": N_("pitch"),
        "low_check": N_("low checking chip"),
        "high_soft": N_("high soft shot"),
        "lob": N_("lob"),
        "partial": N_("approach"),
        "upright": N_("upright chip"),
        "splash": N_("splash"),
        "thin_splash": N_("thin splash"),
        "dig": N_("dig out"),
        "explode": N_("grass explosion"),
    }
)
SWINGS = Phrases(
    {
        "stroke": N_("putting stroke"),
        "knee": N_("hands knee-high"),
        "hip": N_("hands hip-high"),
        "chest": N_("hands chest-high"),
        "arm_level": N_("lead arm level"),
        "three_quarter": N_("three-quarter swing"),
        "full": N_("full swing"),
    }
)
REFUSALS = Phrases(
    {
        "not_owned": N_("not one of the player's shots"),
        "needs_putter": N_("played with a putter"),
        "putter_only_putts": N_("a putter only putts"),
        "needs_wedge": N_("played with a wedge"),
        "not_with_hybrid": N_("not played with a hybrid"),
        "grass_stops_putt": N_("the grass would stop a putt"),
        "hollow_stops_putt": N_("the hollow would make a putt jump"),
        "no_cushion": N_("nothing under the ball for an open face to slide on"),
        "no_way_under": N_("the face cannot get under the ball"),
        "no_clean_contact": N_("needs a clean strike, and grass or sand is in between"),
        "only_from_sand": N_("played from sand only"),
        "only_from_deep_grass": N_("played from deep grass only"),
        "splash_instead": N_("from sand a splash does this"),
        "lip_stops_putt": N_("the lip would stop a putt"),
        "sand_stops_putt": N_("loose sand would stop a putt"),
        "no_clean_strike": N_("the club cannot meet the ball cleanly from this lie"),
        "lip_in_the_way": N_("the lip stops it"),
        "obstacle_in_the_way": N_("what stands in the way stops it"),
        "cannot_reach": N_("does not reach the hole"),
        "cannot_stop_short": N_("runs past however softly it is played"),
    }
)
CAUTIONS = Phrases(
    {
        "lightning": N_(
            "Lightning: stop, leave the course for a safe building or car, and follow the course's signal."
        ),
        "people_near": N_(
            "Somebody stands close: nobody within a club's swing or behind you before you move."
        ),
        "players_ahead": N_(
            "Players ahead within reach: wait until they are clear, and call out if a ball goes astray."
        ),
        "steep_bank": N_("Steep bank: test the footing first, and do not play from where you could slip."),
        "deep_bunker": N_("Deep bunker: go in and out at the low side; edges can give way."),
        "lip": N_("The lip catches this shot now and then: keep clear of a ball that comes back."),
        "green_holds_no_ball": N_(
            "This green is too steep for its speed to hold a ball: one that misses the hole rolls on until "
            "the slope ends. Stay below the hole."
        ),
        "rule_4_3": N_(
            "During a round the Rules of Golf (4.3) do not allow advice on club or line from a device. "
            "Use this to rehearse and teach; ask the committee."
        ),
    }
)
STANDINGS = Phrases(
    {
        "published": N_("published source"),
        "common practice": N_("common practice"),
        "estimate": N_("our estimate"),
    }
)
ENDINGS = Phrases(
    {
        "at_rest": N_("at rest"),
        "holed": N_("holed"),
        "in_water": N_("in the water"),
        "out_of_bounds": N_("out of bounds"),
        "rolled_away": N_("still rolling away when the clock ran out"),
    }
)
SURFACES = Phrases(
    {
        "green": N_("green"),
        "fringe": N_("fringe"),
        "fairway": N_("fairway"),
        "first_cut": N_("first cut"),
        "rough": N_("rough"),
        "deep_rough": N_("deep rough"),
        "bare": N_("bare ground"),
        "sand": N_("sand"),
        "water": N_("water"),
        "out": N_("out of bounds"),
    }
)


AT_EDGE = 0.15
"""From nearer to the green's edge, in m, a landing is told to be on it: nobody aims finer."""
FAR_ASIDE = 3.0
"""From how far beside the line to the hole, in m, a landing is told to be so."""


def shot_name(club: str, technique: str, *, begins: bool = True) -> str:
    """ "Sand wedge, chip"; with a small letter where no sentence ``begins`` with it."""
    name = (
        f"{club}, {TECHNIQUES[technique]}"
        if technique != "putt"
        else _("{club} from off the green").format(club=club)
    )
    return name[0].upper() + name[1:] if begins else name


def landing_text(shot: Shot, style: Style = STYLE) -> str:
    """Where to land it, as a spot to look at."""
    if shot.technique == "putt":
        return _("rolls all the way") if shot.reaches else _("rolls {run}").format(run=style.long(shot.run))
    past, left = shot.landing_past_edge, shot.landing[1]
    if past is None:
        text = _("land it {carry} away").format(carry=style.long(shot.carry))
    elif abs(past) < AT_EDGE:
        text = _("land it on the edge of the green")
    else:
        words = _("land it {d} on the green") if past >= 0.0 else _("land it {d} short of the green")
        text = words.format(d=style.long(abs(past), 0 if abs(past) > 4.0 else 1))
    if abs(left) < FAR_ASIDE:
        return text
    aside = _("{spot} and {d} left of the line") if left > 0.0 else _("{spot} and {d} right of the line")
    return aside.format(spot=text, d=style.long(abs(left)))


def lands_text(shot: Shot, distance: Callable[[float], str]) -> str:
    """Where it lands against the green's edge, in few letters; ``distance`` tells one in m."""
    if shot.technique == "putt":
        return _("rolls")
    past = shot.landing_past_edge
    if past is None:
        return distance(shot.carry)
    if abs(past) < AT_EDGE:
        return _("edge")
    words = _("{d} on") if past >= 0.0 else _("{d} short")
    return words.format(d=distance(abs(past)))


def behind_best_text(shot: Shot, counts: str, style: Style = STYLE) -> str:
    """How far behind the best in what ``counts`` today: strokes, or the chance of missing the aim."""
    if shot.rank == 1:
        return _("best")
    behind = shot.behind_best
    if counts == "average":
        return f"+{style.strokes(behind)}"
    # Of shots that are level the one with fewer strokes leads, even where its chance is a little worse.
    return f"{'+' if behind >= -WORTH_SAYING else '-'}{style.percent(abs(behind))}"


def run_text(shot: Shot, style: Style = STYLE) -> str:
    """How far it runs after landing; what it leaves, where it is not meant to reach the hole."""
    if not shot.reaches:
        return _("leaves {rest}").format(rest=style.long(hypot(*shot.finish_aim)))
    if shot.run < -0.05:
        return _("spins back {run}").format(run=style.long(-shot.run, 1))
    return _("runs {run}").format(run=style.long(shot.run, 0 if shot.run > 4.0 else 1))


def tried_text(drawn: Drawn | None, hole: float, front: float, style: Style = STYLE) -> tuple[str, ...]:
    """A landing tried by hand, in lines: the swing that it needs, and where the ball finishes.

    ``hole`` and ``front`` are the distances to the hole and to the green's near edge in m.
    """
    if drawn is None:
        return (_("no swing of this shot lands there"),)
    past = drawn.landing[0] - front
    if front > 0.0 and past >= 0.0:
        where = _("{past} on the green").format(past=style.long(past, 1))
    elif front > 0.0:
        where = _("{short} short of the green").format(short=style.long(-past, 1))
    else:
        where = _("{carry} away").format(carry=style.long(drawn.carry, 1))
    swing = _("{share} of a full swing, {swing}").format(
        share=style.percent(drawn.share), swing=SWINGS[drawn.swing]
    )
    carry = _("carries {carry}").format(carry=style.long(drawn.carry, 1))
    return (_("your spot, {where}").format(where=where), swing, f"{carry}, {finish_text(drawn, hole, style)}")


def finish_text(drawn: Drawn, hole: float, style: Style = STYLE) -> str:
    """Where a ball ends, seen from the hole at ``hole`` m."""
    if drawn.ending == "holed":
        return _("goes in")
    if drawn.ending != "at_rest":
        return ENDINGS[drawn.ending]
    past = drawn.rest[0] - hole
    way = _("{gap} past the hole") if past >= 0.0 else _("{gap} short of the hole")
    parts = [way.format(gap=style.gap(abs(past)))]
    if abs(drawn.rest[1]) >= 0.3:
        side = _("{gap} left") if drawn.rest[1] > 0.0 else _("{gap} right")
        parts.append(side.format(gap=style.gap(abs(drawn.rest[1]))))
    if drawn.surface != "green":
        parts.append(SURFACES[drawn.surface])
    return _("finishes {where}").format(where=", ".join(parts))


def strokes_text(shot: Shot, style: Style = STYLE) -> str:
    """Strokes with their margin: one standard error to either side."""
    return f"{style.strokes(shot.expected_strokes)} ± {style.strokes(shot.standard_error)}"


def margin_text(advice: Advice, style: Style = STYLE) -> str:
    """How far the leader is ahead, and how sure that is."""
    why = advice.why
    if why is None:
        return ""
    other = shot_name(*why.second, begins=False)
    tied = [shot for shot in advice.shots[1:] if shot.tie]
    if tied:
        # The nearest by its mean may be clear where one a little further back is not.
        near = shot_name(tied[0].club.name, tied[0].technique, begins=False)
        return _("too close to call with {other}").format(other=near)
    if why.counts == "average":
        return _("{margin} strokes better than {other}").format(margin=style.strokes(why.margin), other=other)
    words = {
        "down_in_two": _("{margin} more often down in two than {other}"),
        "no_disaster": _("{margin} less often four and more than {other}"),
    }[why.counts]
    return words.format(margin=style.percent(why.margin, 1), other=other)


def place_text(advice: Advice, style: Style = STYLE) -> str:
    """Where the leader stands: how far ahead, or that there is no other shot."""
    alone = _("the only shot towards the hole") if advice.escapes else _("the only shot here")
    return margin_text(advice, style) or alone


def headline(advice: Advice, style: Style = STYLE) -> str:
    """The answer in one line."""
    if not advice.shots or better_way(advice) is not None:
        first, second = _out_text(advice, style)
        return (
            _("{way}. {what}").format(way=first, what=second) if advice.shots else f"{first} {second}".strip()
        )
    shot = advice.shots[0]
    name = shot_name(shot.club.name, shot.technique)
    return _("{shot}: {landing}, {run}. {strokes} strokes, {margin}.").format(
        shot=_("{start}, {past}").format(start=name, past=PAST[shot.past]) if shot.past else name,
        landing=landing_text(shot, style),
        run=run_text(shot, style),
        strokes=strokes_text(shot, style),
        margin=place_text(advice, style),
    )


def answer_text(advice: Advice, shot: Shot | None, style: Style = STYLE) -> tuple[str, str]:
    """``shot`` in two lines: what to play, and what it does with its strokes and where it stands."""
    if shot is None or (shot is advice.shots[0] and better_way(advice) is not None):
        return _out_text(advice, style)
    first = shot_name(shot.club.name, shot.technique)
    if shot.technique != "putt":
        first = f"{first}, {SWINGS[shot.swing]}"
    if shot.past:
        first = _("{start}, {past}").format(start=first, past=SIDES[shot.past])
    if shot.technique == "putt" and shot.reaches:
        way = _("Rolls all the way, {run}").format(run=style.long(shot.run))
    else:
        landing = landing_text(shot, style)
        way = f"{landing[0].upper()}{landing[1:]}, {run_text(shot, style)}"
    if shot is advice.shots[0]:
        place = place_text(advice, style)
    else:
        place = _("number {rank} in the order").format(rank=shot.rank)
    return first, _("{way}. {strokes} strokes, {place}.").format(
        way=way, strokes=strokes_text(shot, style), place=place
    )


#: link -> the words where the first shot has more of it and where it has less, and how its figures are read
LINK_WORDS: dict[str, tuple[str, str, Callable[[Style, float], str]]] = {
    "launch": (
        N_("It leaves higher: {a} against {b}."),
        N_("It leaves lower: {a} against {b}."),
        Style.degrees,
    ),
    "spin": (
        N_("It spins more: {a} against {b}."),
        N_("It spins less: {a} against {b}."),
        Style.spin,
    ),
    "apex": (
        N_("It flies higher: {a} against {b} at its peak."),
        N_("It stays lower: {a} against {b} at its peak."),
        Style.short,
    ),
    "landing_angle": (
        N_("It comes down steeper: {a} against {b}."),
        N_("It comes down flatter: {a} against {b}."),
        Style.degrees,
    ),
    "landing_speed": (
        N_("It lands faster: {a} against {b}."),
        N_("It lands softer: {a} against {b}."),
        Style.speed,
    ),
    "carry": (
        N_("It carries further: {a} against {b}."),
        N_("It carries less: {a} against {b}."),
        partial(Style.long, digits=1),
    ),
    "run": (
        N_("It runs more: {a} against {b}."),
        N_("It runs less: {a} against {b}."),
        partial(Style.long, digits=1),
    ),
    "spread": (
        N_("Its finishes spread more: half within {a} of length against {b}."),
        N_("Its finishes are closer together: half within {a} of length against {b}."),
        Style.short,
    ),
    "mishit": (
        N_("It is struck fat or thin more often: {a} against {b}."),
        N_("It is struck fat or thin less often: {a} against {b}."),
        Style.percent,
    ),
    "off_green": (
        N_("It misses the green more often: {a} against {b}."),
        N_("It misses the green less often: {a} against {b}."),
        Style.percent,
    ),
    "inside_2m": (
        N_("It finishes within {near} of the hole more often: {a} against {b}."),
        N_("It finishes within {near} of the hole less often: {a} against {b}."),
        Style.percent,
    ),
}


def reason_text(reason: Reason, style: Style = STYLE) -> str:
    """One difference between the two leading shots, with both figures."""
    more, less, figure = LINK_WORDS[reason.link]
    words = _(more) if reason.first > reason.second else _(less)
    return words.format(a=figure(style, reason.first), b=figure(style, reason.second), near=style.short(2.0))


def reasons_text(reasons: tuple[Reason, ...], style: Style = STYLE, *, behind: bool = False) -> list[str]:
    """The differences whose figures read differently: "5 % against 5 %" is none.

    What speaks for the first shot comes first, what speaks against it last, with a "but"; the other way
    round where it is to be said why it is ``behind``.
    """
    side = -1 if behind else 1

    def apart(reason: Reason) -> bool:
        figure = LINK_WORDS[reason.link][2]
        return figure(style, reason.first) != figure(style, reason.second)

    lines = []
    for reason in sorted(filter(apart, reasons), key=lambda reason: -side * speaks(reason)):
        text = reason_text(reason, style)
        if side * speaks(reason) < 0:
            text = _("But {difference}").format(difference=text[0].lower() + text[1:])
        lines.append(text)
    return lines


def behind_text(leader: Shot, shot: Shot, reasons: tuple[Reason, ...], style: Style = STYLE) -> list[str]:
    """Why ``shot`` is not the one: what it costs against the ``leader``, and how the two differ."""
    more = shot.expected_strokes - leader.expected_strokes
    if shot.tie:
        words = _("{shot} is too close to call with the best, {best}.")
    elif abs(more) < 0.005:
        words = _("{shot} needs as many strokes as the best, {best}.")
    elif more > 0.0:
        words = _("{shot} needs {n} strokes more than the best, {best}.")
    else:
        words = _("{shot} needs {n} strokes fewer than the best, {best}.")
    name = shot_name(shot.club.name, shot.technique)
    best = shot_name(leader.club.name, leader.technique, begins=False)
    head = words.format(shot=name, best=best, n=style.strokes(abs(more)))
    return [head, *reasons_text(reasons, style, behind=True)]


MARGINS = Phrases(
    {
        "down_in_two": N_("{margin} ± {error} in being down in two"),
        "no_disaster": N_("{margin} ± {error} in avoiding four and more"),
    }
)
"""How far one shot is ahead of another, by what counts today where that is not strokes."""


def why_text(why: Why | None, style: Style = STYLE) -> list[str]:
    """Sentences: which two shots are compared, and their largest differences."""
    if why is None:
        return []
    first, second = shot_name(*why.first), shot_name(*why.second, begins=False)
    if why.tie:
        lead = _("{first} and {second} are too close to call ({by}).")
    else:
        lead = _("{first} beats {second} by {by}.")
    if why.counts == "average":
        by, figure = _("{margin} ± {error} strokes"), style.strokes
    else:
        by, figure = MARGINS[why.counts], partial(style.percent, digits=1)
    by = by.format(margin=figure(why.margin), error=figure(why.margin_error))
    lines = [lead.format(first=first, second=second, by=by), *reasons_text(why.reasons, style)]
    if why.plainest is not None:
        lines.append(
            _("The plainest of those too close to call: {shot}.").format(
                shot=shot_name(*why.plainest, begins=False)
            )
        )
    return lines


DOUBTS = Phrases(
    {
        "green_speed": N_("the green's speed"),
        "firmness": N_("the green's firmness"),
        "slope_along": N_("the slope along the line"),
        "slope_across": N_("the slope across the line"),
        "wind": N_("the wind"),
        "lie": N_("how the ball sits"),
    }
)


def doubt_text(advice: Advice, style: Style = STYLE) -> list[str]:
    """Sentences: what not being sure costs, what moves the shot most, and whether knowing would change it."""
    doubt = advice.doubt
    if doubt is None:
        return []
    strokes = advice.situation.player.counts == "average"
    cost, error = doubt.cost, doubt.error
    if not doubt.clear:
        lines = [_("Not being sure of the conditions costs too little to tell.")]
    elif strokes:
        text = _("Not being sure of the conditions costs {cost} ± {error} strokes.")
        lines = [text.format(cost=style.strokes(cost), error=style.strokes(error))]
    else:
        text = _("Not being sure of the conditions costs {cost} ± {error} of what counts today.")
        lines = [text.format(cost=style.percent(cost), error=style.percent(error))]
    if doubt.most is not None:
        lines.append(_("What moves this shot most: {doubt}.").format(doubt=DOUBTS[doubt.most]))
    if doubt.instead is not None and doubt.changes >= LEAST_CHANGES:
        text = _("Were they known, another shot would be better in {share} of cases, most often {shot}.")
        lines.append(
            text.format(share=style.percent(doubt.changes), shot=shot_name(*doubt.instead, begins=False))
        )
    else:
        lines.append(_("Were they known, the shot to choose would hardly change."))
    return lines


LEAST_CHANGES = 0.1
"""Share of conditions with another best shot that is worth saying."""


BALL = 0.0427
"""Width of a ball in m, by which players tell where it lies in the stance."""
BALLS = (
    "",
    N_("half a ball width"),
    N_("one ball width"),
    N_("one and a half ball widths"),
    N_("two ball widths"),
    N_("more than two ball widths"),
)
"""Half widths of a ball in words."""


ESCAPES = Phrases(
    {
        "sideways_left": N_("Play out sideways to the left ({shot})"),
        "sideways_right": N_("Play out sideways to the right ({shot})"),
        "backwards": N_("Play out backwards ({shot})"),
        "embedded": N_("Embedded, free drop within one club-length"),
        "unplayable_back": N_("Unplayable, drop back on the line"),
        "unplayable_side": N_("Unplayable, drop within two club-lengths"),
        "unplayable_out": N_("Unplayable, drop outside the bunker, back on the line"),
        "stroke_and_distance": N_("Unplayable, stroke and distance"),
    }
)


def escape_name(escape: Escape) -> str:
    """What another way out is called, with the shot that plays it."""
    shot = shot_name(*escape.shot, begins=False) if escape.shot is not None else ""
    return ESCAPES[escape.kind].format(shot=shot)


def better_way(advice: Advice) -> Escape | None:
    """The way out with the fewest strokes, where it clearly needs fewer than any shot towards the hole."""
    first = advice.escapes[0] if advice.escapes else None
    return first if first is not None and first.clear else None


def _out_text(advice: Advice, style: Style) -> tuple[str, str]:
    """The answer where no shot is possible or a way out is the better thing, in two lines."""
    better = better_way(advice)
    if better is not None:
        leader = advice.shots[0]
        second = _("{strokes} strokes, where the best shot towards the hole needs {more}: {shot}.").format(
            strokes=_escape_strokes(better, style), more=strokes_text(leader, style),
            shot=shot_name(leader.club.name, leader.technique, begins=False),
        )  # fmt: skip
        # Two lines have no room for all of it; the rest stands with the other ways out.
        how = _played_text(better, style) if better.rule == "" else [_("Ask the committee first.")]
        return escape_name(better), " ".join([*(how if better.penalty == 0 else ()), second])
    first = _("No shot in this bag can be played here.")
    if not advice.escapes:
        return first, ""
    return first, _("Ways out: {ways}.").format(ways=ways_text(advice, style))


def _played_text(escape: Escape, style: Style) -> list[str]:
    """How a ball is played out: swing, landing and rest; when it may be dropped without penalty."""
    if escape.kind == "embedded":
        return [_("In its own pitch mark only, and a local rule may say otherwise: ask the committee.")]
    if escape.landing is None or escape.place is None or not escape.swing:
        return []
    swing = SWINGS[escape.swing]
    text = _("{swing}, land it {carry} away, it stops {total} away.").format(
        swing=swing[:1].upper() + swing[1:], carry=style.long(hypot(*escape.landing), 1),
        total=style.long(hypot(*escape.place), 1),
    )  # fmt: skip
    return [text]


def _escape_strokes(escape: Escape, style: Style) -> str:
    """Strokes with their margin, without one where all balls lay alike or the spot alone tells them."""
    assert escape.strokes is not None
    margin = f" ± {style.strokes(escape.error)}" if escape.error >= WORTH_SAYING else ""
    return f"{style.strokes(escape.strokes)}{margin}"


MOST_WAYS = 3
"""Ways out that are told in one line."""


def ways_drawn(advice: Advice) -> dict[str, Escape]:
    """The best ways out that lead to a known place, by the letters that mark them in the plan."""
    led = [escape for escape in advice.escapes[:MOST_WAYS] if escape.place is not None]
    return dict(zip("abc", led, strict=False))


def _letter(advice: Advice, escape: Escape) -> str:
    """What stands before a way out that has a letter in the plan; empty before others."""
    return next((f"{letter}: " for letter, way in ways_drawn(advice).items() if way is escape), "")


def ways_text(advice: Advice, style: Style = STYLE, *, marked: bool = False, most: int = MOST_WAYS) -> str:
    """The best ways out with their strokes, in one line; empty where none was worked out.

    ``marked`` puts before each the letter that it has in the plan.
    """
    told = []
    for escape in advice.escapes[:most]:
        name = escape_name(escape)
        name = (_letter(advice, escape) if marked else "") + name[0].lower() + name[1:]
        if escape.strokes is not None:
            name = _("{way}, {strokes} strokes").format(way=name, strokes=_escape_strokes(escape, style))
        told.append(name)
    return "; ".join(told)


WORTH_SAYING = 0.005
"""Error of strokes below which two decimals would say that there is none."""


def escape_text(escape: Escape, advice: Advice, style: Style = STYLE) -> str:
    """Another way out in one line: the rule and its penalty, the strokes, and how they compare."""
    text = escape_name(escape)
    if escape.rule:
        penalty = (_("no penalty"), _("one penalty stroke"), _("two penalty strokes"))[escape.penalty]
        text += _(" (Rules of Golf {rule}, {penalty})").format(rule=escape.rule, penalty=penalty)
    if escape.strokes is None:
        return text + _(": costs that and the way back; where the last stroke was played is not known here.")
    cost = _("{strokes} strokes").format(strokes=style.strokes(escape.strokes))
    if escape.place is not None:
        gap = hypot(advice.situation.hole.distance - escape.place[0], escape.place[1])
        cost += _(", the next from {gap}").format(gap=style.long(gap))
    if advice.shots:
        more = escape.strokes - advice.shots[0].expected_strokes
        than = (
            _("{gap} more than towards the hole") if more >= 0.0 else _("{gap} fewer than towards the hole")
        )
        cost += "; " + than.format(gap=style.strokes(abs(more)))
    return " ".join([f"{text}: {cost}.", *_played_text(escape, style)])


def escapes_text(advice: Advice, style: Style = STYLE, *, marked: bool = False) -> list[str]:
    """All other ways out, one line each; ``marked`` as in `ways_text`."""
    lines = [
        (_letter(advice, escape) if marked else "") + escape_text(escape, advice, style)
        for escape in advice.escapes
    ]
    if better_way(advice) is not None:
        lines.insert(0, _("The first of these is better than any shot towards the hole."))
    return lines


def setup_title(advice: Advice) -> str:
    """What the set-up of a shot is called; where a way out is the answer, that there are two."""
    return _("Set-up") if better_way(advice) is None else _("Set-up towards the hole")


def why_title(advice: Advice) -> str:
    """What the reasons for the leader are called."""
    return _("Why this one") if better_way(advice) is None else _("The best towards the hole")


def better_setup_text(advice: Advice, style: Style = STYLE) -> list[str]:
    """Set-up cues of the way out that is the answer; nothing where none is, or where the ball is dropped."""
    better = better_way(advice)
    return _cues(better.setup, better.swing, style) if better is not None and better.swing else []


def cue_text(code: str, number: float, style: Style = STYLE) -> str:
    """One set-up cue."""
    if code.startswith("feel_"):
        return FEELS[code[5:]]
    if code == "swing":
        return ""
    if code == "ball_position":
        half_balls = min(round(abs(number) / (0.5 * BALL)), len(BALLS) - 1)
        if half_balls == 0:
            return _("Ball in the middle of the stance.")
        words = (
            _("Ball {much} forward of the middle.") if number > 0.0 else _("Ball {much} back of the middle.")
        )
        return words.format(much=_(BALLS[half_balls]))
    text = CUES[code]
    return text.format(
        percent=style.percent(number), degrees=style.degrees(abs(number)), length=style.fine(abs(number))
    )


CUES = Phrases(
    {
        "downhill_weight_lead": N_(
            "Weight on the lower, lead foot: {percent}; draw the trail foot back a little."
        ),
        "downhill_ball_back": N_("Ball towards the higher foot, back in the stance."),
        "uphill_weight_trail": N_(
            "Let some weight settle on the lower, trail foot; {percent} stays on the lead foot."
        ),
        "uphill_ball_forward": N_("Ball towards the higher foot, forward in the stance."),
        "shoulders_with_slope": N_("Shoulders along the slope ({degrees}), and swing along it."),
        "weight_lead": N_("{percent} of the weight on the lead foot, and keep it there."),
        "ball_above_grip_down": N_(
            "Ball above the feet: grip down, stand taller, expect it to start to the low side."
        ),
        "ball_below_stay_down": N_(
            "Ball below the feet: full grip, closer, hold knees and hips through the strike."
        ),
        "face_open": N_("Turn the face open {degrees} about the shaft before you grip it."),
        "aim_left": N_("Aim {degrees} left of the hole."),
        "aim_right": N_("Aim {degrees} right of the hole."),
        "handle_high": N_("Handle a little high ({length})."),
        "handle_low": N_("Handle a little low ({length})."),
        "grip_down": N_("Grip down {length}."),
        "hands_ahead": N_("Hands ahead: the shaft leans {degrees} at the strike."),
    }
)
FEELS = Phrases(
    {
        "putt": N_("Feel: a putt, firm enough for the ground before the green."),
        "chip": N_("Feel: a putting stroke that brushes the ground."),
        "bump_and_run": N_("Feel: low hands, low finish, let it run."),
        "pitch": N_("Feel: an even swing back and through, soft grip."),
        "low_check": N_("Feel: crisp, ball first, short finish."),
        "high_soft": N_("Feel: quiet body, loft kept by the hands."),
        "lob": N_("Feel: long, lazy swing that slides under the ball."),
        "upright": N_("Feel: heel off the ground, shoulders only, a dead soft strike."),
        "splash": N_("Feel: throw a cushion of sand on to the green."),
        "thin_splash": N_("Feel: skim the sand, quick hands, full finish."),
        "dig": N_("Feel: steep and firm into the sand, hardly a finish."),
        "explode": N_("Feel: down behind the ball as if from sand, and through."),
        "partial": N_("Feel: the length of swing sets the distance, the rhythm stays."),
        "clean": N_("Feel: the ball first, hardly any sand."),
    }
)


def setup_text(shot: Shot | None, style: Style = STYLE) -> list[str]:
    """Set-up cues of ``shot``, at most six, the swing length last; nothing without a shot."""
    if shot is None:
        return []
    return _cues(shot.setup, shot.swing, style)


def _cues(setup: SetUp, swing: str, style: Style) -> list[str]:
    lines = [cue_text(code, number, style) for code, number in setup.cues if code != "swing"]
    return [*lines, _("Swing: {swing}.").format(swing=SWINGS[swing])]


def caution_text(code: str) -> str:
    """The caution ``code`` as a sentence."""
    return CAUTIONS[code]


def refusal_text(reason: str) -> str:
    """Why a shot is not offered."""
    return REFUSALS[reason]


def not_advised(reason: str) -> str:
    """What is said of a shot that is shown although the rules refuse it."""
    return _("Would not be advised here: {reason}.").format(reason=refusal_text(reason))


def refused_text(advice: Advice) -> list[str]:
    """What is not offered here and why, one line a technique and reason; clubs are named where others can."""
    clubs: dict[tuple[str, str], list[str]] = {}
    for refused in advice.refused:
        clubs.setdefault((refused.technique, refused.reason), []).append(refused.club)
    offered = {shot.technique for shot in advice.shots}
    mixed = {t for t, _reason in clubs if t in offered or sum(1 for u, _other in clubs if u == t) > 1}
    lines = []
    for (technique, reason), names in clubs.items():
        name = TECHNIQUES[technique][0].upper() + TECHNIQUES[technique][1:]
        if technique in mixed:
            name = f"{name} ({', '.join(names)})"
        lines.append(_("{shot}: {reason}.").format(shot=name, reason=refusal_text(reason)))
    return lines


def start_text(shot: Shot, hole: float, style: Style = STYLE) -> str:
    """On which line the ball starts, seen at the hole, ``hole`` m away; empty where it starts at it."""
    x, y, _z = shot.track.position
    ahead = [(float(a), float(b)) for a, b in zip(x[1:], y[1:], strict=True) if a > 1e-3]
    if not ahead:
        return ""
    aside = hole * ahead[0][1] / ahead[0][0]
    if abs(aside) < 0.1:
        return ""
    text = _("starts {gap} left of the hole") if aside > 0.0 else _("starts {gap} right of the hole")
    return text.format(gap=style.gap(abs(aside)))


PAST = Phrases(
    {
        "left": N_("round the left of what is in the way"),
        "right": N_("round the right of what is in the way"),
    }
)
SIDES = Phrases({"left": N_("round the left"), "right": N_("round the right")})
"""The same in the largest letters."""
ROUND = Phrases({"left": N_("round its left"), "right": N_("round its right")})


def passed_text(sides: dict[str, str], shown: int) -> str:
    """Which of the ``shown`` shots go past which end of something: side by number; empty where none does."""
    told = {side: [mark for mark, one in sides.items() if one == side] for side in PAST}
    return ", ".join(
        ROUND[side] if len(ranks) == shown else f"{' '.join(ranks)}: {ROUND[side]}"
        for side, ranks in told.items()
        if ranks
    )


WORTH_AIMING = 0.15
"""Distance from the hole in m below which an aim is one at the hole."""


def aim_text(shot: Shot, style: Style = STYLE) -> str:
    """Where to start the ball and where it is meant to finish."""
    along, left = shot.finish_aim
    parts = []
    if abs(along) >= WORTH_AIMING or abs(left) < WORTH_AIMING:
        where = _("{d} past it") if along >= 0.0 else _("{d} short of it")
        far = style.gap(abs(along)) if shot.reaches else style.long(-along)
        parts.append(where.format(d=far) if abs(along) >= WORTH_AIMING else _("at it"))
    if abs(left) >= WORTH_AIMING:
        side = _("{d} left of it") if left > 0.0 else _("{d} right of it")
        parts.append(side.format(d=style.gap(abs(left))))
    start = shot.hole * tan(shot.start)
    if abs(start) < WORTH_AIMING:
        first = _("Start it at the hole")
    else:
        first = _("Start it {d} left of the hole") if start > 0.0 else _("Start it {d} right of the hole")
    start_said = first.format(d=style.gap(abs(start)))
    if shot.past:
        start_said = _("{start}, {past}").format(start=start_said, past=PAST[shot.past])
    return _("{start}, meant to finish {finish}.").format(start=start_said, finish=_(" and ").join(parts))
