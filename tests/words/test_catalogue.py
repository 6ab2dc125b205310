"""The catalogue against the program: every code that is sent has its words, and none is left over.

Read from the source by its syntax tree, so that a code which no test raises is compared as well.
"""

import ast
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from string import Formatter

import pytest

import benchmeter
from benchmeter import errors
from benchmeter.checking.bias_offer import OfferReason
from benchmeter.checking.part_check import Step
from benchmeter.checking.replacement import Fit, Standing
from benchmeter.conformity.reference_part import MeterVerdict
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.cooling.recovery import FitFailure, Phase, RiseJudgement
from benchmeter.cooling.replay import Change
from benchmeter.files.resources import resource
from benchmeter.motors.windings import WindingFinding
from benchmeter.parts.part_kind import Subject
from benchmeter.quantities.quantity import Quantity
from benchmeter.record.records import SessionState
from benchmeter.session.outcome import Severity
from benchmeter.session.visit import PartFact, VisitFact
from benchmeter.words.catalogue import ENGLISH, PSEUDO, find
from benchmeter.words.presentation import Presentation

SOURCE = Path(benchmeter.__file__).parent
CATALOGUE = resource("words") / ENGLISH
ROOMS = {path.stem for path in CATALOGUE.iterdir()}

ABOVE = ("app.py", "scenes", "window", "words", "reports")
"""Rooms that may use the catalogue; what they tell is compared with it in the pseudo-language."""

NAMES_OF_DATA: Mapping[str, str] = {
    "files/toml_folder.py": "patterns over the words of msgspec",
    "links/instruments/meter_identity.py": "the model of no meter, as records hold it",
    "parts/by_label.py": "the title of a measurement, as a file of parts has it",
    "parts/conclusion.py": "types",
    "parts/nameplate/label.py": "a tolerance, as records hold it",
    "parts/nameplate/nameplate.py": "values as a nameplate has them",
    "parts/part_kind.py": "a tag of the files of parts",
    "quantities/quantity.py": "for the programmer who adds one: refused on import",
    "simulator/contact.py": "the marks of a knob",
    "simulator/virtual_meter.py": "seeds of noise",
    "simulator/world.py": "the titles of what a simulated hand can do, as a scenario has its others",
}
"""Files below the wing of words with names of several words in them, and which."""

FAMILIES: Mapping[str, type[Enum]] = {
    "meters.is_": MeterVerdict,
    "meters.means_": MeterVerdict,
    "meters.offer_": OfferReason,
    "meters.word_": MeterVerdict,
    "motor_verdicts.windings_": WindingFinding,
    "page_bench.watch_": Step,
    "page_notices.severity_": Severity,
    "page_visit.example_": VisitFact,
    "page_visit.part_": PartFact,
    "page_record.stands_": SessionState,
    "page_record.state_": SessionState,
    "recovery.failure_": FitFailure,
    "computations.phase_": Phase,
    "computations.event_": Change,
    "report.judged_": RiseJudgement,
    "report.risk_": Verdict,
    "report.rule_": Rule,
    "report.ruled_": Rule,
    "replacements.fit_": Fit,
    "replacements.standing_": Standing,
    "verdicts.beside_": Subject,
    "verdicts.is_": Verdict,
    "verdicts.knob_": Quantity,
    "verdicts.word_": Verdict,
    "visit.fact_": VisitFact,
    "visit.part_": PartFact,
}
"""Entries that are chosen by a member of an enumeration: their code up to its name."""

_SOME = {"verdicts.knob_"}  # else the quantity's own name is said
_CODE = re.compile(r"[a-z_]+\.[a-z0-9_]+")
_CARRIERS = {
    name
    for name in errors.__all__
    if isinstance(found := getattr(errors, name), type)
    and (issubclass(found, errors.WorldError) or found is errors.Message)
}
_FOR_THE_LOG = {"detail"}
_SQL = re.compile(r"(PRAGMA|SELECT|CREATE|VACUUM|BEGIN) |\w+ = [\w]+$")
_OUR_FAULTS = re.compile(r"(\w*Error|\w*Exception|debug|info|warning|exception|error|log)")
_NESTED = errors.Message("lists.and", {"rest": "C", "last": "HERM"})
_SAMPLES = {"and": ["C", "HERM"], "or": ["C", "HERM"], "clause": _NESTED, "": "x", "whole": "x"}


@dataclass(frozen=True, slots=True)
class Sent:
    """A code in the source, and the parameters that go with it; None: not told beside it."""

    where: str
    code: str
    parameters: frozenset[str] | None


def entries() -> Iterator[tuple[str, tuple[str, ...]]]:
    for room in sorted(ROOMS):
        texts = tomllib.loads((CATALOGUE / f"{room}.toml").read_text(encoding="utf-8"))
        for name, told in texts.items():
            yield f"{room}.{name}", (told,) if isinstance(told, str) else tuple(told)


def placeholders(told: tuple[str, ...]) -> dict[str, str]:
    """The names in a sentence and its advice, each with its format."""
    parsed = (field for text in told for field in Formatter().parse(text))
    return {name: spec or "" for _, name, spec, _ in parsed if name is not None}


@cache
def trees() -> dict[str, ast.Module]:
    return {
        str(path.relative_to(SOURCE)): ast.parse(path.read_text())
        for path in sorted(SOURCE.rglob("*.py"))
    }


def _name(call: ast.Call) -> str:
    function = call.func
    return getattr(function, "id", "") or getattr(function, "attr", "")


def _parameters(call: ast.Call) -> frozenset[str] | None:
    """Of an error its keywords, of a message the keys of its dictionary."""
    if _name(call) == "Message":
        given = call.args[1:2] + [k.value for k in call.keywords if k.arg == "parameters"]
        if not given:
            return frozenset()
        keys = given[0].keys if isinstance(given[0], ast.Dict) else [None]
        names = [k.value for k in keys if isinstance(k, ast.Constant)]
        return frozenset(names) if len(names) == len(keys) else None
    names = [k.arg for k in call.keywords if k.arg not in _FOR_THE_LOG]
    return None if None in names else frozenset(names)


@cache
def sent() -> tuple[Sent, ...]:
    """Every string of the source that has the form of a code of the catalogue."""
    found: list[Sent] = []
    with_what: dict[ast.AST, frozenset[str] | None] = {}
    for file, tree in trees().items():
        alone, beginnings = set(), set()
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                beginnings.update(node.values)
            elif _is_code(node):
                alone.add(node)
            elif (
                isinstance(node, ast.Call)
                and _name(node) in _CARRIERS | {"text"}
                and node.args
                and _is_code(first := node.args[0])
            ):
                with_what[first] = _parameters(node)
        found += [
            Sent(f"{file}:{node.lineno}", node.value, with_what.get(node))
            for node in alone - beginnings
        ]
    return tuple(found)


def _is_code(node: ast.AST) -> bool:
    value = getattr(node, "value", None)
    return (
        isinstance(node, ast.Constant)
        and isinstance(value, str)
        and bool(_CODE.fullmatch(value))
        and value.partition(".")[0] in ROOMS
        and not value.endswith((".toml", ".json", ".py", ".ini", ".pdf", ".html"))
    )


@cache
def families() -> dict[str, str]:
    """Beginnings of codes that end in a member's name, and where: f"verdict.{word.name}"."""
    return {
        str(node.values[0].value): f"{file}:{node.lineno}"
        for file, tree in trees().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
        and len(node.values) == 2
        and isinstance(node.values[0], ast.Constant)
        and re.fullmatch(r"[a-z_]+\.[a-z0-9_]*", str(node.values[0].value))
        and str(node.values[0].value).partition(".")[0] in ROOMS
    }


def sentences(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Strings of two spaces or more that are no documentation and no SQL, nor for the log or us."""
    ours: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            ours.add(node.value)
        if isinstance(node, ast.ClassDef) and any("Enum" in ast.unparse(b) for b in node.bases):
            ours.update(n for line in node.body for n in ast.walk(line))  # names of the JSON
        for said in ("annotation", "returns"):
            if isinstance(type_ := getattr(node, said, None), ast.AST):
                ours.update(ast.walk(type_))
        if isinstance(node, ast.keyword) and node.arg in _FOR_THE_LOG:
            ours.update(ast.walk(node.value))
        if isinstance(node, ast.Assert) and node.msg is not None:
            ours.update(ast.walk(node.msg))
        if isinstance(node, ast.Call) and _name(node) not in _CARRIERS:
            logged = isinstance(node.func, ast.Attribute) and _OUR_FAULTS.fullmatch(_name(node))
            raised = _name(node).endswith(("Error", "Exception"))
            if logged or raised:
                ours.update(n for argument in node.args for n in ast.walk(argument))
    for node in ast.walk(tree):
        if node in ours:
            continue
        if isinstance(node, ast.JoinedStr):
            ours.update(node.values)
            text = "".join(
                str(v.value) if isinstance(v, ast.Constant) else "x" for v in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        pattern = "(?" in text or "\\" in text  # a regular expression is told to nobody
        if not pattern and re.search(r"[a-z]\S* \S+ \S*[A-Za-z]", text) and not _SQL.match(text):
            yield node.lineno, text


def test_every_code_that_is_sent_is_in_the_catalogue() -> None:
    known = {code for code, _ in entries()}
    assert [s for s in sent() if s.code not in known] == []
    assert sent()


def test_what_is_sent_with_a_code_is_what_its_words_name() -> None:
    names = {code: set(placeholders(told)) for code, told in entries()}
    different = [
        f"{s.where}: {s.code} is sent {sorted(s.parameters)}, its words name {sorted(names[s.code])}"
        for s in sent()
        if s.parameters is not None and s.parameters != names.get(s.code, s.parameters)
    ]
    assert different == []


def test_every_entry_is_sent() -> None:
    by_name = tuple(families())
    used = {s.code for s in sent()}
    told = {code for code, _ in entries()}
    assert sorted(code for code in told - used if not code.startswith(by_name or "\0")) == []


def test_every_member_of_a_family_has_its_words() -> None:
    assert families().keys() == FAMILIES.keys(), families()
    known = {code for code, _ in entries()}
    for beginning, members in FAMILIES.items():
        expected = {f"{beginning}{member.name.lower()}" for member in members}
        found = {c for c in known if c.startswith(beginning)}
        assert found == expected or (beginning in _SOME and found < expected)


def test_no_sentence_is_written_below_the_wing_of_words() -> None:
    below = {f: t for f, t in trees().items() if f.split("/")[0] not in ABOVE}
    found = [(f, f"{f}:{line}: {text}") for f, t in below.items() for line, text in sentences(t)]
    assert [told for file, told in found if file not in NAMES_OF_DATA] == []
    assert {file for file, _ in found} == set(NAMES_OF_DATA)


@pytest.mark.parametrize(
    ("source", "caught"),
    [
        ('raise InputError("The label gives none.")', True),
        ('raise InputError(f"The label {x} gives none.")', True),
        ('return Garbled("the frame is not whole", data)', True),
        ('raise InputError("label.none", detail="the line was cut off")', False),
        ('raise ValueError("a rating without any section")', False),
        ('log.warning("the port %s has gone", port)', False),
        ('"""A docstring of several words."""', False),
    ],
)
def test_a_sentence_is_told_from_what_is_none(source: str, caught: bool) -> None:
    wrapped = source if source.startswith('"') else f"def f(x):\n    {source}"
    assert bool(list(sentences(ast.parse(wrapped)))) is caught


def test_the_screens_pass_the_presentation_on() -> None:
    """Without one a sentence is told as the command line prints it."""
    place = {
        node.name: names.index("presentation")
        for file, tree in trees().items()
        if file.startswith("words/")
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
        if "presentation" in (names := [a.arg for a in node.args.args])
    }
    forgotten = [
        f"{file}:{node.lineno}: {name}"
        for file, tree in trees().items()
        if file.startswith(("window/", "scenes/"))
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and (name := getattr(node.func, "id", "")) in place
        if len(node.args) <= place[name] and not any(k.arg == "presentation" for k in node.keywords)
    ]
    assert place and forgotten == []


def test_the_pseudo_language_tells_every_entry() -> None:
    pseudo = Presentation(language=PSEUDO)
    for code, told in entries():
        plain, fields = "".join(told), placeholders(told)
        template = find(PSEUDO, code)
        assert template is not None and placeholders(template) == fields, code
        sample = {name: _SAMPLES.get(spec, 1.5) for name, spec in fields.items()}
        said = pseudo.tell(errors.Message(code, sample))
        for part in filter(None, (said.text, said.advice)):
            assert part.startswith("[") and part.endswith("]"), code
        longer, short = (len(re.sub(r"\{[^}]*\}", "", text)) for text in ("".join(template), plain))
        assert longer >= 1.4 * short, code
