"""Where things are kept. One data folder; `--data DIR` puts everything below DIR."""

import stat
from dataclasses import dataclass
from pathlib import Path

import platformdirs

from benchmeter.files.privacy import make_private

__all__ = ["Folders"]


_OURS = ("benchmeter.*", "settings*.toml", "window.ini*", "backups", "backups/*")


@dataclass(frozen=True, slots=True)
class Folders:
    """The folders of one user, or of one `--data` folder."""

    data: Path

    @classmethod
    def of_user(cls) -> "Folders":
        return cls(Path(platformdirs.user_data_dir("benchmeter", appauthor=False, roaming=False)))

    @property
    def database(self) -> Path:
        return self.data / "benchmeter.sqlite"

    @property
    def instruments(self) -> Path:
        """The user's own profiles."""
        return self.data / "instruments"

    @property
    def parts(self) -> Path:
        """The user's own kinds of parts."""
        return self.data / "parts"

    @property
    def labels(self) -> Path:
        """The user's own labels for tags."""
        return self.data / "labels"

    @property
    def stock(self) -> Path:
        """What is in the van and on the shelf: a table of the user's."""
        return self.data / "stock.csv"

    @property
    def reference_parts(self) -> Path:
        """The user's parts of known value."""
        return self.data / "reference-parts.toml"

    @property
    def settings(self) -> Path:
        return self.data / "settings.toml"

    @property
    def log(self) -> Path:
        return self.data / "benchmeter.log"

    def make(self) -> None:
        """Create the data folder. What the program keeps in it is for this user alone.

        So is the folder, unless something else lies in it or everybody shares it.
        """
        self.data.mkdir(mode=0o700, parents=True, exist_ok=True)
        ours = [path for name in _OURS for path in self.data.glob(name)]
        shared = self.data.stat().st_mode & stat.S_ISVTX
        if not shared and set(self.data.iterdir()) <= {*ours, *self._users}:
            make_private(self.data)
        for path in ours:
            make_private(path)

    @property
    def _users(self) -> tuple[Path, ...]:
        """What the user keeps here."""
        tables = (self.stock, self.reference_parts)
        return (self.instruments, self.parts, self.labels, self.data / "sensors", *tables)
