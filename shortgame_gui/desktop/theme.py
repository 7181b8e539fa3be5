"""One theme of named colours drives palette, plots and tables, with an explicit switch.

Widgets take their colours from the palette that is set here; plots do not follow a palette and repaint
themselves on `Theme.changed`. No colour is written anywhere else. The look is that of a section drawing on
paper: quiet grounds told apart by hatching, and ink for what matters.

The colours of the shots stay apart for red-, green- and blue-blind eyes; a shot is told by its dash and its
number as well, never by colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

Mode = Literal["light", "dark", "desktop"]
MODES: tuple[Mode, ...] = ("light", "dark", "desktop")

SHOT_DASHES: tuple[Qt.PenStyle, ...] = (
    Qt.PenStyle.SolidLine,
    Qt.PenStyle.DashLine,
    Qt.PenStyle.DashDotLine,
    Qt.PenStyle.DotLine,
    Qt.PenStyle.DashDotDotLine,
)

#: How each surface is hatched, so that it can be told without its colour.
SURFACE_PATTERNS: dict[str, Qt.BrushStyle] = {
    "green": Qt.BrushStyle.SolidPattern,
    "fringe": Qt.BrushStyle.BDiagPattern,
    "fairway": Qt.BrushStyle.HorPattern,
    "first_cut": Qt.BrushStyle.FDiagPattern,
    "rough": Qt.BrushStyle.VerPattern,
    "deep_rough": Qt.BrushStyle.CrossPattern,
    "bare": Qt.BrushStyle.Dense7Pattern,
    "sand": Qt.BrushStyle.Dense6Pattern,
    "water": Qt.BrushStyle.HorPattern,
    "out": Qt.BrushStyle.DiagCrossPattern,
}


@dataclass(frozen=True)
class Colours:
    """The named colours of one theme, as ``#rrggbb``."""

    window: str
    base: str
    raised: str
    text: str
    soft_text: str
    line: str
    accent: str
    on_accent: str
    warning: str
    sky: str
    earth: str
    flag: str
    ball: str
    shots: tuple[str, ...]
    surfaces: dict[str, str]
    hatch: str
    lofts: tuple[str, ...]
    """From the least to the most loft, ever lighter, so that any eye tells the order, and grey does."""

    def shot(self, place: int) -> QColor:
        """The colour of the shot drawn in ``place`` (0 is the one in front)."""
        return QColor(self.shots[place % len(self.shots)])

    def ink(self, *, soft: bool) -> QColor:
        """The colour of text; ``soft`` for what is of the past or of less weight."""
        return QColor(self.soft_text if soft else self.text)

    def alarm(self) -> QColor:
        """The colour of text about what went wrong."""
        return QColor(self.warning)

    def earth_brush(self) -> QBrush:
        """What lies under the turf in a section."""
        return QBrush(QColor(self.earth))

    def barrier(self, *, beside: bool = False) -> tuple[QBrush, QBrush | None]:
        """What stands in the way of the ball, paler where that goes ``beside`` it."""
        ink = QColor(self.line if beside else self.hatch)
        return QBrush(ink), QBrush(QColor(self.sky), Qt.BrushStyle.BDiagPattern)

    def surface(self, name: str) -> tuple[QBrush, QBrush | None]:
        """The ground colour of a surface, and the hatching that is laid over it."""
        pattern = SURFACE_PATTERNS[name]
        hatching = None
        if pattern != Qt.BrushStyle.SolidPattern:
            ink = QColor(self.hatch)
            ink.setAlpha(90)
            hatching = QBrush(ink, pattern)
        return QBrush(QColor(self.surfaces[name])), hatching


LIGHT = Colours(
    window="#efece4", base="#fbfaf5", raised="#e4e0d5", text="#20282c", soft_text="#59615f", line="#c3bdae",
    accent="#1f5673", on_accent="#ffffff", warning="#9a3b12",
    sky="#fbfaf5", earth="#d8cfbd", flag="#9a3b12", ball="#ffffff",
    shots=("#0a71ad", "#b8400e", "#56176b", "#4d4d4d", "#806500"),
    surfaces={
        "green": "#cfe3bd", "fringe": "#bfd6a4", "fairway": "#b4cb93", "first_cut": "#a6bf85",
        "rough": "#94ae76", "deep_rough": "#7d9863", "bare": "#d3bf9c", "sand": "#f0e1b4",
        "water": "#b3d3e6", "out": "#d6d2cb",
    },
    hatch="#2d3a24",
    lofts=("#1d2f5e", "#3f5a86", "#6d8593", "#a3a67d", "#d6c163", "#f7eca6"),
)  # fmt: skip

DARK = Colours(
    window="#1b2124", base="#262e33", raised="#333c42", text="#e8e4da", soft_text="#aeb3ad", line="#56616a",
    accent="#86bfdc", on_accent="#10181d", warning="#f0a071",
    sky="#171c1f", earth="#3a352c", flag="#f0a071", ball="#ffffff",
    shots=("#a6ddfa", "#ff9d66", "#a873c9", "#d0d0d0", "#e8d25a"),
    surfaces={
        "green": "#3c5a37", "fringe": "#365031", "fairway": "#30472c", "first_cut": "#2b4028",
        "rough": "#263924", "deep_rough": "#1f2f1e", "bare": "#54452f", "sand": "#6b5d38",
        "water": "#234b63", "out": "#3b3b3b",
    },
    hatch="#dfe8d3",
    lofts=("#22366b", "#3c5680", "#5f7783", "#8f9270", "#bda955", "#e2d78f"),
)  # fmt: skip


def palette_of(colours: Colours) -> QPalette:
    """A whole palette, its disabled group included, made of the named colours."""
    made = QPalette()
    role = QPalette.ColorRole
    for where, colour in (
        (role.Window, colours.window), (role.Base, colours.base), (role.AlternateBase, colours.window),
        (role.Button, colours.raised), (role.ToolTipBase, colours.raised), (role.WindowText, colours.text),
        (role.Text, colours.text), (role.ButtonText, colours.text), (role.ToolTipText, colours.text),
        (role.BrightText, colours.warning), (role.PlaceholderText, colours.soft_text),
        (role.Highlight, colours.accent), (role.HighlightedText, colours.on_accent),
        (role.Accent, colours.accent), (role.Link, colours.accent), (role.LinkVisited, colours.accent),
        (role.Light, colours.base), (role.Midlight, colours.raised), (role.Mid, colours.line),
        (role.Dark, colours.line), (role.Shadow, colours.line),
    ):  # fmt: skip
        made.setColor(where, QColor(colour))
    for where in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, where, QColor(colours.soft_text))
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, QColor(colours.line))
    return made


class Theme(QObject):
    """Which colours are in force; `changed` tells everybody who paints for himself."""

    changed = Signal()

    def __init__(self, mode: Mode = "desktop", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._mode: Mode = mode
        self._colours: Colours | None = None
        self._desktop_is_dark = False
        hints = QGuiApplication.styleHints()
        self._see(hints.colorScheme())
        hints.colorSchemeChanged.connect(self._on_desktop)
        self._apply()

    @property
    def mode(self) -> Mode:
        return self._mode

    @property
    def dark(self) -> bool:
        return self._mode == "dark" or (self._mode == "desktop" and self._desktop_is_dark)

    @property
    def colours(self) -> Colours:
        return DARK if self.dark else LIGHT

    def switch(self, mode: Mode) -> None:
        """Use light or dark, or follow the desktop from now on."""
        if mode == self._mode:
            return
        self._mode = mode
        if mode == "desktop":
            QGuiApplication.styleHints().unsetColorScheme()
            self._see(QGuiApplication.styleHints().colorScheme())
        self._apply()

    def desktop_switched(self, dark: bool) -> None:
        """The desktop went dark or light; matters only while it is followed."""
        self._desktop_is_dark = dark
        self._apply()

    def _see(self, scheme: Qt.ColorScheme) -> None:
        self._desktop_is_dark = scheme == Qt.ColorScheme.Dark

    def _on_desktop(self, scheme: Qt.ColorScheme) -> None:
        # Setting the scheme ourselves, to bring window frames along, arrives here as well.
        if self._mode == "desktop" and scheme != Qt.ColorScheme.Unknown:
            self.desktop_switched(scheme == Qt.ColorScheme.Dark)

    def _apply(self) -> None:
        if self._mode != "desktop":
            dark = self._mode == "dark"
            QGuiApplication.styleHints().setColorScheme(Qt.ColorScheme.Dark if dark else Qt.ColorScheme.Light)
        if self.colours is self._colours:
            return
        self._colours = self.colours
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(palette_of(self.colours))
        self.changed.emit()
