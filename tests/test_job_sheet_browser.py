"""The job sheet as a browser shows and prints it."""

import json
import os
import re
import shutil
import subprocess
from contextlib import suppress
from pathlib import Path
from signal import SIGTERM
from threading import Timer

import pytest
from pages import demo, page_of, squeezed
from pypdf import PdfReader

from parts.whole import WholeJob
from parts.writers.whole import overview

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


PROBE = """<!DOCTYPE html><meta charset="utf-8"><body style="margin:0"><script>
const pages = PAGES, said = {};
const ink = (canvas) => {
  const flat = document.createElement("canvas");
  [flat.width, flat.height] = [canvas.width, canvas.height];
  const pen = flat.getContext("2d");
  pen.drawImage(canvas, 0, 0);
  const rgba = pen.getImageData(0, 0, flat.width, flat.height).data;
  let count = 0, sum = 0;
  for (let k = 0; k < rgba.length; k += 4)
    if (rgba[k] < 250) { count += 1; sum = (sum * 31 + rgba[k] * (k % 1009)) % 1000003; }
  return [count / (rgba.length / 4), sum];
};
const painted = (frame) => new Promise((done) => { // what was asked before is drawn by then
  const next = frame.contentWindow.requestAnimationFrame;
  next(() => next(() => setTimeout(done, 20)));
});
const look = async (name) => {
  document.body.textContent = "";
  const frame = document.createElement("iframe");
  frame.style.cssText = "border:0;width:390px;height:800px";
  frame.srcdoc = pages[name];
  const loaded = new Promise((done) => { frame.onload = done; });
  document.body.append(frame);
  await loaded;
  await painted(frame);
  const page = frame.contentDocument, canvas = page.querySelector("canvas");
  const shown = (one) => one && one.getClientRects().length > 0;
  const found = said[name] = {
    wide: page.documentElement.clientWidth,
    scrolls: page.documentElement.scrollWidth,
    canvas: shown(canvas), svg: shown(page.querySelector("#whole svg")),
  };
  if (!canvas) return;
  found.first = ink(canvas);
  for (let k = 0; k < 4; k += 1)
    canvas.dispatchEvent(new frame.contentWindow.KeyboardEvent("keydown", { key: "ArrowLeft" }));
  await painted(frame);
  found.turned = ink(canvas);
  const choice = page.getElementById("choice");
  choice.value = "1";
  choice.dispatchEvent(new Event("change"));
  await painted(frame);
  found.other = ink(canvas);
};
(async () => {
  for (const name of Object.keys(pages)) await look(name);
  console.log("SAID " + JSON.stringify(said));
})();
</script>"""
NO_WEBGL = "<script>HTMLCanvasElement.prototype.getContext = () => null;</script>"


def browser(folder: Path, *what: str) -> list[str]:
    """The command of a browser without a window, with a profile of its own and no network."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine to draw the page with")
    return [
        CHROMIUM, "--headless", "--no-sandbox", "--use-angle=swiftshader",
        "--enable-unsafe-swiftshader", "--enable-logging=stderr", "--hide-scrollbars",
        "--host-resolver-rules=MAP * ~NOTFOUND", "--proxy-server=127.0.0.1:9",
        f"--user-data-dir={folder / 'profile'}", *what,
    ]  # fmt: skip


def console_of(command: list[str], last: str) -> list[str]:
    """What a browser's console says, up to a line that holds `last`, which comes in a minute."""
    lines = []
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True,
        start_new_session=True,
    ) as run:  # fmt: skip
        late = Timer(60, os.killpg, (run.pid, SIGTERM))
        late.start()
        assert run.stderr is not None
        for line in run.stderr:
            lines += [line] if "CONSOLE" in line else []
            if "CONSOLE" in line and last in line:
                break
        late.cancel()
        with suppress(ProcessLookupError):
            os.killpg(run.pid, SIGTERM)
    return lines


def test_a_browser_draws_the_page_turns_the_part_and_fits_it_to_a_phone(tmp_path: Path) -> None:
    plain = {name: page_of(name) for name in ("rear_mount", "boot_lid")}
    whole = overview.text(WholeJob("tin_wren", tuple(map(demo, plain))), [])
    without = page_of("rear_mount").replace("</title>", f"</title>{NO_WEBGL}", 1)
    pages = json.dumps({**plain, "without": without, "whole": whole}).replace("</", "<\\/")
    probe = tmp_path / "probe.html"
    probe.write_text(PROBE.replace("PAGES", pages, 1), encoding="utf-8")
    lines = console_of(browser(tmp_path, probe.as_uri()), "SAID")
    assert len(lines) == 1, lines  # no error, no warning: nothing but what was asked for
    (found,) = re.findall(r"SAID (\{.*\})", lines[0])
    said = json.loads(found)
    assert set(said) == {"rear_mount", "boot_lid", "without", "whole"}
    for name, one in said.items():
        assert one["wide"] == 390 and one["scrolls"] == 390, (name, one)
    for name in plain:
        one = said[name]
        assert one["canvas"] and not one["svg"]
        assert 0.01 < one["first"][0] < 0.9  # some of it is part, some of it paper
        assert len({tuple(one[k]) for k in ("first", "turned", "other")}) == 3
    assert said["without"]["svg"] and not said["without"]["canvas"]


def test_ten_pieces_print_on_few_sheets_of_a4_and_the_engineers_part_starts_one(
    tmp_path: Path,
) -> None:
    page, out = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_text(page_of("boot_lid"), encoding="utf-8")
    command = browser(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={out}", page.as_uri())
    subprocess.run(command, capture_output=True, check=True, timeout=60)
    sheets = PdfReader(out).pages
    assert len(sheets) <= 16  # a sheet and a half a piece, with charts, sketches and screening
    for sheet in sheets:
        box = sheet.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx((595.3, 841.9), abs=1.5)
    first = [squeezed(sheet.extract_text())[:40] for sheet in sheets]
    assert len([words for words in first if words.startswith("For the engineer")]) == 1
    assert "seen from behind, outside and above" in squeezed(sheets[0].extract_text())
