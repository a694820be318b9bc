"""The build turned by a finger and by the arrow keys, in a real browser."""

import io
import re

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from web.browser.driving import SCREENSHOTS

# how long things take is for the bench; without a graphics card a frame may take a second
SLOW = 60_000
IS_TURNING = re.compile(r"\bturning\b")


def eye_shown(page):
    """Turn and tilt of the drawing that stands in the page [degrees]."""
    return tuple(map(int, page.locator("#picture").get_attribute("data-eye").split(",")))


def expect_drawn_from(page, turn, tilt):
    """Wait until the server's own drawing for this eye is there, and nothing stands over it."""
    expect(page.locator("#picture")).to_have_attribute("data-eye", f"{turn},{tilt}", timeout=SLOW)
    expect(page.locator("#stage")).not_to_have_class(IS_TURNING, timeout=SLOW)
    assert page.url.endswith(f"?eye={turn},{tilt}")
    expect(page.locator("#picture svg")).to_be_visible()


def share_drawn(page, name):
    """Share of the stage that is not its ground: something of the build is to be seen."""
    folder = SCREENSHOTS / "turning"
    folder.mkdir(parents=True, exist_ok=True)
    png = page.locator("#stage").screenshot(path=folder / f"{name}.png", timeout=SLOW)
    shades = np.asarray(Image.open(io.BytesIO(png)).convert("L")).astype(int)
    return float((abs(shades - np.median(shades)) > 60).mean())


def have_scene(page):
    """Wait until the scene is there: its canvas lies over the drawing."""
    expect(page.locator("#stage canvas")).to_have_count(1, timeout=SLOW)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_finger_turns_the_build_sideways(bench, eye, scheme):
    """A scene follows the finger; when it lifts, the drawing for that eye takes its place."""
    page = eye(bench, "phone", scheme).open("/")
    before = eye_shown(page)
    stage = page.locator("#stage").bounding_box()
    x, y = stage["x"] + stage["width"] / 2.0, stage["y"] + stage["height"] / 2.0
    finger = page.context.new_cdp_session(page)

    def touch(kind, *at):
        points = [{"x": px, "y": py} for px, py in at]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", (x, y))
    for step in range(1, 6):
        touch("touchMove", (x - 20.0 * step, y))
    expect(page.locator("#stage")).to_have_class(IS_TURNING, timeout=SLOW)
    have_scene(page)

    assert 0.005 < share_drawn(page, f"finger-{scheme}") < 0.5
    touch("touchEnd")
    # 0.4 degrees for each of 100 pixels, to the grid of two
    expect_drawn_from(page, before[0] + 40, before[1])


def test_a_finger_moving_up_and_down_scrolls_the_page_and_turns_nothing(bench, eye):
    page = eye(bench, "phone").open("/")
    before, address = eye_shown(page), page.url
    stage = page.locator("#stage").bounding_box()
    finger = page.context.new_cdp_session(page)
    x, y = stage["x"] + stage["width"] / 2.0, stage["y"] + stage["height"] / 2.0
    for step in range(11):
        kind = "touchMove" if step else "touchStart"
        at = [{"x": x, "y": y - 20.0 * step}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
        page.wait_for_timeout(30)  # a finger takes its time
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    # the page gives way a moment after the finger
    for _ in range(100):
        if page.evaluate("scrollY") > 100:
            break
        page.wait_for_timeout(100)
    assert page.evaluate("scrollY") > 100
    assert eye_shown(page) == before
    assert page.url == address
    expect(page.locator("#stage")).not_to_have_class(IS_TURNING)


def test_what_is_worked_out_late_does_not_turn_the_build_back(fresh, eye):
    """The dangers are asked for as soon as the page is there, and come after it was turned."""
    seen = eye(fresh, "desktop")
    page, held = seen.page, []

    def hold(route):
        held.append(route) if not held else route.continue_()

    page.route("**/*stands=1*", hold)
    seen.open("/")
    turn, tilt = eye_shown(page)
    page.locator("#stage").focus()
    page.keyboard.press("ArrowRight")
    expect_drawn_from(page, turn + 10, tilt)
    assert len(held) == 1
    held[0].continue_()

    expect(page.locator("#stands[data-later]")).to_have_count(0, timeout=SLOW)
    expect_drawn_from(page, turn + 10, tilt)
    expect(page.locator("#picture")).to_contain_text("In danger")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_arrow_keys_turn_the_build(bench, eye, scheme):
    page = eye(bench, "desktop", scheme).open("/")
    turn, tilt = eye_shown(page)
    page.locator("#stage").focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowUp"):
        page.keyboard.press(key)

    expect_drawn_from(page, turn + 20, tilt + 6)
    have_scene(page)
    # the scene is there by now: it shows while the next key is down
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#stage")).to_have_class(IS_TURNING, timeout=SLOW)
    expect_drawn_from(page, turn + 10, tilt + 6)
    share = share_drawn(page, f"keys-{scheme}")

    assert 0.005 < share < 0.5
