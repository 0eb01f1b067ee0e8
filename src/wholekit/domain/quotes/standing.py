"""How an opening of an offer stands: one state, which every paper says."""

from enum import StrEnum


class OpeningStanding(StrEnum):
    """Whether an opening may go out. stopped: a stop of it is open, whatever else it lacks;
    incomplete: its kit lacks a piece that no catalogue supplies."""

    FIRM = "firm"
    STOPPED = "stopped"
    INCOMPLETE = "incomplete"
