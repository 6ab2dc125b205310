"""A disk without room."""

from pathlib import Path

__all__ = ["fill_up"]


def fill_up(ballast: Path) -> None:
    """Take all that is left of the disk, until `ballast` is removed."""
    with ballast.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(bytes(4096))
        except OSError:
            pass
