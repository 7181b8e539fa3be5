"""Sentences pass through gettext: a catalogue that is added is used, and numbers are left alone.

The form of a catalogue is that of the GNU gettext manual ("The Format of GNU MO Files"; from memory) and read
by the standard library, which knows nothing of ours; the made language is invented.
"""

import os
import struct
import subprocess
import sys
from gettext import NullTranslations
from typing import Any

import pytest

from shortgame_gui import assets
from shortgame_gui.words import language

MADE = {
    "": "Content-Type: text/plain; charset=UTF-8\n",
    "chip": "tšip",
    "{club} from off the green": "pihalta {club}",
    "land it {past} on the green": "pudota {past} viheriölle",
}


def mo(messages: dict[str, str]) -> bytes:
    """A catalogue: magic, revision, count, two tables of (length, offset), sorted texts that end in zero."""
    pairs = sorted((key.encode(), value.encode()) for key, value in messages.items())
    start, body, tables = 28 + 16 * len(pairs), b"", [b"", b""]
    for side in (0, 1):
        for pair in pairs:
            tables[side] += struct.pack("<II", len(pair[side]), start + len(body))
            body += pair[side] + b"\0"
    head = struct.pack("<7I", 0x950412DE, 0, len(pairs), 28, 28 + 8 * len(pairs), 0, 28 + 16 * len(pairs))
    return head + tables[0] + tables[1] + body


SPEAK = """
import sys
from shortgame_gui import assets
data, made = assets.data, bytes.fromhex(sys.argv[1])
assets.data = lambda name: made if name == "locale/xq/LC_MESSAGES/shortgame.mo" else data(name)
from shortgame_gui.words import text
from shortgame_gui.words.numbers import Style
print(text.shot_name("9-iron", "chip"), text.shot_name("putter", "putt"), text.TECHNIQUES["pitch"], sep="|")
print(text._("land it {past} on the green").format(past=Style(decimal=",").short(1.0)))
"""


def speak(said: str) -> list[str]:
    """What a process in the language ``said`` prints."""
    env = {k: v for k, v in os.environ.items() if k not in language.VARIABLES}
    env |= {"LANGUAGE": said, "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", SPEAK, mo(MADE).hex()],
        env=env, capture_output=True, encoding="utf-8", check=True,
    )  # fmt: skip
    return done.stdout.splitlines()


def test_a_catalogue_is_used_where_its_language_is_wanted() -> None:
    assert speak("xq_XQ") == ["9-iron, tšip|Pihalta putter|pitch", "pudota 3,3 ft viheriölle"]


def test_without_a_catalogue_the_sentences_are_english() -> None:
    assert speak("fi") == ["9-iron, chip|Putter from off the green|pitch", "land it 3,3 ft on the green"]


@pytest.mark.parametrize(
    ("environment", "codes"),
    [
        ({"LANG": "de_AT.UTF-8"}, ["de_AT", "de"]),
        ({"LANGUAGE": "xq:de", "LANG": "en_GB.UTF-8"}, ["xq", "de"]),
        ({"LC_ALL": "C.UTF-8", "LANG": "de_DE"}, ["C"]),
        ({"LANG": "sr@latin"}, ["sr"]),
        ({}, []),
    ],
)
def test_the_order_of_the_environment_is_gettexts_own(environment: dict[str, str], codes: list[str]) -> None:
    assert language.wanted(environment) == codes


def test_english_is_there_without_a_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def data(name: str) -> Any:
        asked.append(name)
        return mo(MADE)

    monkeypatch.setattr(assets, "data", data)
    assert type(language.catalogue(["en_GB", "en", "xq"])) is not NullTranslations  # en_GB could have words
    assert type(language.catalogue(["en", "xq"])) is NullTranslations
    assert asked == ["locale/en_GB/LC_MESSAGES/shortgame.mo"]
