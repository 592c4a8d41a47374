"""The rules of the house that no other tool checks: forbidden text, docstrings, sizes, layers, the lock."""

from __future__ import annotations

import ast
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "skirtloft"
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST_MODULE = 400  # lines; the aim is 200


def project_files() -> list[Path]:
    """Every file git keeps or would keep; without git, everything outside the folders that are made."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout.decode("utf-8")
        paths = [ROOT / name for name in listed.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        made = {".venv", ".git", "out", "dist", "build", "__pycache__"}
        paths = [path for path in ROOT.rglob("*") if not made & {*path.relative_to(ROOT).parts}]
    return [path for path in paths if path.is_file()]


def forbidden() -> list[re.Pattern[str]]:
    lines = (ROOT / ".ci" / "forbidden.txt").read_text(encoding="utf-8").splitlines()
    return [re.compile(line, re.IGNORECASE) for line in lines if not line.startswith("#")]


def breaches(text: str) -> list[str]:
    patterns = forbidden()
    return [line for line in text.splitlines() if any(pattern.search(line) for pattern in patterns)]


def test_no_file_contains_what_none_may() -> None:
    files = project_files()
    assert PACKAGE / "errors.py" in files
    found = []
    for path in files:
        data = path.read_bytes()
        if b"\0" not in data:
            found += [f"{path.relative_to(ROOT)}: {line[:120]}" for line in breaches(data.decode("utf-8"))]
    assert not found, "\n".join(found)


# Put together from pieces, so that this file holds none of them.
@pytest.mark.parametrize(
    "pieces",
    [
        ("https://files.python", "hosted.org/packages/ab/numpy.whl"),
        ("see https://", "py", "pi.org/project/numpy"),
        ("registry.", "npm", "js.org"),
        ("http://mirror.example/", "sim", "ple/numpy"),
        ("deb http://", "deb", ".deb", "ian.org/ bookworm main"),
        ("--index", "-url https://mirror.example"),
        ('open("', "/wo", 'rk/main/run.py")'),
        ("#!", "/ro", "ot/.venv/bin/python"),
        ("cd ", "/wo", "rk"),
        ("/ho", "me/ada/skirt"),
        ("see ..", "/sha", "red/design"),
        ("the trans", "cript says"),
        ("closes is", "sue 12"),
    ],
)
def test_the_search_finds_what_it_is_for(pieces: tuple[str, ...]) -> None:
    line = "".join(pieces)
    assert breaches(f"a harmless line\n{line}\n") == [line]


@pytest.mark.parametrize(
    "line",
    [
        "working/place, framework/ and network/",
        "python3 run.py pack my-craft.toml -o out/my-craft",
        "/usr/bin/chromium",
        "the issue is 3 mm",
        "https://doi.org/10.1000/182",
        "apt-get install poppler-utils # from Debian",
    ],
)
def test_the_search_leaves_the_rest_alone(line: str) -> None:
    assert breaches(line) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_each_module_says_what_it_is_and_stays_short(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    empty = path.name == "__init__.py" and not text.strip()
    assert empty or ast.get_docstring(ast.parse(text)), "a module starts with a docstring"
    assert text.count("\n") <= LONGEST_MODULE, "look for the second idea inside"


def test_text_files_have_unix_line_ends_and_end_with_one() -> None:
    for path in project_files():
        data = path.read_bytes()
        if data and b"\0" not in data and ROOT / "sources" not in path.parents:
            assert b"\r" not in data, path
            assert data.endswith(b"\n"), path


def test_every_folder_of_the_package_is_a_package() -> None:
    """A folder without `__init__.py` would be missed by the import contract."""
    for folder in {path.parent for path in MODULES}:
        assert (folder / "__init__.py").is_file(), folder


def test_the_import_contract_names_every_layer() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]
    (contract,) = settings["contracts"]
    layers = {name for line in contract["layers"] for name in re.findall(r"\w+", line)}
    there = {path.stem for path in PACKAGE.glob("*.py")} | {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert contract["exhaustive"] is True
    assert there - {"__init__"} <= layers


def test_the_lock_pins_every_requirement_with_hashes() -> None:
    """Compares with pyproject.toml, so that a new requirement without a new lock is noticed."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["dev"]
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    pinned = {
        name: block.count("--hash=sha256:")
        for block in re.split(r"\n(?=[a-z0-9])", lock)
        for name in re.findall(r"^([a-z0-9-]+)==", block)
    }
    assert all(pinned.values()), "a pin without a hash"
    assert {re.split(r"[<>=\[ ]", line)[0].lower() for line in wanted} <= pinned.keys()
