"""Every action of the window in one list: its name, shortcut and what it does; menus are made from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

Keys = QKeySequence.StandardKey | str | None


@dataclass(frozen=True)
class Entry:
    """One action: ``group`` joins those of which one is always ticked; ``tick`` makes a lone one tickable."""

    code: str
    menu: str
    text: str
    tip: str
    keys: Keys = None
    group: str = ""
    tick: bool = False
    rule_before: bool = False


_K = QKeySequence.StandardKey

ENTRIES: tuple[Entry, ...] = (
    Entry("new", "&File", "&New", "Begin with an everyday situation.", _K.New),
    Entry("open", "&File", "&Open ...", "Open a situation file.", _K.Open),
    Entry("open_bag", "&File", "Open &bag ...", "Use the clubs of a bag file."),
    Entry("save", "&File", "&Save", "Write the situation to its file.", _K.Save, rule_before=True),
    Entry("save_as", "&File", "Save &as ...", "Write the situation to another file.", _K.SaveAs),
    Entry("shot_card", "&File", "Shot &card ...",
          "Print situation, pictures, shots and set-up on one page, as PDF.", _K.Print, rule_before=True),
    Entry("lesson_sheet", "&File", "&Lesson sheet ...",
          "Print the shots side by side, why they differ, set-up and a drill, as PDF."),
    Entry("shots_table", "&File", "Ranked shots as CS&V ...", "Write all ranked shots into a table file."),
    Entry("views_picture", "&File", "&Picture of the views ...",
          "Write side view and plan view into a picture file, as PNG or SVG."),
    Entry("quit", "&File", "&Quit", "Close the window.", "Ctrl+Q", rule_before=True),
    Entry("undo", "&Edit", "&Undo", "Take the last edit back.", _K.Undo),
    Entry("redo", "&Edit", "&Redo", "Do the edit again that was taken back.", _K.Redo),
    Entry("copy_shots", "&Edit", "&Copy ranked shots",
          "Put the ranked table on the clipboard, for a spreadsheet; in the table Ctrl+C does it.",
          rule_before=True),
    Entry("settings", "&Edit", "&Settings ...", "What is shown and remembered, and how new situations begin.",
          _K.Preferences, rule_before=True),
    Entry("yards", "&View", "&Yards and feet", "Show lengths in yards and feet.", group="units"),
    Entry("metres", "&View", "&Metres", "Show lengths in metres.", group="units"),
    Entry("light", "&View", "&Light", "Dark ink on light paper.", group="theme", rule_before=True),
    Entry("dark", "&View", "&Dark", "Light ink on dark paper.", group="theme"),
    Entry("desktop", "&View", "&As the desktop", "Light or dark as the desktop is.", group="theme"),
    Entry("present", "&View", "&Present to a group",
          "Fill the screen with the shots side by side; Page down and Page up turn to other situations.",
          "F11", rule_before=True),
    Entry("equal_scale", "&View", "&Equal scale", "Show heights in the side view on the scale of distances.",
          "Ctrl+E", tick=True, rule_before=True),
    Entry("details", "&View", "&Details of the shots",
          "How the shots that are drawn are delivered, fly and end, figure by figure.", "Ctrl+D",
          rule_before=True),
    Entry("play", "&Playback", "&Play or pause", "Let the balls of all shown shots run together.", "F5"),
    Entry("landing_before", "&Playback", "Landing &before", "Back to the landing before.", "F6"),
    Entry("next_landing", "&Playback", "&Next landing", "On to the next landing.", "F7"),
    Entry("pace_1", "&Playback", "&Real time", "As fast as the balls go.", group="pace", rule_before=True),
    Entry("pace_2", "&Playback", "&Half speed", "Half as fast as the balls go.", group="pace"),
    Entry("pace_4", "&Playback", "&Quarter speed", "A quarter as fast as the balls go.", group="pace"),
    Entry("to_panel", "&Go", "&Situation", "Put the keyboard into the situation panel.", "F2"),
    Entry("to_table", "&Go", "Ranked s&hots", "Put the keyboard into the ranked table.", "F3"),
    Entry("to_side", "&Go", "Si&de view", "Put the keyboard into the side view.", "F8"),
    Entry("to_plan", "&Go", "&Plan view", "Put the keyboard into the plan view.", "F9"),
    Entry("to_words", "&Go", "&Why and set-up", "Put the keyboard into the explanation.", "F4"),
    Entry("help", "&Help", "&Help", "Help for the part that has the keyboard.", _K.HelpContents),
    Entry("figures", "&Help", "What is this &figure?",
          "The figures that matter for the part that has the keyboard, with their standing and source.",
          "Shift+F1"),
    Entry("keys", "&Help", "&Keyboard", "List all shortcuts."),
    Entry("about", "&Help", "&About", "What this program is, and what its figures rest on."),
)  # fmt: skip


def make_actions(
    window: QMainWindow, do: Callable[[str, bool], None]
) -> tuple[dict[str, QAction], dict[str, QMenu]]:
    """All actions by code, in new menus of ``window``, by title; each calls ``do`` with its code and tick."""
    made: dict[str, QAction] = {}
    groups: dict[str, QActionGroup] = {}
    menus: dict[str, QMenu] = {}
    for entry in ENTRIES:
        if entry.menu not in menus:
            menus[entry.menu] = window.menuBar().addMenu(entry.menu)
            menus[entry.menu].setToolTipsVisible(True)
        action = QAction(entry.text, window)
        action.setObjectName(entry.code)
        action.setToolTip(entry.tip)
        action.setStatusTip(entry.tip)
        if entry.keys is not None:
            action.setShortcut(QKeySequence(entry.keys))
        action.setCheckable(bool(entry.group) or entry.tick)
        if entry.group:
            groups.setdefault(entry.group, QActionGroup(window)).addAction(action)
        action.triggered.connect(lambda on=False, code=entry.code: do(code, on))
        if entry.rule_before:
            menus[entry.menu].addSeparator()
        menus[entry.menu].addAction(action)
        made[entry.code] = action
    return made, menus


def keys_text() -> str:
    """All shortcuts as lines of text for the help."""
    lines = []
    for entry in ENTRIES:
        if entry.keys is not None:
            keys = QKeySequence(entry.keys).toString(QKeySequence.SequenceFormat.NativeText)
            lines.append(f"{keys or '-'}: {entry.tip}")
    return "\n".join(lines)
