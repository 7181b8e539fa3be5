"""The lesson sheet: shots side by side on paper, why they differ, how to play each, and a drill."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from shortgame_gui.advice.compare import Compared, Comparison
from shortgame_gui.advice.difference import Difference
from shortgame_gui.report.card import RULES
from shortgame_gui.report.drawing import Flown, Pictures, line_sample, shot_pen
from shortgame_gui.report.page import (
    RULE_INK,
    SIZE,
    SOFT_INK,
    Block,
    Cell,
    Heading,
    Paper,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
    rule,
    text_width,
    usual_paper,
    write_line,
)
from shortgame_gui.words import compare as words
from shortgame_gui.words.drills import drill_text
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.situation import situation_text

SIDE = 190.0
"""Most height of the side view in points."""
BAR = 17.0
"""From one bar to the next in points."""
LINE = 20.0
"""From one line for notes to the next in points."""
FEWEST_LINES = 4
MOST_LINES = 14


@dataclass(frozen=True)
class _Side(Pictures):
    """The side view of compared shots: numbered by their place, nothing said of scattered finishes."""

    compared: tuple[Compared, ...] = ()

    @property
    def flown(self) -> Sequence[Flown]:
        return self.compared

    def mark(self, place: int) -> str:
        return str(place + 1)

    @property
    def reach(self) -> tuple[float, float]:
        ends = [float(shot.track.position[0].max()) for shot in self.compared]
        starts = [float(shot.track.position[0].min()) for shot in self.compared]
        far = 1.04 * max([self.situation.hole.distance + 1.0, *ends])
        return min([-0.05 * far, *(start - 0.5 for start in starts)]), far


@dataclass(frozen=True)
class Lesson:
    """What goes on the sheet: the shots, the two that are explained (if there are two), and for whom."""

    comparison: Comparison
    difference: Difference | None
    style: Style
    reader: words.Reader = "adult"
    paper: Paper = field(default_factory=usual_paper)

    def sheet(self) -> Sheet:
        """The lesson as blocks; the lines for notes fill what is left of the last page."""
        blocks = tuple(self._blocks())
        title = self.comparison.situation.name
        made = [
            Sheet(title, (*blocks, *_notes(lines)), RULES, self.paper)
            for lines in range(FEWEST_LINES, MOST_LINES + 1)
        ]
        pages = [len(sheet.pages()) for sheet in made]
        return max((s for s, count in zip(made, pages, strict=True) if count == pages[0]), key=made.index)

    def _blocks(self) -> Iterator[Block]:
        found, style = self.comparison, self.style
        yield Heading(_("Side by side: {name}").format(name=found.situation.name), level=1)
        yield Words(" ".join(situation_text(found.situation, style)), SIZE, colour=SOFT_INK)
        yield Words(words.held_text(found, style), 13.0, bold=True, above=8.0)
        side = _Side(found.situation, (), style, compared=found.shots)
        tall = side.side_height(self.paper.inner.width(), SIDE)
        note = _("Balls run over the hole, so that the runs can be compared.")
        times = side.times(self.paper.inner.width(), tall)
        if abs(times - 1.0) > 0.05:
            larger = _("Heights are drawn {n} times as large as distances.").format(n=style.number(times, 1))
            note = f"{larger} {note}"
        yield Picture(tall, side.side, note)
        if found.shots:
            yield Picture(
                BAR * len(found.shots) + 2.0, self._bars, _("Filled: in the air. Hatched: the run.")
            )
            yield self._table()
        lines = [f"{words.full_name(s)}: {words.not_done_text(s, style)}." for s in found.not_done]
        if lines:
            yield Points(tuple(lines), SIZE - 1.0)
        if self.difference is not None:
            yield Heading(words.heading(self.difference))
            yield Words(words.paragraph(self.difference, style, self.reader), 10.0, above=2.0)
        if found.shots:
            yield Heading(_("Set-up"))
            yield Points(tuple(self._setups()), SIZE)
        if self.difference is not None:
            yield Heading(_("One drill to take away"))
            yield Words(drill_text(self.difference, style), SIZE, above=2.0)

    def _setups(self) -> Iterator[str]:
        """How to stand for each shot; those that are played alike share a line."""
        alike: dict[str, list[str]] = {}
        for place, shot in enumerate(self.comparison.shots, start=1):
            name = f"{place} {words.full_name(shot)}"
            alike.setdefault(words.setup_text(shot, self.style), []).append(name)
        for text, names in alike.items():
            yield f"{'; '.join(names)}: {text}"

    def _table(self) -> Table:
        headings = (
            "", "", _("Shot"), _("In the air"), _("Runs"), _("Leaves at"), _("Lands at"), _("Backspin"),
            _("After the bounce"), _("Stops after"),
        )  # fmt: skip
        rows: list[tuple[Cell, ...]] = []
        for place, shot in enumerate(self.comparison.shots):
            name = words.full_name(shot)
            if not words.undisturbed(shot):
                name = f"{name}: {words.ended_text(shot)}"
            rows.append((str(place + 1), line_sample(place), name, *words.figures_text(shot, self.style)))
        return Table(headings, tuple(rows), stretch=2, left=frozenset({2}), drawn_width=22.0, size=SIZE - 0.5)

    def _bars(self, painter: QPainter, box: QRectF) -> None:
        """A bar of air and run for each shot, all on one scale."""
        shots, style = self.comparison.shots, self.style
        names = [f"{k}  {words.full_name(shot)}" for k, shot in enumerate(shots, start=1)]
        left = box.left() + max(text_width(name, SIZE) for name in names) + 8.0
        told = [words.bar_text(shot, style) for shot in shots]
        right = box.right() - max(text_width(text, SIZE - 1.0) for text in told) - 6.0
        longest = max(max(shot.carry, shot.total) for shot in shots)
        scale = (right - left) / max(longest, 0.1)
        for place, (shot, name, text) in enumerate(zip(shots, names, told, strict=True)):
            top = box.top() + BAR * place + 3.0
            ink = QColor(shot_pen(place).color())
            write_line(painter, QPointF(box.left(), top + 9.0), name, SIZE)
            start, end = sorted((shot.carry, shot.carry + shot.run))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(ink)
            painter.drawRect(QRectF(left, top, shot.carry * scale, 10.0))
            run = QRectF(left + start * scale, top, (end - start) * scale, 10.0)
            painter.setBrush(QColor("white"))
            painter.drawRect(run)
            _hatched(painter, run, ink)
            beyond = left + max(shot.carry, shot.total) * scale + 4.0
            write_line(painter, QPointF(beyond, top + 8.5), text, SIZE - 1.0, colour=SOFT_INK)


def _hatched(painter: QPainter, box: QRectF, ink: QColor) -> None:
    """An outlined box of slanting lines, drawn as lines so that print shows them at any size."""
    painter.save()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink, 0.8))
    painter.drawRect(box)
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(ink, 0.5))
    x = box.left()
    while x < box.right() + box.height():
        painter.drawLine(QPointF(x, box.top()), QPointF(x - box.height(), box.bottom()))
        x += 3.5
    painter.restore()


def _notes(lines: int) -> tuple[Block, ...]:
    """A heading and ``lines`` lines to write on."""

    def paint(painter: QPainter, box: QRectF) -> None:
        for number in range(1, lines + 1):
            rule(painter, box.left(), box.right(), box.top() + number * LINE - 2.0, RULE_INK, 0.5)

    return Heading(_("Notes")), Picture(lines * LINE, paint, above=2.0)
