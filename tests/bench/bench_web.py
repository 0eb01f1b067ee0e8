"""The screens: a job page of 50 openings beside the same page ready made, and the look ahead.

All in one run against a real server of one process on loopback, with 8 connections at once.
"""

import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import closing
from datetime import datetime
from http.client import HTTPConnection
from os import environ
from pathlib import Path
from urllib.parse import urlencode

from tests.support.accounts import PASSWORD, with_accounts
from tests.support.jobs import furnished, plain

from wholekit.bootstrap import open_store
from wholekit.services import job_openings, jobs
from wholekit.services.desk import Deed
from wholekit.settings import Settings

CONNECTIONS, SECONDS, OPENINGS = 8, 6.0, 50


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        with closing(open_store(Settings(home))) as store:
            desk = with_accounts(furnished(store))
            ines = Deed("ines", datetime.now().astimezone(), proven=True)
            job = jobs.create_job(desk, ines, jobs.NewJob("Fifty", "saltmarsh"))
            marks = [plain(f"{100 + number}") for number in range(OPENINGS)]
            job_openings.add_openings(desk, ines, job.label, marks)
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        server = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.web_server", str(port)],
            env={**environ, "WHOLEKIT_HOME": folder},
        )
        try:
            _measure(port)
        finally:
            server.terminate()
            server.wait()


def _measure(port: int) -> None:
    until = time.monotonic() + 30
    while time.monotonic() < until:
        try:
            if _ask(port, "GET", "/health")[0] == 200:
                break
        except OSError:
            time.sleep(0.1)
    cookie, key = _signed_in(port)
    head = {"Cookie": cookie}
    for path in ("/jobs/1", "/ready-made"):
        _ask(port, "GET", path, head)
    ready, _ = _load(port, "/ready-made", head)
    rate, times = _load(port, "/jobs/1", head)
    middle, worst = statistics.median(times), sorted(times)[int(len(times) * 0.99)]
    print(f"  ready made {ready:8.0f}/s   job page of {OPENINGS} openings {rate:6.1f}/s")
    print(f"  ratio {rate / ready:.4f} (at least 0.03)")
    print(f"  p50 {middle * 1000:.0f} ms, p99 {worst * 1000:.0f} ms: {worst / middle:.2f} x (3)")
    body = urlencode({"form_key": key, "lines": "T9 3070 wood/steel exterior out fire 90 689 x2"})
    posts = {**head, "Content-Type": "application/x-www-form-urlencoded", "x-part": "1"}
    took = []
    for _ in range(60):
        start = time.perf_counter()
        status, _ = _ask(port, "POST", "/jobs/1/preview", posts, body)
        took.append(time.perf_counter() - start)
        assert status == 200, status
    print(f"  look ahead at one opening: median {statistics.median(took) * 1000:.1f} ms (30)")


def _ask(
    port: int, method: str, path: str, head: dict[str, str] | None = None, body: str = ""
) -> tuple[int, bytes]:
    with closing(HTTPConnection("127.0.0.1", port, timeout=30)) as line:
        line.request(method, path, body or None, head or {})
        answer = line.getresponse()
        return answer.status, answer.read()


def _signed_in(port: int) -> tuple[str, str]:
    with closing(HTTPConnection("127.0.0.1", port, timeout=30)) as line:
        line.request("GET", "/sign-in")
        answer = line.getresponse()
        door = answer.getheader("set-cookie", "").partition(";")[0]
        key = answer.read().decode().split('name="form_key" value="')[1].partition('"')[0]
        body = urlencode({"form_key": key, "name": "ines", "password": PASSWORD})
        head = {"Cookie": door, "Content-Type": "application/x-www-form-urlencoded"}
        line.request("POST", "/sign-in", body, head)
        answer = line.getresponse()
        answer.read()
        (seat,) = [
            each.partition(";")[0]
            for name, each in answer.getheaders()
            if name == "set-cookie" and each.startswith("seat=")
        ]
    _, page = _ask(port, "GET", "/password", {"Cookie": seat})
    return seat, page.decode().split('name="form_key" value="')[1].partition('"')[0]


def _load(port: int, path: str, head: dict[str, str]) -> tuple[float, list[float]]:
    """Requests a second over all connections, and what each took [s]."""
    took: list[float] = []
    stop = time.perf_counter() + SECONDS

    def work() -> None:
        with closing(HTTPConnection("127.0.0.1", port, timeout=30)) as line:
            while (start := time.perf_counter()) < stop:
                line.request("GET", path, headers=head)
                answer = line.getresponse()
                answer.read()
                assert answer.status == 200, (path, answer.status)
                took.append(time.perf_counter() - start)

    threads = [threading.Thread(target=work) for _ in range(CONNECTIONS)]
    start = time.perf_counter()
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    return len(took) / (time.perf_counter() - start), took


if __name__ == "__main__":
    main()
