"""run.py on a small tree of its own: no network, nothing installed; expected values are what the test itself wrote.

That the locked packages install is shown by every run of the tests, which start through run.py.
"""

from __future__ import annotations

import ast
import importlib.util
import os
import runpy
import shutil
import signal
import subprocess
import sys
import time
import venv
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

RUN = Path(__file__).resolve().parents[2] / "run.py"

# Stands in for the command line: says what it was given, or does what the first word asks.
COMMAND_LINE = """
import os, sys, time
from pathlib import Path
words = sys.argv[1:]
if words[0] == "exit":
    sys.exit(int(words[1]))
if words[0] == "wait":
    try:
        print("waiting", flush=True)
        time.sleep(20)
    except KeyboardInterrupt:
        print("tidied up", flush=True)
        sys.exit(130)
if words[0] == "pack":
    Path(words[3]).mkdir(parents=True)
    (Path(words[3]) / "overview.png").touch()
print(*words, "|", Path.cwd(), "|", os.environ.get("PYTHONPATH"))
"""


class Calls(list[list[str]]):
    """Stands in for `call`: notes each command and answers with the exit code set for a word in it."""

    def __init__(self, codes: dict[str, int] | None = None) -> None:
        self.codes = codes or {}

    def __call__(self, command: list[str], folder: Path | None = None, output: int | None = None) -> int:
        self.append([str(word) for word in command])
        return next((code for word, code in self.codes.items() if word in command), 0)


def load(root: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location("run_under_test", root / "run.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def run(tmp_path: Path) -> Any:
    """run.py in a tree of its own, without an environment."""
    root = tmp_path / "a project"
    root.mkdir()
    shutil.copy(RUN, root)
    (root / "requirements.lock").write_text("# made\nnumpy==1 \\\n    --hash=sha256:0\n", encoding="utf-8")
    (root / "pyproject.toml").write_text("", encoding="utf-8")
    return load(root)


@pytest.fixture
def ready(run: Any) -> Any:
    """The same with a finished environment that holds the stand-in command line."""
    venv.create(run.VENV, symlinks=os.name != "nt")
    packages = run.VENV / (
        "Lib/site-packages" if os.name == "nt" else f"lib/python3.{sys.version_info[1]}/site-packages"
    )
    (packages / "skirtloft").mkdir()
    (packages / "skirtloft" / "__init__.py").touch()
    (packages / "skirtloft" / "__main__.py").write_text(COMMAND_LINE, encoding="utf-8")
    (run.VENV / run.STAMP).write_text(run.digest(), encoding="utf-8")
    return run


def start(root: Path, *words: str, **options: Any) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(root / "run.py"), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=30, **options)


# ------------------------------------------------------------------------------------------------------ old Pythons


def test_older_pythons_get_as_far_as_the_sentence() -> None:
    tree = ast.parse(RUN.read_text(encoding="utf-8"), feature_version=(3, 6))
    guard = next(i for i, node in enumerate(tree.body) if isinstance(node, ast.If))
    before = {type(node) for node in tree.body[:guard]}
    assert before == {ast.Expr, ast.Import, ast.ImportFrom}


def test_an_older_python_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 10, 13))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer"):
        runpy.run_path(str(RUN))


def test_only_the_standard_library_is_imported() -> None:
    tree = ast.walk(ast.parse(RUN.read_text(encoding="utf-8")))
    names = {alias.name for node in tree if isinstance(node, ast.Import) for alias in node.names}
    tree = ast.walk(ast.parse(RUN.read_text(encoding="utf-8")))
    names |= {node.module or "" for node in tree if isinstance(node, ast.ImportFrom)}
    assert {name.split(".")[0] for name in names} <= sys.stdlib_module_names


# -------------------------------------------------------------------------------------------------- the environment


def test_where_an_environment_keeps_its_python(run: Any) -> None:
    # Documented for the standard library's venv: bin on POSIX, Scripts on Windows.
    assert run.python_in(Path("e"), "posix") == Path("e/bin/python")
    assert run.python_in(Path("e"), "nt") == Path("e/Scripts/python.exe")


def test_a_finished_environment_is_left_alone(ready: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ready, "call", calls := Calls())
    assert ready.prepare() == ready.python_in(ready.VENV)
    assert calls == []


@pytest.mark.parametrize("name", ["requirements.lock", "pyproject.toml"])
def test_a_changed_lock_installs_into_the_same_environment(
    ready: Any, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    (ready.VENV / "kept").touch()
    with (ready.ROOT / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    monkeypatch.setattr(ready, "call", calls := Calls())
    monkeypatch.setattr(ready, "find_uv", lambda: "uv")
    ready.prepare()
    assert len(calls) == 2
    assert (ready.VENV / "kept").exists()
    ready.prepare()
    assert len(calls) == 2


@pytest.mark.parametrize("uv", ["uv", None])
def test_hashes_are_required_and_the_project_brings_nothing(
    run: Any, monkeypatch: pytest.MonkeyPatch, uv: str | None
) -> None:
    monkeypatch.setattr(run, "call", calls := Calls())
    monkeypatch.setattr(run, "quiet", lambda command: 0)
    monkeypatch.setattr(run, "find_uv", lambda: uv)
    python = run.prepare()
    packages, project = calls
    assert {"--require-hashes", str(run.LOCK)} <= set(packages)
    assert {"--no-deps", "--no-build-isolation", "--editable", str(run.ROOT)} <= set(project)
    for command in calls:
        assert command[0] == (uv or str(python))
        assert str(python) in command


def test_an_interrupted_installation_starts_afresh(ready: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    (ready.VENV / ready.STAMP).write_text("of another lock", encoding="utf-8")
    (ready.VENV / "half a package").touch()
    monkeypatch.setattr(ready, "find_uv", lambda: "uv")
    monkeypatch.setattr(ready, "quiet", lambda command: 1)  # nor is there a pip
    monkeypatch.setattr(ready, "call", Calls({"--require-hashes": 1}))
    assert ready.main(["solve"]) == 1  # the download failed
    assert not ready.is_current(ready.python_in(ready.VENV))

    monkeypatch.setattr(ready, "call", calls := Calls())
    assert ready.main(["solve"]) == 0
    assert len(calls) == 3  # the packages, the project, the command
    assert not (ready.VENV / "half a package").exists()
    assert ready.is_current(ready.python_in(ready.VENV))


def test_an_environment_without_its_python_is_made_again(ready: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    python = ready.python_in(ready.VENV)
    python.unlink()
    if os.name != "nt":
        python.symlink_to("gone")  # as when the system's Python was upgraded
    (ready.VENV / "old").mkdir()
    monkeypatch.setattr(ready, "find_uv", lambda: "uv")
    monkeypatch.setattr(ready, "call", calls := Calls())
    assert ready.runs(ready.prepare())
    assert len(calls) == 2
    assert not (ready.VENV / "old").exists()


def test_pip_is_tried_where_uv_fails(run: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "call", calls := Calls({"uv": 2}))
    monkeypatch.setattr(run, "quiet", lambda command: 0)
    monkeypatch.setattr(run, "find_uv", lambda: "uv")
    run.prepare()
    assert ["uv" in command for command in calls] == [True, False, False]
    assert all("pip" in command for command in calls)


@pytest.mark.parametrize("missing", ["ensurepip", "venv"])
def test_a_missing_system_package_is_named(
    run: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], missing: str
) -> None:
    monkeypatch.setattr(run, "find_uv", lambda: None)
    monkeypatch.setattr(run, "find_spec", lambda name: None if name == missing else object())
    assert run.main([]) == 1
    last = capsys.readouterr().err.splitlines()[-1]
    assert "install the system package python3-venv" in last
    monkeypatch.undo()
    assert not run.is_current(run.python_in(run.VENV))


def test_a_folder_that_cannot_be_made_is_a_sentence(run: Any, capsys: pytest.CaptureFixture[str]) -> None:
    run.VENV.write_text("a file in the way", encoding="utf-8")
    assert run.main([]) == 1
    assert "could not be made" in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="the other process is stopped with a POSIX signal")
def test_only_one_run_installs_at_a_time(run: Any) -> None:
    run.VENV.mkdir()
    latch = run.VENV / run.LATCH
    wait = f"import runpy; run = runpy.run_path({str(run.ROOT / 'run.py')!r}); print('asks', flush=True)\n"
    wait += f"from pathlib import Path\nwith run['latch'](Path({str(latch)!r})): print('holds', flush=True)"
    with run.latch(latch):
        other = subprocess.Popen([sys.executable, "-c", wait], stdout=subprocess.PIPE, text=True)
        assert other.stdout is not None
        assert other.stdout.readline() == "asks\n"
        time.sleep(0.2)
        assert other.poll() is None
    out, _ = other.communicate(timeout=10)
    assert out == "holds\n"


# ---------------------------------------------------------------------------------------------- what can be asked for


def test_words_and_exit_code_are_passed_on(ready: Any, tmp_path: Path) -> None:
    result = start(ready.ROOT, "solve", "my craft.toml", "--set", 'a="1 m"', cwd=tmp_path)
    assert result.stdout == f'solve my craft.toml --set a="1 m" | {tmp_path} | None\n'
    assert result.stderr == ""
    assert start(ready.ROOT, "exit", "3").returncode == 3


def test_other_places_for_packages_are_shut_out(ready: Any, tmp_path: Path) -> None:
    """Neither PYTHONPATH nor the folder the user is in can put another package in the way."""
    (tmp_path / "skirtloft.py").write_text("print('wrong')", encoding="utf-8")
    result = start(ready.ROOT, "solve", cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(tmp_path)})
    assert result.stdout == f"solve | {tmp_path} | None\n"


def test_the_demo_ends_with_what_was_made_and_what_to_do_next(ready: Any) -> None:
    result = start(ready.ROOT, cwd=ready.ROOT)
    assert result.returncode == 0
    lines = result.stdout.splitlines()
    picture = Path("out/four-seat/overview.png")
    made, look, then, *commands = lines[-6:]
    assert made.startswith("Made: the build pack")
    assert look == f"Look at: {picture}"
    assert (ready.ROOT / picture).exists()
    assert then == "Next, for your own craft:"
    assert [line.split("run.py ")[1].split()[0] for line in commands] == ["new", "solve", "pack"]
    assert [line.split(" | ")[0].split()[0] for line in lines if " | " in line] == ["solve", "pack"]


@pytest.mark.parametrize(("code", "steps"), [(0, 2), (1, 2), (2, 1), (3, 1)])
def test_the_demo_goes_on_after_a_failed_check_only(
    ready: Any, monkeypatch: pytest.MonkeyPatch, code: int, steps: int
) -> None:
    # Exit codes of the command line: 1 solved with a failed check, 2 wrong file, 3 no answer.
    monkeypatch.setattr(ready, "call", calls := Calls({"skirtloft": code}))
    assert ready.main([]) == code
    assert len(calls) == steps


@pytest.mark.parametrize(
    ("codes", "expected"), [({}, 0), ({"mypy": 2}, 2), ({"pytest": 1}, 1), ({"check": 1, "pytest": 4}, 1)]
)
def test_every_check_runs_and_one_failure_fails(
    ready: Any, monkeypatch: pytest.MonkeyPatch, codes: dict[str, int], expected: int
) -> None:
    monkeypatch.setattr(ready, "call", calls := Calls(codes))
    assert ready.main(["test", "-k", "a word"]) == expected
    assert [command[3] for command in calls[:3]] == ["ruff", "ruff", "mypy"]
    assert "lint_imports" in calls[3][3]
    assert calls[4][3:] == ["pytest", "-k", "a word"]
    assert len(calls) == 5


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is a signal to the group on POSIX systems")
@pytest.mark.parametrize("to_group", [True, False], ids=["from the terminal", "to run.py alone"])
def test_ctrl_c_lets_the_command_tidy_up_and_gives_130(ready: Any, to_group: bool) -> None:
    if not to_group:  # the command never hears of it and is ended after a while, here a short one
        text = (ready.ROOT / "run.py").read_text(encoding="utf-8").replace("PATIENCE = 10.0", "PATIENCE = 0.2")
        (ready.ROOT / "run.py").write_text(text, encoding="utf-8")
    command = [sys.executable, str(ready.ROOT / "run.py"), "wait"]
    options: dict[str, Any] = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    # A shell starts background jobs deaf to Ctrl-C, and children inherit that; so the tests may run as one.
    options |= {"start_new_session": True, "preexec_fn": lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)}
    with subprocess.Popen(command, **options) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "waiting\n"
        (os.killpg if to_group else os.kill)(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=10)
    assert process.returncode == 130
    assert out == ("tidied up\n" if to_group else "")
    assert err == ""
