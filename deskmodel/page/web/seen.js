// What lies under a pixel, on the mesh of one part and in the model behind it.
import { exactPlace, seenPlace } from "./again.js";
import { dot, found, norm, placed, sub, unit, unplaced } from "./exact.js";

/** {part, at (desk frame, as shown), place: exact or a point with its error, label, key (see again.js)}, or null where nothing
 *  is seen. */
export function seenAt(view, desk, x, y) {
  const part = view.partAt(x, y);
  if (part === null) return null;
  const { from, way } = view.ray(x, y);
  const { pose } = desk.now[part];
  const origin = unplaced(pose, from.toArray());
  const direction = sub(unplaced(pose, from.clone().add(way).toArray()), origin);
  const shape = desk.shapes.get(desk.part(part).shape);
  const plane = desk.plane();
  const beyond = plane ? (p) => dot(plane.normal, placed(pose, p)) > plane.at + 1e-9 : () => false;
  const hit = nearest(shape, origin, direction, beyond);
  if (!hit) return { part, at: null, place: null, label: desk.part(part).name };
  if (plane && dot(hit.normal, direction) > 0) return inSection(desk, part, pose, plane, from.toArray(), way.toArray());
  return { part, at: placed(pose, hit.point), ...placeOf(desk, part, hit, shape.chord) };
}

function inSection(desk, part, pose, plane, from, way) {
  const t = (plane.at - dot(plane.normal, from)) / dot(plane.normal, way);
  const at = from.map((each, i) => each + t * way[i]);
  return { part, at, ...seenPlace(desk.part(part), unplaced(pose, at), desk.record.error.chord, "point in the section of") };
}

/** The exact place in the desk's frame where the part stands in the desk, whatever it was moved for. */
function placeOf(desk, number, { point, normal, corners }, chord) {
  const part = desk.part(number), { rounding } = desk.record.error, error = chord + rounding;
  const exact = found(part.exact, { point, normal: unit(normal), corners }, Math.max(2 * error, 0.002) + 0.01, rounding);
  return exact ? exactPlace(part, exact) : seenPlace(part, point, error, "point on");
}

/** The nearest triangle on the ray that is not cut away: {point, normal (not of length 1), corners}. Möller and Trumbore. */
function nearest({ positions: p, triangles: index }, origin, way, beyond) {
  let best = null, nearestT = Infinity;
  for (let i = 0; i < index.length; i += 3) {
    const a = 3 * index[i], b = 3 * index[i + 1], c = 3 * index[i + 2];
    const e1x = p[b] - p[a], e1y = p[b + 1] - p[a + 1], e1z = p[b + 2] - p[a + 2];
    const e2x = p[c] - p[a], e2y = p[c + 1] - p[a + 1], e2z = p[c + 2] - p[a + 2];
    const hx = way[1] * e2z - way[2] * e2y, hy = way[2] * e2x - way[0] * e2z, hz = way[0] * e2y - way[1] * e2x;
    const det = e1x * hx + e1y * hy + e1z * hz;
    if (det === 0) continue;
    const sx = origin[0] - p[a], sy = origin[1] - p[a + 1], sz = origin[2] - p[a + 2];
    const u = (sx * hx + sy * hy + sz * hz) / det;
    if (u < -1e-7 || u > 1 + 1e-7) continue;
    const qx = sy * e1z - sz * e1y, qy = sz * e1x - sx * e1z, qz = sx * e1y - sy * e1x;
    const v = (way[0] * qx + way[1] * qy + way[2] * qz) / det;
    if (v < -1e-7 || u + v > 1 + 1e-7) continue;
    const t = (e2x * qx + e2y * qy + e2z * qz) / det;
    if (t <= 0 || t >= nearestT) continue;
    const point = [origin[0] + t * way[0], origin[1] + t * way[1], origin[2] + t * way[2]];
    if (beyond(point)) continue;
    const normal = [e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x];
    if (norm(normal) === 0) continue;
    nearestT = t;
    best = { point, normal, corners: [a, b, c].map((at) => [p[at], p[at + 1], p[at + 2]]) };
  }
  return best;
}
