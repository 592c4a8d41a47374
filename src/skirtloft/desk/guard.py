"""Who may connect: pages of this desk on this machine; other devices by a one-time token, when asked for."""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

LOCAL = ("127.0.0.1", "localhost", "[::1]")
COOKIE = "skirtloft-desk"


@dataclass
class Guard:
    """The desk's rules of admission.

    Parameters
    ----------
    port : int
    addresses : tuple of str
        Host names and addresses by which other devices may reach it; empty: none may.
    read_only : bool
        Other devices may look and not change.
    tell : callable
        Told each new token.
    """

    port: int
    addresses: tuple[str, ...] = ()
    read_only: bool = False
    tell: Callable[[str], None] = lambda token: None
    _token: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    _sessions: set[str] = field(default_factory=set)

    @property
    def token(self) -> str:
        """The token that admits the next device, once."""
        return self._token

    def is_host(self, host: str) -> bool:
        """Tell whether a Host header names this desk: a page elsewhere that points its name here is refused."""
        return host in {f"{name}:{self.port}" for name in (*LOCAL, *self.addresses)}

    def is_origin(self, origin: str | None, host: str) -> bool:
        """Tell whether a socket is opened by a page of this desk."""
        if origin is None or not self.is_host(host):
            return False
        parts = urlsplit(origin)
        return parts.scheme in ("http", "https") and parts.netloc == host

    def is_local(self, client: str | None, host: str) -> bool:
        """Tell whether a request comes from this machine, by a name of this machine."""
        return client in ("127.0.0.1", "::1") and host in {f"{name}:{self.port}" for name in LOCAL}

    def admit(self, token: str) -> str | None:
        """Return a session for the right token and make the next one; None for a wrong one."""
        if not hmac.compare_digest(token.encode(), self._token.encode()):
            return None
        session = secrets.token_urlsafe(24)
        self._sessions.add(session)
        self._token = secrets.token_urlsafe(12)
        self.tell(self._token)
        return session

    def is_session(self, session: str | None) -> bool:
        """Tell whether a device was admitted before."""
        return session is not None and any(hmac.compare_digest(session, known) for known in self._sessions)
