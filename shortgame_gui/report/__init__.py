"""The printed forms of the advice: text, JSON and sheets."""
