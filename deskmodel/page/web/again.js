// A place that was picked, found again after an edit: by the names of its part and feature, never by a number alone.
import { axisOf, placed, planeOf } from "./exact.js";

/** What is measured from: {key, label, place}. `exact` as `found` in exact.js gives it. */
export function exactPlace(part, exact) {
  return { key: keyOf(part, exact), label: describe(part, exact),
    place: exact.kind === "axis" ? axisOf(part.pose, exact.line) : planeOf(part.pose, exact.line) };
}

/** A point that was only seen; `home`: in the part's own frame. */
export function seenPlace(part, home, error, label) {
  return { key: { part: part.name, kind: "point", shape: part.shape, home, error, label }, label: `${label} ${part.name}`,
    place: { kind: "point", at: placed(part.pose, home), error } };
}

/** The same place in the desk as it is now, or null where it is gone: a part of that name; of a part cut otherwise no point that
 *  was seen on it; of a feature the one of that name that lies where it lay, else that has its place among those of its name. */
export function again(desk, { key }) {
  const part = desk.record.parts[desk.byName.get(key.part)];
  if (!part) return null;
  if (key.kind === "point") return part.shape === key.shape ? seenPlace(part, key.home, key.error, key.label) : null;
  const exact = key.of ? ofFeature(part.exact, key) : ofBlank(part.exact, key);
  return exact && exactPlace(part, { kind: key.kind, ...exact });
}

export function describe(part, { kind, of, name }) {
  if (kind === "axis") return of ? `axis of ${of.what} ${of.name} (${of.text}) in ${part.name}` : `axis of ${part.name}`;
  return of ? `face of ${of.what} ${of.name} in ${part.name}` : `${name} of ${part.name}`;
}

const linesOf = (feature, kind) => (kind === "axis" ? feature.axes : feature.planes);
const alike = (features, { what, name }) => features.filter((each) => each.what === what && each.name === name);
const equal = (a, b) => a.length === b.length && a.every((each, k) => each === b[k]);

function keyOf(part, { kind, line, of, name }) {
  if (!of) return { part: part.name, kind, of: null, face: name ?? null, at: part.exact.axes.indexOf(line), among: part.exact.axes.length };
  const named = alike(part.exact.features, of), lines = linesOf(of, kind);
  return { part: part.name, kind, line, of: { what: of.what, name: of.name, at: named.indexOf(of), among: named.length },
    at: lines.indexOf(line), among: lines.length };
}

function ofBlank(exact, { kind, face, at, among }) {
  if (kind === "axis") return exact.axes.length === among ? { line: exact.axes[at], of: null } : null;
  const found = exact.faces.find(([name]) => name === face);
  return found ? { line: found[1], of: null, name: face } : null;
}

function ofFeature(exact, { kind, line, of, at, among }) {
  const named = alike(exact.features, of);
  for (const each of named) {
    const there = linesOf(each, kind).find((other) => equal(other, line));
    if (there) return { line: there, of: each };
  }
  const lines = named.length === of.among ? linesOf(named[of.at], kind) : [];
  return lines.length === among ? { line: lines[at], of: named[of.at] } : null;
}
