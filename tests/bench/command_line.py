"""An answer on the command line, against a Python that only imports what any such program needs; processor time."""

import os
import resource
import statistics
import subprocess
import sys

import calculators

ROUNDS = 11
BASE = ("-c", "import json, tomllib, dataclasses, argparse, datetime")


def main() -> None:
    base = seconds(*BASE)
    ratios = {name: seconds("-m", "calculators", name, "--json") / base for name in calculators.NAMES}
    worst = max(ratios, key=ratios.__getitem__)
    print(f"command line: an answer takes {statistics.median(ratios.values()):.2f} times the bare imports (median of "
          f"{len(ratios)} calculators; {worst}, the longest, {ratios[worst]:.2f}; bar 2.00)")


def seconds(*words: str) -> float:
    """Processor time of one start, with compiled files kept as an ordinary user's Python keeps them."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return statistics.median(once(words, kept) for _ in range(ROUNDS))


def once(words: tuple[str, ...], environment: dict[str, str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *words], env=environment, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


if __name__ == "__main__":
    main()
