"""What `skirtloft open` does: put a design on the desk, start the server, show the page."""

from __future__ import annotations

import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

import uvicorn

from skirtloft.design.read import read_text, syntax_problems
from skirtloft.desk.document import Document
from skirtloft.desk.guard import Guard
from skirtloft.desk.server import LARGEST, desk_app
from skirtloft.errors import DesignError, ExportError

FIRST_PORT = 8740


def open_desk(
    design: Path | None,
    *,
    port: int | None = None,
    network: bool = False,
    read_only: bool = False,
    show: bool = True,
    say: Callable[[str], None] = print,
) -> int:
    """Serve the desk until Ctrl-C; return the exit code.

    Parameters
    ----------
    design : Path or None
        None: the page starts with five questions.
    port : int or None
        None takes the first that is free from 8740 on.
    network : bool
        Let other devices of the local network in, by a one-time token each.
    read_only : bool
        They may look and not change.
    show : bool
        Open the page in the browser.
    say : callable
        Told what the user should know.

    Raises
    ------
    DesignError
        The file cannot be read or is no TOML.
    ExportError
        The port is taken.
    """
    document = None
    if design is not None:
        text = read_text(design)
        if problems := syntax_problems(text):
            raise DesignError(problems)
        document = Document(text, design)
    folder = design.absolute().parent if design is not None else Path.cwd()
    listener = _listen(port, "0.0.0.0" if network else "127.0.0.1")
    taken = listener.getsockname()[1]
    addresses = _own_addresses() if network else ()

    def tell(token: str) -> None:
        for address in addresses:
            say(f"Another device, once: http://{address}:{taken}/?token={token}")

    guard = Guard(taken, addresses, read_only, tell)
    place = f"http://127.0.0.1:{taken}/"
    say(f"The desk is at {place}  (Ctrl-C ends it)")
    if network:
        say("Other devices may look" + ("." if read_only else " and change."))
        tell(guard.token)
    if show:
        threading.Timer(0.6, webbrowser.open, [place]).start()
    config = uvicorn.Config(
        desk_app(document, folder, guard), log_level="warning", ws_max_size=LARGEST, lifespan="on",
        ws="websockets-sansio", timeout_graceful_shutdown=2, server_header=False,
    )  # fmt: skip
    uvicorn.Server(config).run(sockets=[listener])
    return 0


def _listen(port: int | None, host: str) -> socket.socket:
    """Return a socket bound to a port: that one, or the first free one."""
    for wanted in [port] if port is not None else [*range(FIRST_PORT, FIRST_PORT + 20), 0]:
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if hasattr(socket, "SO_REUSEADDR") and socket.socket.__module__ != "nt":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, wanted))
            return listener
        except OSError:
            listener.close()
    raise ExportError(f"Port {port} is taken by another program; give another one, or none.")


def _own_addresses() -> tuple[str, ...]:
    """Return the addresses of this machine on its networks; no packet is sent."""
    found: list[str] = []
    try:
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    except OSError:
        pass
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for documentation (RFC 5737): asks only for the route
            found.append(str(probe.getsockname()[0]))
        except OSError:
            pass
    return tuple(dict.fromkeys(address for address in found if not address.startswith("127.")))
