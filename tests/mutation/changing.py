"""The one change, made in memory: before the package is loaded, or in what is loaded."""

import gc
import importlib
import shutil
import sys
import tempfile
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

from tests.mutation.code import mutated
from tests.mutation.house import House
from tests.mutation.loading import load_rewritten
from tests.mutation.mutant import Mutant

__all__ = ["change_loaded", "change_unloaded", "loaded_functions"]


def change_unloaded(house: House, mutant: Mutant) -> None:
    """Let what is imported from now on be the mutant."""
    if mutant.span is not None:
        sys.path.insert(0, str(house.root))
        _change_data(house, mutant)
        return
    changed = house.root / mutant.file

    def rewrite(path: Path, source: str) -> Any:
        return mutated(source, mutant) if path == changed else None

    load_rewritten(house.package, rewrite)


def loaded_functions(house: House) -> dict[str, list[FunctionType]]:
    """Every function of the package that there is now, by its file."""
    found: defaultdict[str, list[FunctionType]] = defaultdict(list)
    package = str(house.root / house.package)
    for thing in gc.get_objects():
        if type(thing) is FunctionType and thing.__code__.co_filename.startswith(package):
            found[thing.__code__.co_filename].append(thing)
    return found


def change_loaded(house: House, mutant: Mutant, loaded: Mapping[str, list[FunctionType]]) -> bool:
    """Let the functions that are there be those of the mutant; False where none of them differs."""
    if mutant.span is not None:
        _change_data(house, mutant)
        return True
    path = house.root / mutant.file
    source = path.read_text(encoding="utf-8")
    before = _codes(compile(source, str(path), "exec", dont_inherit=True))
    after = _codes(compile(mutated(source, mutant), str(path), "exec", dont_inherit=True))
    new = {place: code for place, code in after.items() if code != before.get(place)}
    done = False
    for function in loaded.get(str(path), ()):
        code = new.get(_place(function.__code__))
        if code is not None:
            if code.co_freevars != function.__code__.co_freevars:
                return False
            function.__code__ = code
            done = True
    return done


def _codes(code: CodeType) -> dict[tuple[str, int], CodeType]:
    """Those of the functions of a module. Lambdas and comprehensions are part of what they are in."""
    return {_place(inner): inner for inner in _inside(code) if inner.co_name[0] != "<"}


def _inside(code: CodeType) -> Iterator[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _inside(constant)


def _place(code: CodeType) -> tuple[str, int]:
    return code.co_qualname, code.co_firstlineno


def _change_data(house: House, mutant: Mutant) -> None:
    module_name, _, function = house.reader.rpartition(".")
    module = importlib.import_module(module_name)
    real: Callable[[str], Path] = getattr(module, function)
    view = Path(tempfile.mkdtemp())
    shutil.copytree(real("resources"), view / "resources")
    text = (view / mutant.file).read_text(encoding="utf-8")
    assert mutant.span is not None
    start, end = mutant.span
    (view / mutant.file).write_text(text[:start] + mutant.after + text[end:], encoding="utf-8")
    setattr(module, function, lambda name: view / name if name == "resources" else real(name))
