// Picking: how many points each kind of pick has, and what is asked for next.

const LEAST = { place: 1, known: 2, length: 2, angle: 3, outline: 3, hole: 3 };
const MOST = { place: 1, known: 2, length: 2, angle: 3, outline: 400, hole: 100 };
const ASK = {
  place: ["Put the point on a place whose measures you know."],
  known: ["Put the first point on one end of the length that you know.", "Now the other end."],
  length: ["Put the first point on one end.", "Now the other end."],
  angle: ["Put the first point somewhere along one side.", "Now the corner.", "Now somewhere along the other side."],
  outline: ["Put the first point on a corner, then go round, corner by corner."],
  hole: ["Put three points or more on the rim of the hole, well round."],
};

export const isEnough = ({ kind, points }) => points.length >= LEAST[kind];
export const isFull = ({ kind, points }) => points.length >= MOST[kind];

export function asked({ kind, points }) {
  const set = points.length;
  if (set < LEAST[kind]) {
    const next = ASK[kind][Math.min(set, ASK[kind].length - 1)];
    return set ? `${next} ${set} of ${LEAST[kind]} set.` : next;
  }
  if (set < MOST[kind]) return `${set} points set. Go on, or keep it.`;
  const known = kind === "place" || kind === "known" ? " Then say what you know of it." : "";
  return `Set. Arrow keys move the last point by a pixel, a drag moves any.${known}`;
}
