"""Formulas: what they come to, their slopes, and what they refuse."""

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import FoldwrightError, FormulaError, UnknownName
from foldwright.plan.dual import Dual, number, slopes
from foldwright.plan.formula import Formula
from foldwright.plan.functions import FUNCTIONS

STEP = 1e-30  # of the complex step; no difference is taken, so nothing cancels


def test_a_formula_is_worked_out_as_at_the_bench():
    """Deductions: a collar inside a drum of 220 in board of 2 with 1 mm of air."""
    collar = Formula.parse("lamp_d - 2*thickness - 1")

    assert collar.names == ("lamp_d", "thickness")
    assert collar.value({"lamp_d": 220.0, "thickness": 2.0}) == 215.0


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2 + 3*4", 14.0),
        ("(2 + 3)*4", 20.0),
        ("2**3**2", 512.0),
        ("-2**2", -4.0),
        ("7/2", 3.5),
        ("+5 - -3", 8.0),
        ("hypot(3, 4)", 5.0),
        ("hypot(2, 3, 6)", 7.0),
        ("max(1, 5, 3) - min(4, 2)", 3.0),
        ("abs(-7.5)", 7.5),
        ("sqrt(2)**2", 2.0),
        ("2*inch", 50.8),
        ("pi", math.pi),
        ("sin(30)", 0.5),
        ("cos(60)", 0.5),
        ("tan(45)", 1.0),
        ("asin(0.5)", 30.0),
        ("acos(0.5)", 60.0),
        ("atan(1)", 45.0),
        ("atan2(1, -1)", 135.0),
    ],
)
def test_arithmetic_has_its_school_values_with_angles_in_degrees(text, value):
    """Values from any school table of exact angles."""
    assert Formula.parse(text).value({}) == approx(value, rel=1e-15)


def test_formulas_are_equal_by_text():
    assert Formula.parse(" a + b ") == Formula.parse("a + b")
    assert len({Formula.parse("a"), Formula.parse("a"), Formula.parse("a*1")}) == 2


def test_the_name_of_a_literal_is_never_mistaken_for_a_difference():
    """The parameter ``x -20`` is one name; the formula x - 20 is another thing."""
    literal = Formula.reference("x -20")

    assert literal.value({"x -20": -20.0, "x": 7.0}) == -20.0
    assert literal != Formula.parse("x -20")
    assert literal.is_name and not Formula.parse("x -20").is_name


def test_slopes_are_there_only_if_asked_for():
    formula = Formula.parse("a*b")

    assert isinstance(formula.value({"a": 2.0, "b": 3.0}), float)
    assert slopes(formula.value({"a": Dual.seed("a", 2.0), "b": 3.0})) == {"a": 3.0}


LEAVES = st.sampled_from(["a", "b", "c", "2", "0.5", "7.25", "pi", "inch"])


def grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Formulas one step larger, each function on arguments that suit it now and then."""
    one = st.sampled_from(["sin", "cos", "tan", "atan", "abs", "sqrt", "-"])
    two = st.sampled_from(["atan2", "hypot", "min", "max"])
    return st.one_of(
        st.builds("({} {} {})".format, inner, st.sampled_from("+-*/"), inner),
        st.builds("{}({})".format, one, inner),
        st.builds("{}({}, {})".format, two, inner, inner),
        st.builds("({})**{}".format, inner, st.sampled_from(["2", "3", "-1", "0.5", "1.5"])),
        st.builds("(1 + abs({})/100)**({}/300)".format, inner, inner),
        st.builds("{}(({})/1000)".format, st.sampled_from(["asin", "acos"]), inner),
    )


FORMULAS = st.recursive(LEAVES, grown, max_leaves=8)
NUMBERS = st.floats(1.0, 600.0)


def degrees(function):
    return lambda x: function(x * math.pi / 180.0)


COMPLEX = {
    "pi": math.pi,
    "inch": 25.4,
    "sqrt": cmath.sqrt,
    "abs": lambda x: x if complex(x).real >= 0 else -x,
    "sin": degrees(cmath.sin),
    "cos": degrees(cmath.cos),
    "tan": degrees(cmath.tan),
    "asin": lambda x: cmath.asin(x) * 180.0 / math.pi,
    "acos": lambda x: cmath.acos(x) * 180.0 / math.pi,
    "atan": lambda x: cmath.atan(x) * 180.0 / math.pi,
    # only its derivative is read, and that has no branches
    "atan2": lambda y, x: (cmath.atan(y / x) if x else -cmath.atan(x / y)) * 180.0 / math.pi,
    "hypot": lambda x, y: cmath.sqrt(x * x + y * y),
    "min": lambda *xs: min(xs, key=lambda x: complex(x).real),
    "max": lambda *xs: max(xs, key=lambda x: complex(x).real),
}


@given(FORMULAS, NUMBERS, NUMBERS, NUMBERS)
def test_slopes_are_those_of_the_complex_step(text, a, b, c):
    """Squire and Trapp, SIAM Review 40 (1998) 110: Im f(x + ih)/h, without cancellation.

    The other side is Python's own evaluation of the same text on complex numbers.
    """
    at = {"a": a, "b": b, "c": c}
    try:
        found = Formula.parse(text).value({n: Dual.seed(n, x) for n, x in at.items()})
    except FormulaError:
        assume(False)
    assume(1e-3 < abs(number(found)) < 1e6)
    largest = max((abs(d) for d in slopes(found).values()), default=0.0)
    assume(largest < 1e6)  # nearer to a pole both sides only show their rounding
    for name in at:
        stepped = eval(text, {**COMPLEX, **at, name: at[name] + STEP * 1j})
        by_step = complex(stepped).imag / STEP

        assert slopes(found).get(name, 0.0) == approx(by_step, rel=1e-7, abs=1e-9 * (1 + largest))


@given(FORMULAS, NUMBERS, NUMBERS, NUMBERS)
def test_floats_and_duals_come_to_the_same(text, a, b, c):
    at = {"a": a, "b": b, "c": c}
    formula = Formula.parse(text)
    try:
        found = formula.value({n: Dual.seed(n, x) for n, x in at.items()})
    except FormulaError:
        assume(False)

    assert formula.value(at) == approx(number(found), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "words", "at"),
    [
        ("", "empty", 0),
        ("lamp_d -", "ends with -, and nothing follows", None),
        ("2 in + width", r"write 2\*inch", 0),
        ('2" + width', r"write 2\*inch", 0),
        ("width^2", r"Powers are written with \*\*", 5),
        ("2width", r"Write \*: 2\*width", 0),
        ("2(a + b)", r"Write \*: 2\*width", 0),
        ("2 x width", r"Write \* between factors", 0),
        ("0,5", "Write the decimal point", 0),
        ("a, b", "not plain arithmetic", 0),
        ("(a + b", r"has more \( than \)", None),
        ("a + b)", r"has more \) than \(", None),
        ("höhe + 1", "letter or sign outside a to z", 1),
        ("a = 3", "compares or assigns", 2),
        ("a if b else 2", "not plain arithmetic", 0),
        ("a.b", "not plain arithmetic", 0),
        ("True", "not plain arithmetic", 0),
        ("[a][0]", "cannot be read", None),
        ("sine(a)", "Did you mean sin", 0),
        ("sqrt", r"Write it as sqrt\(a\)", 0),
        ("atan2(a)", r"Write it as atan2\(a, b\)", 0),
        ("max(*a)", r"Write it as max", 0),
        ("sin(x=3)", "compares or assigns", None),
        ("lambda: 1", "cannot be read", None),
        ("__import__('os')", "cannot be read|unit", None),
        ("1e999", "too large", 0),
        ("9" * 100, "too large", 0),
        ("-" * 100 + "1", "nests more than", 0),
        ("abs(" * 50 + "1" + ")" * 50, "nests more than", 0),
        ("a+" * 200 + "a", "300 is the most", 300),
    ],
)
def test_what_is_no_plain_arithmetic_is_refused_in_words(text, words, at):
    with pytest.raises(FormulaError, match=words) as caught:
        Formula.parse(text)

    assert caught.value.text == text.strip()
    assert at is None or caught.value.at == at
    assert isinstance(caught.value, FoldwrightError)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1/(a - 3)", "divides by a - 3, which is 0"),
        ("1/0", "divides by 0"),
        ("sqrt(a - 4)", "square root of -1"),
        ("(0 - a)**0.5", "not a real number"),
        ("(a - 3)**-1", "divides by 0"),
        ("9**9**9**9", "beyond all bounds"),
        ("10**200*10**200", "beyond all bounds"),
        ("asin(a)", "asin takes -1 to 1, not 3"),
        ("acos(-a)", "acos takes -1 to 1, not -3"),
        ("tan(30*a)", "no value at 90 degrees"),
    ],
)
def test_a_formula_without_a_value_says_where(text, words):
    with pytest.raises(FormulaError, match=words):
        Formula.parse(text).value({"a": 3.0})


@pytest.mark.parametrize("text", ["sqrt(a - 3)", "hypot(a - 3, 0)", "asin(a - 2)", "(a - 3)**0.5"])
def test_a_slope_that_is_not_there_is_refused_too(text):
    with pytest.raises(FormulaError, match="slope has no value"):
        Formula.parse(text).value({"a": Dual.seed("a", 3.0)})


def test_a_negative_base_takes_a_whole_power_with_its_slope():
    found = Formula.parse("(a - 5)**3").value({"a": Dual.seed("a", 3.0)})

    assert number(found) == -8.0 and slopes(found) == {"a": 12.0}


def test_a_power_with_an_unknown_exponent_needs_a_base_above_0():
    with pytest.raises(FormulaError, match="needs a plain number as its exponent"):
        Formula.parse("(a - 5)**a").value({"a": Dual.seed("a", 3.0)})


def test_a_missing_name_offers_the_nearest():
    with pytest.raises(UnknownName, match="Did you mean lamp_d"):
        Formula.parse("lamp_b/2").value({"lamp_d": 220.0, "lid_w": 300.0})


@given(st.text(max_size=60) | st.text(alphabet="ab01.+-*/()_, \tesqrtmin", max_size=40))
def test_no_text_ends_in_anything_but_a_number_or_words(text):
    try:
        found = Formula.parse(text).value({"a": 2.0, "b": 3.0})
    except (FormulaError, UnknownName):
        return
    assert math.isfinite(number(found))


def test_every_function_has_a_value_at_a_half():
    """None of the listed functions is a word without a deed."""
    for name, function in FUNCTIONS.items():
        args = ", ".join(["0.5"] * function.fewest)

        assert isinstance(Formula.parse(f"{name}({args})").value({}), float)
