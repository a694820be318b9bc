// Plane geometry of a picture: homographies, and a circle through points.

export function through(m, [x, y]) {
  const w = m[2][0] * x + m[2][1] * y + m[2][2];
  return [(m[0][0] * x + m[0][1] * y + m[0][2]) / w, (m[1][0] * x + m[1][1] * y + m[1][2]) / w];
}

export function times(a, b) {
  return a.map((row) => [0, 1, 2].map((j) => row[0] * b[0][j] + row[1] * b[1][j] + row[2] * b[2][j]));
}

// The inverse but for its size, which a homography does not have.
export function undone([[a, b, c], [d, e, f], [g, h, i]]) {
  return [
    [e * i - f * h, c * h - b * i, b * f - c * e],
    [f * g - d * i, a * i - c * g, c * d - a * f],
    [d * h - e * g, b * g - a * h, a * e - b * d],
  ];
}

// Circle for drawing only: least (x² + y² - a x - b y - c)²; the server fits the true one.
export function circle(points) {
  const n = points.length;
  const mx = points.reduce((s, p) => s + p[0], 0) / n;
  const my = points.reduce((s, p) => s + p[1], 0) / n;
  let uu = 0, uv = 0, vv = 0, uz = 0, vz = 0, z = 0;
  for (const [x, y] of points) {
    const u = x - mx, v = y - my, s = u * u + v * v;
    uu += u * u; uv += u * v; vv += v * v; uz += u * s; vz += v * s; z += s;
  }
  const d = uu * vv - uv * uv;
  if (!(Math.abs(d) > 1e-9 * uu * uu)) return null;
  const a = (uz * vv - vz * uv) / (2 * d), b = (vz * uu - uz * uv) / (2 * d);
  return { x: mx + a, y: my + b, r: Math.sqrt(z / n + a * a + b * b) };
}
