"""Formulas: plain arithmetic on the names of a plan, with exact derivatives.

Room: plan. A formula is the text that a maker writes instead of a number,
``"lamp_d - 2*thickness - 1"``. It is read once, by Python's own parser, and
only what is listed here gets through; then it can be worked out as often as
wanted, on floats or on `Dual` numbers, which carry exact slopes along.

Allowed: ``+ - * / **``, brackets, numbers, names, ``pi``, ``inch`` (25.4, so
that a formula can say ``width + 2*inch``) and the functions in `FUNCTIONS`.
Plain numbers are mm. Angles are in degrees, both into ``sin``, ``cos``,
``tan`` and out of ``asin``, ``acos``, ``atan``, ``atan2``.

Where a formula has a corner (``abs`` at 0, ``min`` and ``max`` of equal
numbers) the slope is that of one side: the positive one, the first one named.

Start at `Formula.parse`.
"""

from __future__ import annotations

import ast
import keyword
import math
import re
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import reduce

from foldwright.errors import FormulaError, UnknownName
from foldwright.plan import dual
from foldwright.plan.dual import Number, number

_LONGEST = 300  # characters; a sum at the bench is a tenth of that
_DEEPEST = 40  # brackets and signs within one another, far below Python's own limit
_LARGEST = 1e15  # mm; past this a float no longer holds a tenth of a millimetre

_DEGREE = math.pi / 180.0

CONSTANTS: Mapping[str, float] = {"pi": math.pi, "inch": 25.4}
"""Names that always mean the same; `inch` is exact since 1959."""

_SQUARE_ANGLE = 1e-12  # |cos| below this is 90 degrees as well as a float can say it


def _tan(x: Number) -> Number:
    if abs(math.cos(number(x))) < _SQUARE_ANGLE:
        raise ValueError("tan has no value at 90 degrees")
    return dual.tan(x)


def _sqrt(x: Number) -> Number:
    if number(x) < 0.0:
        raise ValueError(f"the square root of {number(x):.6g} is asked for")
    return dual.sqrt(x)


def _arc(name: str, function: Callable[[Number], Number]) -> Callable[[Number], Number]:
    def inside(x: Number) -> Number:
        if not -1.0 <= number(x) <= 1.0:
            raise ValueError(f"{name} takes -1 to 1, not {number(x):.6g}")
        return function(x) / _DEGREE

    return inside


def _hypot(*sides: Number) -> Number:
    return reduce(dual.hypot, sides)


def _lowest(*choices: Number) -> Number:
    return min(choices, key=number)


def _highest(*choices: Number) -> Number:
    return max(choices, key=number)


@dataclass(frozen=True)
class _Function:
    fewest: int
    most: int
    of: Callable[..., Number]


_MANY = 20

FUNCTIONS: Mapping[str, _Function] = {
    "abs": _Function(1, 1, abs),
    "acos": _Function(1, 1, _arc("acos", dual.acos)),
    "asin": _Function(1, 1, _arc("asin", dual.asin)),
    "atan": _Function(1, 1, lambda x: dual.atan2(x, 1.0) / _DEGREE),
    "atan2": _Function(2, 2, lambda y, x: dual.atan2(y, x) / _DEGREE),
    "cos": _Function(1, 1, lambda x: dual.cos(x * _DEGREE)),
    "hypot": _Function(2, 3, _hypot),
    "max": _Function(2, _MANY, _highest),
    "min": _Function(2, _MANY, _lowest),
    "sin": _Function(1, 1, lambda x: dual.sin(x * _DEGREE)),
    "sqrt": _Function(1, 1, _sqrt),
    "tan": _Function(1, 1, lambda x: _tan(x * _DEGREE)),
}
"""What a formula can call."""

RESERVED: frozenset[str] = frozenset({*FUNCTIONS, *CONSTANTS, *keyword.kwlist})
"""Words that mean something in a formula, so that no size or part can have them."""


@dataclass(frozen=True)
class Formula:
    """A formula that has been read; equal and hashed by its text and names.

    Attributes
    ----------
    text : str
        As the maker wrote it, without blanks around it.
    names : tuple of str
        Names it depends on, in the order in which they first appear.
    """

    text: str
    names: tuple[str, ...]
    _tree: ast.expr = field(repr=False, compare=False)

    @staticmethod
    def parse(text: str) -> Formula:
        """Read a formula.

        Parameters
        ----------
        text : str
            For instance ``"hood_d + 2*thickness + 2.4"``.

        Raises
        ------
        FormulaError
            Not plain arithmetic; says what is wrong, and where.
        """
        text = text.strip()
        tree = _parsed(text)
        names: dict[str, None] = {}
        _check(tree, text, names, 0)
        return Formula(text, tuple(names), tree)

    @staticmethod
    def reference(name: str) -> Formula:
        """Return the formula that is just this name, whatever is in it.

        For literals, which are unnamed sizes: their parameters are called
        ``"x 80"``, which no maker can write by accident.
        """
        return Formula(name, (name,), ast.Name(id=name, ctx=ast.Load(), col_offset=0, lineno=1))

    @property
    def is_name(self) -> bool:
        """Whether the formula is one name and nothing else."""
        return isinstance(self._tree, ast.Name) and bool(self.names)

    def value(self, names: Mapping[str, Number]) -> Number:
        """Work the formula out.

        Parameters
        ----------
        names : Mapping[str, Number]
            A float or `Dual` for each of `self.names`; may hold others.

        Returns
        -------
        Number
            A `Dual` with exact slopes if any name it uses is one, else a float.

        Raises
        ------
        UnknownName
            One of `self.names` is missing.
        FormulaError
            No value there: division by 0, root of a negative, too large, no slope.
        """
        for name in self.names:
            if name not in names:
                raise UnknownName("name", name, names)
        return self._value(self._tree, names)

    def _value(self, node: ast.expr, names: Mapping[str, Number]) -> Number:
        try:
            result = self._worked_out(node, names)
        except OverflowError as error:
            raise self._failure(node, "this grows beyond all bounds") from error
        except ZeroDivisionError as error:
            raise self._failure(node, "its slope has no value there") from error
        except FormulaError:
            raise
        except ValueError as error:
            raise self._failure(node, str(error)) from error
        plain = number(result)
        if not abs(plain) <= _LARGEST:  # also catches nan
            raise self._failure(node, f"this comes to {plain:.3g}, beyond all bounds")
        if isinstance(result, dual.Dual) and not all(map(math.isfinite, result.slopes.values())):
            raise self._failure(node, "its slope has no value there")
        return result

    def _worked_out(self, node: ast.expr, names: Mapping[str, Number]) -> Number:
        match node:
            case ast.Constant(value=int() | float() as constant):
                return float(constant)
            case ast.Name(id=name):
                return CONSTANTS[name] if name in CONSTANTS else names[name]
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return -self._value(operand, names)
            case ast.UnaryOp(operand=operand):
                return self._value(operand, names)
            case ast.BinOp(left=left, op=op, right=right):
                a, b = self._value(left, names), self._value(right, names)
                if isinstance(op, ast.Div) and number(b) == 0.0:
                    part = ast.get_source_segment(self.text, right)
                    raise self._failure(node, f"it divides by {part}, which is 0")
                return _combined(op, a, b)
            case ast.Call(func=ast.Name(id=name), args=args):
                return FUNCTIONS[name].of(*[self._value(arg, names) for arg in args])
        raise AssertionError(f"unchecked node {node!r}")

    def _failure(self, node: ast.expr, why: str) -> FormulaError:
        part = ast.get_source_segment(self.text, node) or self.text
        where = "" if part == self.text else f' at "{part}"'
        return FormulaError(
            f'The formula "{self.text}" has no value{where}: {why}.',
            text=self.text,
            at=node.col_offset,
            remedy="Check the numbers that go into it, or write it another way.",
        )


def _combined(op: ast.operator, a: Number, b: Number) -> Number:
    match op:
        case ast.Add():
            return a + b
        case ast.Sub():
            return a - b
        case ast.Mult():
            return a * b
        case ast.Div():
            return a / b
    return _power(a, b)


def _power(a: Number, b: Number) -> Number:
    """Power, kept to the real numbers.

    A slope with respect to the exponent needs the logarithm of the base, so a
    base of 0 or below only goes with an exponent that is a plain number.
    """
    base, exponent = number(a), number(b)
    if not isinstance(b, dual.Dual) or not b.slopes:
        if base < 0.0 and exponent != round(exponent):
            raise ValueError(f"{base:.6g} to the power {exponent:.6g} is not a real number")
        if base == 0.0 and exponent < 0.0:
            raise ValueError("0 to a negative power divides by 0")
        if isinstance(a, dual.Dual) and base == 0.0 and 0.0 < exponent < 1.0:
            raise ValueError("its slope has no value there")
        return a**exponent
    if base <= 0.0:
        raise ValueError(f"a power of {base:.6g} needs a plain number as its exponent")
    return a**b


_HINTS: tuple[tuple[str, str, str], ...] = (
    (r"\d\s*,\s*\d", "has a comma between digits", "Write the decimal point: 0.5."),
    (
        r"\d\s*(mm|cm|m|in|inch|inches|deg)\b|\d\s*[\"'°]",
        "has a unit in it",
        "Inside a formula plain numbers are mm; for inches write 2*inch; angles are degrees.",
    ),
    (r"\^", "has ^ in it", "Powers are written with **: 3**2."),
    (r"[×x]\s*\d|\d\s*[×x]", "has a times sign that is not *", "Write * between factors."),
    (r"\d\s*\(|\)\s*[\w(]|\d[A-Za-z_]", "has no sign between two factors", "Write *: 2*width."),
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
        raise _unreadable(text, strange.start())
    try:
        with warnings.catch_warnings():  # "2if" only warns; the check below refuses it
            warnings.simplefilter("ignore")
            return ast.parse(text, mode="eval").body
    except SyntaxError as error:
        raise _unreadable(text, (error.offset or 1) - 1) from error
    except (ValueError, MemoryError, RecursionError) as error:
        raise _too_deep(text) from error


def _unreadable(text: str, at: int) -> FormulaError:
    at = max(0, min(at, len(text) - 1))
    for pattern, what, remedy in _HINTS:
        found = re.search(pattern, text)
        if found and not (pattern.startswith(r"\d\s*,") and "(" in text):
            problem = f'The formula "{text}" {what} (at "{found.group().strip()}").'
            return FormulaError(problem, text=text, at=found.start(), remedy=remedy)
    if text.count("(") != text.count(")"):
        more, fewer = ("(", ")") if text.count("(") > text.count(")") else (")", "(")
        problem = f'The formula "{text}" has more {more} than {fewer}.'
        return FormulaError(problem, text=text, at=at, remedy="Close every bracket once.")
    return FormulaError(
        f'The formula "{text}" cannot be read at "{text[at:][:12]}" (character {at + 1}).',
        text=text,
        at=at,
        remedy="Write plain arithmetic: names, numbers, + - * / ** and brackets.",
    )


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
            if not abs(constant) <= _LARGEST:
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
    raise FormulaError(
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
