"""The viewer gets every part and what stands round it, and loses none; the user is told what is
missing. Stand-ins play viewers; one test opens a page."""

import io
import json
import os
import pickle
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from math import hypot
from pathlib import Path
from urllib.request import urlopen

import pytest

from parts import load, view
from parts.make import Job
from parts.part import Part
from parts.view import client, places, session, standalone
from parts.view.scene import picture
from parts.view.standalone import Standalone
from parts.view.watch import Watched
from tests.viewers import StandIn, stand_in

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "configs" / "tin_wren.toml"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytest.importorskip("ocp_vscode", reason="the viewer's client is not installed")


@pytest.fixture(scope="module")
def job() -> Job:
    return load(DEMO)


@pytest.fixture(scope="module")
def mount(job: Job) -> Part:
    return job.part("rear_mount")


@pytest.fixture
def _soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Shorter waits."""
    monkeypatch.setattr(client, "HAD_S", 0.2)
    monkeypatch.setattr(session, "AGAIN_S", (0.1, 0.1))
    monkeypatch.setattr(session, "PATIENCE_S", 0.5)
    monkeypatch.delenv(places.PORT_VARIABLE, raising=False)


def told(parts: Sequence[Part], asked: view.Asked) -> list[str]:
    lines: list[str] = []
    view.show(lambda: parts, asked, lines.append, lines.append)
    return lines


@pytest.mark.usefixtures("_soon")
def test_every_piece_is_shown_at_its_place_in_its_parts_group(mount: Part) -> None:
    with stand_in() as viewer:
        lines = told([mount], view.Asked(viewer.port, scenery=False))
    names = viewer.names()
    assert {"rear_mount right bracket", "rear_mount left bracket"} <= set(names)
    box = viewer.box()
    # invented for the demo: the rails' outer faces at y = 580 and -580, the bar's studs at x = 1094
    # to 1098 and y = 622 and -625; a plate of 5 lies outside the rail and in front of the bar
    assert 622 < box["ymax"] < 660 and -665 < box["ymin"] < -625
    assert 1094 < box["xmax"] < 1105 and 900 < box["xmin"] < 947
    assert "shown: 2 pieces of 1 part" in lines[0]
    assert "metal: left blue, right orange" in lines[1]
    # with nothing but its own sign on show a viewer takes its first view, from the corner, as well
    assert viewer.models[0]["config"]["resetCamera"] in ("iso", "reset")


@pytest.mark.usefixtures("_soon")
def test_what_is_not_metal_is_named_and_told_in_the_legend(mount: Part) -> None:
    with stand_in() as viewer:
        lines = told([mount], view.Asked(viewer.port))
    assert "rear_mount rail, hole axes, right" in viewer.names()
    assert "rear_mount measured points" in viewer.names()
    assert any("not metal to make" in line and "points and axes red" in line for line in lines)


@pytest.mark.usefixtures("_soon")
def test_a_page_that_is_opened_late_gets_the_parts(mount: Part) -> None:
    with stand_in(opens_at=2) as viewer:
        lines = told([mount], view.Asked(viewer.port, scenery=False))
    assert len(viewer.models) == 3
    assert "no page is open yet" in lines[0] and "the parts come as soon as it is" in lines[0]
    assert "shown" in lines[1]
    assert viewer.names(0) == viewer.names(2)


class OpenedAgain:
    """A viewer of our own, a page of which is opened anew after it has drawn the parts."""

    alive, last_words = True, ""

    def __init__(self, viewer: StandIn) -> None:
        self.viewer = viewer

    def __enter__(self) -> "OpenedAgain":
        return self

    def __exit__(self, *error: object) -> None:
        pass

    @property
    def pages(self) -> int:
        if len(self.viewer.models) > 1:
            raise KeyboardInterrupt  # enough has been seen
        return 1 + len(self.viewer.models)


@pytest.mark.usefixtures("_soon")
def test_a_page_opened_anew_gets_the_parts_again(
    mount: Part, monkeypatch: pytest.MonkeyPatch
) -> None:
    with stand_in() as viewer:
        monkeypatch.setattr(places, "where", lambda asked: places.Where(viewer.port, False))
        monkeypatch.setattr(session, "Standalone", lambda port: OpenedAgain(viewer))
        lines = told([mount], view.Asked(scenery=False))
    assert len(viewer.models) == 2
    assert viewer.names(0) == viewer.names(1)
    assert "until Ctrl-C" in lines[0]
    assert lines[-1] == "put away"


@pytest.mark.usefixtures("_soon")
def test_asked_to_show_once_it_names_a_viewer_without_a_page(mount: Part) -> None:
    with stand_in(opens_at=None) as viewer, pytest.raises(view.NoViewer, match="no page is open"):
        told([mount], view.Asked(viewer.port, once=True))
    assert viewer.models


@pytest.mark.usefixtures("_soon")
def test_a_status_left_by_a_page_that_was_closed_is_not_taken_for_a_picture(mount: Part) -> None:
    with stand_in(opens_at=None) as viewer:
        viewer.status["zoom"] = 1.0
        with pytest.raises(view.NoViewer, match="no page is open"):
            told([mount], view.Asked(viewer.port, once=True))


def test_no_viewer_on_a_port_is_named(mount: Part) -> None:
    free = places.free_port()
    with pytest.raises(view.NoViewer, match=f"no viewer answers on 127.0.0.1:{free}"):
        told([mount], view.Asked(free, once=True))


def test_something_else_on_the_port_is_not_taken_for_a_viewer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(places, "WAIT_S", 0.2)
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        with pytest.raises(view.NoViewer, match="something that is no viewer answers"):
            places.where(port)


def test_a_missing_client_is_named_with_how_to_install_it(
    mount: Part, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in client.CLIENTS:
        monkeypatch.setitem(sys.modules, name, None)  # type: ignore[arg-type]
    with pytest.raises(view.NoViewer, match=r"pip install 'tinwright\[view\]'"):
        told([mount], view.Asked(1))


def test_a_missing_server_is_named_with_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(standalone, "find_spec", lambda name: None)
    with pytest.raises(view.NoViewer, match=r"none to start; run: pip install 'tinwright\[view\]'"):
        Standalone(1)


def test_of_several_viewers_one_is_taken_without_a_question(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv(places.PORT_VARIABLE, raising=False)
    monkeypatch.setattr(places, "USUAL_PORT", places.free_port())
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    with stand_in() as one, stand_in() as other:
        gone = places.free_port()
        monkeypatch.setattr(places, "_registered", lambda: [other.port, gone, one.port])
        found = places.where(None)
    low, high = sorted((one.port, other.port))
    assert (found.port, found.there, found.others) == (low, True, (high,))


def test_a_port_in_the_environment_that_is_no_number_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv(places.PORT_VARIABLE, "abc")
    with pytest.raises(view.NoViewer, match="OCP_PORT in the environment is 'abc'"):
        places.where(None)


def test_a_file_saved_as_it_was_is_no_change(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text("a = 1")
    watched = Watched([job])
    assert not watched.changed()
    os.utime(job, ns=(1, 1))
    assert not watched.changed()
    job.write_text("a = 2")
    assert watched.changed()
    assert not watched.changed()


def wait_for(what: Callable[[], bool], seconds: float = 60.0) -> None:
    """Wait until something holds, generously: machines are slow under load."""
    deadline = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < deadline, "it took too long"
        time.sleep(0.05)


def test_watching_redraws_what_is_mended_and_keeps_the_picture_of_what_is_broken(
    tmp_path: Path,
) -> None:
    """With two viewers registered and a terminal's input closed: it never asks which."""
    job, said = tmp_path / "job.toml", tmp_path / "said"
    good = DEMO.read_text(encoding="utf-8")
    job.write_text(good, encoding="utf-8")
    with stand_in() as one, stand_in() as other, said.open("w") as out:
        services = {str(v.port): "" for v in (one, other)}
        (tmp_path / ".ocpvscode").write_text(json.dumps({"version": 2, "services": services}))
        shown = min(one, other, key=lambda viewer: viewer.port)
        environment = {k: v for k, v in os.environ.items() if k != places.PORT_VARIABLE}
        run = subprocess.Popen(
            [sys.executable, "-c",
             "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
             "from parts.view import places; places.USUAL_PORT = places.free_port()\n"
             "from parts.__main__ import main; main()",
             "show", str(job), "--part", "rear_mount", "--bare", "--watch"],
            env=environment | {"HOME": str(tmp_path), "PYTHONUNBUFFERED": "1"},
            stdin=subprocess.DEVNULL, stdout=out, stderr=subprocess.STDOUT, cwd=ROOT,
        )  # fmt: skip
        try:
            wait_for(lambda: "shown" in said.read_text())
            before = len(shown.models)
            job.write_text(good.replace('kind = "bumper_mount"', 'kind = "bumper_mout"'))
            wait_for(lambda: "not drawn; the last picture stays" in said.read_text())
            assert "bumper_mout" in said.read_text()
            assert len(shown.models) == before
            job.write_text(good.replace("bar_mass = 8", "bar_mass = 8\nedge = 24"))  # wider
            wait_for(lambda: len(shown.models) > before)
            wait_for(lambda: said.read_text().count("shown:") == 2)
        finally:
            run.send_signal(signal.SIGINT)
            status = run.wait(20)
    assert status == 0
    assert shown.box()["ymax"] > shown.box(0)["ymax"] + 1
    assert shown.models[-1]["config"]["resetCamera"] == "keep"
    assert "several viewers are open" in said.read_text()


def test_a_viewer_of_our_own_is_on_this_machine_alone_and_ends_with_its_starter() -> None:
    pytest.importorskip("ocp_viewer", reason="the standalone viewer is not installed")
    port = places.free_port()
    with Standalone(port) as own:
        assert own.alive and own.pages == 0
        with urlopen(f"http://127.0.0.1:{port}/viewer", timeout=5) as page:
            assert page.status == 200
        assert places.is_viewer(port)
        assert places.page_of(port) == f"http://127.0.0.1:{port}/viewer"
        table = Path("/proc/net/tcp")
        if table.exists():
            rows = [line.split() for line in table.read_text().splitlines()[1:]]
            heard = {row[1].split(":")[0] for row in rows
                     if row[3] == "0A" and int(row[1].split(":")[1], 16) == port}  # fmt: skip
            assert heard == {"0100007F"}  # 127.0.0.1 as the system writes it
    assert not places.answers(port)
    dies = f"import os; from parts.view.standalone import Standalone; Standalone({port}); " \
        "os.kill(os.getpid(), 9)"  # fmt: skip
    subprocess.run([sys.executable, "-c", dies], cwd=ROOT, check=False)
    wait_for(lambda: not places.answers(port))


def test_a_page_shows_both_hands_in_their_colours(mount: Part) -> None:
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine to open the page with")
    pytest.importorskip("ocp_viewer", reason="the standalone viewer is not installed")
    sync = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    image = pytest.importorskip("PIL.Image")
    whole = picture([mount])
    assert whole is not None
    port = places.free_port()
    with Standalone(port) as own, sync.sync_playwright() as play:
        handed = client.client_on(port)
        arguments = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
        browser = play.chromium.launch(executable_path=CHROMIUM, args=arguments)
        page = browser.new_page(viewport={"width": 800, "height": 600})
        page.goto(f"http://127.0.0.1:{port}/viewer")
        wait_for(lambda: own.pages == 1)
        wait_for(lambda: handed.hand_over(whole, fresh=True))
        page.wait_for_timeout(500)
        shot = image.open(io.BytesIO(page.screenshot())).convert("RGB")
        browser.close()
    seen = shot.crop((250, 60, 800, 600)).tobytes()  # beside the list of names
    pixels = list(zip(seen[::3], seen[1::3], seen[2::3], strict=True))
    orange = sum(r > 180 and 80 < g < 190 and b < 110 for r, g, b in pixels)
    blue = sum(r < 120 and 80 < g < 180 and b > 140 for r, g, b in pixels)
    assert orange > 100 and blue > 100


def test_the_lid_is_shown_where_its_angle_brings_it(job: Job) -> None:
    part = job.part("boot_lid")
    by_name = {one.title: one for one in part.scenery}
    # by hand: the latch edge is 760 back of an edge at X 260, Z 880; the edges at the two hinges
    # are at X 260 and 261, so that the pivot, 72 ahead of their middle, is 71.5 ahead of this one;
    # 18 below it. Turned by 82 degrees: 260 - 71.5 + 831.5 cos 82 - 18 sin 82 = 286.40 and
    # 880 - 18 + 831.5 sin 82 + 18 cos 82 = 1687.91
    skin = by_name["lid, open 82°: lid skin, right"].form.points  # type: ignore[union-attr]
    top = skin[skin[:, 2].argmax()]
    assert top[0] == pytest.approx(286.40, abs=0.01)
    assert top[2] == pytest.approx(1687.91, abs=0.01)
    shut = by_name["lid, shut: lid skin, right"].form.points  # type: ignore[union-attr]
    assert shut[:, 0].max() == pytest.approx(260 + 760)
    # a strut from [60, -30] on the lid to [260, -260] on the body, 520 from the centre plane
    (run,) = by_name["strut, lid shut, right"].form.runs  # type: ignore[union-attr]
    length = ((run[0] - run[1]) ** 2).sum() ** 0.5
    assert length == pytest.approx(hypot(200, 230), abs=0.5)  # the edges differ by 1 at the hinges
    assert run[:, 1].tolist() == [520, 520]
    assert any("nearest" in name for name in by_name)


def test_the_tyre_is_shown_in_its_poses_and_in_all_that_it_sweeps(job: Job) -> None:
    part = job.part("rear_tub")
    by_name = {one.title: one for one in part.scenery}
    ride = by_name["tyre, ride, left"].form
    # the demo's axle: wheel faces 1560 apart, rim offset 20 outboard: 760 to the tyre's middle
    assert ride.center.tolist() == pytest.approx([0, -760, 331], abs=0.5)  # type: ignore[union-attr]
    swept = by_name["tyre, all it sweeps, left"].form
    top = max(run[:, 2].max() for run in swept.runs)  # type: ignore[union-attr]
    low = min(run[:, 2].min() for run in swept.runs)  # type: ignore[union-attr]
    # 331 up, 95 of bump, 85 of droop, 704.7 in diameter; leaning shows a little more
    assert 331 + 95 + 352.35 - 1 < top < 331 + 95 + 352.35 + 25
    assert 331 - 85 - 352.35 - 25 < low < 331 - 85 - 352.35 + 1
    assert by_name["tyre, ride, left"].aside is False
    assert any("nearest to the disc" in name and one.aside for name, one in by_name.items())
    assert any("cross-axled" in name for name in by_name)


def test_scenery_waits_until_it_is_asked_for_and_stays_in_its_process(job: Job) -> None:
    fresh = job.part("rear_mount")
    assert "scenery" not in vars(fresh.later)
    assert fresh.scenery and "scenery" in vars(fresh.later)
    assert pickle.loads(pickle.dumps(fresh)).scenery == ()
