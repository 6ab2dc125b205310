"""The stock list as spreadsheets write it."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchmeter.checking.stock import EXAMPLE, StockList, read_stock, write_example
from benchmeter.errors import InputError
from tests.fakes.refusals import in_english, refused, said

LABEL = "45/5 µF ±6 % 440 V"


@pytest.fixture
def stock(tmp_path: Path):
    def read(text: str | bytes) -> StockList:
        path = tmp_path / "stock.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_stock(path)

    return read


def table(*lines: str) -> str:
    return "\n".join([EXAMPLE, *lines]) + "\n"


def told(found: StockList) -> str:
    return "; ".join(f"{b.line}: {in_english(b.error)}" for b in found.bad)


def test_every_column_comes_back(stock) -> None:
    found = stock(table(f"{LABEL},oval,3,van,R17"))
    (one,) = found.items
    assert (one.line, one.rating.text, one.shape) == (2, LABEL, "oval")
    assert (one.count, one.place, one.own_number) == (3, "van", "R17")
    assert found.bad == ()


def test_every_spelling_of_a_table_is_the_same_list(stock) -> None:
    expected = stock(table(f"{LABEL},round,3,van,", "4.5 µF ±5 % 440 V,,0,,R1"))
    german = table(f"{LABEL},round,3,van,", "4.5 µF ±5 % 440 V,,0,,R1").replace(",", ";")
    for text in (
        german,
        "\ufeff" + german,
        german.replace("4.5 µF", "4,5 µF").replace(";0;", ";0,0;"),
        "sep=;\n" + german,
        german.replace("\n", "\r\n"),
        german.replace("own number", "Own_Number").replace("label", "LABEL"),
    ):
        found = stock(text)
        assert [i.rating.sections for i in found.items] == [
            i.rating.sections for i in expected.items
        ]
        assert [(i.shape, i.count, i.place, i.own_number) for i in found.items] == [
            (i.shape, i.count, i.place, i.own_number) for i in expected.items
        ]
        assert not found.bad


def test_only_the_labels_are_needed_and_what_is_not_written_is_not_guessed(stock) -> None:
    (one,) = stock(f"label\n{LABEL}\n").items
    assert (one.count, one.shape, one.place, one.own_number) == (None, "", "", "")


def test_the_shape_may_stand_on_the_label(stock) -> None:
    found = stock(table(f"{LABEL} OVAL,,1,,", f"{LABEL} OVAL,round,1,,"))
    assert [i.shape for i in found.items] == ["oval"]
    assert "label says oval" in told(found)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (",round,1,,", "no label"),
        ("nonsense,,1,,", "“nonsense” on the label is not understood"),
        ("45 µF 440 V,,1,,", "gives no tolerance. Add it to the label"),
        (f"{LABEL},,=2+1,,", "“=2+1” is no whole number"),
        (f"{LABEL},,two,,", "“two” is no whole number"),
        (f"{LABEL},,-1,,", "no whole number"),
        (f"{LABEL},,1.5,,", "no whole number"),
        (f"{LABEL},,1e9,,", "no whole number"),
        (f"{LABEL},,1", "It has 3 cells, and the first line has 5"),
        (f'"{LABEL},,1,,', "quotation marks"),
        (f"=CMD(),{LABEL},1,,", "is not understood"),
    ],
)
def test_a_line_that_cannot_be_used_is_told_and_leaves_the_others_alone(stock, line, says) -> None:
    found = stock(table(f"{LABEL},,1,,", line, f"{LABEL},,2,,"))
    assert says in told(found)
    assert [i.count for i in found.items][:1] == [1]
    assert len(found.items) + len(found.bad) == 3


def test_two_parts_cannot_have_the_same_own_number(stock) -> None:
    found = stock(table(f"{LABEL},,1,,R1", f"{LABEL},,1,,r1"))
    assert len(found.items) == 1
    assert "“r1” stands in line 2 already" in told(found)


def test_control_characters_reach_nobody(stock) -> None:
    (one,) = stock(table(f"{LABEL},round\x1b[31m,1,van\x07,R\x001")).items
    assert all(sign.isprintable() for sign in one.shape + one.place + one.own_number)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("part,count\nx,1\n", "no column “label”"),
        ("label,Label\nx,y\n", "two columns “label”"),
        ("label,unit\nx,nF\n", "mean nothing here: unit. Known are label"),
        (b"label\n\xff\xfe\n", "not a text file in UTF-8"),
    ],
)
def test_a_file_that_is_no_list_is_refused(stock, text, says) -> None:
    with refused(InputError, match=says):
        stock(text)


def test_a_missing_list_is_told(tmp_path: Path) -> None:
    with refused(InputError, match=r"stock\.csv cannot be read"):
        read_stock(tmp_path / "stock.csv")


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.binary(max_size=60).map(lambda b: b"label,count\n" + b),
        st.lists(
            st.tuples(
                st.sampled_from([LABEL, "", "88-108 µF", "=A1", '"', "x\x00"]),
                st.sampled_from(["", "oval", "\x1b[1m", "=1"]),
                st.sampled_from(["", "0", "3", "-1", "1e99", "=B2", "٣"]),
                st.text(max_size=3),
                st.text(max_size=3),
            ).map(",".join),
            max_size=8,
        ).map(lambda lines: table(*lines).encode("utf-8", "replace")),
    )
)
def test_no_file_ends_in_anything_but_a_list_or_one_error(stock, text) -> None:
    try:
        found = stock(text)
    except InputError as error:
        assert said(error)
    else:
        assert all(i.rating.sections for i in found.items)
        assert all(said(b.error) for b in found.bad)


def test_the_example_is_a_list_that_offers_no_part(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "stock.csv"
    write_example(path)
    found = read_stock(path)
    assert [i.count for i in found.items] == [0] and found.bad == ()


def test_the_example_takes_the_place_of_no_list(tmp_path: Path) -> None:
    path = tmp_path / "stock.csv"
    path.write_text("mine", encoding="utf-8")
    write_example(path)
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_point_that_may_part_thousands_is_no_decimal_point(stock) -> None:
    """In a table with decimal commas, spreadsheets group digits with points (common practice)."""
    found = stock(f"label;count\n{LABEL};1.000\n{LABEL};1,0\n{LABEL};2.0\n")
    assert [item.count for item in found.items] == [1, 2]
    assert "“1.000” is no whole number" in told(found)


def test_quotation_marks_that_are_never_closed_cost_no_more_than_their_rows(stock) -> None:
    rows = 12_000
    found = stock("label,shape\n" + 'a","""\n' * rows)
    assert len(found.bad) == rows
