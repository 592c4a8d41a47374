"""The routes of the desk: the page, its socket, files to take away; nothing is served that is not named here."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import HTTPConnection, Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from skirtloft.desk.answer import Solved
from skirtloft.desk.document import Document
from skirtloft.desk.guard import COOKIE, Guard
from skirtloft.desk.kept_pieces import piece_rows
from skirtloft.desk.messages import LARGEST, BadMessageError, read_message
from skirtloft.desk.room import Room
from skirtloft.desk.take import parcel
from skirtloft.desk.visitor import Visitor
from skirtloft.errors import SkirtloftError
from skirtloft.explain.ask import why

STATIC = Path(__file__).with_name("static")
DISK_EVERY = 1.0  # s between two looks at the file
NOT_BUILT = "The page is not built. In desk-page: npm ci, then npm run build."
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
        "font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
Answer = Callable[[Request], Awaitable[Response]]


def desk_app(document: Document | None, folder: Path, guard: Guard) -> Starlette:
    """Return the desk as an ASGI application; the room is made when it starts."""

    @contextlib.asynccontextmanager
    async def running(app: Starlette) -> AsyncIterator[None]:
        room = app.state.room = Room(document, folder, asyncio.get_running_loop())
        watch = asyncio.create_task(_watch(room))
        try:
            yield
        finally:
            watch.cancel()
            await run_in_threadpool(room.close)

    routes: list[Any] = [
        Route("/", _guarded(guard, _page)),
        Route("/static/{name}", _guarded(guard, _static)),
        Route("/take/{name}", _guarded(guard, _take)),
        Route("/why/{name}", _guarded(guard, _why)),
        Route("/kept-pieces", _guarded(guard, _kept_pieces)),
        WebSocketRoute("/talk", _talk(guard)),
    ]
    return Starlette(routes=routes, lifespan=running)


async def _watch(room: Room) -> None:
    while True:
        await asyncio.sleep(DISK_EVERY)
        room.look_at_disk()


def _may_enter(guard: Guard, connection: HTTPConnection) -> bool:
    host = connection.headers.get("host", "")
    if not guard.is_host(host):
        return False
    client = connection.client.host if connection.client else None
    return guard.is_local(client, host) or guard.is_session(connection.cookies.get(COOKIE))


def _guarded(guard: Guard, answer: Answer) -> Answer:
    """Answer only whom the guard admits; a right token is traded for a session."""

    async def guarded(request: Request) -> Response:
        host = request.headers.get("host", "")
        token = request.query_params.get("token")
        if guard.is_host(host) and token and (session := guard.admit(token)) is not None:
            response: Response = RedirectResponse("/", status_code=303)
            response.set_cookie(COOKIE, session, httponly=True, samesite="strict")
        elif not _may_enter(guard, request):
            response = PlainTextResponse("This desk does not know you. Ask for a fresh address at the desk.", 403)
        else:
            try:
                response = await answer(request)
            except asyncio.CancelledError:  # the desk is ended while it works
                response = PlainTextResponse("The desk is being closed.", 503)
        response.headers.update(HEADERS)
        return response

    return guarded


async def _page(request: Request) -> Response:
    page = STATIC / "index.html"
    if not page.is_file():
        return PlainTextResponse(NOT_BUILT, 503)
    return FileResponse(page, headers={"Cache-Control": "no-cache"})


async def _static(request: Request) -> Response:
    name = request.path_params["name"]
    names = {path.name for path in STATIC.iterdir() if path.is_file()} if STATIC.is_dir() else set()
    if name not in names:
        return PlainTextResponse("There is no such file.", 404)
    return FileResponse(STATIC / name, headers={"Cache-Control": "no-cache"})


async def _take(request: Request) -> Response:
    """Hand out a file made from the newest solved design, or the pack that was made last."""
    room: Room = request.app.state.room
    name = request.path_params["name"]
    if name == "pack.zip":
        job = room.board.pack
        if job is None or job.zip is None or not job.zip.is_file():
            return PlainTextResponse("No pack has been made yet.", 404)
        return FileResponse(job.zip, filename=f"{job.name}.zip", media_type="application/zip")
    solved = await _whole(room)
    if solved is None:
        return PlainTextResponse("The design as it stands cannot be made: mend it, or go back a step.", 409)
    try:
        made = await run_in_threadpool(parcel, solved, name, room.kept_layout())
    except KeyError:
        return PlainTextResponse("There is no such file.", 404)
    except SkirtloftError as error:
        return PlainTextResponse(str(error), 409)
    headers = {"Content-Disposition": f'attachment; filename="{made.name}"'}
    return Response(made.data, media_type=made.kind, headers=headers)


async def _kept_pieces(request: Request) -> Response:
    """Return which cut pieces of the kept variant still serve: ``{kept, revision, pieces}``; 409 where none is kept."""
    bench = request.app.state.room.bench
    kept, now = bench.kept, bench.whole
    if kept is None or now is None:
        return PlainTextResponse("No variant is kept.", 409)
    rows = await run_in_threadpool(piece_rows, kept.skirt.pieces, now.skirt.pieces)
    return JSONResponse({"kept": kept.revision, "revision": now.revision, "pieces": rows})


async def _why(request: Request) -> Response:
    """Return the lines of `why` on a rule or a number, without what moves it: that takes many solves."""
    room: Room = request.app.state.room
    if (solved := await _whole(room)) is None:
        return PlainTextResponse("The design as it stands cannot be made.", 409)
    name = request.path_params["name"]
    if len(name) > 80:
        return PlainTextResponse("No rule has that name.", 404)
    try:
        lines = await run_in_threadpool(why, solved.skirt.design, name, True)
    except SkirtloftError:
        return PlainTextResponse("No number or rule has that name.", 404)
    return PlainTextResponse("\n".join(lines))


async def _whole(room: Room) -> Solved | None:
    """Return the design as it stands with its pieces, waiting for them; None where it cannot be made."""
    for _ in range(200):
        answer, revision = room.bench.answer, room.document.revision if room.document else 0
        whole = room.bench.whole
        if whole is not None and whole.revision == revision:
            return whole
        if answer is not None and answer.revision == revision and answer.is_refusal:
            return None
        await asyncio.sleep(0.05)
    return None


def _talk(guard: Guard) -> Callable[[WebSocket], Awaitable[None]]:
    """Return the socket's handler."""

    async def talk(socket: WebSocket) -> None:
        host = socket.headers.get("host", "")
        if not guard.is_origin(socket.headers.get("origin"), host) or not _may_enter(guard, socket):
            await socket.close(code=4403)
            return
        await socket.accept()
        client = socket.client.host if socket.client else None
        room: Room = socket.app.state.room
        is_at_desk = guard.is_local(client, host)
        page = socket.query_params.get("page", "")[:40]
        visitor = Visitor(may_edit=is_at_desk or not guard.read_only, page=page)
        room.enter(visitor)
        sender = asyncio.create_task(_send(socket, visitor))
        try:
            await _listen(socket, room, visitor)
        except (WebSocketDisconnect, RuntimeError):
            pass
        finally:
            sender.cancel()
            room.leave(visitor)

    return talk


async def _send(socket: WebSocket, visitor: Visitor) -> None:
    while True:
        data = await visitor.next()
        if isinstance(data, bytes):
            await socket.send_bytes(data)
        else:
            await socket.send_text(data)


async def _listen(socket: WebSocket, room: Room, visitor: Visitor) -> None:
    while True:
        text = await socket.receive_text()
        try:
            room.hear(visitor, read_message(text))
        except BadMessageError as error:
            visitor.send("bad", {"type": "bad", "why": str(error)})


__all__ = ["LARGEST", "desk_app"]
