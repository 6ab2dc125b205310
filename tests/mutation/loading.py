"""Modules loaded otherwise than they are written: nothing on the disk changes."""

import ast
import sys
from collections.abc import Callable, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

__all__ = ["Rewrite", "load_rewritten"]

Rewrite = Callable[[Path, str], ast.Module | None]
"""From a file and its source to what is loaded instead; None: as it is written."""


def load_rewritten(package: str, rewrite: Rewrite) -> None:
    """Load every module of a package as `rewrite` says, from now on."""
    assert not any(name.startswith(f"{package}.") for name in sys.modules), "loaded already"
    sys.meta_path.insert(0, _Finder(package, rewrite))


class _Finder(MetaPathFinder):
    def __init__(self, package: str, rewrite: Rewrite) -> None:
        self._package, self._rewrite = package, rewrite

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if not name.startswith(f"{self._package}."):
            return None
        found = PathFinder.find_spec(name, path, target)
        if found is not None and isinstance(found.loader, SourceFileLoader):
            found.loader = _Loader(name, found.loader.path, self._rewrite)
        return found


class _Loader(SourceFileLoader):
    def __init__(self, name: str, path: str, rewrite: Rewrite) -> None:
        super().__init__(name, path)
        self._rewrite = rewrite

    def get_code(self, fullname: str) -> CodeType | None:
        source = self.get_data(self.path).decode()
        tree: Any = self._rewrite(Path(self.path), source)
        if tree is None:
            return super().get_code(fullname)
        return compile(tree, self.path, "exec", dont_inherit=True)
