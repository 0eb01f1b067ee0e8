"""People at work at once: 50 on SQLite, 200 on PostgreSQL, each signed in and really writing.

A real server of two processes on loopback. Counters, pickers and owners act every few seconds, as
people do. No call may fail, and whatever the server confirmed must be in the store at the end.
"""

import random
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from http.client import HTTPConnection
from itertools import count
from os import environ
from pathlib import Path
from urllib.parse import urlencode

from sqlalchemy import select
from tests.support.accounts import KEYS, PASSWORD, with_accounts
from tests.support.databases import postgresql_store, url_of
from tests.support.house import sample
from tests.support.jobs import furnished, plain, set_stock

from wholekit.bootstrap import open_store
from wholekit.domain.quotes import Person, PersonRole, State
from wholekit.services import job_openings, jobs, orders, quotes
from wholekit.services.accounts import give_account
from wholekit.services.customers import set_person
from wholekit.services.desk import Deed, Desk
from wholekit.settings import Settings
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlStore

# PATIENCE: of a browser [s], beyond that of the store.
SECONDS, WORKERS, PATIENCE, STARTS_IN = 40.0, 2, 60.0, 120.0
# A person acts and then looks, talks, walks [s].
PAUSE = (1.5, 4.5)
# Of ten people so many are pickers and owners; all others are at the counter.
PICKERS, OWNERS = 3, 1
BAGS, LOW = 6, 8
SHARED = 4
LINE = "{mark} 3070 hollow-metal/steel interior in LH accessible 689 x2"


@dataclass
class Told:
    """What the server confirmed, and what went wrong. Threads only add to its lists."""

    jobs: list[tuple[int, str]] = field(default_factory=list)
    marks: list[tuple[int, str]] = field(default_factory=list)
    quotes: list[str] = field(default_factory=list)
    scans: list[str] = field(default_factory=list)
    closed: list[str] = field(default_factory=list)
    refusals: list[str] = field(default_factory=list)
    took: list[float] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    @property
    def writes(self) -> int:
        """How many were confirmed."""
        kinds = (self.jobs, self.marks, self.quotes, self.scans, self.closed, self.refusals)
        return sum(len(kind) for kind in kinds)


class Seat:
    """Somebody's browser."""

    def __init__(self, port: int, name: str, told: Told, draw: random.Random) -> None:
        self.port, self.name, self.told, self.draw = port, name, told, draw
        self.cookie = ""
        self.key = ""

    def sign_in(self) -> None:
        answer = self._send("GET", "/sign-in")
        door = answer.cookies["door"]
        self.cookie = f"door={door}"
        fields = {"form_key": _key(answer.text), "name": self.name, "password": PASSWORD}
        done = self._send("POST", "/sign-in", fields)
        assert done.status == 303, (self.name, done.status, done.text[:200])
        self.cookie = f"seat={done.cookies['seat']}"
        self.key = _key(self._send("GET", "/password").text)

    def get(self, path: str) -> str:
        return self._measured("GET", path, None, 200).text

    def post(self, path: str, wanted: int = 303, **fields: str) -> "Answer":
        return self._measured("POST", path, {"form_key": self.key, **fields}, wanted)

    def _measured(
        self, method: str, path: str, fields: dict[str, str] | None, wanted: int
    ) -> "Answer":
        begun = time.perf_counter()
        answer = self._send(method, path, fields)
        self.told.took.append(time.perf_counter() - begun)
        if answer.status != wanted:
            said = " ".join(re.sub("<[^>]+>", " ", answer.text).split())[-300:]
            raise RuntimeError(f"{method} {path}: {answer.status} {said}")
        return answer

    def _send(self, method: str, path: str, fields: dict[str, str] | None = None) -> "Answer":
        head = {"Cookie": self.cookie} if self.cookie else {}
        body = None
        if fields is not None:
            head["Content-Type"] = "application/x-www-form-urlencoded"
            body = urlencode(fields)
        with closing(HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)) as line:
            line.request(method, path, body, head)
            answer = line.getresponse()
            cookies = dict(
                value.partition(";")[0].split("=", 1)
                for name, value in answer.getheaders()
                if name == "set-cookie"
            )
            where = answer.getheader("location", "")
            return Answer(answer.status, answer.read().decode(), where, cookies)


@dataclass(frozen=True)
class Answer:
    status: int
    text: str
    where: str
    cookies: dict[str, str]


def _key(page: str) -> str:
    return page.split('name="form_key" value="')[1].partition('"')[0]


def counter(seat: Seat) -> Callable[[], None]:
    """Begins jobs, enters openings in its own and in one shared with others, issues."""
    own: list[int] = []
    entered: Counter[int] = Counter()
    marks = count(1)

    def act() -> None:
        deed = seat.draw.random()
        if not own or deed < 0.1:
            name = f"{seat.name} {len(own)}"
            where = seat.post("/jobs/new", name=name, customer="saltmarsh").where
            own.append(int(where.rsplit("/", 1)[1]))
            seat.told.jobs.append((own[-1], name))
            return
        job = seat.draw.randint(1, SHARED) if deed < 0.25 else own[-1]
        if deed < 0.6:
            mark = f"{seat.name}-{next(marks)}"
            line = LINE.format(mark=mark)
            seat.post(f"/jobs/{job}/preview", 200, lines=line)
            seat.post(f"/jobs/{job}/openings", lines=line)
            entered[job] += 1
            seat.told.marks.append((job, mark))
        elif deed < 0.68 and entered[own[-1]]:
            done = seat.post(f"/jobs/{own[-1]}/issue")
            seat.told.quotes.append(done.where.removeprefix("/quotes/"))
            entered[own[-1]] = 0
        elif deed < 0.75:
            seat.get(f"/jobs?text={seat.name}")
        else:
            seat.get(f"/jobs/{job}")

    return act


def picker(seat: Seat, order: str) -> Callable[[], None]:
    """Picks the bags of an order, one after the other, with a wrong scan now and then."""
    at: list[str] = []
    open_bag: list[str] = []
    scans = count(1)

    def act() -> None:
        if not at:
            at.append(seat.post("/picking/waves", order=order, most=str(BAGS)).where)
            return
        page = seat.get(at[0] + (f"?into={open_bag[0]}" if open_bag else ""))
        if not open_bag:
            left = re.findall(r'name="scan" value="([^"]+)"><b>.*?<span>0/', page)
            if not left:
                seat.get("/picking")
                return
            open_bag.append(left[0])
            _scan(left[0])
            return
        wanted = re.findall(
            r'<li class=""><span class="count">\d+</span>\s*<span>.*?<strong>([^<]+)', page
        )
        if seat.draw.random() < 0.1:
            answer = seat.post(at[0], 200, scan="NOT-OURS", into=open_bag[0], scan_id=_id())
            assert 'data-answer="wrong"' in answer.text
        if wanted:
            _scan(wanted[0])
            return
        done = seat.post(at[0], 200, deed="close", into=open_bag[0], scan_id=_id())
        assert 'data-answer="right"' in done.text, done.text
        seat.told.closed.append(open_bag.pop())

    def _id() -> str:
        return f"{seat.name}-{next(scans)}"

    def _scan(text: str) -> None:
        scan_id = _id()
        done = seat.post(at[0], 200, scan=text, into=open_bag[0], scan_id=scan_id)
        if 'data-answer="right"' not in done.text:
            said = " ".join(re.sub("<[^>]+>", " ", done.text).split())[:300]
            raise RuntimeError(f"{text}: {said}")
        if text != open_bag[0]:
            seat.told.scans.append(scan_id)

    return act


def owner(seat: Seat, low: list[int]) -> Callable[[], None]:
    """Looks at margins and what rises, and turns down what waits."""

    def act() -> None:
        deed = seat.draw.random()
        if low and deed < 0.4:
            reason = f"no, {seat.name} {low[-1]}"
            seat.post(f"/waiting/{low.pop()}", deed="refuse", reason=reason)
            seat.told.refusals.append(reason)
        else:
            seat.get(seat.draw.choice(["/waiting", "/margins", "/rises", "/people", "/jobs"]))

    return act


@dataclass(frozen=True)
class House:
    """A house with so many people, orders to pick and drafts that wait."""

    names: dict[str, PersonRole]
    orders: list[str]
    low: list[int]


def made(desk: Desk, people: int) -> House:
    odo = Deed("odo", datetime.now().astimezone(), proven=True)
    names: dict[str, PersonRole] = {}
    for number in range(people):
        place = number % 10
        role = PersonRole.PICKER if place < PICKERS else PersonRole.COUNTER
        role = PersonRole.OWNER if place >= 10 - OWNERS else role
        names[f"{role.value}{number}"] = role
    for name, role in names.items():
        set_person(desk, odo, Person(name, role))
        give_account(desk, odo, KEYS, name, PASSWORD)
    for number in range(SHARED):
        jobs.create_job(desk, odo, jobs.NewJob(f"Shared {number}", "saltmarsh"))
    released, low = [], []
    for role in names.values():
        if role is PersonRole.PICKER:
            job = jobs.create_job(desk, odo, jobs.NewJob("To pick", "saltmarsh"))
            job_openings.add_openings(desk, odo, job.label, [plain("101", BAGS)])
            done = quotes.issue_quote(desk, odo, job.label)
            assert done.revision
            quotes.close_quote(desk, odo, done.revision.label, State.ACCEPTED)
            order = orders.release_order(desk, odo, done.revision.label, orders.ToldRelease())
            released.append(order.order.id)
        elif role is PersonRole.OWNER:
            for _ in range(LOW):
                job = jobs.create_job(desk, odo, jobs.NewJob("Low", "saltmarsh"))
                job_openings.add_openings(desk, odo, job.label, [plain("101")])
                sam = Deed("sam", odo.at, proven=True)
                jobs.set_discount(desk, sam, job.label, Fraction(30, 100), "large job")
                quotes.issue_quote(desk, sam, job.label)
                low.append(job.number)
    return House(names, released, low)


def load(store: SqlStore, people: int, told: Told, environment: dict[str, str]) -> None:
    """Let so many people work for a while against a server of that environment."""
    desk = with_accounts(furnished(store))
    set_stock(store, sample("tarrowby"), 5_000)
    house = made(desk, people)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-m", "wholekit", "serve", "--port", str(port), "--workers", str(WORKERS)],
        env={**environ, **environment},
        stdin=subprocess.DEVNULL,
    )
    try:
        _wait_for(port)
        draw = random.Random(people)
        seats = [Seat(port, name, told, random.Random(draw.random())) for name in house.names]
        with ThreadPoolExecutor(8) as pool:
            list(pool.map(Seat.sign_in, seats))
        acts = []
        waiting_orders, low = list(house.orders), list(house.low)
        for seat, role in zip(seats, house.names.values(), strict=True):
            if role is PersonRole.PICKER:
                acts.append(picker(seat, waiting_orders.pop()))
            elif role is PersonRole.OWNER:
                own, low = low[:LOW], low[LOW:]
                acts.append(owner(seat, own))
            else:
                acts.append(counter(seat))
        until = time.monotonic() + SECONDS
        threads = [
            threading.Thread(target=_work, args=(seat, act, until))
            for seat, act in zip(seats, acts, strict=True)
        ]
        for each in threads:
            each.start()
        for each in threads:
            each.join()
    finally:
        server.terminate()
        server.wait()


def _work(seat: Seat, act: Callable[[], None], until: float) -> None:
    time.sleep(seat.draw.uniform(0, PAUSE[1]))
    while time.monotonic() < until:
        try:
            act()
        except Exception as error:  # noqa: BLE001  # every fault is told at the end
            seat.told.faults.append(f"{seat.name}: {error!r}")
        time.sleep(seat.draw.uniform(*PAUSE))


def _wait_for(port: int) -> None:
    until = time.monotonic() + STARTS_IN
    while time.monotonic() < until:
        try:
            with closing(HTTPConnection("127.0.0.1", port, timeout=5)) as line:
                line.request("GET", "/health")
                if line.getresponse().status == 200:
                    return
        except OSError:
            time.sleep(0.1)
    raise TimeoutError(port)


def lost(store: SqlStore, told: Told) -> list[str]:
    """What was confirmed and is not in the store."""
    tables = METADATA.tables
    with store.place.reading() as connection:
        event = tables["bag_event"].c.event_id
        events = set(connection.execute(select(event)).scalars())
        bag = tables["bag"].c
        closed = set(connection.execute(select(bag.id).where(bag.state == "closed")).scalars())
        job = tables["job"].c
        names = {
            row.number: row for row in connection.execute(select(job.number, job.name, job.id))
        }
        opening = tables["job_opening"].c
        rows = connection.execute(select(opening.job_id, opening.mark))
        marks = {(row.job_id, row.mark) for row in rows}
        revision = tables["quote_revision"].c
        rows = connection.execute(
            select(revision.quote_number, revision.number).where(revision.state != "draft")
        )
        issued = {f"Q-{row.quote_number:05d}/{row.number}" for row in rows}
        requests = " ".join(filter(None, connection.execute(select(revision.request)).scalars()))
    return [
        *(f"job {number}" for number, name in told.jobs if names[number].name != name),
        *(f"opening {each}" for each in told.marks if (names[each[0]].id, each[1]) not in marks),
        *(f"quote {label}" for label in told.quotes if label not in issued),
        *(f"scan {each}" for each in told.scans if each not in events),
        *(f"bag {each}" for each in told.closed if each not in closed),
        *(f"refusal {each}" for each in told.refusals if each not in requests),
    ]


def _judged(name: str, people: int, store: SqlStore, told: Told) -> None:
    gone = lost(store, told)
    took = sorted(told.took)
    print(
        f"  {name}: {people} people, {WORKERS} processes, {SECONDS:.0f} s: {len(took)} answers "
        f"({len(took) / SECONDS:.0f}/s), {told.writes} writes confirmed, "
        f"median {statistics.median(took) * 1000:.0f} ms, "
        f"p99 {took[int(len(took) * 0.99)] * 1000:.0f} ms"
    )
    print(
        f"    openings {len(told.marks)}, jobs {len(told.jobs)}, quotes {len(told.quotes)}, "
        f"scans {len(told.scans)}, bags {len(told.closed)}, refusals {len(told.refusals)}"
    )
    print(f"    errors {len(told.faults)}, lost {len(gone)}")
    assert told.faults == [], told.faults[:5]
    assert gone == [], gone[:5]
    assert all((told.marks, told.jobs, told.quotes, told.scans, told.refusals))


def main() -> None:
    with (
        tempfile.TemporaryDirectory() as folder,
        closing(open_store(Settings(Path(folder)))) as kept,
    ):
        told = Told()
        load(kept, 50, told, {"WHOLEKIT_HOME": folder})
        _judged("SQLite", 50, kept, told)
    with tempfile.TemporaryDirectory() as folder:
        shared, told = postgresql_store(Path(folder)), Told()
        with closing(shared):
            url = url_of(shared.place)
            load(shared, 200, told, {"WHOLEKIT_HOME": folder, "WHOLEKIT_DATABASE_URL": url})
            _judged("PostgreSQL", 200, shared, told)


if __name__ == "__main__":
    main()
