"""The one window: menus, the situation panel on the left, the workspace, and the status bar."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import (
    QDockWidget,
    QLabel,
    QLayout,
    QMainWindow,
    QMenu,
    QProgressBar,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui import assets
from shortgame_gui.desktop.actions import FILE, GO, VIEW, keys_text, make_actions
from shortgame_gui.desktop.advisor import Advisor, Question, ask_engine
from shortgame_gui.desktop.engine import Engine
from shortgame_gui.desktop.exports import Exports
from shortgame_gui.desktop.filing import Filing
from shortgame_gui.desktop.help import Help, about, page_of, rows_of
from shortgame_gui.desktop.jobs import run_here
from shortgame_gui.desktop.map.workspace import MapWorkspace
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.notice import Notice
from shortgame_gui.desktop.recovery import Offer, Recovery
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.settings import Settings, data_folder
from shortgame_gui.desktop.settings_box import SettingsBox
from shortgame_gui.desktop.shot.details import Details
from shortgame_gui.desktop.shot.playback import Playback
from shortgame_gui.desktop.shot.workspace import ShotWorkspace
from shortgame_gui.desktop.side_by_side.workspace import SideBySideWorkspace
from shortgame_gui.desktop.situation_panel import SituationPanel
from shortgame_gui.desktop.text_box import TextBox
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.desktop.workspace import Rail
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import UNNAMED, Bag
from shortgame_gui.store.documents import DocumentError, packaged_bag
from shortgame_gui.words.details import clubs_text
from shortgame_gui.words.language import N_, _, plural

PANEL_WIDTH, PANEL_FRAME = 310, 24
"""Least width of the situation panel in pixels, and what of it frames its widest editor."""
DEMOS = "situations/"
ABOUT = N_(
    "Short-game advisor\n\n"
    "Tells a golfer within 100 yards which club, technique, landing spot and swing to use. "
    "Every figure rests on a published source, on common practice, or on an estimate of our own, "
    "and the table of coefficients says which. "
    "For rehearsing and teaching: during a round the Rules of Golf (4.3) do not allow such advice."
)


class MainWindow(QMainWindow):
    """Owns the session and all that shows it. Call `close` before letting it go: it ends the workers.

    Long work is done by ``engine``, which ends with the window, else on threads of the window's own process.
    """

    def __init__(
        self, settings: Settings, theme: Theme, question: Question = ask_engine, engine: Engine | None = None
    ) -> None:
        super().__init__()
        self._settings, self.theme, self._engine = settings, theme, engine
        run = engine.run if engine is not None else run_here
        self.measures = Measures(settings.units, self, settings.decimal)
        self.session = Session(parent=self)
        self.advisor = Advisor(self.session, question, self, run=run)
        self.filing = Filing(self.session, settings, self)
        self.exports = Exports(self.session, self.measures, self)
        self.notice, self.offer = Notice(theme), Notice(theme)
        self.recovery = Recovery(self.session, data_folder() / "unsaved", self)
        self.shot = ShotWorkspace(self.session, theme, self.measures)
        self.side_by_side = SideBySideWorkspace(self.session, theme, self.measures, run=run)
        self.map = MapWorkspace(self.session, theme, self.measures)
        self._told_bag: Bag | None = None
        self.rail = Rail((self.shot, self.side_by_side, self.map))
        self.panel = SituationPanel(self.session, self.measures, theme)
        self.help = Help(self.measures, self)
        self._build()
        self._describe()
        self.actions_by_code, self._menus = make_actions(self, self._do)
        self._build_menus()
        self._connect()
        self._restore()
        self._on_file()
        self._on_undo()

    # --- building --------------------------------------------------------------------------------

    def _build(self) -> None:
        # Set once and not by the layout: the smallest size would be told to the desktop anew at every edit.
        frame = self.layout()
        if frame is not None:
            frame.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(960, 540)
        self.resize(1280, 800)
        self.setAcceptDrops(True)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)  # it would only hide rail and panel
        self.dock = QDockWidget(_("Situation"), self)
        self.dock.setObjectName("situation")
        self.dock.setFeatures(QDockWidget.DockWidgetFeature.NoDockWidgetFeatures)
        # Above the panel: at the edge its few words kept a column of the whole height from the pictures.
        self.dock.setTitleBarWidget(self.rail)
        self.dock.setWidget(self.panel)
        widest = max(editor.minimumSizeHint().width() for editor in self.panel.editors.values())
        bar = self.panel.verticalScrollBar().sizeHint().width()
        self.panel.setMinimumWidth(max(PANEL_WIDTH, widest + PANEL_FRAME + bar))
        self.addDockWidget(Qt.DockWidgetArea.LeftDockWidgetArea, self.dock)
        centre = QWidget()
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.offer)
        column.addWidget(self.notice)
        column.addWidget(self.rail.stack, 1)
        self.setCentralWidget(centre)
        self.state = QLabel()
        self.state.setAccessibleName(_("State of the advice"))
        self.progress = QProgressBar()
        self.progress.setRange(0, 100)
        self.progress.setMaximumWidth(160)
        self.progress.setMaximumHeight(14)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(_("Progress of the advice"))
        self.progress.hide()
        self.clubs = QLabel()
        self.clubs.setAccessibleName(_("Bag"))
        self.clubs.setContentsMargins(8, 0, 0, 0)
        self.clubs.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.statusBar().addWidget(self.clubs, 1)
        self.statusBar().addPermanentWidget(self.progress)
        self.statusBar().addPermanentWidget(self.state)

    def _describe(self) -> None:
        """Say which page of the help, and which figures, belong to each part."""
        shot = self.shot
        about(shot.headline, "start", "technique.{technique}. score. choose.", _("The shot in front"))
        about(shot.side, "side-view", "flight. air. turf. run.", _("Side view"))
        about(shot.plan, "plan-view", "run. surface.green. level.{player.level}.", _("Plan view"))
        about(
            shot.table,
            "ranked-table",
            "technique.{technique}. score. baseline. choose.",
            _("The shot in front"),
        )
        about(self.side_by_side, "side_by_side", "strike. flight. turf. surface. run.", _("Side by side"))
        about(shot.explanation, "explanation", "technique.{technique}. caution.", _("The shot in front"))

    def _build_menus(self) -> None:
        file_menu = self._menus[FILE]
        before = self.actions_by_code["open_bag"]
        self.demo_menu, self.recent_menu = QMenu(_("&Demo situations"), self), QMenu(_("Open &recent"), self)
        file_menu.insertMenu(before, self.demo_menu)
        file_menu.insertMenu(before, self.recent_menu)
        for file in assets.demo_files(".json"):
            if file.startswith(DEMOS):
                action = self.demo_menu.addAction(demo_title(file))
                action.setObjectName(f"demo_{Path(file).stem}")
                action.triggered.connect(partial(self._open_demo, file))
        self._menus[VIEW].addMenu(self.shot.table.columns_menu)
        go = self._menus[GO]
        first = go.actions()[0]
        go.insertActions(first, list(self.rail.choices.values()))
        go.insertSeparator(first)
        self.recent_menu.aboutToShow.connect(self._fill_recent)
        self._fill_recent()

    def _connect(self) -> None:
        self.session.file_changed.connect(self._on_file)
        self.session.changed.connect(self._on_file)
        self.session.changed.connect(self.notice.go_on)
        self.session.refused.connect(self._on_refused)
        stack = self.session.undo_stack
        for signal in (
            stack.canUndoChanged,
            stack.canRedoChanged,
            stack.undoTextChanged,
            stack.redoTextChanged,
        ):
            signal.connect(self._on_undo)
        self.filing.failed.connect(self.notice.tell)
        self.filing.succeeded.connect(self.notice.hide)
        self.filing.done.connect(lambda sentence: self.statusBar().showMessage(sentence, 5000))
        table = self.shot.table
        table.columns_changed.connect(lambda: setattr(self._settings, "columns", table.columns))
        table.activated.connect(self._show_details)
        table.copied.connect(lambda sentence: self.statusBar().showMessage(sentence, 5000))
        self.exports.failed.connect(self.notice.tell)
        self.exports.done.connect(self.notice.hide)
        self.shot.picture_wanted.connect(lambda view: self.exports.views_picture([view]))
        self.exports.done.connect(lambda sentence: self.statusBar().showMessage(sentence, 5000))
        self.measures.changed.connect(self._tell_bag_anew)
        self.advisor.failed.connect(self.notice.tell)
        self.advisor.unanswered.connect(self.shot.headline.tell_none)
        self.advisor.working.connect(self._on_progress)
        self.advisor.settled.connect(self._on_settled)
        for workspace in self.rail.workspaces.values():
            if workspace.playback is not None:
                workspace.playback.changed.connect(self._on_pace)
        self.rail.chosen.connect(self._on_pace)
        self.side_by_side.lesson_wanted.connect(self.actions_by_code["lesson_sheet"].trigger)
        self.side_by_side.board.failed.connect(self.notice.tell)
        self.map.failed.connect(self.notice.tell)
        self._on_pace()

    def _restore(self) -> None:
        self.actions_by_code[self.theme.mode].setChecked(True)
        self.actions_by_code[self.measures.system].setChecked(True)
        groups = self._settings.open_groups
        if groups is not None:
            for code, section in self.panel.sections.items():
                section.heading.setChecked(code in groups)
        columns = self._settings.columns
        if columns is not None:
            self.shot.table.show_columns(columns)
        geometry = self._settings.layout("window")
        if geometry is not None:
            self.restoreGeometry(geometry)
            bring_on_screen(self)
        for name, splitter in self._splitters().items():
            state = self._settings.layout(name)
            if state is not None:
                splitter.restoreState(state)

    def _splitters(self) -> dict[str, QSplitter]:
        return {name: s for w in self.rail.workspaces.values() for name, s in w.splitters().items()}

    # --- starting and ending ---------------------------------------------------------------------

    def begin(self, path: Path | None) -> None:
        """Open ``path``, else what was open last, else the first demo; then ask for advice.

        The clubs are those of the bag that was in use last. Raises DocumentError when ``path`` is given and
        cannot be read.
        """
        self._take_last_bag()
        if path is not None:
            self.session.open(path)
            self._settings.remember(path)
        elif not self._open_last():
            self.session.open_demo(next(f for f in assets.demo_files(".json") if f.startswith(DEMOS)))
        self.advisor.start()

    def offer_recovery(self) -> None:
        """Ask about what a crash left behind, in a line that holds nothing up."""
        Offer(self.recovery, self.session, self.filing, self.offer).show()

    def begin_with(self, document: Document) -> None:
        """Start with ``document``, which has no file; then ask for advice."""
        self.session.begin_with(document)
        self.advisor.start()

    def _take_last_bag(self) -> None:
        last = self._settings.bag
        if last is None:
            return
        try:
            self.session.begin_with_bag(last)
        except DocumentError as error:
            self.notice.tell(
                _("{file}, your bag of last time: {error}; these are the usual clubs.").format(
                    file=last.name, error=error
                )
            )

    def _open_last(self) -> bool:
        last = self._settings.last
        if last is None:
            return False
        try:
            self.session.open(last)
        except DocumentError as error:
            self.notice.tell(_("{file}, which was open last: {error}").format(file=last.name, error=error))
            self._settings.forget_last()
            return False
        return True

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.filing.may_leave():
            event.ignore()
            return
        self._settings.open_groups = [code for code, s in self.panel.sections.items() if s.is_open]
        self._settings.bag = self.session.bag_path
        self._settings.keep_layout("window", self.saveGeometry())
        for name, splitter in self._splitters().items():
            self._settings.keep_layout(name, splitter.saveState())
        self.recovery.close()
        self.end_work()
        super().closeEvent(event)

    def end_work(self) -> None:
        """End all threads and processes; the window can be looked at, but answers nothing any more."""
        if self._engine is not None:
            self._engine.close()
        for workspace in self.rail.workspaces.values():
            workspace.close_down()
        self.advisor.close()

    # --- actions ---------------------------------------------------------------------------------

    def _do(self, code: str, on: bool) -> None:
        """Carry out the action ``code``."""
        match code:
            case "new" | "open" | "open_bag" | "save" | "save_as":
                getattr(self.filing, code)()
            case "usual_bag":
                self.session.use_usual_bag()
                self._settings.bag = None
            case "shot_card" | "shots_table":
                getattr(self.exports, code)()
            case "views_picture":
                self.exports.views_picture([self.shot.side, self.shot.plan])
            case "lesson_sheet":
                self.rail.choose(self.side_by_side.code)
                self.exports.lesson_sheet(self.side_by_side.board)
            case "present":
                self.rail.choose(self.side_by_side.code)
                self.side_by_side.present()
            case "quit":
                self.close()
            case "undo" | "redo":
                before = self.session.bag
                getattr(self.session.undo_stack, code)()
                if self.session.bag != before:
                    self._settings.bag = self.session.bag_path
            case "yards" | "metres":
                self.measures.switch(code)
                self._settings.units = self.measures.system
            case "light" | "dark" | "desktop":
                self.theme.switch(code)
                self._settings.theme = self.theme.mode
            case "equal_scale":
                self.shot.side.set_equal_scale(on)
            case "play":
                self.playback.play_or_pause()
            case "landing_before" | "next_landing":
                self.playback.step(1 if code == "next_landing" else -1)
            case "pace_1" | "pace_2" | "pace_4":
                self.playback.set_pace(1.0 / int(code[-1]))
            case "to_side" | "to_plan":
                self.rail.choose(self.shot.code)
                view = self.shot.side if code == "to_side" else self.shot.plan
                view.setFocus(Qt.FocusReason.ShortcutFocusReason)
            case "to_panel":
                self.panel.focus_first()
            case "to_table":
                self.rail.choose(self.shot.code)
                self.shot.table.setFocus(Qt.FocusReason.ShortcutFocusReason)
            case "to_words":
                self.rail.choose(self.shot.code)
                self.shot.explanation.setFocus(Qt.FocusReason.ShortcutFocusReason)
            case "details":
                self._show_details()
            case "copy_shots":
                self.shot.table.copy()
            case "settings":
                self._show_settings()
            case "help":
                self.help.show_page(page_of(self.focusWidget()))
            case "figures":
                self.help.show_figures(*rows_of(self.focusWidget(), self.session))
            case "keys":
                TextBox(_("Keyboard"), keys_text(self.rail.choices.values()), self).open()
            case "about":
                TextBox(_("About"), _(ABOUT), self).open()
            case _:
                raise ValueError(f"no action {code!r}")

    def _show_settings(self) -> None:
        box = self.findChild(SettingsBox) or SettingsBox(
            self._settings, self.measures, self.actions_by_code, self
        )
        box.show()
        box.activateWindow()

    def _show_details(self) -> None:
        """The page of details, which is there once."""
        page = self.findChild(Details) or Details(self.session, self.measures, self)
        page.show()
        page.activateWindow()

    def _open_demo(self, name: str) -> None:
        if self.filing.open_demo(name):
            self._settings.forget_last()

    def _fill_recent(self) -> None:
        self.recent_menu.clear()
        for path in self._settings.recent:
            action = self.recent_menu.addAction(path.name)
            action.setObjectName("recent_file")
            action.setToolTip(str(path))
            action.triggered.connect(partial(self.filing.open, path))
        self.recent_menu.setEnabled(not self.recent_menu.isEmpty())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls() and event.mimeData().urls()[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        self.filing.open(Path(event.mimeData().urls()[0].toLocalFile()))

    # --- what changes by itself ------------------------------------------------------------------

    def _on_file(self) -> None:
        self.setWindowTitle(f"{self.session.situation.name}[*] - {_('Short-game advisor')}")
        self.setWindowModified(self.session.unsaved)
        self._fill_recent()
        self._tell_bag()

    def _on_refused(self, label: str, error: FieldError) -> None:
        self.notice.refuse(f"{label}: {self.measures.problem(error)}")

    def _tell_bag_anew(self) -> None:
        self._told_bag = None
        self._tell_bag()

    def _tell_bag(self) -> None:
        """Name the bag where it is not the usual one; its clubs stand in the tool tip."""
        bag = self.session.bag
        if bag is self._told_bag:
            return
        self._told_bag = bag
        usual = bag == packaged_bag()
        path = self.session.bag_path
        called = path.stem if path is not None and bag.name == UNNAMED else bag.name
        self.clubs.setText("" if usual else _("Bag: {name}").format(name=called))
        self.clubs.setToolTip("" if usual else clubs_text(bag, self.measures.style))

    def _on_undo(self) -> None:
        stack = self.session.undo_stack
        for code, can, words, what in (
            ("undo", stack.canUndo(), _("&Undo {what}"), stack.undoText()),
            ("redo", stack.canRedo(), _("&Redo {what}"), stack.redoText()),
        ):
            action = self.actions_by_code[code]
            action.setEnabled(can)
            action.setText(words.format(what=what).strip())

    @property
    def playback(self) -> Playback:
        """The playback of the workspace in view, or that of the shot."""
        return self.rail.current.playback or self.shot.playback

    def _on_pace(self) -> None:
        self.actions_by_code[f"pace_{round(1.0 / self.playback.pace)}"].setChecked(True)

    def _on_progress(self, share: float) -> None:
        self.progress.setValue(round(100 * share))
        self.progress.show()
        self.state.setText(_("Working out the shots ..."))

    def _on_settled(self) -> None:
        self.progress.hide()
        advice = self.session.advice
        if advice is not None and self.session.current:
            count = len(advice.shots)
            if not count:
                self.state.setText(_("No shot to compare"))
                return
            self.state.setText(
                plural(
                    "{n} shot compared, up to {balls} balls each",
                    "{n} shots compared, up to {balls} balls each",
                    count,
                ).format(n=count, balls=advice.samples)
            )
        else:
            self.state.setText(_("No advice"))


def bring_on_screen(window: QWidget) -> None:
    """Move a window that no screen shows enough of, for example after one was unplugged."""
    title = window.frameGeometry().adjusted(40, 0, -40, 40 - window.frameGeometry().height())
    screens = [screen.availableGeometry() for screen in QGuiApplication.screens()]
    if not any(screen.intersects(title) for screen in screens):
        room = QGuiApplication.primaryScreen().availableGeometry()
        window.resize(window.size().boundedTo(room.size()))
        window.move(room.center() - window.rect().center())


def demo_title(file: str) -> str:
    """``situations/08-two-tier-green.json`` as "8 Two tier green"."""
    stem = file.rsplit("/", 1)[-1].removesuffix(".json")
    number, _dash, words = stem.partition("-")
    words = words.replace("-", " ")
    return f"{number.lstrip('0')} {words[:1].upper()}{words[1:]}"
