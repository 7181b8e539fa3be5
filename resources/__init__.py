"""Packaged as `shortgame_gui.resources` so that an installed program finds its tables and schemas."""
