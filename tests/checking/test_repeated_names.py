"""Names that come again are found as counting them finds them."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.repeated_names import RepeatedNames


@given(st.lists(st.lists(st.sampled_from([f"part {i}" for i in range(40)]), max_size=30)))
def test_names_that_come_again_are_told_in_the_order_of_their_first_rows(
    batches: list[list[str]],
) -> None:
    found = RepeatedNames()
    for names in batches:
        found.add(names)
    counted = Counter(name for names in batches for name in names)
    again = [name for name, count in counted.items() if count > 1]
    assert (found.count, found.first(5)) == (len(again), again[:5])
