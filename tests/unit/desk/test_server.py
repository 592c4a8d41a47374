"""The routes and the socket: who is let in, what is served, what a page may say."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from skirtloft.desk.guard import Guard
from skirtloft.desk.server import desk_app
from tests.desk_cases import FOUR_TEXT, on_disk

PORT = 8740
HOME = f"http://127.0.0.1:{PORT}"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[TestClient]:
    document, _ = on_disk(tmp_path)
    with TestClient(desk_app(document, tmp_path, Guard(PORT)), base_url=HOME, client=("127.0.0.1", 5)) as client:
        yield client


class Page:
    """A page that talks to the desk."""

    def __init__(self, socket: Any) -> None:
        self.socket, self.number = socket, 0
        self.heard: list[dict[str, Any]] = []

    def say(self, name_of: str, **fields: Any) -> dict[str, Any]:
        self.number += 1
        self.socket.send_text(json.dumps({"name_of": name_of, "number": self.number, **fields}))
        return self.until("done", number=self.number)

    def until(self, kind: str, **fields: Any) -> dict[str, Any]:
        started = time.monotonic()
        while time.monotonic() - started < 30:
            message = self.socket.receive()
            if message.get("bytes"):
                data = {"type": "solid", "bytes": message["bytes"]}
            else:
                data = json.loads(message["text"])
            self.heard.append(data)
            if data["type"] == kind and all(data.get(key) == value for key, value in fields.items()):
                return data
        raise AssertionError(f"no {kind} {fields}")


@pytest.fixture
def page(desk: TestClient) -> Iterator[Page]:
    with desk.websocket_connect(f"ws://127.0.0.1:{PORT}/talk?page=a", headers={"origin": HOME}) as socket:
        yield Page(socket)


def test_an_edit_is_answered_with_state_then_answer_of_one_revision(page: Page) -> None:
    first = page.until("answer")
    assert first["verdict"] == "HOLDS"
    assert page.say("set", key="skirt.depth", value="285 mm")["problem"] is None
    answer = page.until("answer", revision=2)
    assert answer["depth"] == pytest.approx(0.285)
    states = [one for one in page.heard if one["type"] == "state" and one["revision"] == 2]
    rows = {
        row["key"]: row["text"] for group in states[0]["groups"] for block in group["blocks"] for row in block["rows"]
    }
    assert rows["skirt.depth"] == "285 mm"


def test_the_desk_shows_what_the_command_line_gives(page: Page) -> None:
    from skirtloft.design.read import parse_design
    from skirtloft.pipeline import build
    from skirtloft.report import plain_lines

    page.say("set", key="skirt.depth", value="290 mm")
    skirt = build(parse_design(FOUR_TEXT, {"skirt.depth": "290 mm"}))
    answer = page.until("answer", revision=2, whole=True)
    assert [words for _, words in answer["facts"]] == [line[10:].strip() for line in plain_lines(skirt)]
    assert [(one["rule"], one["verdict"]) for one in answer["findings"]] == [
        (one.rule, one.verdict) for one in skirt.findings
    ]


def test_drawings_are_made_for_what_is_looked_at(page: Page) -> None:
    page.until("answer")
    page.say("look", names=["section-P05", "plan", "solid"])
    section = page.until("drawing", name="section-P05")
    assert "<path" in section["svg"]
    assert " id=" not in section["svg"]
    assert any(handle["key"] == "skirt.depth" for handle in section["handles"])
    solid = page.until("solid")["bytes"]
    length = int.from_bytes(solid[:4], "little")
    parts = json.loads(solid[4 : 4 + length])["parts"]
    points = sum(rows * columns for _, _, rows, columns, _ in parts)
    assert len(solid) == 4 + length + 12 * points
    answer = page.until("answer", whole=True)
    sewn = {piece["code"] for piece in answer["pieces"] if piece["kind"] in ("loop_panel", "face", "web")}
    assert {piece for *_, piece in parts if piece} == sewn  # loop and segments are seen on the skirt


def test_an_impossible_design_is_refused_with_what_would_do_and_undone(page: Page) -> None:
    page.until("answer")
    page.say("set", key="skirt.depth", value="20 mm")
    refused = page.until("refused", revision=2)
    assert refused["problems"][0]["key"] == "skirt.depth"
    assert "50 mm" in refused["problems"][0]["would_do"]  # the least depth of the schema
    page.say("undo")
    assert page.until("answer", revision=3)["verdict"] == "HOLDS"


def test_a_wish_sent_twice_is_done_once(page: Page) -> None:
    page.until("answer")
    page.say("step", key="skirt.depth", count=1, size="plain")
    page.number -= 1  # as a page does that was cut off before it heard
    page.say("step", key="skirt.depth", count=1, size="plain")
    page.say("undo")
    states = [one for one in page.heard if one["type"] == "state"]
    assert max(state["revision"] for state in states) == 3


@pytest.mark.parametrize(
    "text",
    [
        "no json", "[]", "{}", '{"name_of": "rm"}', '{"name_of": "set", "number": 1}',
        '{"name_of": "set", "number": "1"}',
        '{"name_of": "set", "number": 1, "key": "skirt.depth", "value": 3}',
        json.dumps({"name_of": "set", "number": 1, "key": "skirt.depth", "value": "9" * 3000}),
        json.dumps({"name_of": "look", "number": 1, "names": ["plan"] * 50}),
        "[" * 50_000,
    ],
)  # fmt: skip
def test_what_no_page_says_is_refused_and_the_desk_goes_on(page: Page, text: str) -> None:
    page.until("answer")
    page.socket.send_text(text)
    assert page.until("bad")["why"]
    assert page.say("set", key="skirt.depth", value="285 mm")["problem"] is None


def test_two_pages_see_the_same(desk: TestClient, page: Page) -> None:
    with desk.websocket_connect(f"ws://127.0.0.1:{PORT}/talk?page=b", headers={"origin": HOME}) as socket:
        other = Page(socket)
        other.until("answer")
        page.say("set", key="skirt.depth", value="285 mm")
        assert other.until("answer", revision=2)["depth"] == pytest.approx(0.285)


@pytest.mark.parametrize(
    "origin",
    [None, "https://elsewhere.example", f"http://localhost:{PORT + 1}", "null", f"http://127.0.0.1:{PORT}.evil"],
)
def test_a_page_from_elsewhere_gets_no_socket(desk: TestClient, origin: str | None) -> None:
    headers = {} if origin is None else {"origin": origin}
    with pytest.raises(WebSocketDisconnect), desk.websocket_connect(f"ws://127.0.0.1:{PORT}/talk", headers=headers):
        pass


def test_a_name_that_is_pointed_here_is_refused(desk: TestClient) -> None:
    answer = desk.get("/", headers={"host": f"evil.example:{PORT}"})
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "path",
    ["/static/..%2fserver.py", "/static/../server.py", "/static/%2e%2e%2fserver.py", "/take/..%2f..%2fetc%2fpasswd",
     "/take/section-P05.exe", "/take/plan.pdf%00", "/nowhere", "/static/.hidden"],
)  # fmt: skip
def test_tricks_in_names_reach_nothing(desk: TestClient, path: str) -> None:
    assert desk.get(path).status_code == 404


def test_nothing_on_the_page_may_come_from_elsewhere(desk: TestClient) -> None:
    policy = desk.get("/").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "http" not in policy


@pytest.mark.parametrize(
    "name, begins",
    [("plan.pdf", b"%PDF"), ("section-P05.dxf", b"  0\nSECTION"), ("piece-L02.svg", b"<svg"), ("plan.png", b"\x89PNG"),
     ("skirt.glb", b"glTF"), ("results.json", b"{"), ("cut-list.csv", b"code,"), ("design.toml", b"# Wade")],
)  # fmt: skip
def test_files_are_handed_out(desk: TestClient, page: Page, name: str, begins: bytes) -> None:
    page.until("answer")
    answer = desk.get(f"/take/{name}")
    assert answer.status_code == 200
    assert answer.content.replace(b"\r\n", b"\n").startswith(begins)
    assert "attachment" in answer.headers["content-disposition"]


def test_a_rule_is_explained_as_the_command_line_explains_it(desk: TestClient, page: Page) -> None:
    from skirtloft.design.read import parse_design
    from skirtloft.explain.ask import why

    page.until("answer", whole=True)
    answer = desk.get("/why/clearance-to-width")
    assert answer.text == "\n".join(why(parse_design(FOUR_TEXT), "clearance-to-width", quick=True))
    assert desk.get("/why/nonsense").status_code == 404


# ------------------------------------------------------------------------------------------------- other devices


def network(tmp_path: Path, read_only: bool) -> tuple[Any, Guard]:
    document, _ = on_disk(tmp_path)
    guard = Guard(PORT, ("192.0.2.7",), read_only)
    return desk_app(document, tmp_path, guard), guard


def test_a_device_gets_in_with_the_token_once(tmp_path: Path) -> None:
    app, guard = network(tmp_path, read_only=False)
    place = f"http://192.0.2.7:{PORT}"
    with TestClient(app, base_url=place, client=("192.0.2.50", 9)) as device:
        assert device.get("/").status_code == 403
        assert device.get("/?token=wrong").status_code == 403
        token = guard.token
        assert device.get(f"/?token={token}", follow_redirects=False).status_code == 303
        assert device.get("/").status_code == 200
        device.cookies.clear()
        assert device.get(f"/?token={token}").status_code == 403  # it is spent
        assert guard.token != token


@pytest.mark.parametrize("read_only", [True, False])
def test_a_device_may_change_unless_it_may_only_look(tmp_path: Path, read_only: bool) -> None:
    app, guard = network(tmp_path, read_only)
    place = f"http://192.0.2.7:{PORT}"
    with TestClient(app, base_url=place, client=("192.0.2.50", 9)) as device:
        with (
            pytest.raises(WebSocketDisconnect),
            device.websocket_connect(f"ws://192.0.2.7:{PORT}/talk", headers={"origin": place}),
        ):
            pass
        device.get(f"/?token={guard.token}")
        with device.websocket_connect(f"ws://192.0.2.7:{PORT}/talk?page=d", headers={"origin": place}) as socket:
            page = Page(socket)
            assert page.until("hello")["may_edit"] is not read_only
            problem = page.say("set", key="skirt.depth", value="285 mm")["problem"]
            assert (problem is not None) is read_only


def test_without_the_network_no_token_helps(desk: TestClient, tmp_path: Path) -> None:
    guard = Guard(PORT)
    document, _ = on_disk(tmp_path)
    with TestClient(
        desk_app(document, tmp_path, guard), base_url=f"http://192.0.2.7:{PORT}", client=("192.0.2.9", 1)
    ) as c:
        assert c.get(f"/?token={guard.token}").status_code == 403


def test_the_section_is_drawn_before_the_rest_is_said(page: Page) -> None:
    page.until("answer")
    page.say("look", names=["section-P05"])
    page.until("drawing", name="section-P05")
    page.say("set", key="skirt.depth", value="285 mm")
    page.until("answer", revision=2)
    kinds = [one["type"] for one in page.heard if one.get("revision") == 2 and one["type"] in ("drawing", "answer")]
    assert kinds == ["drawing", "answer"]


def test_long_work_is_known_by_name_and_one_at_a_time(desk: TestClient, page: Page) -> None:
    page.until("answer")
    assert page.say("job", what="teleport", accept=[])["problem"]["wrong"] == "There is no such work."
    assert page.say("job", what="patterns", accept=[])["problem"] is None
    assert page.say("job", what="layout", accept=[])["problem"]["wrong"] == "Other work is being done already."
    page.say("cancel")
    ended = page.until("job", of="patterns", state="cancelled")
    assert ended["why"] == ""
