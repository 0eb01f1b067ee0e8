"""What all rooms share: the desk, the keys, the clock, the looks."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from threading import Event

from fastapi import Request
from jinja2 import Environment

from wholekit.domain.house_style import HouseStyle
from wholekit.services.account_port import Keys
from wholekit.services.desk import Desk


def _now() -> datetime:
    return datetime.now().astimezone()


@dataclass(frozen=True, slots=True)
class WebPlace:
    """The house as its screens see it. papers: folder of those that were made; works: whether
    this process makes papers, which `wake` tells to look at once; secure: browsers reach it over
    TLS, by a proxy in front."""

    desk: Desk
    keys: Keys
    looks: Environment
    statics: Path
    style: Callable[[], HouseStyle] = HouseStyle
    papers: Path = Path()
    works: bool = False
    wake: Event = field(default_factory=Event)
    secure: bool = False
    clock: Callable[[], datetime] = field(default=_now)


def place_of(request: Request) -> WebPlace:
    """The place a request came to."""
    place: WebPlace = request.app.state.place
    return place
