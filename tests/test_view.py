"""The viewer is told what to show, and the user what is missing; a stand-in plays the viewer."""

import socket
import sys
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from parts import load, view

DEMO = Path(__file__).parents[1] / "configs" / "tin_wren.toml"


@pytest.fixture
def port() -> Iterator[int]:
    """A port of this machine on which somebody listens."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield server.getsockname()[1]


class StandIn(SimpleNamespace):
    """A viewer's client that forgets the first showings, as one without an open page does."""

    def __init__(self, deaf_for: int) -> None:
        super().__init__(Camera=SimpleNamespace(ISO="iso"), shown=[], ports=[])
        self.deaf_for = deaf_for

    def set_port(self, port: int) -> None:
        self.ports.append(port)

    def show(self, *shapes: Any, **options: Any) -> None:
        self.shown.append((shapes, options))

    def status(self) -> dict[str, int]:
        return {"seen": 1} if len(self.shown) > self.deaf_for else {}


def stand_in(monkeypatch: pytest.MonkeyPatch, deaf_for: int = 0) -> StandIn:
    client = StandIn(deaf_for)
    monkeypatch.setitem(sys.modules, "ocp_vscode", client)  # type: ignore[arg-type]
    monkeypatch.setattr(view.time, "sleep", lambda seconds: None)
    return client


def test_every_piece_is_shown_at_its_place_on_the_vehicle(
    monkeypatch: pytest.MonkeyPatch, port: int
) -> None:
    client = stand_in(monkeypatch)
    parts = [load(DEMO).part("rear_mount")]
    assert view.show(parts, port) == f"2 pieces shown on port {port}"
    ((shapes, options),) = client.shown
    assert options["names"] == ["rear_mount right bracket", "rear_mount left bracket"]
    right, left = (shape.BoundingBox() for shape in shapes)
    # invented for the demo: the rail's outer faces are at y = 580 and -580, the bar's studs at
    # x = 1094 to 1098; plate 5 lies outside the rail and in front of the bar
    assert right.ymin == pytest.approx(580.0, abs=0.1)
    assert left.ymax == pytest.approx(-580.0, abs=0.1)
    assert 1094 < right.xmax < 1105
    assert client.ports == [port]


def test_a_viewer_whose_page_opens_late_is_shown_again(
    monkeypatch: pytest.MonkeyPatch, port: int
) -> None:
    client = stand_in(monkeypatch, deaf_for=3)
    view.show([load(DEMO).part("rear_mount")], port)
    assert len(client.shown) == 4


def test_a_viewer_without_a_page_is_named(monkeypatch: pytest.MonkeyPatch, port: int) -> None:
    stand_in(monkeypatch, deaf_for=10**9)
    monkeypatch.setattr(view, "PATIENCE_S", 0.0)
    with pytest.raises(view.NoViewer, match="no page is open"):
        view.show([load(DEMO).part("rear_mount")], port)


def test_a_port_where_nobody_listens_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    stand_in(monkeypatch)
    with socket.create_server(("127.0.0.1", 0)) as server:
        free = server.getsockname()[1]
    with pytest.raises(view.NoViewer, match=f"no viewer answers on 127.0.0.1:{free}"):
        view.show([load(DEMO).part("rear_mount")], free)


def test_a_missing_client_is_named_with_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ocp_vscode", None)  # type: ignore[arg-type]
    with pytest.raises(view.NoViewer, match=r"pip install 'tinwright\[view\]'"):
        view.show([load(DEMO).part("rear_mount")], 1)
