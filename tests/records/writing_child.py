"""A process that appends pages to one case and says each sequence number once the page is kept.

Called with: where the casebook is · case id · start of its keys · how many pages (0: until killed).
"""

import sys
from itertools import count

from tipward.model import Finding, Page
from tipward.records import open_casebook


def sequence_of(pages: tuple[Page, ...], key: str) -> int:
    return next(page.sequence for page in pages if page.key == key)


def main(place: str, case_id: str, prefix: str, how_many: int) -> None:
    with open_casebook(place) as casebook:
        print("ready", flush=True)
        for number in range(how_many) if how_many else count():
            key = f"{prefix}-{number}"
            case = casebook.append(case_id, Finding("look-hub", "loose", note=key), key)
            print(sequence_of(case.pages, key), key, flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4]))
