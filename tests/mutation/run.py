"""A run: every mutant there is, and the fate of those that were drawn."""

from collections.abc import Callable, Collection, Sequence

from tests.mutation.bench import Fate, NotJudged, failing, judged_afresh, judged_at_once
from tests.mutation.code import code_mutants, enum_members
from tests.mutation.data import data_mutants
from tests.mutation.house import House
from tests.mutation.mutant import Mutant

__all__ = ["all_code", "all_data", "judged"]


def all_code(house: House, files: Collection[str] | None = None) -> list[Mutant]:
    """Every mutant of the pure wings, or of some files of them."""
    sources = house.sources()
    enums = enum_members(sources)
    return [
        mutant
        for path in sources
        if files is None or house.name_of(path) in files
        for mutant in code_mutants(
            path.read_text(encoding="utf-8"), house.name_of(path), house.wing_of(path), enums
        )
    ]


def all_data(house: House) -> list[Mutant]:
    """Every mutant of the data files."""
    found = []
    for folder in house.data:
        files = sorted((house.root / "resources" / folder).glob("*.toml"))
        texts = {house.name_of(path): path.read_text(encoding="utf-8") for path in files}
        found += data_mutants(texts, folder)
    return found


def judged(
    house: House,
    mutants: Sequence[Mutant],
    jobs: int,
    told: Callable[[str], object] = lambda _: None,
) -> list[Fate]:
    """The fate of each mutant.

    Raises:
        NotJudged: the tests cannot be run, or one that killed fails on the program as it is.
    """
    at_once = judged_at_once(house, mutants, jobs, told)
    told(f"\nOnce more in a package loaded anew: {sum(f.death is None for f in at_once)}\n")
    afresh = judged_afresh(house, [fate for fate in at_once if fate.death is None], jobs)
    fates = [*(fate for fate in at_once if fate.death is not None), *afresh]
    killers = sorted({f.death.by for f in fates if f.death is not None and f.death.is_test})
    if failed := failing(house, killers):
        raise NotJudged(f"These fail as it is: {failed}")
    return fates
