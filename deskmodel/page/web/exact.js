// Distances between exact places: planes and axes of the model, in the desk's frame, mm. A point that was only seen on a mesh
// carries how far it may be off.
//
//   {kind: "plane", at, normal}   {kind: "axis", at, end, way, radii}   {kind: "point", at, error}

const PARALLEL = 1e-9; // sine or cosine
export const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const add = (a, b, s = 1) => [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const norm = (a) => Math.hypot(...a);
export const unit = (a) => { const length = norm(a); return [a[0] / length, a[1] / length, a[2] / length]; };

/** A point or direction of a part in the desk's frame; `pose` is 12 numbers, rows of the rotation with the origin at their ends. */
export const turned = (pose, v) => [0, 4, 8].map((r) => pose[r] * v[0] + pose[r + 1] * v[1] + pose[r + 2] * v[2]);
export const placed = (pose, p) => add(turned(pose, p), [pose[3], pose[7], pose[11]]);
export const unplaced = (pose, p) => {
  const q = sub(p, [pose[3], pose[7], pose[11]]);
  return [0, 1, 2].map((c) => pose[c] * q[0] + pose[4 + c] * q[1] + pose[8 + c] * q[2]);
};

export const planeOf = (pose, line) => ({ kind: "plane", at: placed(pose, line.slice(0, 3)), normal: turned(pose, line.slice(3, 6)) });

export function axisOf(pose, line) {
  const [at, end] = [placed(pose, line.slice(0, 3)), placed(pose, line.slice(3, 6))];
  return { kind: "axis", at, end, way: unit(sub(end, at)), radii: line.slice(6) };
}

/** {value (mm) or null, angle (degrees) or null, from, to, error, what, parts: [dx, dy, dz] or null}; of two axes also
 *  `mouths`, the distance of their first ends. */
export function between(a, b) {
  const error = (a.error ?? 0) + (b.error ?? 0);
  const pair = [a.kind, b.kind].join(" ");
  if (pair === "plane axis" || pair === "plane point" || pair === "axis point") {
    const found = between(b, a);
    return { ...found, from: found.to, to: found.from, parts: found.parts && found.parts.map((each) => -each) };
  }
  return { ...{ "point point": points, "point plane": pointPlane, "point axis": pointAxis, "plane plane": planes,
    "axis axis": axes, "axis plane": axisPlane }[pair](a, b), error };
}

const told = (from, to, what, angle = null) => ({ value: norm(sub(to, from)), angle, from, to, what, parts: sub(to, from) });
const onlyAngle = (a, b, angle, what) => ({ value: null, angle, from: a.at, to: b.at, what, parts: null });
const degrees = (sine, cosine) => (Math.atan2(sine, cosine) * 180) / Math.PI;
const foot = (p, axis) => add(axis.at, axis.way, dot(sub(p, axis.at), axis.way));

function points(a, b) { return told(a.at, b.at, "point to point"); }

function pointPlane(a, b) {
  const off = dot(sub(a.at, b.at), b.normal);
  return told(a.at, add(a.at, b.normal, -off), "point to plane, square to it");
}

function pointAxis(a, b) { return told(a.at, foot(a.at, b), "point to axis, square to it"); }

function planes(a, b) {
  const sine = norm(cross(a.normal, b.normal));
  if (sine > PARALLEL) return onlyAngle(a, b, degrees(sine, dot(a.normal, b.normal)), "planes at an angle (between their normals)");
  const off = dot(sub(b.at, a.at), a.normal);
  return told(a.at, add(a.at, a.normal, off), "plane to plane, square to both", degrees(sine, dot(a.normal, b.normal)));
}

function axes(a, b) {
  const square = cross(a.way, b.way), sine = norm(square);
  if (sine <= PARALLEL) return { ...told(a.at, foot(a.at, b), "axis to axis, parallel"), mouths: norm(sub(b.at, a.at)) };
  const angle = degrees(sine, Math.abs(dot(a.way, b.way)));
  const between = sub(b.at, a.at);
  const s = dot(cross(between, b.way), square) / sine ** 2, t = dot(cross(between, a.way), square) / sine ** 2;
  const nearest = told(add(a.at, a.way, s), add(b.at, b.way, t), "axis to axis where they pass nearest", angle);
  return { ...nearest, mouths: norm(between) };
}

function axisPlane(a, b) {
  const cosine = Math.abs(dot(a.way, b.normal));
  if (cosine > PARALLEL) {
    const square = norm(cross(a.way, b.normal)) <= PARALLEL;
    if (!square) return onlyAngle(a, b, degrees(cosine, norm(cross(a.way, b.normal))), "axis and plane at an angle");
    return { ...pointPlane(a, b), what: "end of the axis to plane, square to it", angle: 90 };
  }
  return { ...pointPlane(a, b), what: "axis to plane, parallel" };
}

/** The exact place of a part at what was hit on its mesh (both in the part's own frame), as {kind, line, of: its feature or null,
 *  name: of a blank's face}, or null where nothing of the model lies there. `hit`: {point, normal (of length 1, out of the
 *  material), corners: of the triangle}; `tolerance`: mm that the mesh may lie off; `rounding`: mm that its corners may.
 *
 *  Corners lie on the true surface, what is between them does not: a triangle is of a round wall where its corners have that
 *  radius and it looks at the axis or away from it, of a plane where its corners lie in it and it looks the same way. */
export function found(exact, hit, tolerance, rounding) {
  const near = Math.max(3 * rounding, 0.002), all = [];
  for (const [line, of] of linesOf(exact, "axes")) {
    const miss = offRound(line, hit, tolerance, near);
    if (miss !== null) all.push({ kind: "axis", line, of, miss });
  }
  for (const [name, line] of exact.faces) {
    const miss = offPlane(line, hit, near);
    if (miss !== null && Math.abs(dot(hit.normal, line.slice(3, 6))) > SAME_WAY) all.push({ kind: "plane", line, of: null, name, miss });
  }
  for (const [line, of] of linesOf(exact, "planes")) {
    // a cut's own end in the air looks the other way than the face that it lies in
    const miss = dot(hit.normal, line.slice(3, 6)) > SAME_WAY ? offPlane(line, hit, near) : null;
    if (miss !== null) all.push({ kind: "plane", line, of, miss });
  }
  // planes have no end: of several the one whose feature is there, none whose feature is elsewhere
  const there = all.map((each) => ({ ...each, away: each.kind === "plane" && each.of ? away(each.of, hit.point) : 0 }))
    .filter((each) => each.away < Infinity);
  const least = Math.min(...there.map((each) => each.miss));
  return there.filter((each) => each.miss <= least + rounding).sort((a, b) => a.away - b.away)[0] ?? null;
}

const SAME_WAY = 0.999, LOOKS_AT = 0.9; // cosines; a coarse wall of a small hole looks at its axis by 0.95 or so

const linesOf = (exact, what) => [...(exact[what] ?? []).map((line) => [line, null]),
  ...exact.features.flatMap((feature) => feature[what].map((line) => [line, feature]))];

/** By how many mm the corners miss the nearest radius, or null where it is no wall round the axis. Of a cone (a
 *  countersink, the end of a bore), whose radii lie below those told, as many as it may: what fits otherwise goes before. */
function offRound(line, { point, normal, corners }, tolerance, near) {
  const at = line.slice(0, 3), along = sub(line.slice(3, 6), at), length = norm(along), way = unit(along), radii = line.slice(6);
  const from = (p) => { const off = sub(p, at), t = dot(off, way); return { t, out: add(off, way, -t) }; };
  const { t, out } = from(point), slope = dot(normal, way), r = norm(out);
  if (t < -tolerance || t > length + tolerance || Math.abs(slope) > 0.999 || r === 0) return null;
  if (Math.abs(dot(normal, out)) < LOOKS_AT * r * Math.sqrt(1 - slope ** 2)) return null;
  const apart = corners.map((each) => norm(from(each).out));
  const miss = Math.min(...radii.map((radius) => Math.max(...apart.map((each) => Math.abs(each - radius)))));
  if (miss <= near && Math.abs(slope) < 0.05) return miss;
  const widest = Math.max(...radii);
  return Math.abs(slope) > 0.05 && apart.every((each) => each < widest + near) ? near : null;
}

function offPlane(line, { corners }, near) {
  const miss = Math.max(...corners.map((each) => Math.abs(dot(sub(each, line.slice(0, 3)), line.slice(3, 6)))));
  return miss <= near ? miss : null;
}

/** mm from a feature, by the box about the middles of its planes and about its axes. That is no more than a share of it where
 *  its outline is no rectangle: Infinity only where the point lies further out than the box is long. */
function away({ axes, planes }, point) {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  const grow = (p, by) => p.forEach((each, k) => { low[k] = Math.min(low[k], each - by[k]); high[k] = Math.max(high[k], each + by[k]); });
  for (const line of planes) grow(line.slice(0, 3), [0, 0, 0]);
  for (const line of axes) {
    const ends = [line.slice(0, 3), line.slice(3, 6)], way = unit(sub(ends[1], ends[0])), r = Math.max(0, ...line.slice(6));
    for (const end of ends) grow(end, way.map((each) => r * Math.sqrt(Math.max(0, 1 - each ** 2))));
  }
  const off = norm(point.map((each, k) => Math.max(low[k] - each, each - high[k], 0)));
  return off > norm(sub(high, low)) ? Infinity : off;
}
