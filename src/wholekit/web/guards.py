"""What holds for every answer: its headers, how much may be sent, how long it took."""

import asyncio
from time import perf_counter

from prometheus_client import CollectorRegistry, Counter, Histogram
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 25 * 1024 * 1024
# Nothing from elsewhere, nothing written into a page, and no page of ours in a frame but our own.
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; frame-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'self'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=()",
}
# What somebody hardly notices, and far longer than a page takes [s].
LONGEST_WAIT = 0.1
A_YEAR = "max-age=31536000"


class Measures:
    """What the program tells of its own work, in the Prometheus text format."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self.answers = Counter(
            "wholekit_answers", "Requests answered.", ["method", "status"], registry=self.registry
        )
        self.seconds = Histogram(
            "wholekit_answer_seconds",
            "Time from request to answer [s].",
            registry=self.registry,
            buckets=(0.005, 0.01, 0.03, 0.1, 0.3, 1, 3, 10),
        )


class Turns:
    """Pages are worked out one after another.

    Threads of one process share one lock of the interpreter, and each question to the store gives
    it away and waits for it again: eight pages at once took twice the work of eight in a row, and
    each of them as long as all. Whoever waited long enough goes beside the one that takes long.
    """

    def __init__(self) -> None:
        self._turn = asyncio.Semaphore(1)

    async def taken(self) -> bool:
        """Wait for one's turn; whether it came before the longest wait was over."""
        try:
            async with asyncio.timeout(LONGEST_WAIT if self._turn.locked() else None):
                return await self._turn.acquire()
        except TimeoutError:
            return False

    def over(self) -> None:
        """The next may."""
        self._turn.release()


class Guard:
    """Around the application."""

    def __init__(self, app: ASGIApp, measures: Measures, *, secure: bool) -> None:
        self._app = app
        self._measures = measures
        self._secure = secure
        self._turns = Turns()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        begun, status = perf_counter(), 500
        # What writes may wait for another process, and is let through.
        turn = scope["method"] == "GET" and await self._turns.taken()

        async def answer(message: Message) -> None:
            nonlocal status, turn
            if message["type"] == "http.response.start":
                # Worked out: how fast it is fetched is the browser's matter.
                if turn:
                    turn = False
                    self._turns.over()
                status = message["status"]
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if self._secure:
                    headers.setdefault("strict-transport-security", A_YEAR)
            await send(message)

        try:
            await self._app(scope, _bounded(scope, receive), answer)
        finally:
            if turn:
                self._turns.over()
            self._measures.answers.labels(scope["method"], str(status)).inc()
            self._measures.seconds.observe(perf_counter() - begun)


def _bounded(scope: Scope, receive: Receive) -> Receive:
    """What is sent, refused where it is more than is taken, also where its length was not said."""
    said = Headers(scope=scope).get("content-length", "")
    taken = 0

    async def bounded() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BYTES or (said.isdigit() and int(said) > MOST_BYTES):
            raise HTTPException(413)
        return message

    return bounded
