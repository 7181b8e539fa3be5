"""Bad files: each gives one plain line that names the field or the line, and never a half-read document."""

from pathlib import Path

import pytest

from shortgame_gui.store.documents import DocumentError, read_bag, read_situation
from shortgame_gui.store.strict_json import LARGEST

CLUB = '{"name": "9-iron", "kind": "iron", "loft": "42 deg"}'
MANY_CLUBS = ", ".join(CLUB.replace("9", str(number)) for number in range(21))
MANY_POINTS = ", ".join(f'{{"at": {number}, "height": 0}}' for number in range(25))

# text of a situation file -> how the line begins
BAD: dict[str, str] = {
    # not a document at all
    "": "the file is empty",
    " \n ": "the file is empty",
    "[]": "the file must hold one object",
    "3": "the file must hold one object",
    "null": "the file must hold one object",
    '{"lie": {"sits": "up"}': "line 1, column 23: not JSON",
    '{"lie": {}\n "hole": {}}': "line 2, column 2: not JSON, expecting ',' delimiter",
    '{"name": "a\nb"}': "line 1, column 12: not JSON",
    "{'name': 1}": "line 1, column 2: not JSON",
    '{"name": "a"} {}': "line 1, column 15: not JSON",
    '{"name": "a"} // why': "line 1, column 15: not JSON",
    "[" * 100_000: "lists and objects are nested too deeply",
    '{"lie":' * 100_000: "lists and objects are nested too deeply",
    '{"lie":' + "[" * 40 + "]" * 40 + "}": "lie: lists and objects are nested too deeply",
    # keys
    '{"name": "a", "name": "a"}': "name: is given twice",
    '{"lie": {"sits": "up", "wet": true, "sits": "down"}}': "lie.sits: is given twice",
    '{"ground": {"bands": [{"end": 1, "end": 2}]}}': "ground.bands[0].end: is given twice",
    '{"lies": {}}': "lies: is no field here; is lie meant?",
    '{"lie": {"sit": "up"}}': "lie.sit: is no field here; is sits meant?",
    '{"clubs": []}': "clubs: is no field here; there are version, name,",
    '{"lie": {"Sits": "up"}}': "lie.Sits: is no field here",
    '{"a\\nb\\u001b": 1}': "'a\\nb\\x1b': is no field here",
    '{"%s": 1}' % ("k" * 5000): "k" * 40 + "...: is no field here",
    '{"": 1}': "'': is no field here",
    '{"ground": {"bands": [{"surface": "sand", "start": 1}]}}': "ground.bands[0].end: is missing",
    # numbers
    '{"hole": {"distance": NaN}}': "hole.distance: must be a finite number",
    '{"hole": {"distance": -Infinity}}': "hole.distance: must be a finite number",
    '{"hole": {"distance": 1e999}}': "hole.distance: must be a finite number",
    '{"hole": {"distance": %s}}' % ("9" * 5000): "hole.distance: must be a finite number",
    '{"note": NaN}': "note: must be a finite number",
    '{"hole": {"distance": 110.1}}': "hole.distance: must be at most 110 (m)",
    '{"hole": {"distance": "130 yd"}}': "hole.distance: must be at most 110 (m)",
    '{"hole": {"distance": -1}}': "hole.distance: must be at least 1 (m)",
    '{"hole": {"distance": "18 parsec"}}': "hole.distance: unit 'parsec' is not one of m, cm, mm, yd, ft, in",
    '{"hole": {"distance": "18,5 m"}}': "hole.distance: '18,5 m' is not a number with a unit: write",
    '{"hole": {"distance": "far"}}': "hole.distance: 'far' is not a number with a unit",
    '{"hole": {"distance": "\\n"}}': "hole.distance: '\\n' is not a number with a unit",
    '{"hole": {"distance": true}}': "hole.distance: must be a number or a text with a unit (m, cm,",
    '{"hole": {"distance": null}}': "hole.distance: must be a number or a text with a unit",
    '{"hole": {"distance": [18]}}': "hole.distance: must be a number or a text with a unit",
    '{"green": {"speed": 10}}': "green.speed: must be at most 4.8768 (m), that is 16 ft",
    '{"green": {"slope_along": "8 deg"}}': "green.slope_along: must be at most 0.1, that is 10 %",
    '{"stance": {"slope_along": "95 deg"}}': "stance.slope_along: a slope of '95 deg' is not below 90 deg",
    '{"air": {"wind_along": "3 ft"}}': "air.wind_along: unit 'ft' is not one of m/s, km/h, mph, kn",
    '{"air": {"temperature": "200 F"}}': "air.temperature: must be at most 45 (C)",
    # choices, switches, text
    '{"lie": {"sits": "sideways"}}': "lie.sits: must be one of up, clean, half_down, down, nested",
    '{"lie": {"sits": 1}}': "lie.sits: must be one of",
    '{"player": {"level": 10}}': "player.level: must be one of tour, scratch, 10, 20, 30, junior",
    '{"player": {"techniques": {"lob": true}}}': "player.techniques.lob: must be one of yes, learning, no",
    '{"lie": {"wet": 1}}': "lie.wet: must be true or false",
    '{"lie": {"wet": "no"}}': "lie.wet: must be true or false",
    '{"name": 7}': "name: must be text",
    '{"name": "%s"}' % ("n" * 81): "name: may have at most 80 characters",
    '{"name": "a\\nb"}': "name: must be one line and hold no control characters",
    '{"note": "a\\u0000b"}': "note: must hold no control characters",
    '{"name": "\\ud800"}': "name: holds half of a surrogate pair",
    # shape
    '{"lie": null}': "lie: must be an object",
    '{"lie": []}': "lie: must be an object",
    '{"player": {"techniques": "all"}}': "player.techniques: must be an object",
    '{"ground": {"bands": {}}}': "ground.bands: must be a list",
    '{"ground": {"bands": [3]}}': "ground.bands[0]: must be an object",
    f'{{"ground": {{"profile": [{MANY_POINTS}]}}}}':
        "ground.profile: may have at most 24 entries",
    # rules between fields
    '{"hole": {"distance": 40}}': "hole.distance: must lie on the green",
    '{"player": {"wedge_carry": 10}}': "player.wedge_carry: must be 0 or at least 20 (m)",
    '{"ground": {"bands": [{"surface": "sand", "start": 2, "end": 1}]}}':
        "ground.bands[0].end: must lie beyond `start`",
    '{"ground": {"profile": [{"at": 1, "height": 0}, {"at": 0, "height": 0}]}}': "ground.profile[1].at: must",
    # versions
    '{"version": 2}': "version: 2 comes from a newer program; this one reads up to version 1",
    '{"version": 2, "wind": 1}': "version: 2 comes from a newer program",
    '{"version": 0}': "version: must be a whole number from 1",
    '{"version": true}': "version: must be a whole number from 1",
    '{"version": "1"}': "version: must be a whole number from 1",
    '{"version": 99999999999999999999999}': "version: must be a whole number from 1",
}  # fmt: skip

BAD_BAGS: dict[str, str] = {
    "{}": "clubs: is missing",
    '{"clubs": []}': "clubs: must not be empty",
    '{"clubs": [{}]}': "clubs[0].name: is missing",
    '{"clubs": [{"name": "", "kind": "iron", "loft": 0.7}]}': "clubs[0].name: must not be empty",
    '{"clubs": [{"name": "a", "kind": "wood", "loft": 0.7}]}': "clubs[0].kind: must be one of putter, wedge,",
    '{"clubs": [{"name": "a", "kind": "iron", "loft": 42}]}':
        "clubs[0].loft: must be at most 1.22173 (rad), that is 70 deg",
    '{"clubs": [{"name": "a", "kind": "iron", "loft": "42 %"}]}':
        "clubs[0].loft: unit '%' is not one of rad, deg",
    '{"clubs": [{"name": "a", "kind": "iron", "loft": 0.7, "groove_shots": "50 %"}]}':
        "clubs[0].groove_shots: unit '%' is not wanted: this is a plain number",
    '{"clubs": [{"name": "a", "kind": "iron", "loft": 0.7, "groove_shots": []}]}':
        "clubs[0].groove_shots: must be a number",
    f'{{"clubs": [{CLUB}, {CLUB}]}}': "clubs[1].name: '9-iron' is the name of another club",
    f'{{"clubs": [{MANY_CLUBS}]}}':
        "clubs: may have at most 20 entries",
    '{"lie": {}}': "lie: is no field here; there are version, name, clubs",
}  # fmt: skip

BYTES: dict[bytes, str] = {
    b'{"name":\n"\xff"}': "line 2: byte 0xff is not UTF-8 text",
    b'{"name": "\xed\xa0\x80"}': "line 1: byte 0xed is not UTF-8 text",
    '{"name": "a"}'.encode("utf-16"): "line 1: byte 0xff is not UTF-8 text",
    b"\x00\x01\x02": "line 1, column 1: not JSON",
    b"\xef\xbb\xbf": "the file is empty",
    b"\xef\xbb\xbf\xef\xbb\xbf{}": "line 1, column 1: not JSON",
    b"\x89PNG\r\n\x1a\n": "line 1: byte 0x89 is not UTF-8 text",
    b" " * (LARGEST + 1): "the file is larger than 1 MB",
    b'{"note": "' + b"a" * LARGEST + b'"}': "the file is larger than 1 MB",
}


def says(call, source) -> str:  # type: ignore[no-untyped-def]
    with pytest.raises(DocumentError) as caught:
        call(source)
    line = str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert line.isprintable() and len(line) < 220, line
    assert "Traceback" not in line and "$" not in line and "msgspec" not in line
    return line


@pytest.mark.parametrize(("text", "begins"), BAD.items(), ids=[begins[:50] for begins in BAD.values()])
def test_a_bad_situation_is_refused_in_one_line(text: str, begins: str, tmp_path: Path) -> None:
    line = says(read_situation, text.encode())
    assert line.startswith(begins)
    (tmp_path / "bad.json").write_text(text, encoding="utf-8")
    assert says(read_situation, tmp_path / "bad.json") == line
    assert says(read_situation, str(tmp_path / "bad.json")) == line


@pytest.mark.parametrize(
    ("text", "begins"), BAD_BAGS.items(), ids=[begins[:50] for begins in BAD_BAGS.values()]
)
def test_a_bad_bag_is_refused_in_one_line(text: str, begins: str) -> None:
    assert says(read_bag, text.encode()).startswith(begins)


@pytest.mark.parametrize(("data", "begins"), BYTES.items(), ids=[str(number) for number in range(len(BYTES))])
def test_bytes_that_are_no_text_are_refused_in_one_line(data: bytes, begins: str) -> None:
    assert says(read_situation, data).startswith(begins)


def test_a_file_that_cannot_be_read_is_one_line_too(tmp_path: Path) -> None:
    assert (
        says(read_situation, tmp_path / "none.json") == "the file cannot be read: No such file or directory"
    )
    assert says(read_situation, tmp_path) == "the file cannot be read: Is a directory"
    assert says(read_situation, "a\x00b").startswith("the file cannot be read: ")


def test_an_endless_file_is_not_read_to_its_end() -> None:
    assert says(read_situation, "/dev/zero").startswith("the file is larger than 1 MB")
