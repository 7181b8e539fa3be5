"""The page of settings: each choice holds at once, agrees with the menus, and is remembered as said."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QByteArray, Qt
from PySide6.QtWidgets import QComboBox

from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.settings_box import SettingsBox
from shortgame_gui.model.situation import Situation


@pytest.fixture
def box(window: MainWindow) -> SettingsBox:
    window.actions_by_code["settings"].trigger()
    window.actions_by_code["settings"].trigger()
    (found,) = window.findChildren(SettingsBox)
    assert found.isVisible() and not found.isModal()
    return found


def choose(combo: QComboBox, code: str, qtbot: Any) -> None:
    """By keyboard, as a user would."""
    while combo.currentData() != code:
        down = combo.currentIndex() < combo.findData(code)
        qtbot.keyClick(combo, Qt.Key.Key_Down if down else Qt.Key.Key_Up)


def test_units_and_colours_are_those_of_the_menu(box: SettingsBox, window: MainWindow, qtbot: Any) -> None:
    assert (box.units.currentData(), box.colours.currentData()) == ("yards", "light")
    choose(box.units, "metres", qtbot)
    assert window.measures.system == "metres" and Settings().units == "metres"
    assert window.actions_by_code["metres"].isChecked()
    window.actions_by_code["yards"].trigger()
    assert box.units.currentData() == "yards"
    choose(box.colours, "dark", qtbot)
    assert window.theme.dark and Settings().theme == "dark"
    assert window.actions_by_code["dark"].isChecked()
    window.actions_by_code["light"].trigger()
    assert box.colours.currentData() == "light"


def test_the_decimal_sign_holds_at_once_and_is_remembered(
    box: SettingsBox, window: MainWindow, qtbot: Any
) -> None:
    assert "2.50\xa0±\xa00.01 strokes" in window.shot.headline.detail.text()
    choose(box.sign, "comma", qtbot)
    assert "2,50\xa0±\xa00,01 strokes" in window.shot.headline.detail.text()
    assert Settings().decimal == "comma"
    choose(box.sign, "point", qtbot)
    assert "2.50\xa0±\xa00.01 strokes" in window.shot.headline.detail.text()


def test_new_situations_begin_with_the_players_own(box: SettingsBox, window: MainWindow, qtbot: Any) -> None:
    before = window.session.situation
    choose(box.level, "20", qtbot)
    choose(box.hand, "left", qtbot)
    assert window.session.situation is before
    window.actions_by_code["new"].trigger()
    player = window.session.situation.player
    assert (player.level, player.hand) == ("20", "left")
    assert window.session.situation.lie == Situation().lie
    assert window.advisor.runner.wait_until_idle()
    box.close()
    again = SettingsBox(Settings(), window.measures, window.actions_by_code, window)
    assert (again.level.currentData(), again.hand.currentData()) == ("20", "left")


def test_what_is_remembered_is_the_players_to_say(
    box: SettingsBox, window: MainWindow, tmp_path: Path, qtbot: Any
) -> None:
    def fill() -> Settings:
        settings = Settings()
        settings.remember(tmp_path / "a.json")
        settings.open_groups = ["lie"]
        settings.keep_layout("window", QByteArray(b"1"))
        return settings

    def kept() -> tuple[bool, bool]:
        settings = Settings()
        files = (bool(settings.recent), settings.last is not None)
        layout = (settings.open_groups is not None, settings.layout("window") is not None)
        assert files[0] == files[1] and layout[0] == layout[1]
        return files[0], layout[0]

    fill()
    assert kept() == (True, True)
    box.forget.click()
    assert kept() == (False, False)
    assert box.said.text() == "Forgotten."
    fill()
    box.files.click()
    assert kept() == (False, True)
    fill()
    assert kept() == (False, True)
    box.layout_kept.click()
    assert kept() == (False, False)
    fill()
    assert kept() == (False, False)
    box.files.click()
    box.layout_kept.click()
    fill()
    assert kept() == (True, True)


def test_every_choice_says_what_it_is(box: SettingsBox) -> None:
    for part in (
        box.units, box.sign, box.colours, box.level, box.hand, box.files, box.layout_kept, box.forget,
    ):  # fmt: skip
        assert part.accessibleName() and part.toolTip()
    box.grab()
