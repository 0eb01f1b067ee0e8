"""The pictures of the screens that README shows, made anew from the sample shop.

`CHROMIUM=/usr/bin/chromium python -m tests.browser.pictures` writes them to docs/pictures.
"""

import os
import signal
import subprocess
import sys
import tempfile
import time
from io import BytesIO
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright
from tests.browser.conftest import free_port

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"
PASSWORD = "sample shop, nothing real"  # noqa: S105  # the sample shop's, as its papers tell
STARTS_IN = 180
# A picture is as large in bytes at most.
MOST = 150_000
LINE = "401 3070 hollow-metal/steel interior in LH accessible 689 x2"


def main() -> None:
    """Serve the sample shop, look at its three rooms, and keep what was seen."""
    port = free_port()
    at = f"http://127.0.0.1:{port}"
    with tempfile.TemporaryDirectory() as out:
        call = [sys.executable, "-m", "wholekit", "demo", "--serve"]
        shop = subprocess.Popen([*call, "--out", out, "--port", str(port)])
        try:
            _wait_for(at)
            with sync_playwright() as play:
                chromium = play.chromium.launch(
                    executable_path=os.environ["CHROMIUM"], args=["--no-sandbox"]
                )
                _counter(_enter(chromium, at, "ines", (1280, 860)), at)
                _pick_room(_enter(chromium, at, "pim", (800, 860)), at)
                _owner(_enter(chromium, at, "odo", (1280, 860)), at)
        finally:
            shop.send_signal(signal.SIGINT)
            shop.wait()


def _wait_for(at: str) -> None:
    until = time.monotonic() + STARTS_IN
    while time.monotonic() < until:
        try:
            with urlopen(f"{at}/health"):  # noqa: S310  # our own server
                return
        except (URLError, ConnectionError):
            time.sleep(0.3)
    raise TimeoutError(at)


def _enter(chromium: Browser, at: str, name: str, size: tuple[int, int]) -> Page:
    page = chromium.new_page(viewport={"width": size[0], "height": size[1]})
    page.goto(f"{at}/sign-in")
    page.fill("[name=name]", name)
    page.fill("[name=password]", PASSWORD)
    page.click("button.main")
    return page


def _counter(page: Page, at: str) -> None:
    """A job with the next opening typed, before Enter."""
    page.goto(f"{at}/jobs/1")
    page.fill("#lines", LINE)
    page.wait_for_selector("#preview .kit strong")
    page.wait_for_load_state("networkidle")
    _keep(page, "screen-counter")


def _pick_room(page: Page, at: str) -> None:
    """A bag that is open, with a scan that is right."""
    page.goto(f"{at}/picking")
    page.click("text=Begin a wave")
    page.wait_for_selector('.cartbags button[name="scan"]')
    page.locator('.cartbags button[name="scan"]').last.click()
    page.wait_for_selector('[data-answer="right"]')
    sku = page.locator(".needs li:not(.done) strong").first.inner_text()
    page.fill("#scan", sku)
    page.press("#scan", "Enter")
    page.wait_for_selector("#pending", state="hidden")
    page.wait_for_selector(".needs small")
    _keep(page, "screen-pick-room")


def _owner(page: Page, at: str) -> None:
    """What was earned, by kit."""
    page.goto(f"{at}/margins?by=kit")
    _keep(page, "screen-owner")


def _keep(page: Page, name: str) -> None:
    seen = Image.open(BytesIO(page.screenshot()))
    # Few colours are on a page: a palette keeps it small without a difference to see.
    file = PICTURES / f"{name}.png"
    seen.convert("RGB").quantize(96, dither=Image.Dither.NONE).save(file, optimize=True)
    if file.stat().st_size > MOST:
        raise ValueError(f"{file.name} has {file.stat().st_size} bytes, more than {MOST}")


if __name__ == "__main__":
    main()
