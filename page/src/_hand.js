// The hand on a drawing: finger, mouse and keys set points, move them, and move the picture.
// `sheet` is that of drawing.js: it knows what is picked, and is told what the hand did.
import { isFull } from "./_picking.js";

const STILL = 4; // css pixels: a mouse that moves less has clicked
const REST = 700; // ms after the last arrow key before a moved point is sent
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

// What is held is kept in `sheet.hold`: { what: "aim" | "drag" | "pan" | "pinch", ... }.
export function takePointers(view, sheet) {
  const { look } = sheet;
  const down = new Map();
  const under = (event) => look.at(event.clientX, event.clientY);

  view.addEventListener("pointerdown", (event) => {
    if (event.button > 1) return;
    view.setPointerCapture(event.pointerId);
    down.set(event.pointerId, event);
    if (down.size === 2) {
      look.noGlass();
      sheet.hold = { what: "pinch", ...pinched(down) };
    } else if (down.size < 2) {
      sheet.hold = { x: event.clientX, y: event.clientY, middle: [look.x, look.y], moved: false, ...begun(event) };
    }
  });

  function begun(event) {
    const spot = event.button === 0 ? sheet.nearest(event) : null;
    if (spot) {
      sheet.choose(spot);
      return { what: "drag", spot };
    }
    if (sheet.picking && event.button === 0 && !isFull(sheet.picking)) {
      look.peer(look.came(under(event)), event);
      return { what: "aim", isThumb: event.pointerType !== "mouse" };
    }
    return { what: "pan" };
  }

  view.addEventListener("pointermove", (event) => {
    if (down.has(event.pointerId)) down.set(event.pointerId, event);
    const { hold } = sheet;
    if (!hold) {
      if (sheet.picking && event.pointerType === "mouse") look.peer(look.came(under(event)), event);
      return;
    }
    if (hold.what === "pinch") {
      if (down.size === 2) pinch(hold);
      return;
    }
    hold.moved ||= Math.hypot(event.clientX - hold.x, event.clientY - hold.y) > STILL;
    if (hold.what === "aim") {
      if (!hold.isThumb && hold.moved) hold.what = "pan";
      else look.peer(look.came(under(event)), event);
    }
    if (!hold.moved) return;
    if (hold.what === "drag") {
      const point = look.came(under(event));
      sheet.moveTo(hold.spot, point);
      look.peer(point, event);
    } else if (hold.what === "pan") {
      look.noGlass();
      look.x = hold.middle[0] - (event.clientX - hold.x) * look.k;
      look.y = hold.middle[1] - (event.clientY - hold.y) * look.k;
      look.draw();
    }
  });

  function pinch(hold) {
    const { apart, at } = pinched(down);
    look.x += (hold.at[0] - at[0]) * look.k;
    look.y += (hold.at[1] - at[1]) * look.k;
    look.zoom(hold.apart / apart, look.at(...at));
    Object.assign(hold, { apart, at });
  }

  function up(event) {
    if (!down.delete(event.pointerId)) return;
    const was = sheet.hold;
    sheet.hold = null;
    if (was?.what !== "pinch") look.noGlass();
    if (event.type !== "pointerup" || !was) return;
    if (was.what === "aim") {
      sheet.set(under(event));
      if (!was.isThumb) sheet.goToField();
    } else if (was.what === "drag" && was.moved) sheet.moved(was.spot);
    else if (was.what === "pan" && !was.moved && !sheet.picking) sheet.choose(null);
  }
  view.addEventListener("pointerup", up);
  view.addEventListener("pointercancel", up);
  view.addEventListener("pointerleave", () => { if (!sheet.hold) look.noGlass(); });
  view.addEventListener("wheel", (event) => {
    event.preventDefault();
    look.zoom(Math.exp(Math.sign(event.deltaY) * Math.min(Math.abs(event.deltaY), 120) * 0.0016), under(event));
  }, { passive: false });
}

function pinched(down) {
  const [a, b] = [...down.values()];
  return {
    apart: Math.max(20, Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY)),
    at: [(a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2],
  };
}

// A point that was moved by keys and not sent yet has a timer in `sheet.sending`.
export function takeKeys(view, sheet) {
  const { look } = sheet;

  function arrow([dx, dy], step) {
    const point = sheet.chosen && sheet.pointOf(sheet.chosen);
    if (!point) {
      look.x += dx * 60 * look.k;
      look.y += dy * 60 * look.k;
      look.draw();
      return;
    }
    const [x, y] = look.shown(point);
    const moved = { ...sheet.chosen };
    const to = look.came([x + dx * step, y + dy * step]);
    sheet.moveTo(moved, to);
    look.peer(to);
    sheet.say(`Point ${moved.index + 1} at ${to[0].toFixed(1)}, ${to[1].toFixed(1)}.`);
    clearTimeout(sheet.sending);
    sheet.sending = 0;
    if (moved.id) {
      sheet.sending = setTimeout(() => {
        sheet.sending = 0;
        look.noGlass();
        sheet.moved(moved);
      }, REST);
    }
  }

  const keys = {
    "+": () => look.zoom(1 / 1.5),
    "=": () => look.zoom(1 / 1.5),
    "-": () => look.zoom(1.5),
    0: () => look.whole(),
    Escape: () => {
      look.noGlass();
      if (sheet.picking) sheet.leave();
      else sheet.choose(null);
    },
    Backspace: () => sheet.picking?.points.length && sheet.less(),
    Enter: () => sheet.picking && sheet.set([look.x, look.y]),
  };
  view.addEventListener("keydown", (event) => {
    const act = ARROWS[event.key] ? () => arrow(ARROWS[event.key], event.shiftKey ? 10 : 1) : keys[event.key];
    const isShortcut = event.ctrlKey || event.metaKey || event.altKey; // the browser's own
    if (!act || (isShortcut && !ARROWS[event.key])) return;
    event.preventDefault();
    act();
  });
}
