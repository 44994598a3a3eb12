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

/** The exact places of a part at a point seen on its mesh (both in the part's own frame): the wall of a hole before a plane,
 *  of several the nearest. `tolerance`: mm that the mesh may be off. null where nothing of the model lies there. */
export function found(exact, point, normal, tolerance) {
  const axes = [...exact.axes.map((line) => ({ line, of: null })),
    ...exact.features.flatMap((feature) => feature.axes.map((line) => ({ line, of: feature })))];
  let best = null;
  for (const { line, of } of axes) {
    const at = line.slice(0, 3), along = sub(line.slice(3, 6), at), length = norm(along), way = unit(along);
    const off = sub(point, at), t = dot(off, way), r = norm(sub(off, way.map((each) => each * t)));
    if (t < -tolerance || t > length + tolerance || Math.abs(dot(normal, way)) > 0.999) continue;
    const miss = Math.min(...line.slice(6).map((radius) => Math.abs(r - radius)));
    const cone = line.length > 8 && r < Math.max(...line.slice(6)) && Math.abs(dot(normal, way)) > 0.05;
    if ((miss <= tolerance || cone) && (!best || miss < best.miss)) best = { kind: "axis", line, of, miss };
  }
  if (best) return best;
  const planes = [...exact.faces.map(([name, line]) => ({ line, name, of: null })),
    ...exact.features.flatMap((feature) => feature.planes.map((line) => ({ line, name: null, of: feature })))];
  for (const { line, name, of } of planes) {
    const miss = Math.abs(dot(sub(point, line.slice(0, 3)), line.slice(3, 6)));
    if (miss <= tolerance && Math.abs(dot(normal, line.slice(3, 6))) > 0.9999 && (!best || miss < best.miss - 1e-6)) {
      best = { kind: "plane", line, name, of, miss };
    }
  }
  return best;
}
