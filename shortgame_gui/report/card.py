"""The shot card: one page with situation, pictures, the leading shots and how to play the one in front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from shortgame_gui.advice import explain
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.report.drawing import Pictures, line_sample
from shortgame_gui.report.page import (
    INK,
    SIZE,
    SOFT_INK,
    Beside,
    Block,
    Cell,
    Heading,
    Paper,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
    usual_paper,
    write_line,
)
from shortgame_gui.words import text, watch
from shortgame_gui.words.language import N_, _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.situation import situation_text

DRAWN = 3
"""Shots in the pictures where nobody chose others."""
PLAN = 104.0
"""Usual height of the plan in points."""
MOST_PLAN = 170.0
"""Most height of a plan that shows ways out aside, in points."""
SIDE = 168.0
"""Most height of the side view in points."""
MOST_REFUSED = 12
"""Reasons why nothing can be played that are told where there is no shot."""
NOTE = 400
"""Letters of a note up to which it is printed."""
RULES = N_(
    "For rehearsing and teaching. During a round the Rules of Golf (4.3) do not allow advice on club or line "
    "from a device: ask the committee. Local rules, course staff and qualified teachers come first."
)


@dataclass(frozen=True)
class Room:
    """How much of everything is shown; what does not fit on the page is tried with less."""

    rows: int
    pictures: float
    size: float


ROOMS = (
    Room(8, 1.0, SIZE), Room(7, 1.0, SIZE), Room(6, 1.0, SIZE), Room(5, 1.0, SIZE), Room(5, 0.85, SIZE),
    Room(5, 0.85, 8.0), Room(4, 0.7, 8.0), Room(3, 0.6, 7.0), Room(3, 0.45, 6.0), Room(2, 0.4, 5.5),
)  # fmt: skip


@dataclass(frozen=True)
class Card:
    """What goes on the card: the advice, and the shots that are drawn, the one to play first."""

    advice: Advice
    style: Style
    shown: tuple[Shot, ...] = ()
    paper: Paper = field(default_factory=usual_paper)

    @property
    def shots(self) -> tuple[Shot, ...]:
        """The shots in the pictures."""
        return self.shown or self.advice.shots[:DRAWN]

    def sheet(self) -> Sheet:
        """The card as one page; the last resort is told smaller, never on a second page."""
        for room in ROOMS:
            sheet = Sheet(self.advice.situation.name, tuple(self._blocks(room)), _(RULES), self.paper)
            if len(sheet.pages()) == 1:
                return sheet
        raise ValueError("the card does not fit on a page")

    def _blocks(self, room: Room) -> Iterator[Block]:
        situation, style, shots = self.advice.situation, self.style, self.shots
        front = shots[0] if shots else None
        play, way = text.answer_text(self.advice, front, style)
        yield Heading(situation.name, level=1)
        yield Words(" ".join(situation_text(situation, style)), room.size, colour=SOFT_INK)
        if situation.note and len(situation.note) <= NOTE:
            yield Words(situation.note, room.size - 1.0, colour=SOFT_INK, above=2.0)
        yield Words(play, 13.0, bold=True, above=8.0)
        if way:
            yield Words(way, 10.0, above=1.0)
        out = text.ways_drawn(self.advice)
        width, most = self.paper.inner.width(), MOST_PLAN * room.pictures
        pictures = Pictures(situation, shots, style, out, (width, most))
        side = pictures.side_height(width, SIDE * room.pictures)
        times = pictures.times(width, side)
        larger = _("Heights are drawn {n} times as large as distances.").format(n=style.number(times, 1))
        yield Picture(side, pictures.side, larger if abs(times - 1.0) > 0.05 else "")
        seen = _("From above, to scale. Dots: where balls of the first shot stop. Cross: where it lands.")
        if front is None:
            seen = _("From above, to scale.")
        elif front.technique == "putt":
            seen = _("From above, to scale. Dots: where balls of the first shot stop.")
        if out:
            seen += " " + _("{letters}: other ways out, told below.").format(letters=", ".join(out))
        plan = pictures.plan_height(width, PLAN * room.pictures, most)
        yield Picture(plan, pictures.plan, seen)
        if shots:
            yield from self._table(room)
        yield Beside((tuple(self._why(room)), tuple(self._how(room))))

    def _table(self, room: Room) -> Iterator[Block]:
        style, drawn = self.style, self.shots
        rest = [s for s in self.advice.shots if not any(s is other for other in drawn)]
        listed = sorted([*drawn, *rest[: max(room.rows - len(drawn), 0)]], key=lambda s: s.rank)
        near = style.rings[1]
        headings = (
            "", "", _("Shot"), _("Lands"), _("Runs"), _("Inside {ring}").format(ring=style.short(near, 0)),
            _("In two"), _("Three or more"), _("Strokes"), _("Behind"),
        )  # fmt: skip
        rows: list[tuple[Cell, ...]] = []
        for shot in listed:
            place = next((k for k, other in enumerate(drawn) if other is shot), None)
            lip = watch.lip_text(shot, style)
            name = text.shot_name(shot.club.name, shot.technique)
            rows.append(
                (
                    bracket(shot, listed, room.size - 0.5),
                    line_sample(place) if place is not None else "",
                    f"{name} \u2013 {lip}" if lip else name,
                    text.lands_text(shot, lambda metres: style.long(metres, 1)),
                    style.long(shot.run, 1),
                    style.percent(shot.within(near)),
                    style.percent(shot.down_in_two),
                    style.percent(shot.three_or_more),
                    f"{style.strokes(shot.expected_strokes)} ± {style.strokes(shot.standard_error)}",
                    text.behind_best_text(shot, self.advice.situation.player.counts, style),
                )
            )
        bold = frozenset(k for k, shot in enumerate(listed) if shot is drawn[0])
        yield Table(
            headings, tuple(rows), stretch=2, left=frozenset({2}), drawn_width=22.0, bold_rows=bold,
            size=room.size - 0.5,
        )  # fmt: skip
        notes = []
        if any(s.tie for s in listed):
            notes.append(_("Shots in a bracket are too close to call with the best."))
        if more := len(self.advice.shots) - len(listed):
            notes.append(_("{n} more shots are not listed.").format(n=more))
        if notes:
            yield Words(" ".join(notes), SIZE - 1.5, colour=SOFT_INK, above=2.0)

    def _why(self, room: Room) -> Iterator[Block]:
        advice, style = self.advice, self.style
        front = self.shots[0] if self.shots else None
        if front is None or front is advice.shots[0]:
            lines = text.why_text(advice.why, style)
            title = text.why_title(advice)
        else:
            leader = advice.shots[0]
            lines = text.behind_text(leader, front, explain.reasons(front, leader), style)
            title = _("Against the best")
        if lines:
            yield Heading(title)
            yield Points(tuple(lines), room.size)
        if front is None:
            yield Heading(_("Not here"))
            yield Points(tuple(text.refused_text(advice)[:MOST_REFUSED]), room.size)
        doubt = text.doubt_text(advice, style)
        if doubt:
            yield Heading(_("Not sure"))
            yield Points(tuple(doubt), room.size)
        ways = text.escapes_text(advice, style, marked=True)
        if ways:
            yield Heading(_("Other ways out"))
            yield Points(tuple(ways), room.size)
        off = watch.off_text(front, style) if front else []
        if off:
            yield Heading(_("A little off"))
            yield Points(tuple(off), room.size)

    def _how(self, room: Room) -> Iterator[Block]:
        front = self.shots[0] if self.shots else None
        out = text.better_setup_text(self.advice, self.style)
        if out:
            yield Heading(_("Set-up for the best way out"))
            yield Points(tuple(out), room.size, numbered=True)
        if front is not None:
            yield Heading(_("Aim"))
            yield Words(text.aim_text(front, self.style), room.size)
        setup = text.setup_text(front, self.style)
        if setup:
            yield Heading(text.setup_title(self.advice))
            yield Points(tuple(setup), room.size, numbered=True)
        lines = watch.watch_text(self.advice, front, self.style)
        if lines:
            yield Heading(_("Watch out"))
            yield Points(tuple(lines), room.size)


def bracket(shot: Shot, listed: list[Shot], size: float) -> Cell:
    """Rank, ``size`` points large, and the bracket that joins neighbours which are too close to call."""
    place = next(k for k, other in enumerate(listed) if other is shot)
    above = place > 0 and listed[place - 1].tie
    below = place + 1 < len(listed) and listed[place + 1].tie

    def paint(painter: QPainter, box: QRectF) -> None:
        base = QPointF(box.right(), box.top() + Table.PAD + 0.93 * size)
        write_line(painter, base, str(shot.rank), size, align=1.0)
        if not shot.tie:
            return
        painter.setPen(QPen(QColor(INK), 1.1))
        x, top, bottom = box.left() + 1.0, box.top(), box.bottom()
        if not above:
            top += 2.5
            painter.drawLine(QLineF(x, top, x + 3.5, top))
        if not below:
            bottom -= 2.5
            painter.drawLine(QLineF(x, bottom, x + 3.5, bottom))
        painter.drawLine(QLineF(x, top, x, bottom))

    return paint
