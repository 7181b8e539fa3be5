"""The theme: an explicit switch, enough contrast, and colours that colour-blind eyes can tell apart."""

from collections.abc import Callable
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from PySide6.QtGui import QColor, QImage, QPainter, QPalette, QPen
from PySide6.QtWidgets import QApplication

from shortgame_gui.desktop.shot.drawing import shot_pen
from shortgame_gui.desktop.side_by_side.look import pen_of
from shortgame_gui.desktop.theme import DARK, LIGHT, SHOT_DASHES, SURFACE_PATTERNS, Colours, Theme
from shortgame_gui.physics.ground import SURFACES


def linear(colour: str) -> np.ndarray:
    """sRGB to linear light (IEC 61966-2-1)."""
    made = QColor(colour)
    c = np.array([made.redF(), made.greenF(), made.blueF()])
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.1; value from memory."""
    a, b = (float(np.dot([0.2126, 0.7152, 0.0722], linear(c))) + 0.05 for c in (one, other))
    return max(a, b) / min(a, b)


#: Machado, Oliveira and Fernandes 2009, severity 1.0, on linear light; values from memory.
BLIND = {
    "none": np.eye(3),
    "protan": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deutan": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritan": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}


def lab(colour: str, eye: np.ndarray) -> np.ndarray:
    """CIE L*a*b* (D65) of a colour as an eye sees it."""
    rgb = np.clip(eye @ linear(colour), 0, 1)
    to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    t = (np.array(to_xyz) @ rgb) / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_text_can_be_read(colours: Colours) -> None:
    for ground in (colours.window, colours.base, colours.raised):
        assert contrast(colours.text, ground) >= 7
        assert contrast(colours.soft_text, ground) >= 4.5
        assert contrast(colours.warning, ground) >= 4.5
    assert contrast(colours.on_accent, colours.accent) >= 4.5
    for shot in colours.shots:
        assert contrast(shot, colours.sky) >= 4.5


@pytest.mark.parametrize("eye", BLIND)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_the_three_leading_shots_are_told_apart_by_any_eye(colours: Colours, eye: str) -> None:
    """A difference of 20 in L*a*b* is plain to see (2.3 is the least that is); common practice, no source."""
    for one, other in combinations(colours.shots[:3], 2):
        assert np.linalg.norm(lab(one, BLIND[eye]) - lab(other, BLIND[eye])) > 20


def test_colour_is_never_alone() -> None:
    assert len(set(SHOT_DASHES)) == len(LIGHT.shots) == len(DARK.shots)
    assert set(SURFACE_PATTERNS) == set(LIGHT.surfaces) == set(DARK.surfaces) == set(SURFACES)


def test_switch_changes_palette_and_tells_painters(qapp: QApplication, qtbot: Any) -> None:
    theme = Theme("light")
    assert qapp.palette().color(QPalette.ColorRole.Window) == QColor(LIGHT.window)
    with qtbot.waitSignal(theme.changed):
        theme.switch("dark")
    assert theme.colours is DARK
    assert qapp.palette().color(QPalette.ColorRole.Window) == QColor(DARK.window)
    assert qapp.palette().color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.Text) == QColor(
        DARK.soft_text
    )
    with qtbot.waitSignal(theme.changed):
        theme.switch("light")
    assert qapp.palette().color(QPalette.ColorRole.Base) == QColor(LIGHT.base)


def test_desktop_is_followed_only_when_asked(qapp: QApplication, qtbot: Any) -> None:
    theme = Theme("light")
    theme.desktop_switched(dark=True)
    assert theme.colours is LIGHT
    theme.switch("desktop")
    theme.desktop_switched(dark=False)
    assert theme.colours is LIGHT
    with qtbot.waitSignal(theme.changed):
        theme.desktop_switched(dark=True)
    assert theme.colours is DARK
    theme.switch("light")
    assert theme.colours is LIGHT


@pytest.mark.parametrize("pen_of_place", [shot_pen, pen_of])
def test_lines_of_shots_are_as_thick_on_a_display_of_200_percent(
    pen_of_place: Callable[[Colours, int], QPen], qapp: QApplication
) -> None:
    widths = []
    for ratio in (1, 2):
        picture = QImage(40 * ratio, 10 * ratio, QImage.Format.Format_RGB32)
        picture.setDevicePixelRatio(ratio)
        picture.fill(QColor("white"))
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(pen_of_place(LIGHT, 0))
        painter.drawLine(20, -5, 20, 15)
        painter.end()
        row = [picture.pixelColor(k, 5 * ratio).lightnessF() for k in range(40 * ratio)]
        ink = min(row)
        widths.append(sum((1.0 - light) / (1.0 - ink) for light in row) / ratio)
    assert widths[0] == pytest.approx(widths[1], abs=0.3)
