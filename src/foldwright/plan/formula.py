"""Formulas: plain arithmetic on the names of a plan, with exact derivatives.

Room: plan. A formula is the text that a maker writes instead of a number,
``"lamp_d - 2*thickness - 1"``. It is read once, by Python's own parser, and
only what is listed here gets through; then it can be worked out as often as
wanted, on floats or on `Dual` numbers, which carry exact slopes along.

Allowed: ``+ - * / **``, brackets, numbers, names, ``pi``, ``inch`` (25.4, so
that a formula can say ``width + 2*inch``) and the functions in `functions.FUNCTIONS`.
Plain numbers are mm. Angles are in degrees, both into ``sin``, ``cos``,
``tan`` and out of ``asin``, ``acos``, ``atan``, ``atan2``.

Where a formula has a corner (``abs`` at 0, ``min`` and ``max`` of equal
numbers) the slope is that of one side: the positive one, the first one named.

Start at `Formula.parse`.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from foldwright.errors import FormulaError, UnknownName
from foldwright.plan import dual
from foldwright.plan.arithmetic import LARGEST, read_arithmetic
from foldwright.plan.dual import Number, number
from foldwright.plan.functions import CONSTANTS, FUNCTIONS


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
            For instance ``"hood_w + 2*thickness + 2.4"``.

        Raises
        ------
        FormulaError
            Not plain arithmetic; says what is wrong, and where.
        """
        return _parsed(text.strip())

    @staticmethod
    @lru_cache(maxsize=1024)
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
        if not abs(plain) <= LARGEST:  # also catches nan
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
                    zero = "0" if isinstance(right, ast.Constant) else f"{part}, which is 0"
                    raise self._failure(node, f"it divides by {zero}")
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


@lru_cache(maxsize=1024)
def _parsed(text: str) -> Formula:
    """A formula that has been read; a plan is read again at every change, most of it unchanged."""
    tree, names = read_arithmetic(text)
    return Formula(text, names, tree)


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
