// All parts as a few meshes. Shapes that stand in several places are drawn instanced, one mesh each; those that stand in one
// place only are joined into one mesh. So the number of draw calls is one more than that of repeated shapes, whatever the
// number of parts.
import {
  BufferAttribute, BufferGeometry, DataTexture, DoubleSide, FloatType, FrontSide, Group, GLSL3, InstancedBufferAttribute,
  InstancedBufferGeometry, LineSegments, Mesh, NearestFilter, RawShaderMaterial, RGBAFormat, Vector3, Vector4, Matrix4,
} from "three";
import { drawable } from "./geometry.js";
import {
  ACROSS, FACE_FRAGMENT, FACE_VERTEX, LINE_FRAGMENT, LINE_VERTEX, PICK_FRAGMENT, TEXELS,
} from "./shaders.js";

export class DeskMesh {
  constructor() {
    this.group = new Group();
    this.uniforms = {
      state: { value: null }, section: { value: new Vector4(0, 0, 1, 1e9) }, eye: { value: new Vector3() },
      viewProjection: { value: new Matrix4() }, strength: { value: 0.8 },
      marks: { value: [new Vector3(), new Vector3(), new Vector3(), new Vector3()] },
    };
    const shared = this.uniforms;
    const make = (vertex, fragment, turn, more) => new RawShaderMaterial({
      glslVersion: GLSL3, vertexShader: vertex, fragmentShader: fragment, side: FrontSide,
      uniforms: { ...shared, turn: { value: turn } }, ...more });
    const behind = { polygonOffset: true, polygonOffsetFactor: 0.3, polygonOffsetUnits: 1 };
    const clear = { transparent: true, depthWrite: false };
    this.materials = {
      solid: make(FACE_VERTEX, FACE_FRAGMENT, 1, behind), ghost: make(FACE_VERTEX, FACE_FRAGMENT, 2, clear),
      line: make(LINE_VERTEX, LINE_FRAGMENT, 1, { transparent: true, depthWrite: false }),
      ghostLine: make(LINE_VERTEX, LINE_FRAGMENT, 2, clear),
      pick: make(FACE_VERTEX, PICK_FRAGMENT, 1, {}), pickGhost: make(FACE_VERTEX, PICK_FRAGMENT, 2, {}),
    };
    this.geometries = new Map(); // shape key -> what is drawn of it
    this.layers = { solid: new Group(), line: new Group(), ghost: new Group(), ghostLine: new Group() };
    ["solid", "line", "ghost", "ghostLine"].forEach((name, i) => {
      this.layers[name].renderOrder = i;
      this.group.add(this.layers[name]);
    });
  }

  /** `keys`: shape of each part or null; `shapes`: key -> decoded shape; `clear`: whether a part is see-through by itself. */
  build(keys, shapes, clear) {
    const glass = keys.map((_, part) => clear(part));
    if (this.built?.keys.join() === keys.join() && this.built.glass.join() === glass.join()) return;
    this.built = { keys, glass };
    for (const layer of Object.values(this.layers)) {
      for (const mesh of layer.children) mesh.geometry.dispose();
      layer.clear();
    }
    for (const key of this.geometries.keys()) if (!shapes.has(key)) this.geometries.delete(key);
    const users = new Map();
    keys.forEach((key, part) => {
      if (key === null) return;
      if (!users.has(key)) users.set(key, []);
      users.get(key).push(part);
      if (!this.geometries.has(key)) this.geometries.set(key, drawable(shapes.get(key)));
    });
    const single = [...users].filter(([, parts]) => parts.length === 1).map(([key, parts]) => [this.geometries.get(key), parts[0]]);
    for (const kind of [false, true]) {
      const some = single.filter(([, part]) => glass[part] === kind);
      if (some.length) this.#add(joined(some, "face"), joined(some, "edge"), some.map(([, part]) => part));
    }
    for (const [key, parts] of users) {
      if (parts.length > 1) this.#add(instanced(this.geometries.get(key), parts, "face"),
        instanced(this.geometries.get(key), parts, "edge"), parts);
    }
    const rows = Math.max(1, Math.ceil(keys.length / ACROSS));
    this.data = new Float32Array(rows * ACROSS * TEXELS * 4);
    this.uniforms.state.value?.dispose();
    const texture = new DataTexture(this.data, ACROSS * TEXELS, rows, RGBAFormat, FloatType);
    texture.minFilter = texture.magFilter = NearestFilter;
    this.uniforms.state.value = texture;
    for (const material of Object.values(this.materials)) material.uniformsNeedUpdate = true;
  }

  #add(face, edge, parts) {
    for (const [name, Kind, geometry] of [["solid", Mesh, face], ["line", LineSegments, edge], ["ghost", Mesh, face],
      ["ghostLine", LineSegments, edge]]) {
      const mesh = new Kind(geometry, this.materials[name]);
      mesh.frustumCulled = false; // the parts of one mesh stand all over the desk
      mesh.renderOrder = this.layers[name].renderOrder;
      mesh.userData.parts = parts;
      this.layers[name].add(mesh);
    }
  }

  /** Five texels of a part: pose (12 numbers), colour, gloss, shown, share, mark, opacity. */
  write(part, pose, colour, gloss, shown, share, mark, opacity) {
    const at = part * TEXELS * 4;
    this.data.set(pose, at);
    this.data.set([...colour, gloss, shown, share, mark, opacity], at + 12);
  }

  /** After `write`. Meshes of which nothing is shown are not drawn at all. */
  written() {
    this.uniforms.state.value.needsUpdate = true;
    const shown = (part) => this.data[part * TEXELS * 4 + 16];
    for (const [name, wanted] of [["solid", 1], ["line", 1], ["ghost", 2], ["ghostLine", 2]]) {
      for (const mesh of this.layers[name].children) mesh.visible = mesh.userData.parts.some((part) => shown(part) === wanted);
    }
  }

  /** `plane`: {normal, at} or null. */
  cut(plane) {
    const on = plane !== null;
    if (on) this.uniforms.section.value.set(...plane.normal, plane.at);
    for (const material of Object.values(this.materials)) {
      if (on === "CUT" in material.defines) continue;
      if (on) material.defines.CUT = 1; else delete material.defines.CUT;
      if (material.vertexShader === FACE_VERTEX) material.side = on ? DoubleSide : FrontSide;
      material.needsUpdate = true;
    }
  }
}

function joined(single, what) {
  const name = what === "face" ? "position" : "edge";
  const total = single.reduce((sum, [geometry]) => sum + geometry[name].length, 0);
  const position = new Float32Array(total), part = new Float32Array(total / 3);
  let at = 0;
  for (const [geometry, number] of single) {
    position.set(geometry[name], at);
    part.fill(number, at / 3, (at + geometry[name].length) / 3);
    at += geometry[name].length;
  }
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(position, 3));
  made.setAttribute("part", new BufferAttribute(part, 1));
  if (what === "edge") return made;
  const normal = new Int16Array(total), index = new Uint32Array(single.reduce((sum, [g]) => sum + g.index.length, 0));
  let vertex = 0, corner = 0;
  for (const [geometry] of single) {
    normal.set(geometry.normal, 3 * vertex);
    for (let i = 0; i < geometry.index.length; i++) index[corner + i] = geometry.index[i] + vertex;
    vertex += geometry.position.length / 3;
    corner += geometry.index.length;
  }
  made.setAttribute("normal", new BufferAttribute(normal, 3, true));
  made.setIndex(new BufferAttribute(index, 1));
  return made;
}

function instanced(geometry, parts, what) {
  const made = new InstancedBufferGeometry();
  made.instanceCount = parts.length;
  made.setAttribute("part", new InstancedBufferAttribute(new Float32Array(parts), 1));
  made.setAttribute("position", new BufferAttribute(what === "face" ? geometry.position : geometry.edge, 3));
  if (what === "edge") return made;
  made.setAttribute("normal", new BufferAttribute(geometry.normal, 3, true));
  made.setIndex(new BufferAttribute(geometry.index, 1));
  return made;
}
