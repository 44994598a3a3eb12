// The desk as it is shown: which parts are seen, where they are moved to for looking, what is picked. Writes into the mesh.
import { Vector3 } from "three";
import { decodeShape } from "./decode.js";
import { add, cross, dot, placed } from "./exact.js";

const GLOSS = { metal: 1, glass: 0.4, equipment: 0.25, plastic: 0.25 };
export const KINDS = {
  member: "Members", plate: "Plates", veneer: "Veneers", cover: "Covers", backing: "Backings", component: "Equipment",
  custom: "Custom shapes", hardware: "Hardware",
};
const MARK = { none: 0, picked: 1, changed: 2, concerned: 3 };

export class Desk extends EventTarget {
  constructor(view) {
    super();
    this.view = view;
    this.hidden = new Set();
    this.ghosts = new Set();
    this.only = null; // parts shown alone
    this.filter = { text: "", kind: "", bay: "" };
    this.focus = null; // parts that a finding is about: the others step back
    this.clear = false; // whether those can be seen through, too: a gap lies behind one of its parts
    this.open = new Map(); // number of an opening -> 0 to 1
    this.apart = 0;
    this.section = null; // {axis, at, flip}
    this.picked = null;
    this.shapes = new Map();
    this.record = null;
  }

  /** Decoded shapes of a record, by key; `fetched`: key -> bytes, of those not yet known. */
  async decoded(record, fetched) {
    const wanted = new Set(record.parts.map((part) => part.shape).filter(Boolean));
    const evidence = record.findings.flatMap((each) => [...(each.evidence?.bodies ?? []), each.evidence?.room ?? null]);
    for (const body of evidence) if (body) wanted.add(body.shape);
    const made = new Map();
    await Promise.all([...wanted].map(async (key) => {
      made.set(key, this.shapes.get(key) ?? await decodeShape(fetched.get(key)));
    }));
    return made;
  }

  /** Show a record; what was hidden, opened or picked stays so by its name. `made`: its shapes as `decoded` gives them. */
  take(record, made) {
    const names = (set) => new Set([...set].map((i) => this.record.parts[i].name));
    const kept = this.record && { hidden: names(this.hidden), ghosts: names(this.ghosts), only: this.only && names(this.only),
      picked: this.picked === null ? null : this.record.parts[this.picked].name };
    const openNames = new Map([...this.open].map(([i, to]) => [this.record.openings[i].cover, to]));
    this.record = record;
    this.shapes = made;
    this.byName = new Map(record.parts.map((part, i) => [part.name, i]));
    const numbers = (set) => set && new Set([...set].map((name) => this.byName.get(name)).filter((i) => i !== undefined));
    this.hidden = numbers(kept?.hidden) ?? new Set();
    this.ghosts = numbers(kept?.ghosts) ?? new Set();
    this.only = numbers(kept?.only) ?? null;
    if (this.only && !this.only.size) this.only = null;
    this.picked = kept?.picked ? this.byName.get(kept.picked) ?? null : null;
    this.focus = null;
    this.open = new Map();
    record.openings.forEach((each, i) => { if (openNames.has(each.cover)) this.open.set(i, openNames.get(each.cover)); });
    this.openingOf = new Map();
    record.openings.forEach((each, i) => each.parts.forEach((name) => this.openingOf.set(this.byName.get(name), i)));
    this.changed = new Set(["new", "moved", "cut"].flatMap((what) => record.changes?.[what] ?? [])
      .map((name) => this.byName.get(name)).filter((i) => i !== undefined));
    if (this.changed.size > record.parts.length / 2) this.changed.clear(); // where all of it changed, a mark says nothing
    this.poses = record.parts.map((part) => part.pose);
    const kinds = record.parts.map((part) => record.materials[part.material].kind);
    this.view.mesh.build(record.parts.map((part) => part.shape), made, (i) => kinds[i] === "glass");
    this.update();
    this.dispatchEvent(new Event("taken"));
  }

  part(i) { return this.record.parts[i]; }

  /** Whether the filter and "only these" let it be seen. */
  within(i) {
    const part = this.part(i), { text, kind, bay } = this.filter;
    if (kind && part.kind !== kind) return false;
    if (bay && !part.bays.includes(bay)) return false;
    if (text && !`${part.name} ${part.text ?? ""} ${part.material}`.toLowerCase().includes(text.toLowerCase())) return false;
    return true;
  }

  /** 0 not seen, 1 solid, 2 see-through. */
  shown(i) {
    if (this.hidden.has(i) || (this.only && !this.only.has(i)) || !this.within(i)) return 0;
    if (this.focus && (this.clear || !this.focus.has(i))) return 2;
    const kind = this.record.materials[this.part(i).material]?.kind;
    return this.ghosts.has(i) || kind === "glass" ? 2 : 1;
  }

  /** Where it stands now: opened, then drawn apart. */
  posed(i) {
    let pose = this.poses[i];
    const opening = this.openingOf.get(i), share = opening === undefined ? 0 : this.open.get(opening) ?? 0;
    if (share) pose = opened(pose, this.record.openings[opening], share);
    if (this.apart) pose = shifted(pose, [0, 0, this.part(i).rise * this.apart]);
    return pose;
  }

  update() {
    const { mesh } = this.view;
    const low = new Vector3(Infinity, Infinity, Infinity), high = new Vector3(-Infinity, -Infinity, -Infinity);
    this.now = this.record.parts.map((part, i) => {
      const shown = part.shape === null ? 0 : this.shown(i), pose = this.posed(i);
      const { colour, kind } = this.record.materials[part.material];
      const mark = i === this.picked ? MARK.picked : this.changed.has(i) ? MARK.changed : MARK.none;
      const back = this.focus && !this.focus.has(i);
      const opacity = shown < 2 ? 1 : back ? 0.06 : this.focus ? 0.5 : kind === "glass" && !this.ghosts.has(i) ? 0.4 : 0.22;
      mesh.write(i, pose, colour, GLOSS[kind] ?? 0, shown, mark === MARK.picked ? 0.55 : mark ? 0.42 : 0, mark, opacity);
      if (shown) grow(low, high, this.boxOf(i, pose));
      return { shown, pose };
    });
    mesh.written();
    mesh.cut(this.plane());
    const whole = this.record.figures.box ?? [[-1, -1, -1], [1, 1, 1]];
    this.box = Number.isFinite(low.x) ? [low, high] : whole.map((corner) => new Vector3(...corner));
    const ball = this.view.eye.ball;
    ball.centre.addVectors(...this.box).multiplyScalar(0.5);
    ball.radius = Math.max(this.box[1].distanceTo(this.box[0]) / 2, 1);
    this.view.invalidate();
    this.dispatchEvent(new Event("change"));
  }

  /** The box about a part where it is shown, [low, high]. */
  boxOf(i, pose = this.now[i].pose) {
    const part = this.part(i);
    if (pose === part.pose) return part.box;
    if (pose.turned !== true) return part.box.map((corner) => add(corner, pose.by));
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [0, 1, 2].map((axis) => part.box[(k >> axis) & 1][axis]));
    const at = corners.map((corner) => placed(pose.from, corner));
    return [0, 1].map((end) => [0, 1, 2].map((axis) => Math[end ? "max" : "min"](...at.map((each) => each[axis]))));
  }

  plane() {
    if (!this.section) return null;
    const { axis, at, flip } = this.section, normal = [0, 0, 0];
    normal[axis] = flip ? -1 : 1;
    return { normal, at: flip ? -at : at };
  }

  pick(i) {
    this.picked = i;
    this.changed.delete(i); // it has been looked at
    this.update();
    this.dispatchEvent(new Event("picked"));
  }

  set(values) { Object.assign(this, values); this.update(); }

  hide(i) { toggle(this.hidden, i); this.update(); }
  ghost(i) { toggle(this.ghosts, i); this.update(); }

  isolate(parts) { this.only = parts && new Set(parts); this.update(); }

  everything() {
    this.hidden.clear();
    this.ghosts.clear();
    this.only = null;
    this.focus = null;
    this.filter = { text: "", kind: "", bay: "" };
    this.update();
  }

  openAll(share) {
    this.record.openings.forEach((_, i) => (share ? this.open.set(i, share) : this.open.delete(i)));
    this.update();
  }
}

function toggle(set, i) { if (!set.delete(i)) set.add(i); }

function grow(low, high, [from, to]) {
  low.set(Math.min(low.x, from[0]), Math.min(low.y, from[1]), Math.min(low.z, from[2]));
  high.set(Math.max(high.x, to[0]), Math.max(high.y, to[1]), Math.max(high.z, to[2]));
}

/** A pose moved by `by`; it remembers how it came from the part's own, for its box. */
function shifted(pose, by) {
  const made = [...pose];
  [3, 7, 11].forEach((k, axis) => { made[k] += by[axis]; });
  made.by = add(pose.by ?? [0, 0, 0], by);
  made.turned = pose.turned;
  made.from = pose.from && shiftedPlain(pose.from, by);
  return made;
}

function shiftedPlain(pose, by) {
  const made = [...pose];
  [3, 7, 11].forEach((k, axis) => { made[k] += by[axis]; });
  return made;
}

function opened(pose, opening, share) {
  if (opening.lift) return shifted(pose, opening.lift.direction.map((each) => each * opening.lift.travel * share));
  const move = about(opening.turn.point, opening.turn.axis, (opening.turn.angle * share * Math.PI) / 180);
  const made = composed(move, pose);
  made.turned = true;
  made.from = move;
  return made;
}

/** The pose that turns the desk's frame about an axis (Rodrigues). */
function about(point, k, angle) {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const turn = (v) => add(add(v.map((each) => each * c), cross(k, v), s), k, dot(k, v) * (1 - c));
  const columns = [[1, 0, 0], [0, 1, 0], [0, 0, 1]].map(turn), moved = turn(point);
  return [0, 1, 2].flatMap((row) => [...columns.map((column) => column[row]), point[row] - moved[row]]);
}

function composed(outer, inner) {
  return [0, 4, 8].flatMap((r) => [0, 1, 2, 3].map((c) => outer[r] * inner[c] + outer[r + 1] * inner[4 + c]
    + outer[r + 2] * inner[8 + c] + (c === 3 ? outer[r + 3] : 0)));
}
