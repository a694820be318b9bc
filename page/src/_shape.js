// What is drawn of a scene: all faces in one run of triangles and all lines in another, in
// the frame of the build, so that the whole of it is drawn in two calls. An edge has no
// normals beside it; an outline has two, since it is one only where it turns away from the eye.

const HOLLOW = -1; // a round wall with no outline of its own: something before it hides it
const FLAT = 1 - 1e-6; // facets whose normals agree better have no line between them

// Runs of numbers for the renderer, and who has which of them: `spans` by name of the part, in
// corners, of which a triangle has three and a line, which is drawn as a strip, has four.
export function shapeOf(parts) {
  const known = new Map();
  const own = (part) => {
    const { faces, edges } = part;
    const key = faces ?? edges;
    if (!known.has(key)) known.set(key, { faces: facesOf(faces), lines: linesOf(faces, edges) });
    return known.get(key);
  };
  const shapes = parts.map(own);
  const room = (kind) => shapes.reduce((sum, shape) => sum + shape[kind].count, 0);
  const [corners, strokes] = [room("faces"), room("lines")];
  const found = {
    faces: { points: new Float32Array(3 * corners), normals: new Float32Array(3 * corners), rounds: new Uint8Array(corners) },
    lines: Object.fromEntries(["from", "to", "sideA", "sideB"].map((name) => [name, new Float32Array(3 * strokes)])),
    spans: new Map(),
  };
  let [corner, stroke] = [0, 0];
  shapes.forEach(({ faces, lines }, i) => {
    const { name, matrix } = parts[i];
    for (const run of ["points", "normals"]) moved(faces[run], matrix, run === "points", found.faces[run], 3 * corner);
    found.faces.rounds.set(faces.rounds, corner);
    for (const run in found.lines) moved(lines[run], matrix, run === "from" || run === "to", found.lines[run], 3 * stroke);
    found.spans.set(name, { faces: [corner, corner + faces.count], lines: [4 * stroke, 4 * (stroke + lines.count)] });
    corner += faces.count;
    stroke += lines.count;
  });
  return found;
}

// Points, or directions, taken along by a matrix that stands column by column.
function moved(from, m, arePoints, to, at) {
  const [x, y, z] = arePoints ? [m[12], m[13], m[14]] : [0, 0, 0];
  for (let i = 0; i < from.length; i += 3) {
    const [a, b, c] = [from[i], from[i + 1], from[i + 2]];
    to[at + i] = m[0] * a + m[4] * b + m[8] * c + x;
    to[at + i + 1] = m[1] * a + m[5] * b + m[9] * c + y;
    to[at + i + 2] = m[2] * a + m[6] * b + m[10] * c + z;
  }
}

// The normal of a triangle, given by where its corners begin in a run of points.
function normalOf(points, [a, b, c]) {
  const [u, v] = [b, c].map((corner) => [0, 1, 2].map((k) => points[corner + k] - points[a + k]));
  const across = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const size = Math.hypot(...across) || 1;
  return across.map((x) => x / size);
}

const cornersOf = (index, at) => [3 * index[at], 3 * index[at + 1], 3 * index[at + 2]];

// Triangles with corners of their own, each with its normal.
function facesOf(faces) {
  const count = faces ? faces.index.length : 0;
  const [points, normals] = [new Float32Array(3 * count), new Float32Array(3 * count)];
  const rounds = new Uint8Array(count);
  for (let i = 0; i < count; i += 3) {
    const corners = cornersOf(faces.index, i);
    const normal = normalOf(faces.points, corners);
    corners.forEach((corner, k) => {
      points.set(faces.points.subarray(corner, corner + 3), 3 * (i + k));
      normals.set(normal, 3 * (i + k));
      rounds[i + k] = faces.rounds[corner / 3] ? 1 : 0;
    });
  }
  return { points, normals, rounds, count };
}

// Edges, and the sides that two facets of a round wall share: corners are shared within a wall.
function linesOf(faces, edges) {
  const lines = { from: [], to: [], sideA: [], sideB: [] };
  const add = (points, from, to, sideA, sideB) => {
    lines.from.push(points[from], points[from + 1], points[from + 2]);
    lines.to.push(points[to], points[to + 1], points[to + 2]);
    lines.sideA.push(...sideA);
    lines.sideB.push(...sideB);
  };
  for (let i = 0; edges && i < edges.index.length; i += 2)
    add(edges.points, 3 * edges.index[i], 3 * edges.index[i + 1], [0, 0, 0], [0, 0, 0]);
  const beside = new Map();
  const corners = faces ? faces.points.length / 3 : 0;
  for (let i = 0; faces && i < faces.index.length; i += 3) {
    const triangle = cornersOf(faces.index, i);
    const sense = faces.rounds[triangle[0] / 3];
    if (!sense || sense === HOLLOW) continue;
    const normal = normalOf(faces.points, triangle);
    triangle.forEach((from, k) => {
      const to = triangle[(k + 1) % 3];
      const side = Math.min(from, to) / 3 * corners + Math.max(from, to) / 3;
      const other = beside.get(side);
      if (!other) beside.set(side, normal);
      else if (normal[0] * other[0] + normal[1] * other[1] + normal[2] * other[2] < FLAT)
        add(faces.points, from, to, other, normal);
    });
  }
  for (const name in lines) lines[name] = new Float32Array(lines[name]);
  return { ...lines, count: lines.from.length / 3 };
}
