"""A byte of the record flips: whoever prints it prints the same, or refuses with a sentence."""

import contextlib
import io
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random

from benchmeter.commands.main import run
from benchmeter.errors import InputError, StoreDamaged, StoreError
from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import unjudged_parts
from benchmeter.reports.page_html import page_html
from benchmeter.reports.record_json import record_json
from benchmeter.reports.record_text import record_text
from benchmeter.reports.session_page import page_of
from benchmeter.reports.session_record import read_record
from benchmeter.reports.tag import tags_of
from benchmeter.scenes.record_scene import record_scene
from benchmeter.words.presentation import PLAIN
from tests.faults.files import run_statement
from tests.faults.tally import Tally
from tests.record.frozen import unpack

__all__ = ["flipped_byte"]

_READ_WHOLE = 3  # sessions of each record: all are listed, and asked for their meters
_RECORDS = ("visits-of-version-2", "typed-in", "reference-parts")

_HOW = ("traceback", "silent change", "refused", "unchanged")
_WRONG = _HOW[:2]


@dataclass(frozen=True, slots=True)
class Refused:
    """It ended with a sentence. `before`: the lines that were printed until then."""

    before: tuple[str, ...] = ()


Printed = tuple[str, ...] | Refused | str
"""The lines that were printed; as one text: what was raised instead of a sentence."""


def flipped_byte(folder: Path, rounds: int, chance: Random) -> Tally:
    """One byte anywhere in a record of each kind, brought up to today's form.

    Wrong: printed otherwise without a word, or anything but a sentence.
    """
    tally, counts = Tally(""), Counter[str]()
    for number, name in enumerate(_RECORDS):
        folders = Folders(unpack(name, folder / name))
        Store.open(folders, write=True).close()
        run_statement(folders.database, "VACUUM")  # no free pages: each byte matters
        with Store.open(folders, write=False) as store:
            sessions = [s.id for s in store.sessions()][:_READ_WHOLE]
        readers = dict(_readers(folders, sessions))
        whole = dict(_all_read(folders, readers))
        data = folders.database.read_bytes()
        for _ in range(rounds * (number + 1) // len(_RECORDS) - rounds * number // len(_RECORDS)):
            tally.rounds += 1
            place, bits = chance.randrange(len(data)), chance.randrange(1, 256)
            _put(folders, place, data[place] ^ bits)
            told = {r: _told(whole[r], read) for r, read in _all_read(folders, readers)}
            worst = min(told.values(), key=_HOW.index)
            if worst in _WRONG:
                which = [reader for reader, how in told.items() if how == worst]
                tally.notes.append(f"{worst}: {name}, byte {place} ^ {bits}: {which}")
            counts[worst] += 1
            tally.wrong += worst in _WRONG
            tally.recovered += 1
            _put(folders, place, data[place])
    tally.notes[:0] = [", ".join(f"{n} {told.lower()}" for told, n in sorted(counts.items()))]
    return tally


def _told(whole: Printed, printed: Printed) -> str:
    """How it went."""
    if isinstance(printed, Refused):  # a list goes on without what is damaged
        return "refused" if set(printed.before) <= set(whole) else "silent change"
    if isinstance(printed, str):
        return "traceback"
    return "unchanged" if printed == whole else "silent change"


def _all_read(
    folders: Folders, readers: Mapping[str, Callable[[Store], object]]
) -> Iterator[tuple[str, Printed]]:
    """What each prints."""
    yield "the command", _listed_by_command(folders)
    try:
        with Store.open(folders, write=False) as store:
            yield from ((name, _printed(read, store)) for name, read in readers.items())
    except StoreError:
        yield from ((name, Refused()) for name in readers)


def _printed(read: Callable[[Store], object], store: Store) -> Printed:
    try:
        return (repr(read(store)),)
    except InputError as nothing:  # a session without a tag
        return (str(nothing),)
    except StoreError:
        return Refused()
    except Exception as error:  # noqa: BLE001 - whatever is no sentence
        return repr(error)


def _listed_by_command(folders: Folders) -> Printed:
    out, err = io.StringIO(), io.StringIO()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = run(["sessions", "--data", str(folders.data)])
    except Exception as error:  # noqa: BLE001 - whatever is no sentence
        return repr(error)
    lines = tuple(out.getvalue().splitlines())
    said = err.getvalue().splitlines()
    if status == 0:
        return lines
    plain = said and all(line.startswith("benchmeter: ") for line in said)
    return Refused(lines) if plain else err.getvalue()


def _readers(
    folders: Folders, sessions: Sequence[str]
) -> Iterator[tuple[str, Callable[[Store], object]]]:
    """All that prints what is stored."""

    def page(store: Store, session: str) -> str:
        record = read_record(store, session)
        return page_html(page_of(record, unjudged=unjudged_parts(store, record)))

    def window(store: Store) -> object:
        listed = store.listed()
        if listed.damaged:
            raise StoreDamaged("record.session_changed", number=listed.damaged[0])
        return record_scene(listed.sessions, sessions[0], PLAIN, unfinished=listed.unfinished)

    yield "window", window
    yield "meters", Store.reference_readings
    for session in sessions:
        yield f"show {session}", partial(_of, record_text, session)
        yield f"show {session} --json", partial(_of, record_json, session)
        yield f"report {session}", partial(_of, page, session)
        yield (
            f"tag {session}",
            partial(_of, lambda store, s: tags_of(read_record(store, s)), session),
        )
        yield (
            f"replay {session}",
            partial(_of, lambda store, s: (store.setup(s), *store.inputs(s)), session),
        )


def _of(read: Callable[[Store, str], object], session: str, store: Store) -> object:
    return read(store, session)


def _put(folders: Folders, place: int, byte: int) -> None:
    with folders.database.open("r+b") as file:
        file.seek(place)
        file.write(bytes([byte]))
