"""Start here: `python3 run.py` makes a private environment, then the demo; needs Python 3.11 or newer, nothing else.

    python3 run.py                  solve the four-seat example and write its build pack
    python3 run.py test [WORDS]     the project's own checks and tests; WORDS go to pytest
    python3 run.py WORDS            any command, for example: python3 run.py new my-craft --seats 2

The environment lives in `.venv` beside this file. Nothing is installed anywhere else, every download is checked against
the sha256 in `requirements.lock`, and a second run finds its stamp and installs nothing.
"""

import hashlib
import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

# Everything above this line, and the grammar of this file, is understood by older Pythons too: they get the sentence.
if sys.version_info < (3, 11):  # noqa: UP036
    sys.exit(
        f"skirtloft needs Python 3.11 or newer; this is Python {sys.version.split()[0]} ({sys.executable}). "
        "Install a newer one beside it and start this file with that."
    )

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
LOCK = ROOT / "requirements.lock"
STAMP = "skirtloft-stamp"  # digest of what the environment was made from; written last
UNFINISHED = "skirtloft-unfinished"  # stands while packages are being installed
LATCH = "skirtloft-latch"  # held by the run that is installing
EXAMPLE = ROOT / "examples" / "four-seat.toml"
PACK = ROOT / "out" / "four-seat"
CANCELLED = 130
PATIENCE = 10.0  # seconds that a cancelled command gets to tidy up

NO_ENVIRONMENTS = (
    "This Python cannot make a private environment: install the system package python3-venv "
    "(Debian and Ubuntu: sudo apt install python3-venv), or uv, and run this again."
)
NOT_INSTALLED = (
    "The packages could not be installed; the lines above say why. "
    "The first run needs the network; running it again starts the environment afresh."
)


class CannotPrepareError(Exception):
    """The environment cannot be made; the text is the sentence for the user."""


def main(words: Sequence[str]) -> int:
    """Prepare the environment, do what the words ask and return its exit code."""
    try:
        try:
            python = prepare()
        except OSError as reason:  # a read-only folder, a full disk, a file that is in use
            raise CannotPrepareError(f"The environment in .venv could not be made: {reason}") from reason
        if not words:
            return demo(python)
        if words[0] == "test":
            return test(python, words[1:])
        return skirtloft(python, words)
    except CannotPrepareError as reason:
        say(str(reason))
        return 1
    except KeyboardInterrupt:
        return CANCELLED


# ---------------------------------------------------------------------------------------------- what can be asked for


def demo(python: Path) -> int:
    """Solve the example, write its build pack and say what to do next."""
    design, pack = near(EXAMPLE), near(PACK)
    for words in (["solve", design], ["pack", design, "-o", pack]):
        print(f"\n$ {launcher()} {' '.join(words)}", flush=True)
        code = skirtloft(python, words)
        if code not in (0, 1):  # 1: solved with a failed check, which the sheets say
            return code
    files = sum(1 for path in PACK.rglob("*") if path.is_file())
    print(
        f"\nMade: the build pack of {design}, {files} files in {pack}; start with 00-read-me.pdf in it.\n"
        f"Look at: {near(PACK / 'overview.png')}\n"
        "Next, for your own craft:\n"
        f"  {launcher()} new my-craft --seats 2\n"
        f"  {launcher()} solve my-craft.toml\n"
        f"  {launcher()} pack my-craft.toml -o out/my-craft",
        flush=True,
    )
    return code


SIDE_BY_SIDE = ("-n", "2", "--dist", "loadfile", "--no-loadscope-reorder")  # all tests: two processes, a file in one


def test(python: Path, words: Sequence[str]) -> int:
    """Run the style, type and import checks, then pytest; every one runs, also after a failure."""
    lint_imports = "from importlinter.cli import lint_imports_command; lint_imports_command(['--no-logo'])"
    checks = {
        "ruff check": ["-m", "ruff", "check", "."],
        "ruff format": ["-m", "ruff", "format", "--check", "."],
        "mypy": ["-m", "mypy", "--strict", "src"],
        "lint-imports": ["-c", lint_imports],
        "pytest": ["-m", "pytest", *(words or SIDE_BY_SIDE)],
    }
    failed = {}
    for name, arguments in checks.items():
        print(f"-- {name}", flush=True)
        code = call([str(python), "-P", *arguments], folder=ROOT)
        if code != 0:
            failed[name] = code
    if failed:
        print(f"FAILED: {', '.join(failed)}", flush=True)
    return next(iter(failed.values()), 0)


def skirtloft(python: Path, words: Sequence[str]) -> int:
    """Pass the words to the command line, in the folder the user is in."""
    return call([str(python), "-P", "-m", "skirtloft", *words])


# -------------------------------------------------------------------------------------------------- the environment


def prepare() -> Path:
    """Return the environment's Python, after making or mending the environment where it does not fit.

    Raises
    ------
    CannotPrepareError
        With the sentence for the user.
    """
    python = python_in(VENV)
    if is_current(python):
        return python
    VENV.mkdir(exist_ok=True)
    with latch(VENV / LATCH):
        if is_current(python):  # another run made it while this one waited
            return python
        if (VENV / UNFINISHED).exists() or not runs(python):
            clear(VENV)
            (VENV / UNFINISHED).touch()
            say("Making a private environment in .venv (once) ...")
            make_environment(VENV)
        (VENV / STAMP).unlink(missing_ok=True)
        (VENV / UNFINISHED).touch()
        install(python)
        (VENV / STAMP).write_text(digest(), encoding="utf-8", newline="\n")
        (VENV / UNFINISHED).unlink()
    return python


def digest() -> str:
    """Return the digest of everything the environment is made from, this project's place included."""
    parts = [LOCK.read_bytes(), (ROOT / "pyproject.toml").read_bytes(), os.fsencode(ROOT)]
    return hashlib.sha256(b"".join(hashlib.sha256(part).digest() for part in parts)).hexdigest()


def is_current(python: Path) -> bool:
    """Tell whether the environment is whole and made from the lock as it is now."""
    try:
        stamp = (VENV / STAMP).read_text(encoding="utf-8")
    except OSError:
        return False
    return stamp == digest() and python.exists() and not (VENV / UNFINISHED).exists()


def python_in(environment: Path, system: str = os.name) -> Path:
    """Return where an environment keeps its Python on this system."""
    return environment / ("Scripts/python.exe" if system == "nt" else "bin/python")


def runs(python: Path) -> bool:
    """Tell whether this Python starts and is new enough (its base may have been removed or replaced)."""
    try:
        check = "import sys; sys.exit(sys.version_info < (3, 11))"
        return subprocess.run([str(python), "-I", "-c", check], capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def clear(environment: Path) -> None:
    """Empty the environment's folder, all but the latch that this run holds."""
    if Path(sys.prefix).resolve() == environment.resolve():
        raise CannotPrepareError("The environment in .venv is broken: start run.py with another Python than its own.")
    for path in environment.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name != LATCH:
            path.unlink()


def make_environment(environment: Path) -> None:
    """Make an environment, with pip in it unless uv does the installing."""
    if find_spec("venv") is None or (find_uv() is None and find_spec("ensurepip") is None):
        raise CannotPrepareError(NO_ENVIRONMENTS)
    import venv

    venv.create(environment, symlinks=os.name != "nt")


def install(python: Path) -> None:
    """Install the locked packages, hashes required, then this project as an editable install."""
    started = time.monotonic()
    packages = sum(line[0].isalnum() for line in LOCK.read_text(encoding="utf-8").splitlines() if line)
    locked = ["--require-hashes", "--only-binary", ":all:", "--requirement", str(LOCK)]
    project = ["--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
    for name, installer in installers(python):
        say(f"Installing {packages} locked packages with {name} ...")
        if all(call([*installer, *what], output=2) == 0 for what in (locked, project)):
            say(f"Ready after {time.monotonic() - started:.0f} s.")
            return
    raise CannotPrepareError(NOT_INSTALLED)


def installers(python: Path) -> Iterator[tuple[str, list[str]]]:
    """Yield uv where there is one, then pip: it may know the way through a network that uv was not told."""
    uv = find_uv()
    if uv is not None:
        yield "uv", [uv, "pip", "install", "--quiet", "--python", str(python)]
    pip = [str(python), "-I", "-m", "pip"]
    if quiet([*pip, "--version"]) == 0 or quiet([str(python), "-I", "-m", "ensurepip", "--upgrade"]) == 0:
        yield "pip", [*pip, "install", "--quiet", "--disable-pip-version-check", "--no-input"]
    elif uv is None:
        raise CannotPrepareError(NO_ENVIRONMENTS)


def find_uv() -> str | None:
    """Return uv where it is on the path."""
    return shutil.which("uv")


@contextmanager
def latch(path: Path) -> Iterator[None]:
    """Wait until no other run is installing, then keep others waiting; a run that dies lets go."""
    with path.open("a", encoding="utf-8") as file:
        if sys.platform == "win32":
            import msvcrt

            while True:
                try:
                    msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)  # gives up after ten seconds
                    break
                except OSError:
                    time.sleep(0.1)
        else:
            import fcntl

            try:
                fcntl.flock(file, fcntl.LOCK_EX)
            except OSError:  # a file system without locks: two first runs at once are then the user's own care
                pass
        yield


# -------------------------------------------------------------------------------------------------- starting programs


def call(command: Sequence[str], folder: Path | None = None, output: int | None = None) -> int:
    """Run a program and return its exit code; at Ctrl-C let it tidy up before passing that on."""
    with subprocess.Popen(command, cwd=folder, env=surroundings(), stdout=output) as process:
        try:
            code = process.wait()
        except KeyboardInterrupt:
            stop(process)
            raise
    return code if code >= 0 else 128 - code


def stop(process: subprocess.Popen[bytes]) -> None:
    """Wait for a program that got the same Ctrl-C; end it when it takes too long or Ctrl-C comes again."""
    try:
        process.wait(PATIENCE)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        process.terminate()
        try:
            process.wait(PATIENCE)
        except (subprocess.TimeoutExpired, KeyboardInterrupt):
            process.kill()


def quiet(command: Sequence[str]) -> int:
    """Run a program without showing what it prints; return its exit code."""
    return subprocess.run(command, env=surroundings(), capture_output=True, check=False).returncode


def surroundings() -> dict[str, str]:
    """Return the environment without what would pull in, or install to, another place, and say how to start this."""
    unwanted = {"PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT"}
    kept = {name: value for name, value in os.environ.items() if name not in unwanted}
    return {**kept, "SKIRTLOFT_LAUNCHER": launcher()}


# ----------------------------------------------------------------------------------------------------------- words


def say(sentence: str) -> None:
    """Tell the user something that is not part of a command's output."""
    print(sentence, file=sys.stderr, flush=True)


def near(path: Path) -> str:
    """Return a path as seen from the folder the user is in."""
    try:
        return os.path.relpath(path)
    except ValueError:  # Windows: another drive
        return str(path)


def launcher() -> str:
    """Return what starts this file, ready to copy."""
    file = near(ROOT / "run.py")
    if os.name == "nt":
        return f'py "{file}"' if " " in file else f"py {file}"
    return f"python3 {shlex.quote(file)}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
