// What a finding is shown by: the room that two bodies share, the line of a gap with its length, a ring at the place.
import {
  BufferAttribute, BufferGeometry, Color, Group, LineBasicMaterial, LineSegments, Mesh, MeshBasicMaterial, Vector3,
} from "three";
import { drawable } from "./geometry.js";
import { el, withUnit } from "./dom.js";

export class Evidence {
  constructor(view) {
    this.view = view;
    this.group = new Group();
    this.group.renderOrder = 10;
    view.scene.add(this.group);
    this.colours = { stop: "#d55e00", line: "#000000" };
  }

  clear() {
    for (const each of this.group.children) { each.geometry.dispose(); each.material.dispose(); }
    this.group.clear();
    for (const { element } of this.view.labels.filter((label) => label.evidence)) element.remove();
    this.view.labels = this.view.labels.filter((label) => !label.evidence);
    this.box = null;
    this.view.invalidate();
  }

  /** Show a finding of the record; `shapes`: decoded, by key. What is shown: {bodies, room, span, ring}. */
  show(finding, shapes) {
    this.clear();
    const { evidence, point } = finding;
    const shown = { bodies: 0, room: false, span: null, ring: false };
    const reach = [];
    for (const body of evidence?.bodies ?? []) {
      reach.push(...this.#body(shapes.get(body.shape), body.pose, this.colours.stop, 0.62));
      shown.bodies += 1;
    }
    if (evidence?.room) {
      this.#body(shapes.get(evidence.room.shape), evidence.room.pose, this.colours.room, 0.1);
      shown.room = true;
    }
    if (evidence?.span) {
      const [from, to] = evidence.span.map((end) => new Vector3(...end));
      this.#line(from, to);
      reach.push(from, to);
      shown.span = from.distanceTo(to);
      this.#label(from.clone().lerp(to, 0.5), `${withUnit(finding.measured, finding.unit)} · ${
        withUnit(finding.required, finding.unit)} required`);
    } else if (point) {
      if (!shown.bodies) {
        this.#ring(new Vector3(...point));
        shown.ring = true;
      }
      reach.push(new Vector3(...point));
      if (finding.measured !== null) this.#label(new Vector3(...point), withUnit(finding.measured, finding.unit));
    }
    if (reach.length) this.box = [reach[0].clone(), reach[0].clone()];
    for (const each of reach) { this.box[0].min(each); this.box[1].max(each); }
    return shown;
  }

  #body(shape, pose, colour, opacity) {
    const { position, index, edge } = drawable(shape);
    for (const array of [position, edge]) place(array, pose);
    const faces = new BufferGeometry().setAttribute("position", new BufferAttribute(position, 3));
    faces.setIndex(new BufferAttribute(index, 1));
    const lines = new BufferGeometry().setAttribute("position", new BufferAttribute(edge, 3));
    const over = { depthTest: false, depthWrite: false, transparent: true, toneMapped: false };
    this.#add(new Mesh(faces, new MeshBasicMaterial({ color: raw(colour), opacity, ...over })), 11);
    this.#add(new LineSegments(lines, new LineBasicMaterial({ color: raw(colour).multiplyScalar(0.55), ...over })), 12);
    faces.computeBoundingBox();
    return [faces.boundingBox.min, faces.boundingBox.max];
  }

  #line(from, to) {
    const made = new BufferGeometry().setFromPoints([from, to]);
    const material = new LineBasicMaterial({ color: raw(this.colours.stop), depthTest: false, transparent: true });
    this.#add(new LineSegments(made, material), 13);
    for (const end of [from, to]) this.#ring(end, "end");
  }

  #add(object, order) {
    object.renderOrder = order;
    object.frustumCulled = false;
    this.group.add(object);
  }

  #ring(at, kind = "ring") {
    const element = el("div", { class: `mark ${kind}`, "aria-hidden": "true" });
    this.view.overlay.append(element);
    this.view.labels.push({ element, at, evidence: true });
  }

  #label(at, text) {
    const element = el("div", { class: "mark" }, el("span", { class: "tag", text }));
    this.view.overlay.append(element);
    this.view.labels.push({ element, at, evidence: true });
  }
}

export const raw = (text) => new Color(text);

function place(array, p) {
  for (let i = 0; i < array.length; i += 3) {
    const [x, y, z] = [array[i], array[i + 1], array[i + 2]];
    for (let row = 0; row < 3; row++) array[i + row] = p[4 * row] * x + p[4 * row + 1] * y + p[4 * row + 2] * z + p[4 * row + 3];
  }
}
