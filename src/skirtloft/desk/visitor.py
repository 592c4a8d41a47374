"""One open page: what it looks at and what is still to be sent to it."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass, field
from typing import Any

from skirtloft.desk.backroom import PREFIX
from skirtloft.desk.bench import KEPT, SOLID
from skirtloft.desk.drawings import is_name
from skirtloft.desk.studies import STUDIES

Json = dict[str, Any]


@dataclass(eq=False)
class Visitor:
    """One open page: whether it may change things, what it looks at, and what is still to be sent to it."""

    may_edit: bool
    page: str = ""
    looks: tuple[str, ...] = ()
    outbox: dict[str, Json | bytes] = field(default_factory=dict)
    ready: asyncio.Event = field(default_factory=asyncio.Event)

    def send(self, slot: str, data: Json | bytes) -> None:
        """Put something into the outbox; one of the same slot that is still there is replaced."""
        self.outbox.pop(slot, None)
        self.outbox[slot] = data
        self.ready.set()

    async def next(self) -> str | bytes:
        """Return the next thing to send, waiting for one."""
        while not self.outbox:
            self.ready.clear()
            await self.ready.wait()
        slot = next(iter(self.outbox))
        data = self.outbox.pop(slot)
        return data if isinstance(data, bytes) else json.dumps(data, separators=(",", ":"))


def can_be_looked_at(name: str) -> bool:
    """Tell whether a page may ask for a drawing or a study of that name."""
    if name.startswith(PREFIX):
        return name.removeprefix(PREFIX) in STUDIES
    plain = name.removeprefix(KEPT)
    return plain == SOLID or is_name(plain)
