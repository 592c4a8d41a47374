"""A real Chromium and a real desk; skipped where there is none, never in continuous integration.

Starting a desk costs seconds of the machine: the tests of a file share one (`shared`, `page`) and each leaves the
design as it was; what writes files or ends the desk has its own (`desk`). Edits are counted from where a test found it.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.designs import EXAMPLES

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = [
    "--headless", "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-gl=angle", "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]  # fmt: skip


class Desk:
    """A desk in a process of its own."""

    def __init__(self, folder: Path, design: Path | None) -> None:
        self.folder, self.design = folder, design
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.home = f"http://127.0.0.1:{self.port}/"
        self.process: subprocess.Popen[bytes] | None = None
        self.start()

    def start(self) -> None:
        words = [sys.executable, "-m", "skirtloft", "open", *([str(self.design)] if self.design else [])]
        self.process = subprocess.Popen([*words, "--quiet", "--port", str(self.port)], cwd=self.folder)
        for _ in range(200):
            try:
                urllib.request.urlopen(self.home, timeout=1.0).close()
                return
            except OSError:
                time.sleep(0.1)
        raise AssertionError("the desk does not start")

    def end(self) -> None:
        assert self.process is not None
        self.process.terminate()
        try:
            self.process.wait(15)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    if not Path(CHROMIUM).exists():
        if os.environ.get("CI"):
            pytest.fail(f"no Chromium at {CHROMIUM}")
        pytest.skip(f"no Chromium at {CHROMIUM}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk for this test alone."""
    design = tmp_path / "craft.toml"
    shutil.copyfile(EXAMPLES / "four-seat.toml", design)
    made = Desk(tmp_path, design)
    yield made
    made.end()


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A desk for all tests of a file."""
    folder = tmp_path_factory.mktemp("shared")
    shutil.copyfile(EXAMPLES / "four-seat.toml", folder / "craft.toml")
    made = Desk(folder, folder / "craft.toml")
    yield made
    made.end()


@pytest.fixture
def empty_desk(tmp_path: Path) -> Iterator[Desk]:
    made = Desk(tmp_path, None)
    yield made
    made.end()


@pytest.fixture
def new_page(chromium: Any) -> Iterator[Callable[..., Any]]:
    """Return a function that opens a page and sees to it that nothing went wrong on it and nothing left the machine."""
    contexts: list[Any] = []
    wrong: list[str] = []

    def made(address: str, **options: Any) -> Any:
        context = chromium.new_context(**{"viewport": {"width": 1366, "height": 768}, **options})
        context.set_default_timeout(30_000)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("request", lambda request: None if request.url.startswith(
            (address.rstrip("/"), "data:", "blob:")) else wrong.append(f"left the machine: {request.url}"))  # fmt: skip
        page.goto(address)
        return page

    yield made
    for context in contexts:
        context.close()
    assert not wrong, "\n".join(wrong)


def edits(page: Any) -> int:
    """Return the number of the edit that the desk is at."""
    return int(page.locator(".strip .cell").last.locator("dd").inner_text())


def is_at_edit(page: Any, number: int, timeout: float = 30_000) -> None:
    """Wait until the desk is at an edit, counted as the desk does."""
    page.wait_for_function("(at) => document.querySelector('.strip .cell:last-child dd').innerText === String(at)",
                           arg=number, timeout=timeout)  # fmt: skip


def opened(home: str, new_page: Callable[..., Any], **options: Any) -> Any:
    """Return a page on a desk, with its drawing; `base` is how many edits were made before."""
    made = new_page(home, **options)
    made.locator('svg[data-name^="section-"]').wait_for()
    made.base = edits(made) - 1
    return made


def left_as_found(page: Any) -> None:
    """Take back every edit."""
    undo = page.get_by_role("button", name="Undo")
    while undo.is_enabled():
        before = edits(page)
        undo.evaluate("(one) => one.click()")  # at once: it goes out when there is nothing more to take back
        page.wait_for_function(
            """([old, undo]) => undo.disabled
                || document.querySelector('.strip .cell:last-child dd').innerText !== String(old)""",
            arg=[before, undo.element_handle()],
        )


@pytest.fixture
def page(shared: Desk, new_page: Callable[..., Any]) -> Iterator[Any]:
    """A page on the file's desk, which is left as it was found."""
    made = opened(shared.home, new_page)
    yield made
    left_as_found(made)


@pytest.fixture
def own_page(desk: Desk, new_page: Callable[..., Any]) -> Any:
    """A page on a desk of the test's own."""
    return opened(desk.home, new_page)
