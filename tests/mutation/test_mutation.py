"""The mutation run itself: what it changes, what it leaves alone, and that it finds a hole."""

import ast
import faulthandler
import textwrap
from pathlib import Path

import pytest

from tests.mutation.bench import NotJudged
from tests.mutation.children import forked
from tests.mutation.code import code_mutants, mutated
from tests.mutation.data import data_mutants
from tests.mutation.equivalents import equivalents
from tests.mutation.house import HERE, House
from tests.mutation.mutant import Mutant, sampled
from tests.mutation.run import all_code, all_data, judged

ENUMS = {"Word": ("PASS", "FAIL", "OPEN")}


@pytest.mark.parametrize(
    ("statement", "becomes"),
    [
        ("return a < b", {"return a <= b", "return a >= b"}),
        ("return a is None", {"return a is not None"}),
        ("return a and b", {"return a or b"}),
        ("return not a", {"return a"}),
        ("return a + b", {"return a - b", "return a"}),
        ("return a[-1]", {"return a[1]", "return a[-2]"}),
        ("return Word.FAIL", {"return Word.OPEN"}),
        ("return max(a, b)", {"return min(a, b)"}),
        ("return a if b else 0", {"return a if not b else 0", "return a if b else 1"}),
        ("return Decimal('0.5')", {"return Decimal('1.1') * Decimal('0.5')"}),
        ("a += b", {"pass"}),
        ("a.append(b)", {"pass"}),
        ("a.b = True", {"a.b = False", "pass"}),
        ("if a: a.clear()", {"if not a:\n    a.clear()", "if a:\n    pass"}),
        ("raise Refused(Word.FAIL, 7)", {"raise Refused(Word.OPEN, 7)", "pass"}),
        ("return f'{a + 1:.2f} V'", {"return f'{a - 1:.2f} V'", "return f'{a:.2f} V'", "return f'{a + 2:.2f} V'"}),
    ],
)  # fmt: skip
def test_each_change_is_made_alone(statement: str, becomes: set[str]) -> None:
    source = f"def f(a, b):\n    {statement}\n"
    made = [mutated(source, m) for m in code_mutants(source, "f.py", "wing", ENUMS)]
    assert {ast.unparse(tree.body[0].body[0]) for tree in made} == becomes  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "source",
    [
        '"""A text with 2 < 3."""',
        "__all__ = ['a'] + ['b']",
        "def f(a: Literal[1] | None) -> list[int]:\n    assert a\n",
        "if TYPE_CHECKING:\n    A = 1\n",
        "_log.warning('%s', 1 + 2)",
        "@lru_cache(maxsize=3)\ndef f():\n    '''Text.'''\n",
    ],
)
def test_what_no_test_could_see_is_left_alone(source: str) -> None:
    assert not code_mutants(source, "f.py", "wing", {})


def test_numbers_flags_and_words_of_data_are_changed_and_prose_is_not() -> None:
    texts = {
        "a.toml": textwrap.dedent("""\
            title = "At most 5 V"  # 6
            overload = "open"
            powered = true
            steps = [1, 2.0]
            limits = { by = "between", high = "1 ohm" }
            """),
        "b.toml": 'overload = "pass"\n',
    }
    found = {(m.before, m.after) for m in data_mutants(texts, "parts")}
    assert found == {
        ('"open"', '"pass"'), ('"pass"', '"open"'), ("true", "false"), ("1", "2"), ("2.0", "2.2"),
        ('"1 ohm"', '"2 ohm"'),
    }  # fmt: skip


def test_a_change_elsewhere_leaves_the_draw_as_it_is() -> None:
    source = "def f(a):\n    return a + 1 < 5 * a\n"
    before = sampled(code_mutants(source, "f.py", "wing", {}), 3, 1)
    after = sampled(code_mutants(f"def g():\n    pass\n\n{source}", "f.py", "wing", {}), 3, 1)
    assert [m.key for m in before] == [m.key for m in after]
    assert [m.line + 3 for m in before] == [m.line for m in after]


def test_every_equivalent_names_a_mutant_and_its_reason() -> None:
    listed = equivalents()
    mutants = [*all_code(HERE, {one.file for one in listed}), *all_data(HERE)]
    for one in listed:
        assert any(one.names(mutant) for mutant in mutants), one
        assert len(one.reason.split()) > 3, one


# --- a tiny house with a hole ----------------------------------------------------------------------

_SCALE = """
    from pathlib import Path
    from tiny import places

    def within(value: float, low: float, high: float) -> bool:
        if not low <= value:
            return False
        return value <= high

    def unused(value: int) -> int:
        return value + 1

    def limits() -> str:
        return (places.root("resources") / "parts" / "fuse.toml").read_text()
"""
_TESTS = """
    from tiny.scale import limits, within

    def test_the_lower_end():
        assert within(1, 1, 3) and not within(0, 1, 3)

    def test_the_limit():
        assert "high = 1\\n" in limits()
"""


@pytest.fixture
def tiny(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> House:
    files = {
        "pyproject.toml": """
            [tool.pytest.ini_options]
            pythonpath = ["."]
            markers = ["gui: Qt", "x11: X", "slow: long"]
        """,
        "tiny/__init__.py": "",
        "tiny/places.py": """
            from pathlib import Path

            def root(name):
                return Path(__file__).parent.parent / name
        """,
        "tiny/scale.py": _SCALE,
        "resources/parts/fuse.toml": "high = 1\npowered = false\n",
        "trials/test_scale.py": _TESTS,
    }
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(textwrap.dedent(text))
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")
    # The watchdog is a thread: a fork has none, and would wait for its end for ever.
    faulthandler.cancel_dump_traceback_later()
    return House(tmp_path, "tiny", ("scale.py",), ("parts",), ("trials",), "tiny.places.root")


def survivors(house: House) -> set[str]:
    mutants: list[Mutant] = [*all_code(house), *all_data(house)]
    fates = judged(house, mutants, 2)
    return {f"{f.mutant.before} → {f.mutant.after}" for f in fates if f.death is None}


def test_the_upper_end_and_the_flag_that_nobody_tests_survive(tiny: House) -> None:
    assert survivors(tiny) == {
        "value <= high → value < high",
        "value + 1 → value - 1",
        "value + 1 → value",
        "1 → 2",  # of `unused`; that of the data file is killed
        "false → true",
    }


def test_tests_that_close_the_holes_kill_them(tiny: House) -> None:
    with (tiny.root / "trials/test_scale.py").open("a") as file:
        file.write(
            textwrap.dedent("""
                from tiny.scale import unused

                def test_the_rest():
                    assert within(3, 1, 3) and not within(4, 1, 3)
                    assert unused(1) == 2
                    assert "powered = false" in limits()
            """)
        )
    assert survivors(tiny) == set()


def test_a_test_that_fails_as_it_is_judges_nothing(tiny: House) -> None:
    with (tiny.root / "trials/test_scale.py").open("a") as file:
        file.write(
            "\n\ndef test_the_upper_end():\n    assert within(3, 1, 3) and within(4, 1, 3)\n"
        )
    assert "value <= high → value < high" in survivors(tiny)


def test_nothing_is_said_where_no_test_can_be_loaded(tiny: House) -> None:
    (tiny.root / "trials/test_scale.py").write_text("import nowhere\n")
    with pytest.raises(NotJudged, match="test_scale"):
        survivors(tiny)


def test_what_never_ends_is_ended() -> None:
    def work() -> None:
        while True:
            pass

    assert list(forked([work], 1, cpu_seconds=1)) == [(0, None)]
