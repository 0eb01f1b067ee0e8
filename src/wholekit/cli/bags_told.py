"""What becomes of bags that wait as goods come and go."""

from collections.abc import Iterable

from wholekit.cli.console import tell


def tell_gave_way(bag: str, packs: int, sku: str = "") -> None:
    """A bag that waits again. sku: where it is not that of the call."""
    of = f" of {sku}" if sku else ""
    tell(f"bag {bag} waits again for {packs}{of}: its promise gave way")


def tell_whole(bags: Iterable[str]) -> None:
    """Bags that are whole by what came."""
    for bag in bags:
        tell(f"bag {bag} waited for it and is whole now")
