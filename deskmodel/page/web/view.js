// The picture: drawn when something changed, never in idle. Knows how to tell what is seen at a point of it. In a browser that
// cannot draw (`blind` says why) all is as elsewhere, but nothing is drawn and nothing seen.
import { Color, ColorManagement, LinearSRGBColorSpace, Scene, Vector3, WebGLRenderer, WebGLRenderTarget } from "three";
import { DeskMesh } from "./desk_mesh.js";
import { Eye } from "./camera.js";

ColorManagement.enabled = false; // colours are numbers as a screen takes them, from the record to the pixel

export class View {
  constructor(canvas, overlay) {
    this.canvas = canvas;
    this.overlay = overlay;
    this.blind = null;
    try {
      this.renderer = new WebGLRenderer({ canvas, antialias: true, powerPreference: "high-performance" });
      this.renderer.outputColorSpace = LinearSRGBColorSpace;
      this.renderer.info.autoReset = false;
    } catch (error) {
      this.renderer = null;
      this.blind = error.message;
    }
    this.scene = new Scene();
    this.mesh = new DeskMesh();
    this.scene.add(this.mesh.group);
    this.eye = new Eye(() => this.invalidate());
    this.spot = new WebGLRenderTarget(1, 1);
    this.before = []; // called before each drawing
    this.labels = []; // {element, at: Vector3}: elements kept over points of the desk
    this.asked = false;
    this.frames = { drawn: 0, script: [], calls: 0 };
    this.waiting = [];
    canvas.addEventListener("webglcontextrestored", () => this.invalidate());
    new ResizeObserver(() => this.invalidate()).observe(canvas);
  }

  /** Shares of the picture's height under the bars that lie over it. */
  get free() {
    const height = Math.max(this.canvas.clientHeight, 1);
    const of = (id) => document.getElementById(id).offsetHeight + 18;
    return { top: Math.min(of("views") / height, 0.3), bottom: Math.min(of("tools") / height, 0.3) };
  }

  /** Height of the free picture's middle, px. */
  get middle() { return (this.height * (1 + this.free.top - this.free.bottom)) / 2; }

  background(colour) { this.scene.background = new Color(colour); this.invalidate(); }

  invalidate() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame((now) => this.#draw(now));
  }

  /** When nothing more is to be drawn. */
  settled() {
    return new Promise((done) => { this.waiting.push(done); this.invalidate(); });
  }

  #draw(now) {
    this.asked = false;
    const began = performance.now();
    const moving = this.eye.step(now);
    for (const act of this.before) act();
    this.prepare();
    if (this.renderer) {
      this.renderer.info.reset();
      this.renderer.render(this.scene, this.eye.camera);
      this.#keepLabels();
      this.frames.drawn += 1;
      this.frames.calls = this.renderer.info.render.calls;
    }
    this.frames.script.push(performance.now() - began);
    if (this.frames.script.length > 200) this.frames.script.shift();
    if (moving) this.invalidate();
    else if (!this.asked) for (const done of this.waiting.splice(0)) done();
  }

  /** Draws at once: ms until the script is done with it, and until the picture is there. */
  timed() {
    const began = performance.now();
    this.prepare();
    this.renderer.info.reset();
    this.renderer.render(this.scene, this.eye.camera);
    const script = performance.now() - began;
    const gl = this.renderer.getContext();
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4)); // waits for it
    return { script, whole: performance.now() - began, calls: this.renderer.info.render.calls };
  }

  /** Size and eye as they are now. */
  prepare() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const ratio = Math.min(devicePixelRatio, 2);
    if (this.width !== width || this.height !== height || this.ratio !== ratio) {
      // a panel beside the picture takes from its sides, one below it from its height, of which the bars then take a larger share:
      // the same of the desk stays in sight
      const { free } = this;
      if (this.width && height === this.height) this.eye.widen(this.width / Math.max(width, 1));
      else if (this.width === width) this.eye.between(this.bars, free);
      Object.assign(this, { width, height, ratio, bars: free });
      this.renderer?.setPixelRatio(ratio);
      this.renderer?.setSize(width, height, false);
    }
    this.overlay.style.setProperty("--middle", `${this.middle}px`);
    const at = this.eye.place(width / Math.max(height, 1));
    this.mesh.uniforms.eye.value.copy(at);
    this.mesh.uniforms.viewProjection.value.copy(this.eye.viewProjection());
  }

  /** Pixels from the canvas's upper left corner, and whether it lies before the eye. */
  project(point) {
    const seen = point.clone().project(this.eye.camera);
    return { x: ((seen.x + 1) / 2) * this.width, y: ((1 - seen.y) / 2) * this.height, before: seen.z < 1 };
  }

  #keepLabels() {
    for (const { element, at } of this.labels) {
      const { x, y, before } = this.project(at);
      element.hidden = !before || x < 0 || y < 0 || x > this.width || y > this.height;
      element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
    }
  }

  /** Number of the part seen at a pixel of the canvas, or null; see-through ones only where there is no solid one. */
  partAt(x, y) {
    if (!this.renderer) return null;
    this.prepare();
    const { layers, materials } = this.mesh;
    const were = Object.entries(layers).map(([name, layer]) => [name, layer.visible]);
    const background = this.scene.background, others = this.scene.children.filter((child) => child !== this.mesh.group);
    const hidden = others.filter((child) => child.visible);
    hidden.forEach((child) => { child.visible = false; });
    this.scene.background = null;
    const camera = this.eye.camera;
    camera.setViewOffset(this.width, this.height, Math.floor(x), Math.floor(y), 1, 1);
    let found = null;
    for (const [name, material] of [["solid", materials.pick], ["ghost", materials.pickGhost]]) {
      for (const [layer] of were) layers[layer].visible = layer === name;
      this.scene.overrideMaterial = material;
      this.renderer.setRenderTarget(this.spot);
      this.renderer.setClearColor(0, 0);
      this.renderer.clear();
      this.renderer.render(this.scene, camera);
      const pixel = new Uint8Array(4);
      this.renderer.readRenderTargetPixels(this.spot, 0, 0, 1, 1, pixel);
      const number = pixel[0] + 256 * pixel[1] + 65536 * pixel[2];
      if (number) { found = number - 1; break; }
    }
    this.renderer.setRenderTarget(null);
    this.scene.overrideMaterial = null;
    this.scene.background = background;
    camera.clearViewOffset();
    for (const [name, visible] of were) layers[name].visible = visible;
    hidden.forEach((child) => { child.visible = true; });
    return found;
  }

  /** The ray through a pixel of the canvas: {from, way (a unit vector)}. */
  ray(x, y) {
    this.prepare();
    const at = new Vector3((x / this.width) * 2 - 1, 1 - (y / this.height) * 2, 0.5).unproject(this.eye.camera);
    const from = new Vector3().setFromMatrixPosition(this.eye.camera.matrixWorld);
    return { from, way: at.sub(from).normalize() };
  }
}
