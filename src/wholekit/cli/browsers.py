"""The server that browsers are answered by."""

import os
from pathlib import Path

from wholekit.cli.console import tell
from wholekit.settings import BEHIND_TLS, HOME

APPLICATION = "wholekit.web.app:make_app"
PORT = 8460
# Loopback: whoever is at this machine.
HOST = "127.0.0.1"
STOPS_IN = 20


def run_server(home: Path, host: str, port: int, workers: int = 1, behind: str = "") -> None:
    """Answer browsers until interrupted; what is under way is finished first.

    home: the data folder. behind: address of a proxy in front that speaks TLS. STOPS_IN: [s].
    """
    import uvicorn

    # Each process reads the settings anew.
    os.environ[HOME] = str(home)
    if behind:
        os.environ[BEHIND_TLS] = "1"
    tell(f"http://{host}:{port}   Ctrl-C ends it")
    uvicorn.run(
        APPLICATION,
        factory=True,
        host=host,
        port=port,
        workers=workers,
        log_level="warning",
        proxy_headers=bool(behind),
        forwarded_allow_ips=behind or None,
        server_header=False,
        timeout_graceful_shutdown=STOPS_IN,
    )
