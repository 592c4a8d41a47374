"""A real Chromium and a real desk for each test; skipped where there is none, never in continuous integration."""

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
    design = tmp_path / "craft.toml"
    shutil.copyfile(EXAMPLES / "four-seat.toml", design)
    made = Desk(tmp_path, design)
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


@pytest.fixture
def page(desk: Desk, new_page: Callable[..., Any]) -> Any:
    made = new_page(desk.home)
    made.locator('svg[data-name^="section-"]').wait_for()
    return made
