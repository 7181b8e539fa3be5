"""Sentences made from the codes and numbers that the engine and the advice return."""
