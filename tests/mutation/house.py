"""Where the house keeps what is changed, and the tests that must notice: the one place to adapt."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = ["HERE", "House"]


@dataclass(frozen=True, slots=True)
class House:
    """A package with its data and its tests.

    `code` are the parts of the package that are pure, `data` the folders of its resources, `tests`
    the folders of those that are asked. `reader` is the function that finds the package's data folders: it
    is given the name of one, and is replaced where data are changed.
    """

    root: Path
    package: str
    code: Sequence[str]
    data: Sequence[str]
    tests: Sequence[str]
    reader: str

    def sources(self) -> list[Path]:
        """The modules that may be changed."""
        places = [self.root / self.package / name for name in self.code]
        files = [
            p for place in places for p in ([place] if place.is_file() else place.rglob("*.py"))
        ]
        return sorted(files)

    def name_of(self, path: Path) -> str:
        """A file as it is called in reports and in the list of equivalents."""
        return path.relative_to(self.root).as_posix()

    def wing_of(self, path: Path) -> str:
        """The part of the house that a file belongs to."""
        inside = path.relative_to(self.root).parts[1:]
        return inside[0].removesuffix(".py")


_PURE = (
    "quantities",
    "readings",
    "conformity",
    "links/decoders",
    "links/instruments",
    "statistics",
    "sensors",
    "motors",
    "parts",
    "checking",
    "cooling",
    "session",
)

HERE = House(
    root=Path(__file__).resolve().parents[2],
    package="benchmeter",
    code=_PURE,
    data=("parts", "sensors", "instruments"),
    tests=tuple(f"tests/{name}" for name in (*_PURE, "words", "reports")),
    reader="benchmeter.files.resources._root",
)
