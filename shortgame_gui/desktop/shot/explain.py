"""The answer in words: the headline above the views, and why, set-up and cautions beside them."""

from __future__ import annotations

import re
from html import escape
from math import inf

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QTextBrowser, QVBoxLayout, QWidget

from shortgame_gui.advice import explain
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words import text, watch
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style

ROOM = 0.4
"""How much of its column the ways out may take from the table."""
TIED = re.compile(r" ± |(?<=\d) (?:%|m\b|cm\b|yd\b|ft\b|in\b|rpm\b|mph\b|m/s\b)")
"""Spaces at which a figure would fall apart."""


def write_in(widget: QWidget, role: QPalette.ColorRole, ink: QColor) -> None:
    """Have ``widget`` write in ``ink``, where it does not so already."""
    palette = QPalette(widget.palette())
    if palette.color(role) != ink:
        palette.setColor(role, ink)
        widget.setPalette(palette)


LARGE, LESS = (1.7, 1.15), (1.25, 1.0)
"""How much larger than others the letters of both lines are, and where the first would be folded."""
USUAL = "Pitching wedge, bump and run, hands hip-high"
"""An answer of usual length: no other one changes the letters, or they would jump."""
MARGIN = 12
"""Pixels left and right of the answer."""


class Headline(QFrame):
    """The answer, large, above everything else; paler while it is that of an earlier situation.

    Under it stands which shot is in front where that is another one: the words beside it are about that.
    """

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session, self._theme, self._measures = session, theme, measures
        self.shot, self.detail = QLabel(), QLabel()
        self._enlarge(*LARGE)
        for label, called in ((self.shot, _("The shot to play")), (self.detail, _("What it does"))):
            label.setWordWrap(True)
            label.setAccessibleName(called)
        self.detail.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(MARGIN, 8, MARGIN, 8)
        layout.setSpacing(2)
        layout.addWidget(self.shot)
        layout.addWidget(self.detail)
        self._none = False
        session.changed.connect(self._forget_none)  # whatever changes is asked for anew
        session.advice_changed.connect(self._forget_none)
        session.advice_changed.connect(self.show_answer)
        session.picked.connect(self.show_answer)
        theme.changed.connect(self.show_answer)
        measures.changed.connect(self.show_answer)
        self.show_answer()

    def _forget_none(self) -> None:
        if self._none:
            self._none = False
            self.show_answer()

    def show_answer(self) -> None:
        advice, colours = self._session.advice, self._theme.colours
        if self._none:
            self._write(
                _("No answer for this situation"),
                _("What went wrong is told above. Change something and the shots are worked out anew."),
                colours.ink(soft=False),
            )
            return
        style = self._measures.style
        leader = advice.shots[0] if advice and advice.shots else None
        first, second = (
            text.answer_text(advice, leader, style) if advice else (_("Working out the shots ..."), "")
        )
        front = self._session.front
        if front is not None and front is not leader:  # the answer stays, whatever is looked at
            seen = text.shot_name(front.club.name, front.technique, begins=False)
            second += " " + _("In front now: {shot}, number {rank}.").format(shot=seen, rank=front.rank)
        self._write(first, second, colours.ink(soft=not self._session.current))

    def tell_none(self) -> None:
        """No answer will come to what was asked last; what went wrong is told elsewhere."""
        self._none = True
        self.show_answer()

    def _write(self, first: str, second: str, ink: QColor) -> None:
        for label, line in ((self.shot, first), (self.detail, second)):
            label.setText(unbroken(line))
            write_in(label, QPalette.ColorRole.WindowText, ink)
        self.keep_rows()

    def keep_rows(self) -> None:
        """What took two rows once keeps them, or the views would jump from answer to answer."""
        needs = self.detail.heightForWidth(self.detail.width())
        self.detail.setMinimumHeight(max(self.detail.minimumHeight(), needs))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.detail.setMinimumHeight(0)
            self._enlarge(*LARGE)
            room = event.size().width() - 2 * MARGIN
            if self.shot.fontMetrics().horizontalAdvance(USUAL) > room:  # it would take half of the page
                self._enlarge(*LESS)

    def _enlarge(self, shot: float, detail: float) -> None:
        """Write both lines in letters so many times as large as others."""
        for label, times in ((self.shot, shot), (self.detail, detail)):
            font = self.font()
            font.setPointSizeF(font.pointSizeF() * times)
            font.setBold(label is self.shot)
            label.setFont(font)


class WaysOut(QLabel):
    """At the foot of the table: the ways out that are no shots towards the hole; hidden without any."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session, self._theme, self._measures = session, theme, measures
        self.setWordWrap(True)
        self.setMargin(6)
        self.setAccessibleName(_("Other ways out"))
        self.setToolTip(
            _(
                "Sideways, backwards, dropped free or for a penalty; all are told under Other ways out. "
                "The letters stand in the plan where the ball then lies."
            )
        )
        session.advice_changed.connect(self.show_ways)
        theme.changed.connect(self.show_ways)
        measures.changed.connect(self.show_ways)
        self.show_ways()

    def show_ways(self) -> None:
        advice = self._session.advice
        ways = bool(advice and advice.escapes)
        self.fit()
        write_in(self, QPalette.ColorRole.WindowText, self._theme.colours.ink(soft=not self._session.current))
        self.setVisible(ways)

    def fit(self) -> None:
        """Tell as many ways as leave the table most of the room, and at least the best."""
        advice, column = self._session.advice, self.parentWidget()
        if advice is None:
            self.setText("")
            return
        room = ROOM * column.height() if column is not None else inf
        for most in range(text.MOST_WAYS, 0, -1):
            ways = text.ways_text(advice, self._measures.style, marked=True, most=most)
            words = unbroken(_("Ways out: {ways}.").format(ways=ways)) if ways else ""
            box = QRect(0, 0, max(self.width() - 2 * self.margin(), 1), 10_000)
            needs = self.fontMetrics().boundingRect(box, Qt.TextFlag.TextWordWrap, words).height()
            if needs <= room or most == 1:
                if words != self.text():
                    self.setText(words)
                return

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()


def unbroken(line: str) -> str:
    """``line`` with its numbers tied to their units and margins, so that no row ends between them."""
    return TIED.sub(lambda found: found.group().replace(" ", "\N{NO-BREAK SPACE}"), line)


def _list(heading: str, lines: list[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{escape(unbroken(line))}</li>" for line in lines)
    return f"<h4>{escape(heading)}</h4><ul>{items}</ul>"


def explanation(advice: Advice, shot: Shot | None, style: Style) -> str:
    """Why this one, set-up and what to watch of ``shot``, and what cannot be played, as HTML."""
    leader = advice.shots[0] if advice.shots else None
    ways = [_list(_("Other ways out"), text.escapes_text(advice, style, marked=True))]
    # A way out that is the answer comes first, with its set-up; others after what the shot needs.
    first = leader is None or (shot is leader and text.better_way(advice) is not None)
    if first:
        ways.append(_list(_("Set-up for the best way out"), text.better_setup_text(advice, style)))
    parts = ways if first else []
    if shot is leader or shot is None or leader is None:
        parts.append(_list(text.why_title(advice), text.why_text(advice.why, style)))
        parts.append(_list(_("Not sure"), text.doubt_text(advice, style)))
    else:
        reasons = explain.reasons(shot, leader)
        parts = [_list(_("Against the best"), text.behind_text(leader, shot, reasons, style))]
    if shot is not None:
        parts.append(_list(_("Aim"), [text.aim_text(shot, style)]))
    parts.append(_list(text.setup_title(advice), text.setup_text(shot, style)))
    parts.append(_list(_("Watch out"), watch.watch_text(advice, shot, style)))
    if shot is not None:
        parts.append(_list(_("A little off"), watch.off_text(shot, style)))
    if shot is leader and not first:
        parts += ways
    parts.append(_list(_("Not here"), text.refused_text(advice)))
    return "".join(parts)


class Explanation(QTextBrowser):
    """The text beside the views."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._session, self._theme, self._measures = session, theme, measures
        describe(
            self, _("Why this one, set-up and what to watch"),
            _("Why the shot in front is ahead or behind, how to stand, and what to watch out for."),
        )  # fmt: skip
        self.setFrameShape(self.Shape.NoFrame)
        self.setOpenLinks(False)
        self.setTabChangesFocus(True)
        self.document().setDefaultStyleSheet(
            "h4 { margin: 8px 0 2px 0; } li { margin-bottom: 2px; }"
            "ul { margin: 0 0 0 0; -qt-list-indent: 0; margin-left: 14px; }"
        )
        self._said: tuple[Advice | None, Shot | None, Style] | None = None
        session.advice_changed.connect(self.show_text)
        session.picked.connect(self.show_text)
        theme.changed.connect(self.show_text)
        measures.changed.connect(self.show_text)
        self.show_text()

    def show_text(self) -> None:
        """Say what there is to say; one that only became pale is not laid out anew."""
        advice, front, style = self._session.advice, self._session.front, self._measures.style
        write_in(self, QPalette.ColorRole.Text, self._theme.colours.ink(soft=not self._session.current))
        before = self._said
        if before and before[0] is advice and before[1] is front and before[2] == style:
            return
        self._said = advice, front, style
        place = self.verticalScrollBar().value()
        self.setHtml(explanation(advice, front, style) if advice else "")
        self.verticalScrollBar().setValue(place)
