"""The door of the room: from a path to TOML tables, or to one clear fault.

Room: plan. What stops the reading altogether is told here, alone, since
nothing after it could be trusted: no such file, a folder, not UTF-8, far too
large, or TOML that does not hold together, in a maker's words.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from foldwright.errors import Fault, PlanFaults
from foldwright.plan.lines import LinesOfKeys

LARGEST_FILE = 500_000
"""Bytes; a plan of a hundred parts has about 60 000."""

LONGEST_LINE = 2_000
"""Characters; an outline of a hundred corners still fits on one line."""

_LONGEST_KEY = 20  # dotted words in a row; the TOML reader slows down with their square
_DOTTED = re.compile(
    r"[\"']?[A-Za-z_][\w-]*[\"']?(?:[ \t]*\.[ \t]*[\"']?[\w-]+[\"']?){" + str(_LONGEST_KEY) + "}"
)

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        r"Cannot declare .* twice",
        "This table is there twice.",
        "Give one of the two another name, or put their lines together.",
    ),
    (
        r"Cannot overwrite a value|Duplicate inline table key|Cannot (mutate|redefine)",
        "A key or table of this name is already there, further up.",
        "Keep one of the two, or give one another name.",
    ),
    (
        r"Expected '=' after a key",
        "A line of a plan is `name = value`; here the = is missing after the name.",
        "Write =, put a name with other signs in it in quotes, or begin a comment with #.",
    ),
    (
        r"Expected '\]+' at the end",
        "The name of a table is not closed with ].",
        "Write [part.lamp], or [[meet]] with two on either side.",
    ),
    (
        r"Unterminated string|Expected ['\"]{3,}|Illegal character '\\n'",
        "A text begins with a quote and does not end with one.",
        'Close it on the same line: kind = "drum".',
    ),
    (
        r"Unescaped|Invalid hex value|Escaped character",
        "A \\ inside double quotes begins a special sign, and this is none.",
        "Write \\\\ for one \\, or use single quotes.",
    ),
    (
        r"Expected newline or end of document",
        "The value ends here, but more follows on the line.",
        'Put one `name = value` on each line, text in quotes: width = "1 1/2 in".',
    ),
    (
        r"Invalid (initial character for a key part|statement)",
        "A line has to begin with a name, a [table] or a # comment; this one does not.",
        "Mend or delete the line; names have letters, digits, _ and -.",
    ),
    (
        r"Invalid date",
        "This looks like a date, but there is no such day or hour.",
        "Write a number, or put text in quotes.",
    ),
    (
        r"Invalid value",
        "There is no value here that can be read.",
        'Write a number like 12.5, true or false, or text in quotes like "lamp_d - 2" or "1/2 in".',
    ),
    (
        r"Illegal character|Found invalid character",
        "There is a sign here that a plan cannot hold.",
        "Delete it and type it anew; it may have come along with copied text.",
    ),
)


def read_text(path: Path) -> str:
    """Text of a plan file, without byte order mark, each line ending in a plain newline.

    Raises
    ------
    PlanFaults
        One fault that says why there is no text.
    """
    try:
        if path.is_dir():
            raise _only(path, "no-file", "This is a folder.", "Name the plan in it: plan.toml.")
        if not path.exists():
            raise _only(
                path,
                "no-file",
                "There is no such file.",
                "Check the name, or begin a plan with `foldwright start`.",
            )
        if not path.is_file():
            raise _only(path, "no-file", "This is not a file.", "Name a plan file.")
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, PlanFaults):
            raise
        why = getattr(error, "strerror", None) or str(error)
        problem = f"The file cannot be opened: {why}."
        raise _only(path, "no-file", problem, "Check its name and who may read it.") from error
    return decoded(raw, str(path))


def decoded(raw: bytes, file: str) -> str:
    """Text of the bytes of a plan file; see `read_text`."""
    if len(raw) > LARGEST_FILE:
        raise _only(
            file,
            "too-large",
            f"The file has over {LARGEST_FILE:,} bytes, far more than any plan.",
            "Check that this is the plan, not a picture or a backup.",
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise PlanFaults(
            [
                Fault(
                    "not-utf-8",
                    file,
                    line,
                    "",
                    "The file is not plain UTF-8 text; the first foreign sign is on this line.",
                    "Save it as UTF-8 in your editor; if it is no text, name the plan.",
                )
            ]
        ) from error
    return text.replace("\r\n", "\n")


@lru_cache(maxsize=8)
def tables_of(text: str) -> Mapping[str, Any]:
    """Tables of a TOML text, to be read and not changed: a plan is asked for many times a change.

    Raises
    ------
    tomllib.TOMLDecodeError, RecursionError, ValueError
        As `tomllib.loads`.
    """
    return tomllib.loads(text.removeprefix("\ufeff"))


def parsed(text: str, file: str) -> tuple[Mapping[str, object], Mapping[str, int]]:
    """Tables of a plan text, and the line of each key.

    Raises
    ------
    PlanFaults
        The first thing that keeps the text from being TOML.
    """
    if not text.strip():
        raise _only(
            file,
            "empty",
            "The plan is empty.",
            "Begin one with `foldwright start`, or copy a plan from the examples.",
        )
    _refuse_junk(text, file)
    try:
        return tables_of(text), LinesOfKeys(text)
    except tomllib.TOMLDecodeError as error:
        raise PlanFaults([_syntax_fault(text, file, str(error))]) from error
    except RecursionError as error:
        raise too_deep(file) from error
    except ValueError as error:  # a number with thousands of digits
        raise _only(
            file, "not-toml", "A number in it is far too long.", "Lengths are mm, like 12.5."
        ) from error


def too_deep(file: str) -> PlanFaults:
    """What to say of lists within lists that no reader follows to their end."""
    remedy = "An outline is a list of corners: [[0, 0], [600, 0], [600, 420]]."
    return _only(file, "not-toml", "Lists are nested far too deep.", remedy)


def shown(line: str) -> str:
    """Line of a plan as a fault shows it: without margins, and not too long."""
    line = "".join(sign if sign.isprintable() else "?" for sign in line.strip())
    return line if len(line) <= 120 else line[:117] + "..."


def _only(path: Path | str, code: str, problem: str, remedy: str) -> PlanFaults:
    return PlanFaults([Fault(code, str(path), 0, "", problem, remedy)])


def _refuse_junk(text: str, file: str) -> None:
    if len(text) > LARGEST_FILE:
        raise _only(
            file,
            "too-large",
            f"The plan has over {LARGEST_FILE:,} characters, far more than any plan.",
            "Check that this is the plan.",
        )
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            problem = f"This line has {len(line):,} characters; {LONGEST_LINE:,} is the most."
            remedy = "Put each corner or sheet on a line of its own, or check that this is a plan."
        elif _DOTTED.search(line.partition("#")[0]):
            problem = f"More than {_LONGEST_KEY} names in a row are joined with points."
            remedy = "A key of a plan has two or three: part.lamp.length."
        else:
            continue
        raise PlanFaults([Fault("too-large", file, number, shown(line), problem, remedy)])


def _syntax_fault(text: str, file: str, message: str) -> Fault:
    lines = text.split("\n")
    place = _PLACE.search(message)
    if place and place[1]:
        line, column = int(place[1]), int(place[2])
    else:
        line = max(i for i, row in enumerate(lines, start=1) if row.strip())
        column = len(lines[line - 1]) + 1
    message = _PLACE.sub("", message)
    rest = lines[line - 1][column - 1 :]
    at = sum(len(row) + 1 for row in lines[: line - 1]) + column - 1
    opened = _open_bracket(text, at) if not message.startswith(("Unterm", "Expected '")) else None
    if opened and opened[1] != line:
        what, close = ("list", "]") if opened[0] == "[" else ("table", "}")
        problem = f"The {what} that begins on line {opened[1]} is not closed here yet."
        remedy = f"Close it with {close}, and put a comma between its members."
        if opened[0] == "{":
            remedy += " A table in { } stays on one line."
    elif opened and opened[0] == "{" and not rest.strip():
        problem = "A table in { } stays on one line, and this one is not closed on its line."
        remedy = "Close it with } on the same line, or make it a [table] of its own."
    elif message.startswith("Unclosed"):
        problem = "A member of this list or table is not followed by a comma or by its end."
        remedy = "Put a comma between members, close [ with ] and { with }, quote text."
    else:
        problem, remedy = _in_words(message, rest)
    return Fault("not-toml", file, line, shown(lines[line - 1]), problem, remedy)


def _in_words(message: str, rest: str) -> tuple[str, str]:
    """Say it as a maker would; `rest` is the line from the place of the fault."""
    if message.startswith("Expected newline") and re.match(r"\s*,\s*\d", rest):
        return "There is a comma in the number.", "Write the decimal point: 0.5."
    if message.startswith("Expected newline") and re.match(r"\s*[A-Za-z\"'/]", rest):
        return (
            f'The number is followed by "{shown(rest)[:20]}".',
            'Put a number with its unit in quotes: width = "12 mm" or "1 1/2 in".',
        )
    for pattern, problem, remedy in _WORDS:
        if re.match(pattern, message):
            return problem, remedy
    return f"The TOML reader says: {message}.", "Mend this line."


_TOKEN = re.compile(
    r'#[^\n]*|"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|[][{}]',
    re.DOTALL,
)


def _open_bracket(text: str, before: int) -> tuple[str, int] | None:
    """Innermost bracket still open at a place: which one, and its line."""
    stack: list[tuple[str, int]] = []
    for token in _TOKEN.finditer(text, 0, before):
        if token.group() in "[{":
            stack.append((token.group(), text.count("\n", 0, token.start()) + 1))
        elif token.group() in "]}" and stack:
            stack.pop()
    return stack[-1] if stack else None
