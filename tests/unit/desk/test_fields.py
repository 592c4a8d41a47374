"""Fields: every key has a meaning and a place; what arrow keys and typed numbers make of a quantity."""

from __future__ import annotations

import tomllib

import pytest

from skirtloft.checks.finding import Finding
from skirtloft.design.fields import record_in, schema_paths
from skirtloft.design.meanings import meaning
from skirtloft.design.quantity import UNITS
from skirtloft.design.read import load_design
from skirtloft.desk.concerns import KEYS, keys_of
from skirtloft.desk.edits import plain
from skirtloft.desk.fields import GROUPS, groups, static_fields
from skirtloft.desk.steps import STEPS, rounded, stepped, stepped_number, with_unit_of, written_like
from skirtloft.pipeline import build
from tests.designs import EXAMPLES, NAMES
from tests.desk_cases import FOUR_TEXT
from tests.unit.test_house import PACKAGE, ROOT


def test_every_key_of_the_file_has_a_name_and_a_meaning() -> None:
    for path in static_fields():
        told = meaning(path)
        assert told.label, path
        assert told.says.endswith("."), path


def test_every_field_says_its_default_or_what_its_absence_means() -> None:
    needed = {path for path, leaf in static_fields().items() if "default" not in leaf and "absent" not in leaf}
    for path in needed:
        assert "." in path
        record = path.rpartition(".")[0]
        assert record.split(".")[0] in {table for group in GROUPS.values() for table in group}
    assert "skirt.depth" in needed
    assert "skirt.face_angle" not in needed


@pytest.mark.parametrize("name", NAMES)
def test_the_groups_hold_every_value_of_a_file_once(name: str) -> None:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    given = [row for group in groups(text) for block in group["blocks"] for row in block["rows"] if row["given"]]

    def leaves(value: object, key: str) -> list[str]:
        if isinstance(value, dict):
            return [leaf for name, inner in value.items() for leaf in leaves(inner, f"{key}.{name}" if key else name)]
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return [leaf for i, inner in enumerate(value) for leaf in leaves(inner, f"{key}[{i}]")]
        return [key]

    wanted = [key for key in leaves(tomllib.loads(text), "") if key != "format"]
    assert sorted(row["key"] for row in given) == sorted(wanted)


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_leads_to_a_field(name: str) -> None:
    path = EXAMPLES / f"{name}.toml"
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    for finding in build(load_design(path)).findings:
        keys = keys_of(finding, raw)
        assert keys, finding.rule
        assert all(plain(key) in schema_paths() for key in keys), (finding.rule, keys)


def test_every_rule_in_the_checks_leads_to_a_field() -> None:
    import re

    text = "".join(path.read_text(encoding="utf-8") for path in (PACKAGE / "checks").glob("*.py"))
    rules = set(re.findall(r'rule="([a-z-]+)"', text))
    assert len(rules) > 30
    without = [rule for rule in rules if rule not in KEYS and not any(
        rule.startswith(name) for name in KEYS if name.endswith("-"))]  # fmt: skip
    assert not without


def test_a_finding_on_a_load_leads_to_that_load() -> None:
    finding = Finding("balance-fore-aft", "", "warn", 0.0, "m", None, None, "load 'solo'", "", "", "")
    assert keys_of(finding, tomllib.loads(FOUR_TEXT)) == ["craft.load[2].x"]


def test_of_two_insets_a_finding_leads_to_the_one_in_the_file() -> None:
    finding = Finding("tip-line-inside", "", "fail", 0.0, "m", None, None, "x 1 m (bow corner)", "", "", "")
    assert keys_of(finding, tomllib.loads(FOUR_TEXT)) == ["skirt.bow.joint_inside"]


@pytest.mark.parametrize(
    "text, kind, count, size, wanted",
    [
        ("280 mm", "length", 1, "plain", "281 mm"),
        ("280.4 mm", "length", 1, "plain", "281 mm"),
        ("280 mm", "length", -1, "coarse", "270 mm"),
        ("280 mm", "length", 3, "fine", "280.3 mm"),
        ("2.35 m", "length", 1, "plain", "2.36 m"),
        ("1 ft 3 1/2 in", "length", 1, "plain", "1 ft 3 5/8 in"),
        ("1 ft 3 1/2 in", "length", -1, "fine", "1 ft 3 7/16 in"),
        ("45 deg", "angle", 2, "plain", "47 deg"),
        ("12 oz/yd2", "areal_mass", 1, "plain", "12.5 oz/yd2"),
        ("15 degC", "temperature", -1, "plain", "14 degC"),
        ("-5 mm", "length", 10, "plain", "5 mm"),
    ],
)
def test_an_arrow_key_steps_in_the_unit_that_is_written(
    text: str, kind: str, count: int, size: str, wanted: str
) -> None:
    assert stepped(text, kind, count, size) == wanted  # type: ignore[arg-type]


def test_every_unit_has_a_step() -> None:
    assert {unit for units in UNITS.values() for unit in units} <= STEPS.keys()


def test_every_table_of_the_file_is_in_a_group_and_has_words_on_the_page() -> None:
    tables = {path for path, hint in schema_paths().items() if record_in(hint)[0] is not None}
    assert {path for path in tables if "." not in path} == {table for group in GROUPS.values() for table in group}
    words = (ROOT / "desk-page" / "src" / "words.ts").read_text(encoding="utf-8")
    shown = {path for path in tables if path not in ("cloth", "air.kinds")}
    without = [path for path in shown if f'"{path}": ' not in words and f"    {path}: " not in words]
    assert not without


def test_a_plain_number_stays_in_its_range() -> None:
    assert stepped_number("0.85", 0.01, 1.0, False, 20) == "1"
    assert stepped_number("7", 3, 31, True, -1) == "6"
    assert stepped_number("3", 3, 31, True, -1) == "3"


@pytest.mark.parametrize(
    "typed, old, wanted",
    [("290", "280 mm", "290 mm"), (" 11.5", "11 in", "11.5 in"), ("290", "", "290"), ("1 ft", "280 mm", "1 ft"),
     ("2x", "280 mm", "2x"), ("5", "1 ft 2 in", "5")],
)  # fmt: skip
def test_a_bare_number_takes_the_unit_of_the_field(typed: str, old: str, wanted: str) -> None:
    assert with_unit_of(typed, old, "length") == wanted


@pytest.mark.parametrize(
    "text, metres, fine, wanted",
    [("280 mm", 0.28347, False, "285 mm"), ("280 mm", 0.28347, True, "283 mm"), ("2.4 m", 2.4123, True, "2.412 m"),
     ("11 in", 0.28347, False, "11.25 in"), ("1 ft 2 in", 0.36, True, "1 ft 2 3/16 in")],
)  # fmt: skip
def test_a_drag_stops_where_a_rule_can_be_read(text: str, metres: float, fine: bool, wanted: str) -> None:
    assert written_like(text, "length", rounded(text, metres, fine)) == wanted


def test_both_units_stand_beside_each_other_where_asked() -> None:
    text = FOUR_TEXT.replace('show = "metric"', 'show = "both"')
    rows = {row["key"]: row for group in groups(text) for block in group["blocks"] for row in block["rows"]}
    assert rows["skirt.depth"]["hint"] == "11 in"  # 280 mm is 11.02 in, to a sixteenth
    assert "hint" not in {row["key"]: row for group in groups(FOUR_TEXT) for block in group["blocks"] for row in
                          block["rows"]}["skirt.depth"]  # fmt: skip
