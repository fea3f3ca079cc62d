"""No number of the data file can change by a tenth without a test that fails; `make audit` runs this."""

import time

import pytest

from tests.audit import numbers


@pytest.mark.audit
def test_a_tenth_more_is_always_noticed(capsys: pytest.CaptureFixture[str]) -> None:
    start = time.monotonic()
    found = numbers.try_all()
    with capsys.disabled():
        print(f"\n{numbers.told(found, time.monotonic() - start)}")
    assert len(found) > 500
    assert [".".join(map(str, place)) for place, how in found.items() if how == numbers.SURVIVED] == []
