"""Sentences from codes and numbers, for the command line, the reports and the desktop alike; no Qt."""
