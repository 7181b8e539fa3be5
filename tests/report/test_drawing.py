"""Pictures on paper: true to scale, inside their box, and told apart in grey as well."""

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPainterPath

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice, Escape
from shortgame_gui.model.club import Bag
from shortgame_gui.model.ground import Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.report import drawing
from shortgame_gui.report.drawing import (
    BEYOND,
    DASHES,
    HATCHES,
    MOST_TIMES,
    SHOT_INKS,
    SQUARE,
    Pictures,
    hatch,
    ticks,
)
from shortgame_gui.report.page import Paint
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import YARD
from shortgame_gui.words.numbers import Style

TABLE = coefficients.load()
BAG = packaged_bag()
FEW = Bag(clubs=tuple(BAG.find(name) for name in ("putter", "sand wedge", "8-iron")))
BOX = QRectF(30.0, 30.0, 500.0, 150.0)
YARDS = Style()
TIMES = 4
"""Dots to a point, so that a thin line has one of its own."""
pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture(scope="module")
def advice() -> Advice:
    return advise(Situation(), FEW, TABLE, samples=64)


def painted(paint: Paint, box: QRectF = BOX) -> np.ndarray:
    """Grey of the box and 30 points round it."""
    size = box.size().toSize()
    image = QImage((size.width() + 60) * TIMES, (size.height() + 60) * TIMES, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.scale(TIMES, TIMES)
    paint(painter, box)
    painter.end()
    made = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(made.constBits(), dtype=np.uint8).reshape(made.height(), made.bytesPerLine())
    return rows[:, : made.width()].copy()


def pictures(advice: Advice, style: Style = YARDS) -> Pictures:
    return Pictures(advice.situation, advice.shots[:3], style)


@pytest.mark.parametrize("which", ["side", "plan"])
def test_a_picture_stays_in_its_box(which: str, advice: Advice) -> None:
    """Also under a branch that hangs far above the picture."""
    high = Obstacle(at=8.0, low=1.0, high=25.0)
    under = replace(advice, situation=put_all(Situation(), {"ground.obstacles": (high,)}))
    for some in (advice, under):
        grey = painted(getattr(pictures(some), which))
        ink = np.argwhere(grey < 245) / TIMES
        (top, left), (bottom, right) = ink.min(axis=0), ink.max(axis=0)
        assert left >= BOX.left() - 1.0 and right <= BOX.right() + 1.0
        assert top >= BOX.top() - 1.0 and bottom <= BOX.bottom() + 1.0
        assert len(ink) > 2000


def test_what_the_shots_go_past_is_an_outline_and_says_so(
    advice: Advice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A solid trunk in the flight would be one that the ball hits."""
    trunk = Obstacle(at=5.0, high=9.0, left=0.5, right=2.5)
    there = replace(advice, situation=put_all(Situation(), {"ground.obstacles": (trunk,)}))
    turn = np.array([[0.96, -0.28, 0], [0.28, 0.96, 0], [0, 0, 1.0]])
    first, *others = advice.shots[:3]
    aside = replace(first, track=replace(first.track, position=turn @ first.track.position))
    said: list[str] = []
    told = drawing._label

    def heard(painter: QPainter, spot: QPointF, words: str) -> QRectF:
        said.append(words)
        return told(painter, spot, words)

    monkeypatch.setattr(drawing, "_label", heard)
    through, past = pictures(there), Pictures(there.situation, (aside, *others), YARDS)
    across, ball = through._across(BOX)
    column = round((ball + 5.0 * across) * TIMES)
    solid = painted(through.side)[:, column] < 160
    assert said == [] and solid[: len(solid) // 2].sum() > 60
    outline = painted(past.side)[:, column] < 160
    assert said == [f"{first.rank}: round its left"] and outline[: len(solid) // 2].sum() < 30


@pytest.mark.parametrize(("style", "unit"), [(YARDS, "0 yd"), (Style(yards=False), "0 m")])
def test_the_plan_says_in_what_it_measures(
    style: Style, unit: str, advice: Advice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The side view above it has feet on its upright axis."""
    said: list[str] = []
    monkeypatch.setattr(drawing, "write_line", lambda painter, spot, words, *rest, **more: said.append(words))
    painted(pictures(advice, style).plan)
    assert said.count(unit) == 1 and "2" in said and "0" not in said


def hole_column(grey: np.ndarray, rows: slice) -> float:
    """Where the darkest upright stroke of some rows stands, in points."""
    dark = (grey[rows] < 90).sum(axis=0)
    return float(np.flatnonzero(dark >= 0.9 * dark.max()).mean()) / TIMES


@pytest.mark.parametrize("style", [Style(), Style(yards=False)])
def test_flag_and_hole_stand_where_the_scale_says(style: Style, advice: Advice) -> None:
    """The picture's own axis is worked out again here from the reach of the line."""
    made = pictures(advice, style)
    low, high = made.reach
    across = (BOX.width() - 30.0) / (high - low)
    expected = BOX.left() + 26.0 + across * (advice.situation.hole.distance - low)
    side = painted(made.side)
    flag = slice(int((BOX.top() + 12.0) * TIMES), int((BOX.top() + 30.0) * TIMES))
    assert hole_column(side, flag) == pytest.approx(expected, abs=0.5)
    # In the plan the hole is the only filled disc there.
    plan = painted(made.plan)
    middle = int(BOX.center().y() * TIMES)
    near = slice(int((expected - 3.0) * TIMES), int((expected + 3.0) * TIMES))
    assert (plan[middle - 2 * TIMES : middle - TIMES, near] < 90).any()


def test_heights_are_never_drawn_out_of_all_proportion(advice: Advice) -> None:
    made = pictures(advice)
    tall = made.side_height(500.0, 400.0)
    assert tall < 400.0 and made.times(500.0, tall) == pytest.approx(MOST_TIMES)
    assert 0.0 < made.times(500.0, 90.0) < MOST_TIMES


@pytest.mark.parametrize(("unit", "points"), [(YARD, 14.3), (1.0, 3.7), (1.0, 41.0)])
def test_ticks_are_round_and_apart(unit: float, points: float) -> None:
    found = list(ticks(0.0, 40.0, unit, points, 30.0))
    assert found[0] == (0.0, "0") and len(found) >= 2
    gaps = [(b - a) * points for (a, _), (b, _) in pairwise(found)]
    assert min(gaps) >= 30.0 and max(gaps) - min(gaps) < 1e-6
    for place, figure in found:
        assert float(figure) * unit == pytest.approx(place)
        assert len(figure.replace(".", "").strip("0")) <= 2
    assert found[-1][0] <= 40.0 < found[-1][0] + gaps[0] / points


def test_ticks_have_the_decimal_sign_of_the_reader() -> None:
    assert "0,5" in [figure for _, figure in ticks(0.0, 2.0, 1.0, 40.0, 15.0, ",")]


def test_surfaces_can_be_told_apart_in_grey() -> None:
    """By the grey or by the pattern: two patches differ in their mean or in their spectrum."""
    assert set(HATCHES) == set(SURFACES)
    patches = {}
    for name in HATCHES:

        def patch(painter: QPainter, box: QRectF, name: str = name) -> None:
            path = QPainterPath()
            path.addRect(box)
            hatch(painter, path, name)

        grey = painted(patch, QRectF(30.0, 30.0, 40.0, 40.0))[
            31 * TIMES : 69 * TIMES, 31 * TIMES : 69 * TIMES
        ]
        spectrum = np.abs(np.fft.rfft2(grey - grey.mean())) / grey.size
        patches[name] = (float(grey.mean()), spectrum)
    for one, other in combinations(patches, 2):
        (mean_a, a), (mean_b, b) = patches[one], patches[other]
        assert abs(mean_a - mean_b) > 12.0 or np.abs(a - b).max() > 2.0, (one, other)


def test_lines_of_shots_differ_without_colour_and_are_dark_enough() -> None:
    assert len(set(DASHES)) == len(DASHES) == len(SHOT_INKS)
    assert all(QColor(ink).lightnessF() < 0.45 for ink in SHOT_INKS)


def test_a_situation_without_a_shot_is_drawn_as_well(advice: Advice) -> None:
    none = Pictures(advice.situation, (), Style())
    assert (painted(none.side) < 200).any() and (painted(none.plan) < 200).any()


@pytest.mark.parametrize("side", [8.0, 20.0, -20.0])
def test_the_plan_shows_a_way_out_that_leads_far_aside_by_more_of_the_line(
    advice: Advice, side: float
) -> None:
    """In a plan that may be 170 points high and no more all it speaks of is inside the frame."""
    out = Escape("sideways_left", "", 0, 1.5, 0.02, (0.0, side), ("sand wedge", "chip"), (0.0, side), "knee")
    usual = pictures(advice)
    wide = replace(usual, out={"a": out}, plan_at_most=(BOX.width(), 170.0))
    tall = wide.plan_height(BOX.width(), 104.0, 170.0)
    assert tall <= 170.0
    across, _ball = wide._across(BOX)
    box = QRectF(BOX.left(), BOX.top(), BOX.width(), tall)
    y = wide._line_at(box, across) - across * side
    assert box.top() + SQUARE <= y <= box.bottom() - SQUARE
    low, high = wide.reach
    assert (high - low) <= 2.5 * (usual.reach[1] - usual.reach[0]) + 1e-9


def test_ways_out_are_drawn_where_the_ball_then_lies(advice: Advice) -> None:
    """A square at its place, a letter beside; ways to one side move the line of play to the other."""
    left = Escape("sideways_left", "", 0, 1.5, 0.02, (0.0, 6.0), ("sand wedge", "chip"), (0.0, 4.0), "knee")
    back = Escape("unplayable_back", "19.2b", 1, 3.5, 0.0, (-1.0, 0.0), None)
    usual = pictures(advice)
    assert usual.plan_height(BOX.width(), 100.0, 300.0) == 100.0
    out = replace(usual, out={"a": left, "b": back})
    assert out.reach[0] <= -1.0
    tall = out.plan_height(BOX.width(), 100.0, 300.0)
    across, ball = out._across(BOX)
    assert 100.0 < tall <= 300.0 and tall == pytest.approx(50.0 + 6.0 * across + BEYOND)
    assert out.plan_height(BOX.width(), 100.0, 120.0) == 120.0
    box = QRectF(BOX.left(), BOX.top(), BOX.width(), tall)
    line = out._line_at(box, across)
    assert line == pytest.approx(box.bottom() - 50.0)
    grey = painted(out.plan, box)
    x, y = ball * TIMES, (line - 6.0 * across) * TIMES
    half = round(SQUARE * TIMES)
    window = grey[round(y) - half - 2 : round(y) + half + 3, round(x) - half - 2 : round(x) + half + 3]
    assert window[half + 2 - 2, half + 2 - 2] > 200  # paper inside the square
    assert (window < 90).sum() > 8 * half * 0.6  # and ink round it
    # A way beyond the picture has its letter at the border, and nothing leaves the box.
    far = replace(usual, out={"a": replace(left, place=(0.0, 60.0), landing=(0.0, 50.0))})
    ink = np.argwhere(painted(far.plan) < 245) / TIMES
    assert ink[:, 0].min() >= BOX.top() - 1.0 and ink[:, 0].max() <= BOX.bottom() + 1.0
