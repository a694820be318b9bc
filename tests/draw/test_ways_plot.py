"""The plot of simulated builds: dots and lines where the figures are, words beside them."""

from xml.etree import ElementTree

import pypdfium2
import pytest

from foldwright.draw import Figure, Way, WaysPlot
from foldwright.draw.drawing import Area, Stroke, Words, bounds
from foldwright.draw.fonts import text_width

WAYS = (
    Way("as drawn, tried on and trimmed", Figure(2.43, 1.6, 3.4), Figure(102.0, 70.0, 140.0)),
    Way("refit, in the order chosen", Figure(0.1, 0.03, 0.2), Figure(11.0, 8.0, 14.0)),
)
PLOT = WaysPlot("Harbour signal lamp", "Made on paper 200 times by each way.", WAYS)
NOTHING = Figure(0.0, 0.0, 0.0)
LARGE = Figure(12_345.6, 9_876.5, 23_456.7)


def dots(plot):
    """Middles of the dots, in the order drawn: remakes of each way, then minutes."""
    boxes = [bounds(item.path) for item in plot.items() if isinstance(item, Area)]
    return [((b.left + b.right) / 2.0, (b.low + b.high) / 2.0) for b in boxes]


def spans(plot):
    """Ends of the intervals, in the same order."""
    found = [
        bounds(i.path) for i in plot.items() if isinstance(i, Stroke) and i.pen.name == "interval"
    ]
    return [(b.left, b.right) for b in found if b.high - b.low < 1e-9]


def origins(plot):
    """Where nothing lies in each column."""
    zeros = [i.at[0] for i in plot.items() if isinstance(i, Words) and i.text == "0"]
    assert len(zeros) == 2
    return zeros


def test_lengths_from_nothing_compare_as_the_figures_do():
    remakes, minutes = origins(PLOT)
    many, few, long, short = (x for x, _ in dots(PLOT))

    assert (many - remakes) / (few - remakes) == pytest.approx(2.43 / 0.1)
    assert (long - minutes) / (short - minutes) == pytest.approx(102.0 / 11.0)


def test_a_line_holds_the_interval_of_its_dot():
    remakes, _ = origins(PLOT)
    (low, high), *_ = spans(PLOT)
    (dot, _), *_ = dots(PLOT)
    per = (dot - remakes) / 2.43

    assert (low - remakes) / per == pytest.approx(1.6)
    assert (high - remakes) / per == pytest.approx(3.4)


def test_one_way_stands_in_one_row_beside_its_name():
    """Both dots of a way at one height, the first way uppermost."""
    (_, many), (_, few), (_, long), (_, short) = dots(PLOT)
    names = {i.text: i.at[1] for i in PLOT.items() if isinstance(i, Words)}

    assert many == long > few == short
    assert names[WAYS[0].name] == pytest.approx(many, abs=3.0)
    assert names[WAYS[1].name] == pytest.approx(few, abs=3.0)


@pytest.mark.parametrize("figure", [NOTHING, LARGE, WAYS[0].remakes])
def test_everything_stays_on_the_sheet(figure):
    """Rare and frequent alike; and a build that never needs a remake has a scale all the same."""
    plot = WaysPlot("Lamp", PLOT.about, (Way("refit", figure, figure),))
    for item in plot.items():
        if isinstance(item, Words):
            wide = text_width(item.text, item.face, item.size)
            left = item.at[0] - (wide / 2.0 if item.anchor == "middle" else 0.0)
            assert 0.0 <= left <= left + wide <= 190.0
            assert 0.0 <= item.at[1] <= plot.height
        elif isinstance(item, Stroke | Area):
            box = bounds(item.path)
            assert 0.0 <= box.left <= box.right <= 190.0
            assert 0.0 <= box.low <= box.high <= plot.height


def test_as_svg_it_tells_the_same_to_those_who_cannot_see_it():
    root = ElementTree.fromstring(PLOT.svg())
    about = root.find("{http://www.w3.org/2000/svg}desc").text

    assert root.find("{http://www.w3.org/2000/svg}title").text == "Harbour signal lamp"
    assert "tried on and trimmed: 2.43 parts made again, 102 minutes" in about


def test_as_pdf_it_is_one_page_as_large_as_the_plot():
    document = pypdfium2.PdfDocument(PLOT.pdf())
    (page,) = list(document)

    assert page.get_size() == pytest.approx((190.0 * 72 / 25.4, PLOT.height * 72 / 25.4), abs=0.01)
    assert "2.43" in page.get_textpage().get_text_range()
