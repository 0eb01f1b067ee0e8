"""What the program reads from its surroundings, and where it finds what it ships."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from wholekit.domain.errors import CallError

HOME = "WHOLEKIT_HOME"
DATABASE_URL = "WHOLEKIT_DATABASE_URL"
# Browsers reach the screens over TLS, by a proxy in front: "1".
BEHIND_TLS = "WHOLEKIT_BEHIND_TLS"
# What a machine signs in with.
TOKEN = "WHOLEKIT_TOKEN"  # noqa: S105  # the name of a setting
TOKEN_FILE = "signed-in"  # noqa: S105  # the name of a file
STORE_FILE = "wholekit.sqlite3"
HOUSE_FOLDER = "house"
PAPERS_FOLDER = "papers"
POSTGRESQL = ("postgresql://", "postgres://", "postgresql+psycopg://")


@dataclass(frozen=True, slots=True)
class Settings:
    """Where the data live. database_url: a PostgreSQL address; None = one SQLite file in home."""

    home: Path
    database_url: str | None = None

    @property
    def store_file(self) -> Path:
        """The SQLite file, used while no database_url is given."""
        return self.home / STORE_FILE

    @property
    def papers_folder(self) -> Path:
        """Where papers stand that the screens were asked for; shared as the store is."""
        return self.home / PAPERS_FOLDER

    @property
    def house_folder(self) -> Path:
        """Where the house's own look may lie, beside the store wherever that is."""
        return self.home / HOUSE_FOLDER


def read_settings(environment: Mapping[str, str], platform: str = sys.platform) -> Settings:
    """The settings of an environment.

    WHOLEKIT_HOME: the data folder; by the platform's convention unless set. WHOLEKIT_DATABASE_URL:
    a PostgreSQL address. Raises CallError for an address of any other kind, and where a home
    (`~name`) is not known.

    >>> read_settings({"HOME": "/home/ada"}, "linux").store_file.as_posix()
    '/home/ada/.local/share/wholekit/wholekit.sqlite3'
    """
    url = environment.get(DATABASE_URL, "").strip() or None
    if url is not None and not url.startswith(POSTGRESQL):
        # The address may hold a password: only its kind is shown.
        raise CallError("database-url-wrong", kind=url.partition(":")[0])
    given = environment.get(HOME, "").strip()
    try:
        home = Path(given).expanduser() if given else _usual_home(environment, platform)
    except RuntimeError:
        # Somebody's home (~name) that this machine does not know, or nobody's at all.
        raise CallError("home-unknown", path=given or "~") from None
    return Settings(home, url)


def _usual_home(environment: Mapping[str, str], platform: str) -> Path:
    """The XDG base directory, Application Support, or the local application data folder."""
    user = Path(environment.get("HOME") or Path.home())
    if platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or user / "AppData" / "Local") / "wholekit"
    if platform == "darwin":
        return user / "Library" / "Application Support" / "wholekit"
    return Path(environment.get("XDG_DATA_HOME") or user / ".local" / "share") / "wholekit"


def cache_folder(environment: Mapping[str, str], platform: str = sys.platform) -> Path | None:
    """Where what can be made anew is kept from run to run, by the platform's convention; None where
    no home is known.

    >>> cache_folder({"HOME": "/home/ada"}, "linux").as_posix()
    '/home/ada/.cache/wholekit'
    """
    user = environment.get("HOME")
    if platform == "win32":
        local = environment.get("LOCALAPPDATA")
        return Path(local) / "wholekit" / "cache" if local else None
    if platform == "darwin":
        return Path(user) / "Library" / "Caches" / "wholekit" if user else None
    # The XDG specification leaves a relative path out.
    given = environment.get("XDG_CACHE_HOME", "")
    if given and Path(given).is_absolute():
        return Path(given) / "wholekit"
    return Path(user) / ".cache" / "wholekit" if user else None


def bundled(name: str) -> Path:
    """The folder `name` (`templates`, `catalog_samples`), from a wheel or from a checkout.

    Raises CallError if the installation lacks it.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "_bundled" / name, package.parents[1] / name):
        if folder.is_dir():
            return folder
    raise CallError("bundled-folder-missing", name=name)
