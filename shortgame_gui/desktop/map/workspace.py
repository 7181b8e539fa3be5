"""The Map workspace put together: the sides, the map, the cell pointed at in words, and its files."""

from __future__ import annotations

from dataclasses import replace as other
from pathlib import Path

import msgspec
from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.advice.map import SAMPLES, Map, checked
from shortgame_gui.desktop.fields import calm, name
from shortgame_gui.desktop.map.chart import Chart
from shortgame_gui.desktop.map.filler import Filler, Question, Request, ask_engine
from shortgame_gui.desktop.map.sides import Side
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.desktop.workspace import Workspace
from shortgame_gui.report.map_csv import map_csv
from shortgame_gui.report.map_picture import LAYERS, write_picture
from shortgame_gui.words.language import N_, Phrases, _

PAUSE = 400
"""Milliseconds between the last step of an edit and the map that it asks for."""
LAYER_NAMES = Phrases({"winner": N_("Winning shot"), "lead": N_("Lead")})
FINENESS = {N_("Quick"): SAMPLES, N_("Finer"): 4 * SAMPLES, N_("Finest"): 16 * SAMPLES}
"""What the fineness is called -> balls of a shot in each cell."""
PICTURE_SIZE = (1280, 800)


class MapWorkspace(Workspace):
    """Follows the session's document while it is in view."""

    code = "map"
    title = N_("Map")
    tip = N_("When the answer changes: the winning shot over two conditions.")

    failed = Signal(str)

    def __init__(
        self, session: Session, theme: Theme, measures: Measures, question: Question = ask_engine
    ) -> None:
        super().__init__()
        self._session, self._measures = session, measures
        self._shown, self._asked, self._said = False, None, ""
        self.filler = Filler(question, self)
        self.across = Side(_("Across:"), ("green_to_work_with", "firmness"), measures)
        self.up = Side(_("Upwards:"), ("green_speed",), measures)
        titles = self.across.title, self.up.title
        for title in titles:  # so that what follows stands one below the other
            title.setMinimumWidth(max(other.sizeHint().width() for other in titles))
        self.layer, self.fineness = QComboBox(), QComboBox()
        for layer in LAYERS:
            self.layer.addItem(LAYER_NAMES[layer], layer)
        for word, samples in FINENESS.items():
            self.fineness.addItem(_(word), samples)
        self.chart = Chart(theme, measures)
        self.words, self.state = QLabel(), QLabel()
        self.progress = QProgressBar()
        self.stop = QPushButton(_("Stop"))
        self.save_picture, self.save_table = (
            QPushButton(_("Save picture ...")),
            QPushButton(_("Save table ...")),
        )
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE)
        self._name_parts()
        self._lay_out()
        self._connect()

    _asked: Request | None

    def _name_parts(self) -> None:
        name(self.layer, _("Layer"), _("Show the winning shot, or by how much it leads."))
        name(
            self.fineness,
            _("Fineness"),
            _("More balls a shot: fewer cells too close to call; a longer wait."),
        )
        calm(self.layer)
        calm(self.fineness)
        name(self.stop, _("Stop"), _("Leave the map as it is so far."))
        name(self.save_picture, _("Save picture"), _("Write the map as PNG or SVG."))
        name(self.save_table, _("Save table"), _("Write the map as CSV, a row a cell."))
        self.words.setAccessibleName(_("The cell under the cursor"))
        self.words.setWordWrap(True)
        self.words.setMinimumHeight(self.words.fontMetrics().lineSpacing() * 4)
        self.state.setAccessibleName(_("State of the map"))
        self.progress.setRange(0, 100)
        self.progress.setMaximumWidth(160)
        self.progress.setMaximumHeight(14)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(_("Progress of the map"))
        self.progress.hide()
        self.stop.setEnabled(False)

    def _lay_out(self) -> None:
        self._top = QGridLayout()
        self._top.setContentsMargins(10, 8, 10, 4)
        self._top.addWidget(self.across, 0, 0, 1, 4)
        self._top.addWidget(self.up, 1, 0, 1, 4)
        self._top.setColumnStretch(3, 1)
        self._place_choices(beside=True)
        below = QHBoxLayout()
        below.setContentsMargins(10, 2, 10, 8)
        below.addWidget(self.words, 1)
        end = QVBoxLayout()
        end.addWidget(self.state)
        running = QHBoxLayout()
        running.addWidget(self.progress)
        running.addStretch(1)
        running.addWidget(self.stop)
        end.addLayout(running)
        below.addLayout(end)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._top)
        column.addWidget(self.chart, 1)
        column.addLayout(below)

    def _place_choices(self, *, beside: bool) -> None:
        """Put what is shown and saved beside the sides, in two rows, or under them in one."""
        for number, part in enumerate((self.layer, self.fineness, self.save_picture, self.save_table)):
            row, column = (number // 2, 4 + number % 2) if beside else (2, number)
            side = Qt.AlignmentFlag(0) if beside else Qt.AlignmentFlag.AlignLeft
            self._top.addWidget(part, row, column, side)
        self._beside = beside

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_choices()

    def _fit_choices(self) -> None:
        """Choices stand beside the sides where neither is squeezed; sides fold where a row is too narrow."""
        sides = max(side.unfolded for side in (self.across, self.up))
        beside = sum(
            max(above.sizeHint().width(), below.sizeHint().width()) + self._top.horizontalSpacing()
            for above, below in ((self.layer, self.save_picture), (self.fineness, self.save_table))
        )
        margins = self._top.contentsMargins()
        room = self.width() - margins.left() - margins.right()
        for side in (self.across, self.up):
            side.fold(under=sides > room)
        fits = sides + beside <= room
        if fits != self._beside:
            self._place_choices(beside=fits)

    def _connect(self) -> None:
        for side in (self.across, self.up):
            side.changed.connect(self._on_change)
        self.fineness.currentIndexChanged.connect(self._on_change)
        self.layer.currentIndexChanged.connect(self._on_layer)
        self._session.changed.connect(self._on_change)
        self._pause.timeout.connect(self._ask)
        self.filler.shown.connect(self._on_map)
        self.filler.progressed.connect(self._on_progress)
        self.filler.settled.connect(self._on_settled)
        self.filler.failed.connect(self.failed)
        self.chart.pointed.connect(self._tell_cell)
        self.chart.chosen.connect(self.load_cell)
        self._measures.changed.connect(self._tell_cell)
        self.stop.clicked.connect(self.cancel)
        self.save_picture.clicked.connect(lambda: self.write_picture())
        self.save_table.clicked.connect(lambda: self.write_table())

    # --- what the window asks --------------------------------------------------------------------

    def entered(self) -> None:
        self._shown = True
        self._ask()

    def left(self) -> None:
        self._shown = False
        self._pause.stop()
        self.filler.cancel()

    def close_down(self) -> None:
        self._pause.stop()
        self.filler.close()

    # --- filling ---------------------------------------------------------------------------------

    @property
    def map(self) -> Map | None:
        return self.chart.map

    def cancel(self) -> None:
        """Leave the map as it is so far."""
        self._pause.stop()
        self.filler.cancel()

    def _on_change(self) -> None:
        if self._shown:
            self.filler.cancel()
            self.chart.age()
            self._pause.start()

    def _ask(self) -> None:
        situation = self._session.situation
        for side in (self.across, self.up):
            side.follow(situation)
        self._fit_choices()
        try:
            x, y = self.across.scale(situation), self.up.scale(situation)
            checked(x, y)
        except ValueError as error:
            self.chart.show_map(None)
            self._tell_cell()
            self._say(str(error)[:1].upper() + str(error)[1:])
            return
        # Neither name nor note changes an answer.
        plain = msgspec.structs.replace(situation, name="", note="")
        request = Request(plain, self._session.bag, x, y, int(self.fineness.currentData()))
        if request == self._asked and self.map is not None and self.map.complete:
            self.chart.show_map(self.map)  # an edit was taken back before its map was there
            return
        self._asked = request
        self.stop.setEnabled(True)
        self._on_progress(0.0)
        self.filler.ask(request)

    def _on_progress(self, share: float) -> None:
        self.progress.setValue(round(100 * share))
        self.progress.show()
        self._say(_("Filling the map ..."))

    def _say(self, sentence: str) -> None:
        """Tell how the map stands, also in its place as long as there is none."""
        self._said = sentence
        self.state.setText(sentence if self.map is not None else "")
        self.chart.instead(sentence)

    def _on_map(self, made: Map) -> None:
        first = self.map is None
        self.chart.show_map(made)
        self._tell_cell()
        if first:
            self._say(self._said)

    def _on_settled(self) -> None:
        self.progress.hide()
        self.stop.setEnabled(False)
        made = self.map
        if made is None:
            self._say(_("No map"))
        elif made.complete:
            self.state.setText(
                _("{cells} cells, {balls} balls each").format(
                    cells=f"{len(made.x.values)} x {len(made.y.values)}", balls=made.samples
                )
            )
        else:
            self.state.setText(
                _("Stopped: {share} of the cells are there").format(share=f"{round(100 * made.done)} %")
            )

    # --- looking ---------------------------------------------------------------------------------

    def _on_layer(self) -> None:
        self.chart.layer = self.layer.currentData()
        self.chart.update()

    def _tell_cell(self) -> None:
        hint = _("Point at a cell, or move with the arrow keys. A click or Enter loads it as the situation.")
        self.words.setText((self.chart.words() or hint) if self.map is not None else "")

    def load_cell(self, column: int, row: int) -> None:
        """Make the situation of a cell that of the document, as one step that can be undone."""
        made = self.map
        found = made.situation_of(column, row) if made is not None else None
        if found is None:
            return
        now = self._session.situation
        loaded = msgspec.structs.replace(found, name=now.name, note=now.note)
        self._session.put(other(self._session.document, situation=loaded), _("Load a cell of the map"))

    # --- files -----------------------------------------------------------------------------------

    def write_picture(self, path: Path | None = None) -> None:
        """Write the map as PNG or SVG to ``path``, or to where the player says."""
        path = path or self._ask_path(_("Save picture"), "map.png", _("Pictures (*.png *.svg)"))
        if path is None or self.map is None:
            return
        if path.suffix not in (".png", ".svg"):
            path = path.with_suffix(".png")
        try:
            write_picture(self.map, path, PICTURE_SIZE, self._measures.style, self.chart.layer)
        except OSError as error:
            self.failed.emit(
                _("{file} cannot be written: {error}.").format(file=path.name, error=error.strerror)
            )

    def write_table(self, path: Path | None = None) -> None:
        """Write the map as CSV to ``path``, or to where the player says."""
        path = path or self._ask_path(_("Save table"), "map.csv", _("Tables (*.csv)"))
        if path is None or self.map is None:
            return
        try:
            path.write_text(map_csv(self.map, yards=self._measures.style.yards), encoding="utf-8")
        except OSError as error:
            self.failed.emit(
                _("{file} cannot be written: {error}.").format(file=path.name, error=error.strerror)
            )

    def _ask_path(self, title: str, first: str, kinds: str) -> Path | None:
        found, _kind = QFileDialog.getSaveFileName(self._window(), title, first, kinds)
        return Path(found) if found else None

    def _window(self) -> QWidget:
        return self.window()
