"""Reading a formula: what gets through, and what to say when it does not.

Room: plan. Python's own parser makes the tree; `read_arithmetic` lets through
only plain arithmetic and looks at the text again when it must refuse, for
what makers do write: ``2 in``, ``0,5``, ``w^2``, ``2(a + b)``.
"""

from __future__ import annotations

import ast
import re
import warnings
from functools import lru_cache

from foldwright.errors import FormulaError, UnknownName
from foldwright.plan.functions import CONSTANTS, FUNCTIONS

_LONGEST = 300  # characters; a sum at the bench is a tenth of that
_DEEPEST = 40  # signs and calls within one another, far below Python's own limit
LARGEST = 1e15  # mm; past this a float no longer holds a tenth of a millimetre


@lru_cache(maxsize=4096)
def read_arithmetic(text: str) -> tuple[ast.expr, tuple[str, ...]]:
    """Tree of a formula and the names in it, in order of first appearance.

    Raises
    ------
    FormulaError
        Not plain arithmetic; says what is wrong, and where.
    """
    tree = _parsed(text)
    names: dict[str, None] = {}
    _check(tree, text, names, 0)
    return tree, tuple(names)


_HINTS: tuple[tuple[str, str, str], ...] = (
    (r"^[^(]*\d\s*,\s*\d", "has a comma between digits", "Write the decimal point: 0.5."),
    (
        r"\d\s*(mm|cm|m|in|inch|inches|deg)\b|\d\s*[\"'°]",
        "has a unit in it",
        "Inside a formula plain numbers are mm; for inches write 2*inch; angles are degrees.",
    ),
    (r"\^", "has ^ in it", "Powers are written with **: 3**2."),
    (
        r"[\u00d7x]\s*\d|\d\s*[\u00d7x]",
        "has a times sign that is not *",
        "Write * between factors.",
    ),
    (r"\d\s*\(|\)\s*[\w(]|\d[A-Za-z_]", "has no sign between two factors", "Write *: 2*width."),
    (r"[^\x00-\x7f]", "has a letter or sign outside a to z", "Names are plain letters, digits, _."),
    (r"==|<|>|=", "compares or assigns", "Write only what the number is, with + - * / **."),
)


def _parsed(text: str) -> ast.expr:
    if not text:
        raise FormulaError(
            "The formula is empty.", text=text, at=0, remedy="Write a number or a formula."
        )
    if len(text) > _LONGEST:
        raise FormulaError(
            f"The formula has {len(text)} characters; {_LONGEST} is the most.",
            text=text,
            at=_LONGEST,
            remedy="Split it: give parts of it names in the [size] table.",
        )
    strange = re.search(r"[^A-Za-z0-9_ \t.+\-*/(),]", text)
    if strange:
        raise _hint(text) or _unreadable(text, strange.start())
    try:
        with warnings.catch_warnings():  # "2if" only warns; the check below refuses it
            warnings.simplefilter("ignore")
            return ast.parse(text, mode="eval").body
    except SyntaxError as error:
        raise (_hint(text) or _unreadable(text, (error.offset or 1) - 1)) from error
    except (ValueError, MemoryError, RecursionError) as error:
        raise _too_deep(text) from error


def _unreadable(text: str, at: int) -> FormulaError:
    at = max(0, min(at, len(text)))
    if text.count("(") != text.count(")"):
        more, fewer = ("(", ")") if text.count("(") > text.count(")") else (")", "(")
        problem = f'The formula "{text}" has more {more} than {fewer}.'
        return FormulaError(problem, text=text, at=at, remedy="Close every bracket once.")
    if text.rstrip()[-1] in "+-*/":
        problem = f'The formula "{text}" ends with {text.rstrip()[-1]}, and nothing follows.'
        return FormulaError(problem, text=text, at=len(text), remedy="Write what comes after it.")
    return FormulaError(
        f'The formula "{text}" cannot be read at "{text[at:][:12]}" (character {at + 1}).',
        text=text,
        at=at,
        remedy="Write plain arithmetic: names, numbers, + - * / ** and brackets.",
    )


def _hint(text: str) -> FormulaError | None:
    """Fault for what makers write from habit, or None."""
    for pattern, what, remedy in _HINTS:
        found = re.search(pattern, text)
        if found:
            problem = f'The formula "{text}" {what} (at "{found.group().strip()}").'
            return FormulaError(problem, text=text, at=found.start(), remedy=remedy)
    return None


def _too_deep(text: str) -> FormulaError:
    return FormulaError(
        f'The formula "{text[:60]}..." nests more than {_DEEPEST} deep.',
        text=text,
        at=0,
        remedy="Split it: give parts of it names in the [size] table.",
    )


def _check(node: ast.expr, text: str, names: dict[str, None], depth: int) -> None:
    """Refuse all that is not plain arithmetic, and collect the names."""
    if depth > _DEEPEST:
        raise _too_deep(text)
    match node:
        case ast.Constant(value=bool()):
            pass
        case ast.Constant(value=int() | float() as constant):
            if not abs(constant) <= LARGEST:
                raise FormulaError(
                    f'The formula "{text[:60]}" holds a number too large for any build.',
                    text=text,
                    at=node.col_offset,
                    remedy="Lengths are mm.",
                )
            return
        case ast.Name(id=name):
            if name in FUNCTIONS:
                raise _not_called(node, name, text)
            if name not in CONSTANTS:
                names.setdefault(name)
            return
        case ast.UnaryOp(op=ast.USub() | ast.UAdd(), operand=operand):
            return _check(operand, text, names, depth + 1)
        case ast.BinOp(
            left=left, op=ast.Add() | ast.Sub() | ast.Mult() | ast.Div() | ast.Pow(), right=right
        ):
            # a long plain sum nests to the left only; that costs no bracket
            _check(left, text, names, depth + (not isinstance(left, ast.BinOp)))
            return _check(right, text, names, depth + 1)
        case ast.Call(func=ast.Name(), args=args, keywords=[]):
            return _check_call(node, args, text, names, depth)
    part = ast.get_source_segment(text, node) or text
    raise _hint(text) or FormulaError(
        f'The formula "{text}" holds "{part}", which is not plain arithmetic.',
        text=text,
        at=node.col_offset,
        remedy=f"Use names, numbers, + - * / **, brackets and {', '.join(FUNCTIONS)}.",
    )


def _check_call(
    node: ast.Call, args: list[ast.expr], text: str, names: dict[str, None], depth: int
) -> None:
    assert isinstance(node.func, ast.Name)
    name = node.func.id
    known = FUNCTIONS.get(name)
    if known is None:
        raise FormulaError(
            f'The formula "{text}" calls "{name}", which is no function here.',
            text=text,
            at=node.col_offset,
            remedy=f"{UnknownName('function', name, FUNCTIONS).offer()} "
            "To multiply, write * before the bracket.",
        )
    if not known.fewest <= len(args) <= known.most:
        raise _not_called(node, name, text)
    for arg in args:
        _check(arg, text, names, depth + 1)


def _not_called(node: ast.expr, name: str, text: str) -> FormulaError:
    known = FUNCTIONS[name]
    wanted = {(1, 1): f"{name}(a)", (2, 2): f"{name}(a, b)", (2, 3): f"{name}(a, b)"}
    example = wanted.get((known.fewest, known.most), f"{name}(a, b, ...)")
    return FormulaError(
        f'In the formula "{text}" the function {name} does not get what it needs.',
        text=text,
        at=node.col_offset,
        remedy=f"Write it as {example}.",
    )
