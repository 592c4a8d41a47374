"""The document: comments kept, history, journal, another editor's changes; an edit is never lost."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from skirtloft.desk.document import MERGE, Document
from skirtloft.errors import ExportError
from tests.desk_cases import FOUR_TEXT, on_disk


def test_an_edit_changes_one_line_and_keeps_its_comment(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    assert document.put("skirt.depth", "300 mm") is None
    before, after = FOUR_TEXT.splitlines(), document.text.splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert len(changed) == 1
    assert changed[0][1].startswith('depth = "300 mm"')
    assert "# 30 mm more than the clearance" in changed[0][1]


def test_edits_to_one_key_in_quick_succession_are_one_step(tmp_path: Path) -> None:
    document, clock = on_disk(tmp_path)
    for depth in (281, 282, 283):
        clock.now += 0.9 * MERGE
        document.put("skirt.depth", f"{depth} mm")
    clock.now += 1.1 * MERGE
    document.put("skirt.depth", "284 mm")
    document.put("skirt.pitch", "151 mm")
    document.undo()
    assert document.text == document.text.replace("151 mm", "150 mm")
    assert '"284 mm"' in document.text
    document.undo()
    assert '"283 mm"' in document.text
    document.undo()
    assert document.text == FOUR_TEXT
    assert not document.undo()


def test_redo_goes_forward_and_a_new_edit_ends_it(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.put("skirt.depth", "300 mm")
    document.undo()
    assert document.redo()
    assert '"300 mm"' in document.text
    document.undo()
    document.put("skirt.pitch", "140 mm")
    assert not document.redo()
    assert '"280 mm"' in document.text


def test_undo_after_a_redo_does_not_merge_into_it(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.put("skirt.depth", "300 mm")
    document.undo()
    document.redo()
    document.put("skirt.depth", "310 mm")
    document.undo()
    assert '"300 mm"' in document.text


def test_saving_writes_what_is_on_the_desk_and_drops_the_journal(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.put("skirt.depth", "300 mm")
    document.write_journal()
    assert document.is_dirty
    assert document.journal is not None
    assert document.journal.read_text(encoding="utf-8") == document.text
    document.save()
    assert not document.is_dirty
    assert not document.journal.exists()
    assert document.path is not None
    assert document.path.read_text(encoding="utf-8") == document.text


def test_another_editors_change_is_noticed_and_not_written_over(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.put("skirt.depth", "300 mm")
    other = FOUR_TEXT.replace("Wadewright", "Wader")
    (tmp_path / "craft.toml").write_text(other, encoding="utf-8")
    assert document.disk() == "changed"
    with pytest.raises(ExportError, match="another editor"):
        document.save()
    assert (tmp_path / "craft.toml").read_text(encoding="utf-8") == other
    assert document.reload() is None
    assert document.text == other
    document.undo()  # what was on the desk is one step back
    assert '"300 mm"' in document.text
    document.save()
    assert '"300 mm"' in (tmp_path / "craft.toml").read_text(encoding="utf-8")


def test_a_file_with_broken_syntax_is_not_taken_up(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    (tmp_path / "craft.toml").write_text("skirt = [", encoding="utf-8")
    problem = document.reload()
    assert problem is not None
    assert problem.path.startswith("line 1")
    assert document.text == FOUR_TEXT


def test_a_file_that_went_away_is_written_again(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    (tmp_path / "craft.toml").unlink()
    assert document.disk() == "gone"
    document.save()
    assert document.disk() == "same"


def test_unsaved_edits_of_a_desk_that_was_killed_are_offered(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.put("skirt.depth", "300 mm")
    document.write_journal()
    again = Document(FOUR_TEXT, tmp_path / "craft.toml")
    assert again.recovery == document.text
    again.put("skirt.pitch", "140 mm")  # an edit before the choice does not write over what was found
    again.write_journal()
    assert document.journal is not None
    assert '"300 mm"' in document.journal.read_text(encoding="utf-8")
    assert again.recover() is None
    assert '"300 mm"' in again.text
    again.undo()
    assert '"140 mm"' in again.text


def test_save_as_never_writes_over_another_file(tmp_path: Path) -> None:
    document = Document(FOUR_TEXT, None)
    (tmp_path / "there.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(ExportError):
        document.save_as(tmp_path / "there.toml")
    document.save_as(tmp_path / "new.toml")
    assert document.disk() == "same"
    assert (tmp_path / "there.toml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("key", ["skirt.nonsense", "hull.edge[99].x", "hull", "__class__", "", "skirt..depth"])
def test_a_key_that_is_not_there_is_refused_and_leaves_the_text(tmp_path: Path, key: str) -> None:
    document, _ = on_disk(tmp_path)
    assert document.put(key, "1 m") is not None
    assert document.text == FOUR_TEXT
    assert document.revision == 1


@pytest.mark.parametrize("value", ['"; [x]\ny = 1', "\n\n[evil]\n", 'a"b', "'''", "\\u0000", "𝕏" * 100])
def test_a_value_stays_one_value_whatever_it_holds(tmp_path: Path, value: str) -> None:
    document, _ = on_disk(tmp_path)
    assert document.put("project.name", value) is None
    raw, before = tomllib.loads(document.text), tomllib.loads(FOUR_TEXT)
    assert raw.pop("project")["name"] == value
    before.pop("project")
    assert raw == before


@pytest.mark.parametrize(
    "key, count",
    [("hull.edge[1]", 6), ("craft.load", 4), ("air.fan.points[2]", 8), ("air.loss[0]", 7), ("air.day", 1)],
)
def test_an_entry_is_added_after_the_one_named(tmp_path: Path, key: str, count: int) -> None:
    document, _ = on_disk(tmp_path)
    assert document.add(key) is None
    here = tomllib.loads(document.text)
    for step in key.partition("[")[0].split("."):
        here = here[step]
    assert len(here) == count


def test_a_point_of_the_hull_edge_is_added_half_way(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.add("hull.edge[1]")
    point = tomllib.loads(document.text)["hull"]["edge"][2]
    assert (point["x"], point["y"]) == ("4.4 m", "0.9 m")  # between (5.1, 0.6) and (3.7, 1.2)
    assert "radius" not in point


def test_removing_the_last_entry_of_a_list_takes_the_list_out(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    document.remove("air.leak[1]")
    document.remove("air.leak[0]")
    assert "leak" not in tomllib.loads(document.text)["air"]
    document.undo()
    assert len(tomllib.loads(document.text)["air"]["leak"]) == 1


def test_an_optional_table_comes_and_goes(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    assert document.remove("air.fan") is None
    assert document.add("air.fan") is None
    assert tomllib.loads(document.text)["air"]["fan"]["diameter"] == "600 mm"
