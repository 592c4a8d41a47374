"""What must not hurt the desk, in a real browser: pages from elsewhere, wrong tokens, tricks in names, torn sockets.

Two tabs, a desk started again, a pasted megabyte and "nothing leaves the machine" (on every page, by the fixture
`new_page`) are in `test_desk`; the same doors without a browser in ``tests/unit/desk/test_server.py``.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from typing import Any

import pytest

from tests.browser.conftest import Desk, edits, left_as_found
from tests.browser.test_desk import drawn, revision

SOCKET = """(address) => new Promise((done) => {
    const socket = new WebSocket(address);
    let heard = 0;
    socket.onmessage = () => heard++;
    socket.onclose = (event) => done([event.code, heard]);
    setTimeout(() => done(['open', heard]), 5000);
})"""


@pytest.fixture
def elsewhere() -> Iterator[str]:
    """A page of somebody else, served on this machine too."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.end_headers()
            self.wfile.write(b"<title>elsewhere</title>")

        def log_message(self, *_: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_a_page_from_elsewhere_hears_nothing(page: Any, shared: Desk, elsewhere: str, chromium: Any) -> None:
    context = chromium.new_context()
    other = context.new_page()
    other.goto(elsewhere)
    code, heard = other.evaluate(SOCKET, f"ws://127.0.0.1:{shared.port}/talk?page=x")
    assert code != "open"
    assert heard == 0
    assert other.evaluate("(home) => fetch(home).then(() => 'read', () => 'barred')", shared.home) == "barred"
    own = page.evaluate(SOCKET, f"ws://127.0.0.1:{shared.port}/talk?page=y")
    assert own[0] == "open"  # the same from the desk's own page is let in
    assert own[1] > 0
    context.close()


def test_a_name_pointed_here_and_a_wrong_token_are_turned_away(shared: Desk, chromium: Any) -> None:
    context = chromium.new_context()
    other = context.new_page()
    for address in (f"http://desk.localhost:{shared.port}/", f"http://desk.localhost:{shared.port}/?token=wrong"):
        answer = other.goto(address)
        assert answer.status == 403
        assert "does not know you" in other.inner_text("body")
    context.close()


TRICKS = (
    "take/..%2f..%2f..%2fetc%2fpasswd", "static/..%2froom.py", "take/craft.toml.pdf/..", "why/..%2f..%2fcraft",
    "%2e%2e/etc/passwd",
)  # fmt: skip


def test_tricks_in_addresses_reach_nothing(page: Any, shared: Desk) -> None:
    for path in TRICKS:
        found = page.evaluate(
            "(at) => fetch(at).then(async (one) => [one.status, await one.text()])", shared.home + path
        )
        assert found[0] == 404, path
        assert "root:" not in found[1], path


def test_a_trick_in_the_name_of_the_file_stays_in_the_folder(empty_desk: Desk, new_page: Callable[..., Any]) -> None:
    page = new_page(empty_desk.home)
    page.get_by_role("button", name="Put it on the desk").click()
    page.get_by_role("dialog").get_by_role("button", name="Skip").click()
    before = set(empty_desk.folder.parent.iterdir())
    page.get_by_label("Name of the file").fill("../../out of here")
    page.get_by_role("button", name="Save as").click()
    page.get_by_text("Saved", exact=True).wait_for()
    assert set(empty_desk.folder.parent.iterdir()) == before
    assert [one.suffix for one in empty_desk.folder.iterdir() if one.suffix == ".toml"] == [".toml"]


def test_a_megabyte_on_the_socket_ends_that_socket_only(page: Any, shared: Desk) -> None:
    code = page.evaluate(
        """(address) => new Promise((done) => {
            const socket = new WebSocket(address);
            socket.onopen = () => socket.send('9'.repeat(1 << 20));
            socket.onclose = (event) => done(event.code);
        })""",
        f"ws://127.0.0.1:{shared.port}/talk?page=z",
    )
    assert code == 1009  # RFC 6455: too big
    page.get_by_label("Depth", exact=True).fill("290 mm")
    page.keyboard.press("Enter")
    drawn(page, 2)


def test_a_torn_socket_is_mended_and_what_was_typed_meanwhile_arrives(shared: Desk, chromium: Any) -> None:
    context = chromium.new_context(viewport={"width": 1366, "height": 768})
    page = context.new_page()
    through: list[Any] = []
    page.route_web_socket("**/talk*", lambda socket: through.append((socket, socket.connect_to_server())))
    page.goto(shared.home)
    page.locator('svg[data-name^="section-"]').wait_for()
    page.base = edits(page) - 1
    socket, server = through[-1]
    server.close()
    socket.close(code=1001)
    page.get_by_text("The desk does not answer.").wait_for()
    page.get_by_label("Depth", exact=True).fill("295 mm")
    page.keyboard.press("Enter")
    drawn(page, 2)
    assert len(through) >= 2
    assert revision(page) == 2  # once, not twice
    left_as_found(page)
    context.close()
