"""Where the program finds what it ships: templates and sample catalogues."""

from pathlib import Path

from wholekit.domain.errors import CallError


def bundled(name: str) -> Path:
    """The folder `name` (`templates`, `catalog_samples`), from a wheel or from a checkout.

    Raises CallError if the installation lacks it.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "_bundled" / name, package.parents[1] / name):
        if folder.is_dir():
            return folder
    raise CallError("bundled-folder-missing", name=name)
