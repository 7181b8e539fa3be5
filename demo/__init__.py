"""Packaged as `shortgame_gui.demo` so that an installed program can open the invented course."""
