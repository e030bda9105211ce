"""A stand-in for a viewer: it listens as one does, and draws only while a page is open."""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from websockets.sync.server import ServerConnection


@dataclass
class StandIn:
    """`models` are the messages with a model, in order. The page opens at the one numbered
    `opens_at` (0 for the first; None never), and reports the zoom that it drew with; the first
    letter of a message is its kind."""

    opens_at: int | None = 0
    port: int = 0
    models: list[dict[str, Any]] = field(default_factory=list)
    status: dict[str, Any] = field(default_factory=dict)

    def hear(self, link: "ServerConnection") -> None:
        for raw in link:
            text = raw.decode() if isinstance(raw, bytes) else raw
            kind, told = text[0], json.loads(text[2:])
            if kind == "D":
                self.models.append(told)
                if self.opens_at is not None and len(self.models) > self.opens_at:
                    self.status["zoom"] = told["config"]["zoom"]
            elif kind == "B":
                link.send('{"ok": true}')
            elif told == "status":
                link.send(json.dumps({"command": "status", "text": self.status}))
            else:
                link.send(json.dumps({"collapse": "leaves", "_splash": not self.status}))

    def names(self, number: int = -1) -> list[str]:
        """Every name in a model, groups before what is in them."""
        found: list[str] = []

        def walk(node: dict[str, Any]) -> None:
            found.append(node["name"])
            for one in node.get("parts", ()):
                walk(one)

        walk(self.models[number]["data"]["shapes"])
        return found

    def box(self, number: int = -1) -> dict[str, float]:
        """The whole model's bounding box."""
        box: dict[str, float] = self.models[number]["data"]["shapes"]["bb"]
        return box


@contextmanager
def stand_in(opens_at: int | None = 0) -> Iterator[StandIn]:
    """A stand-in that listens on a free port of this machine."""
    from websockets.sync.server import serve

    viewer = StandIn(opens_at)
    with serve(viewer.hear, "127.0.0.1", 0, max_size=None) as server:
        viewer.port = server.socket.getsockname()[1]
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield viewer
        server.shutdown()
