"""The published schemas are those of the model, and say yes and no where the reader does."""

import json
import re
from typing import Any

import jsonschema
import pytest

from shortgame_gui import assets
from shortgame_gui.model.fields import fields_of
from shortgame_gui.model.leaves import leaves
from shortgame_gui.store.documents import (
    DocumentError,
    packaged_bag,
    plain,
    read_bag,
    read_demo,
    read_situation,
)
from shortgame_gui.store.schema import FILES, pattern_of, text_of
from shortgame_gui.units import QUANTITIES, parse


def published(name: str) -> dict[str, Any]:
    return json.loads(assets.text(name))  # type: ignore[no-any-return]


def validator(name: str) -> Any:
    return jsonschema.Draft202012Validator(published(name))


@pytest.mark.parametrize("name", FILES)
def test_the_published_file_is_up_to_date(name: str) -> None:
    assert assets.text(name) == text_of(FILES[name]), "run: python -m shortgame_gui.store.schema"


@pytest.mark.parametrize("name", FILES)
def test_the_published_file_is_a_schema_that_stands_alone(name: str) -> None:
    schema = published(name)
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    text = assets.text(name)
    assert '"$id"' not in text
    inside = {f"#/$defs/{key}" for key in schema["$defs"]}
    assert set(re.findall(r'"\$ref": "([^"]*)"', text)) == inside


@pytest.mark.parametrize("name", FILES)
def test_every_leaf_is_described(name: str) -> None:
    schema = published(name)

    def find(definition: str, path: list[str]) -> dict[str, Any]:
        held = schema["$defs"][definition]["properties"][path[0].removesuffix("[]")]
        if len(path) == 1:
            return held  # type: ignore[no-any-return]
        target = held["items"] if path[0].endswith("[]") else held
        return find(target["$ref"].rpartition("/")[2], path[1:])

    for leaf in leaves(FILES[name]):
        held = find(FILES[name].__name__, leaf.path.split("."))
        assert (held["title"], held["description"]) == (leaf.title, leaf.description)
        if leaf.kind == "number":
            number, text = held["anyOf"]
            assert (number["minimum"], number["maximum"]) == (leaf.low, leaf.high)
            assert text["pattern"] == pattern_of(leaf.quantity)
            assert held["x-quantity"] == leaf.quantity
        if leaf.choices:
            assert held["enum"] == list(leaf.choices)


@pytest.mark.parametrize("name", FILES)
def test_every_default_fits_its_own_schema(name: str) -> None:
    schema = published(name)
    for definition in schema["$defs"].values():
        for held in definition["properties"].values():
            if "default" in held:
                inner = {**held, "$defs": schema["$defs"]}
                jsonschema.Draft202012Validator(inner).validate(held["default"])


def test_required_are_the_fields_without_a_default() -> None:
    schema = published("bag.schema.json")
    assert schema["$defs"]["Bag"]["required"] == ["clubs"]
    assert schema["$defs"]["Club"]["required"] == ["name", "kind", "loft"]


TEXTS = [
    "30", "30 yd", " 6deg ", "-2 %", ".5", "1e3", "20 C", "12 mph", "85 g", "10 rpm", "1 kg/m3", "5 rad/s",
    "", "yd", "1,5 m", "nan", "1 2", "0x10", "3 ft 6 in", "- 3 m", "5 m/s2",
]  # fmt: skip


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_the_pattern_says_yes_where_the_reader_of_numbers_does(quantity: str) -> None:
    for text in TEXTS:
        try:
            parse(text, quantity)
        except ValueError:
            read = False
        else:
            read = True
        assert bool(re.search(pattern_of(quantity), text)) == read, text


@pytest.mark.parametrize(
    ("text", "fits"),
    [
        ('{"hole": {"distance": 18}}', True),
        ('{"hole": {"distance": "18 yd"}}', True),
        ('{"hole": {"distance": "18 F"}}', False),
        ('{"hole": {"distance": 111}}', False),
        ('{"hole": {"distance": true}}', False),
        ('{"lie": {"sits": "up"}}', True),
        ('{"lie": {"sits": "sideways"}}', False),
        ('{"lie": {"sit": "up"}}', False),
        ('{"lie": {"wet": 1}}', False),
        ('{"player": {"level": "20"}}', True),
        ('{"player": {"level": 20}}', False),
        ('{"name": "a\\nb"}', False),
        ('{"note": "a\\nb"}', True),
        ('{"version": 1}', True),
        ('{"version": 2}', False),
        ('{"ground": {"bands": [{"surface": "sand", "start": "3 yd", "end": "5 yd"}]}}', True),
        ('{"ground": {"bands": [{"surface": "sand", "start": 3}]}}', False),
        ("[]", False),
    ],
)
def test_schema_and_reader_agree(text: str, fits: bool) -> None:
    assert validator("situation.schema.json").is_valid(json.loads(text)) == fits
    if fits:
        read_situation(text.encode())
    else:
        with pytest.raises(DocumentError):
            read_situation(text.encode())


def test_the_packaged_bag_fits() -> None:
    validator("bag.schema.json").validate(json.loads(assets.text("bag.json")))
    assert plain(packaged_bag()) == json.loads(assets.text("bag.json"))
    assert set(plain(packaged_bag())) == {field.name for field in fields_of(FILES["bag.schema.json"])}


def test_every_file_of_the_demo_fits_and_is_read() -> None:
    names = assets.demo_files(".json")
    assert len(names) >= 8
    for name in names:
        tree = json.loads(assets.demo_text(name))
        kind = "bag" if "clubs" in tree else "situation"
        validator(f"{kind}.schema.json").validate(tree)
        read_bag(assets.demo_text(name).encode()) if kind == "bag" else read_demo(name)
