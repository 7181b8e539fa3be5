"""Every action of the window in one list: its name, shortcut and what it does; menus are made from it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from shortgame_gui.words.language import N_, _

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

FILE, EDIT, VIEW = N_("&File"), N_("&Edit"), N_("&View")
PLAYBACK, GO, HELP = N_("&Playback"), N_("&Go"), N_("&Help")

ENTRIES: tuple[Entry, ...] = (
    Entry("new", FILE, N_("&New"), N_("Begin with an everyday situation."), _K.New),
    Entry("open", FILE, N_("&Open ..."), N_("Open a situation file."), _K.Open),
    Entry("open_bag", FILE, N_("Open &bag ..."), N_("Use the clubs of a bag file, also at the next start.")),
    Entry("usual_bag", FILE, N_("&Usual bag"), N_("Use the twelve usual clubs again.")),
    Entry("save", FILE, N_("&Save"), N_("Write the situation to its file."), _K.Save, rule_before=True),
    Entry("save_as", FILE, N_("Save &as ..."), N_("Write the situation to another file."), _K.SaveAs),
    Entry("shot_card", FILE, N_("Shot &card ..."),
          N_("Print situation, pictures, shots and set-up on one page, as PDF."), _K.Print, rule_before=True),
    Entry("lesson_sheet", FILE, N_("&Lesson sheet ..."),
          N_("Print the shots side by side, why they differ, set-up and a drill, as PDF.")),
    Entry("shots_table", FILE, N_("Ranked shots as CS&V ..."),
          N_("Write all ranked shots into a table file.")),
    Entry("views_picture", FILE, N_("&Picture of the views ..."),
          N_("Write side view and plan view into a picture file, as PNG or SVG.")),
    Entry("quit", FILE, N_("&Quit"), N_("Close the window."), "Ctrl+Q", rule_before=True),
    Entry("undo", EDIT, N_("&Undo"), N_("Take the last edit back."), _K.Undo),
    Entry("redo", EDIT, N_("&Redo"), N_("Do the edit again that was taken back."), _K.Redo),
    Entry("copy_shots", EDIT, N_("&Copy ranked shots"),
          N_("Put the ranked table on the clipboard, for a spreadsheet; in the table Ctrl+C does it."),
          rule_before=True),
    Entry("settings", EDIT, N_("&Settings ..."),
          N_("What is shown and remembered, and how new situations begin."),
          "Ctrl+,", rule_before=True),
    Entry("yards", VIEW, N_("&Yards and feet"), N_("Show lengths in yards and feet."), group="units"),
    Entry("metres", VIEW, N_("&Metres"), N_("Show lengths in metres."), group="units"),
    Entry("light", VIEW, N_("&Light"), N_("Dark ink on light paper."), group="theme", rule_before=True),
    Entry("dark", VIEW, N_("&Dark"), N_("Light ink on dark paper."), group="theme"),
    Entry("desktop", VIEW, N_("&As the desktop"), N_("Light or dark as the desktop is."), group="theme"),
    Entry("present", VIEW, N_("&Present to a group"),
          N_("Fill the screen with the shots side by side; Page down and Page up turn to other situations."),
          "F11", rule_before=True),
    Entry("equal_scale", VIEW, N_("&Equal scale"),
          N_("Show heights in the side view on the scale of distances."),
          "Ctrl+E", tick=True, rule_before=True),
    Entry("details", VIEW, N_("De&tails of the shots"),
          N_("How the shots that are drawn are delivered, fly and end, figure by figure."), "Ctrl+D",
          rule_before=True),
    Entry("play", PLAYBACK, N_("&Play or pause"), N_("Let the balls of all shown shots run together."), "F5"),
    Entry("landing_before", PLAYBACK, N_("Landing &before"), N_("Back to the landing before."), "F6"),
    Entry("next_landing", PLAYBACK, N_("&Next landing"), N_("On to the next landing."), "F7"),
    Entry("pace_1", PLAYBACK, N_("&Real time"),
          N_("As fast as the balls go."), group="pace", rule_before=True),
    Entry("pace_2", PLAYBACK, N_("&Half speed"), N_("Half as fast as the balls go."), group="pace"),
    Entry("pace_4", PLAYBACK, N_("&Quarter speed"), N_("A quarter as fast as the balls go."), group="pace"),
    Entry("to_panel", GO, N_("&Situation"), N_("Put the keyboard into the situation panel."), "F2"),
    Entry("to_table", GO, N_("Ranked s&hots"), N_("Put the keyboard into the ranked table."), "F3"),
    Entry("to_side", GO, N_("Si&de view"), N_("Put the keyboard into the side view."), "F8"),
    Entry("to_plan", GO, N_("&Plan view"), N_("Put the keyboard into the plan view."), "F9"),
    Entry("to_words", GO, N_("&Why and set-up"), N_("Put the keyboard into the explanation."), "F4"),
    Entry("help", HELP, N_("&Help"), N_("Help for the part that has the keyboard."), _K.HelpContents),
    Entry("figures", HELP, N_("What is this &figure?"),
          N_("The figures that matter for the part that has the keyboard, with their standing and source."),
          "Shift+F1"),
    Entry("keys", HELP, N_("&Keyboard"), N_("List all shortcuts.")),
    Entry("about", HELP, N_("&About"), N_("What this program is, and what its figures rest on.")),
)  # fmt: skip


def make_actions(
    window: QMainWindow, do: Callable[[str, bool], None]
) -> tuple[dict[str, QAction], dict[str, QMenu]]:
    """Actions by code, new menus of ``window`` by `Entry.menu`; each calls ``do`` with code and tick."""
    made: dict[str, QAction] = {}
    groups: dict[str, QActionGroup] = {}
    menus: dict[str, QMenu] = {}
    for entry in ENTRIES:
        if entry.menu not in menus:
            menus[entry.menu] = window.menuBar().addMenu(_(entry.menu))
            menus[entry.menu].setToolTipsVisible(True)
        action = QAction(_(entry.text), window)
        action.setObjectName(entry.code)
        action.setToolTip(_(entry.tip))
        action.setStatusTip(_(entry.tip))
        if isinstance(entry.keys, str):
            action.setShortcut(QKeySequence(entry.keys))
        elif entry.keys is not None:
            action.setShortcuts(entry.keys)  # all that the desktop knows for it
        action.setCheckable(bool(entry.group) or entry.tick)
        if entry.group:
            groups.setdefault(entry.group, QActionGroup(window)).addAction(action)
        action.triggered.connect(lambda on=False, code=entry.code: do(code, on))
        if entry.rule_before:
            menus[entry.menu].addSeparator()
        menus[entry.menu].addAction(action)
        made[entry.code] = action
    return made, menus


IN_PARTS: tuple[tuple[str, str], ...] = (
    (N_("Page Down, Page Up"), N_("In the views: choose the next or the last thing that can be moved.")),
    (N_("Arrow keys"), N_("In the views: move it; further with Shift.")),
    (N_("Delete"), N_("In the side view: take the chosen ground point away.")),
    (N_("Space"), N_("In the views: play or pause. In the table: draw a shot beside the one in front.")),
    (N_("Enter"), N_("In the table: the details. In the map: make the cell the situation.")),
    (N_("Escape"), N_("In the views: let go of everything.")),
)
"""Keys that some part of the window answers by itself, and what they do."""


def keys_text(pages: Iterable[QAction] = ()) -> str:
    """All shortcuts as lines of text for the help, with those of the window's ``pages``."""
    lines = [f"{_(keys)}: {_(what)}" for keys, what in IN_PARTS]
    native = QKeySequence.SequenceFormat.NativeText
    lines += [f"{page.shortcut().toString(native)}: {page.text()}. {page.statusTip()}" for page in pages]
    for entry in ENTRIES:
        if entry.keys is not None:
            keys = QKeySequence(entry.keys).toString(native)
            lines.append(f"{keys or '-'}: {_(entry.tip)}")
    return "\n".join(lines)
