"""Which language the sentences are in: English, or a catalogue that somebody adds to `resources/locale/`.

The language is that of the environment (`LANGUAGE`, `LC_ALL`, `LC_MESSAGES`, `LANG`, in gettext's own
order) and is chosen once, at the first import, since many sentences stand in tables. A catalogue holds words
only: numbers and units come from `words.numbers`.
"""

from __future__ import annotations

import io
import os
from collections.abc import Mapping
from gettext import GNUTranslations, NullTranslations

from shortgame_gui import assets

VARIABLES = ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")


def wanted(environment: Mapping[str, str]) -> list[str]:
    """Language codes in the order of preference, each with its country first: "de_AT", then "de"."""
    said = next((environment[name] for name in VARIABLES if environment.get(name)), "")
    found: list[str] = []
    for code in said.split(":"):
        plain = code.split(".")[0].split("@")[0]
        found += [plain, plain.split("_")[0]]
    return [code for code in dict.fromkeys(found) if code]


def catalogue(codes: list[str]) -> NullTranslations:
    """The first catalogue there is among ``codes``; sentences stay as they are where none is.

    English counts as one that is there, so that what is preferred less than English is not taken.
    """
    for code in codes:
        if code in ("en", "C", "POSIX"):
            break
        try:
            return GNUTranslations(io.BytesIO(assets.data(f"locale/{code}/LC_MESSAGES/shortgame.mo")))
        except FileNotFoundError:
            continue
    return NullTranslations()


_chosen = catalogue(wanted(os.environ))
_ = _chosen.gettext
"""The sentence in the language of the reader."""
