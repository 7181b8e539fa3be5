"""Which language the sentences are in: English, or a catalogue that somebody adds to `resources/locale/`.

A sentence is translated when it is said, never when it is written down: a table holds what `N_` marks, and
`_` or `Phrases` say it. So the language may be chosen at any time before the window is made; at first it is
that of the environment (`LANGUAGE`, `LC_ALL`, `LC_MESSAGES`, `LANG`, in gettext's own order). A catalogue
holds words only: numbers and units come from `words.numbers`.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator, Mapping
from gettext import GNUTranslations, NullTranslations
from typing import TypeVar

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


def speak(words: NullTranslations) -> NullTranslations:
    """Say everything in the language of the catalogue ``words`` from now on; returns the one before."""
    global _chosen
    before, _chosen = _chosen, words
    return before


def _(sentence: str) -> str:
    """The sentence in the language of the reader."""
    return _chosen.gettext(sentence) if sentence else ""


def plural(one: str, many: str, count: int) -> str:
    """The sentence for ``count`` things: English has two, other languages have others."""
    return _chosen.ngettext(one, many, count)


def N_(sentence: str) -> str:
    """Marks a sentence that stands in a table and is translated when it is said."""
    return sentence


Code = TypeVar("Code", bound=str)


class Phrases(Mapping[Code, str]):
    """Code -> phrase in the language of the reader, from a table of phrases marked by `N_`."""

    def __init__(self, phrases: Mapping[Code, str]) -> None:
        self._phrases = dict(phrases)

    def __getitem__(self, code: Code) -> str:
        return _(self._phrases[code])

    def __iter__(self) -> Iterator[Code]:
        return iter(self._phrases)

    def __len__(self) -> int:
        return len(self._phrases)
