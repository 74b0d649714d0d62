"""The outputs shown in the documents are those of real runs: check them, or write them anew.

    python .ci/documents.py            say which blocks differ (numbers and ids aside), exit code 1 if any does
    python .ci/documents.py --write    put what the commands print now into the documents

A block is a comment and the fence below it:  <!-- ran: tipward fit examples/x.toml | A ~ B ; C ~ D -->
Parts go from the line that holds A to before the next line that holds B (or the end), joined by an ellipsis. The word CASE in a
command stands for the id of the case opened last in the same document.
"""

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
BLOCK = re.compile(
    r"<!-- ran: (?P<command>[^|\n]+?)(?: \| (?P<parts>[^\n]+?))? -->\n```text\n(?P<shown>.*?)```\n", re.S
)
CASE_ID = re.compile(r"\b[a-z0-9]{4}-[a-z0-9]{4}\b", re.I)


def documents() -> list[Path]:
    """Every document that shows a run."""
    found = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
    return [file for file in found if BLOCK.search(file.read_text("utf-8"))]


def printed(command: str, casebook: Path, case: str) -> str:
    """What a command prints on both streams, from a clean environment, in the folder of the project."""
    words = [word.replace("CASE", case) for word in shlex.split(command)]
    if words[0] == "tipward":
        words = [sys.executable, "-m", *words]
    env = {**os.environ, "TIPWARD_CASEBOOK": str(casebook), "COLUMNS": "80", "NO_COLOR": "1"}
    ran = subprocess.run(
        words, cwd=ROOT, env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )
    return (ran.stdout + ran.stderr).replace(str(ROOT) + os.sep, "")


def cut(text: str, parts: str | None) -> str:
    """The parts of an output that a document shows."""
    if parts is None:
        return text.strip("\n") + "\n"
    shown = []
    for part in parts.split(" ; "):
        start, _, end = part.partition(" ~ ")
        lines = text.splitlines()
        first = next((n for n, line in enumerate(lines) if start in line), None)
        if first is None:
            raise SystemExit(f"nothing printed holds {start!r}: choose what the document shows anew")
        last = next(
            (n for n, line in enumerate(lines) if n > first and end and end in line), None if end else len(lines)
        )
        if last is None:
            raise SystemExit(f"nothing printed after {start!r} holds {end!r}: choose anew where the document stops")
        shown.append("\n".join(lines[first:last]).strip("\n"))
    return "\n…\n".join(shown) + "\n"


def renewed(text: str) -> str:
    """A document with every block as its command prints it now."""
    with tempfile.TemporaryDirectory() as folder:
        book, case = Path(folder) / "book.db", ""

        def run(block: re.Match[str]) -> str:
            nonlocal case
            told = printed(block["command"], book, case)
            found = re.search(r"\bCase ([a-z0-9]{4}-[a-z0-9]{4})\b", told)
            case = found[1] if found else case
            return block[0].replace(f"```text\n{block['shown']}```", f"```text\n{cut(told, block['parts'])}```")

        return BLOCK.sub(run, text)


def alike(text: str) -> str:
    """The text with numbers and case ids made equal."""
    return re.sub(r"\d+(?:\.\d+)?", "0", CASE_ID.sub("CASE", text))


def main() -> int:
    """Check or write."""
    differ = 0
    for file in documents():
        old = file.read_text("utf-8")
        new = renewed(old)
        if "--write" in sys.argv:
            file.write_text(new, "utf-8")
        elif alike(old) != alike(new):
            differ += 1
            print(f"{file.relative_to(ROOT)} shows what is no longer printed; run: python .ci/documents.py --write")
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
