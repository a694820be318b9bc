// Marks on a picture: what was picked, drawn in ink with a rim of paper.
import { circle, through, undone } from "./_flat.js";

const SVG = "http://www.w3.org/2000/svg";

export function node(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

// `shown` takes a point of the picture as it came to where it is seen; `flat` is a homography
// to a plane in which circles are circles, or null.
export function marks(pick, { shown, flat, scale, chosen }) {
  const at = pick.points.map(shown);
  const group = node("g", {});
  const path = way(pick, at, { shown, flat, scale });
  if (path) {
    group.append(node("path", { d: path, class: "rim" }), node("path", { d: path, class: `line ${pick.kind}` }));
  }
  at.forEach((point, i) => group.append(spot(pick, i, point, scale, chosen?.id === pick.id && chosen.index === i)));
  if (pick.name && at.length) {
    const [x, y] = nameAt(pick.kind, at);
    const text = node("text", { class: "label", x: 12, y: -12 });
    // a place that nobody named is called by its number alone, so that its neighbours stay free
    text.textContent = pick.kind === "place" ? pick.name.replace(/^known place (?=\d+$)/, "") : pick.name;
    group.append(node("g", { transform: `translate(${x} ${y}) scale(${scale})` }, text));
  }
  return group;
}

// Where a name gets in nobody's way: in the middle of what it names.
function nameAt(kind, at) {
  if (kind === "place") return at[0];
  if (kind === "angle") return at[1] ?? at[0];
  return [0, 1].map((axis) => at.reduce((sum, point) => sum + point[axis], 0) / at.length);
}

function spot(pick, i, [x, y], scale, isChosen) {
  const shape = (name) =>
    pick.kind === "place"
      ? node("rect", { x: -7, y: -7, width: 14, height: 14, class: name })
      : node("circle", { r: 7, class: name });
  const label = `Point ${i + 1} of ${pick.name || "what you pick"}: arrow keys move it by a pixel, with Shift by ten`;
  return node(
    "g",
    {
      transform: `translate(${x} ${y}) scale(${scale})`,
      class: isChosen ? "point chosen" : "point",
      tabindex: 0, role: "button", "aria-label": label, "data-spot": `${pick.id}/${i}`,
    },
    node("circle", { r: 22, class: "reach" }), shape("spot-rim"), shape("spot"), node("circle", { r: 1.4, class: "dot" }),
  );
}

function way(pick, at, { shown, flat, scale }) {
  const line = (points) => `M${points.map((p) => p.join(" ")).join("L")}`;
  if (at.length < 2) return "";
  if (pick.kind === "outline") return line(at) + (at.length > 2 && pick.id ? "Z" : "");
  if (pick.kind === "angle") return line(at) + (at.length === 3 ? arc(at, scale) : "");
  if (pick.kind === "hole") return at.length > 2 ? round(pick.points, shown, flat) : "";
  const [a, b] = at;
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const tick = [(-(b[1] - a[1]) / long) * 12 * scale, ((b[0] - a[0]) / long) * 12 * scale];
  const across = (p) => line([[p[0] - tick[0], p[1] - tick[1]], [p[0] + tick[0], p[1] + tick[1]]]);
  return line(at) + across(a) + across(b);
}

function arc([a, corner, b], scale) {
  const [from, to] = [a, b].map((p) => Math.atan2(p[1] - corner[1], p[0] - corner[0]));
  const turn = Math.atan2(Math.sin(to - from), Math.cos(to - from));
  const r = 30 * scale;
  const end = (t) => `${corner[0] + r * Math.cos(t)} ${corner[1] + r * Math.sin(t)}`;
  return `M${end(from)}A${r} ${r} 0 0 ${turn > 0 ? 1 : 0} ${end(to)}`;
}

function round(points, shown, flat) {
  const there = flat ? points.map((p) => through(flat, p)) : points;
  const found = circle(there);
  if (!found) return "";
  const back = flat ? undone(flat) : null;
  const at = (dx, dy) => {
    const place = [found.x + dx * found.r, found.y + dy * found.r];
    return shown(back ? through(back, place) : place).join(" ");
  };
  const rim = Array.from({ length: 64 }, (_, i) => at(Math.cos((i * Math.PI) / 32), Math.sin((i * Math.PI) / 32)));
  return `M${rim.join("L")}ZM${at(-0.3, 0)}L${at(0.3, 0)}M${at(0, -0.3)}L${at(0, 0.3)}`;
}
