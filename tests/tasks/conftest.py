"""A stored session of each scenario, played once for all tests of this folder."""

from collections.abc import Iterator

import pytest

from tests.fakes.played import Played, play


@pytest.fixture(
    scope="package",
    params=[
        pytest.param("walk-in-cooler", marks=pytest.mark.slow),
        "short-visit",
        "handheld-and-modbus",
        "troubled-links",
        "shop-bench",
        "carton-of-forty",
    ],
)
def played(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Played]:
    made = play(tmp_path_factory.mktemp(request.param) / "data", request.param)
    yield made
    made.store.close()
