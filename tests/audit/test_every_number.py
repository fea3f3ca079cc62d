"""No number of the data file can change by a tenth without a test that fails; `make audit` runs this."""

import subprocess
import sys

import pytest


@pytest.mark.audit
def test_a_tenth_more_is_always_noticed() -> None:
    # By itself: pytest has loaded the calculators by now, and a change only counts where they are not loaded yet.
    done = subprocess.run([sys.executable, "-m", "tests.audit.numbers"], capture_output=True, text=True)
    print(f"{done.stdout}{done.stderr}")
    assert done.returncode == 0, "the numbers above can change unnoticed"
    tried = int(done.stdout.splitlines()[-1].split()[0])
    assert tried > 500
