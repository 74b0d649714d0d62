"""Reading a drawn torch lead from a file: JSON with points and length, or CSV with two columns."""

import csv
import io
import json
from pathlib import Path
from typing import Any

from tipward.foundation import InputError, Problem, read_quantity
from tipward.model import Drawing

LARGEST_FILE = 2_000_000
AS_JSON = 'write {"length": "4 m", "points": [[0, 0], [10, 3], …]}'
AS_CSV = "write x and y on each line, as 12.5;3"


def read_drawing(file: Path) -> Drawing:
    """Read the points along a torch lead, and its length where the file says it.

    Parameters
    ----------
    file : Path
        JSON ({"length": "4 m", "points": [[x, y], …]}, or just the list of points), or CSV with x and y in its first two
        columns; a line of headings and decimal commas beside semicolons are understood.

    Returns
    -------
    Drawing
        Points [1] and length [m].

    Raises
    ------
    InputError
        A file that cannot be read, or what in it is no point or length.

    Source: design (docs/commands.md).

    >>> import tempfile
    >>> file = Path(tempfile.mkdtemp()) / "lead.csv"
    >>> _ = file.write_text("x;y\\n0;0\\n1,5;0\\n3;1")
    >>> read_drawing(file).points
    ((0.0, 0.0), (1.5, 0.0), (3.0, 1.0))
    """
    try:
        with file.open("rb") as opened:
            raw = opened.read(LARGEST_FILE + 1)
        text = raw.decode("utf-8-sig")
    except OSError as problem:
        raise _refused(file, "file", f"cannot be read ({problem.strerror})", "check its name") from None
    except UnicodeDecodeError:
        raise _refused(file, "file", "is not text", AS_JSON) from None
    if len(raw) > LARGEST_FILE:
        raise _refused(file, "file", f"is larger than {LARGEST_FILE // 1_000_000} MB", "thin the points out")
    return _json(file, text) if text.lstrip().startswith(("{", "[")) else Drawing(_csv(file, text))


def _refused(file: Path, where: str, what: str, step: str) -> InputError:
    return InputError(str(file), [Problem(where, what, step)])


def _json(file: Path, text: str) -> Drawing:
    try:
        said: Any = json.loads(text)
    except (ValueError, RecursionError):
        raise _refused(file, "file", "is not JSON", AS_JSON) from None
    whole = said if isinstance(said, dict) else {"points": said}
    try:
        points = tuple((float(x), float(y)) for x, y in whole["points"])
    except (KeyError, TypeError, ValueError):
        raise _refused(file, "points", "are not pairs of numbers", AS_JSON) from None
    if whole.get("length") is None:
        return Drawing(points)
    try:
        return Drawing(points, read_quantity(str(whole["length"]), "m"))
    except ValueError as problem:
        what, _, step = str(problem).partition("; ")
        raise _refused(file, "length", what, step or AS_JSON) from None


def _csv(file: Path, text: str) -> tuple[tuple[float, float], ...]:
    first = text.lstrip().partition("\n")[0]
    mark = next((mark for mark in (";", "\t", ",") if mark in first), " ")
    found: list[tuple[float, float]] = []
    for number, row in enumerate(csv.reader(io.StringIO(text), delimiter=mark, skipinitialspace=True), 1):
        if not "".join(row).strip() or row[0].startswith("#"):
            continue
        try:
            x, y = (float(cell.strip().replace(",", ".")) for cell in row[:2])
        except ValueError:
            if found or number > 1:
                raise _refused(file, f"line {number}", "is not two numbers", AS_CSV) from None
            continue  # a line of headings
        found.append((x, y))
    return tuple(found)
