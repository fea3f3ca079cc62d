"""How fast it is, as ratios within one run: `make bench`. Absolute times are this machine's and this hour's."""

from tests.bench import browser, command_line, fleets, pages, records, sheets


def main() -> None:
    for part in (pages, sheets, fleets, command_line, records, browser):
        part.main()


if __name__ == "__main__":
    main()
