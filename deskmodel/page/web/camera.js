// Where the eye is: round a point of the desk, so far away, turned and raised by so much; z always up.
import { Matrix4, PerspectiveCamera, Vector3 } from "three";

const WIDE = 30, NARROW = 1.2; // degrees; seen through the narrow one, parallel edges look parallel
const TILT = Math.PI / 2;

export const VIEWS = {
  chair: { name: "From the chair", turn: -0.5, tilt: 0.62 }, front: { name: "Front", turn: 0, tilt: 0 },
  right: { name: "Right", turn: Math.PI / 2, tilt: 0 }, back: { name: "Back", turn: Math.PI, tilt: 0 },
  left: { name: "Left", turn: -Math.PI / 2, tilt: 0 }, above: { name: "Above", turn: 0, tilt: TILT },
  below: { name: "Below", turn: 0, tilt: -TILT },
};

export class Eye {
  /** `changed` is called whenever the eye has moved. */
  constructor(changed) {
    this.changed = changed;
    this.camera = new PerspectiveCamera(WIDE, 1, 1, 1e5);
    this.camera.matrixAutoUpdate = false;
    this.target = new Vector3();
    this.height = 1000; // mm seen at the target, from the lower to the upper border
    this.turn = VIEWS.chair.turn;
    this.tilt = VIEWS.chair.tilt;
    this.parallel = false;
    this.ball = { centre: new Vector3(), radius: 1000 }; // about everything there is to see
    this.flight = null;
  }

  get distance() { return this.height / 2 / Math.tan((this.camera.fov * Math.PI) / 360); }

  axes() {
    const [a, e] = [this.turn, this.tilt];
    const right = new Vector3(Math.cos(a), Math.sin(a), 0);
    const towards = new Vector3(Math.sin(a) * Math.cos(e), -Math.cos(a) * Math.cos(e), Math.sin(e));
    return { right, up: new Vector3().crossVectors(towards, right), towards };
  }

  place(aspect) {
    const { right, up, towards } = this.axes();
    const camera = this.camera;
    camera.fov = this.parallel ? NARROW : WIDE;
    camera.aspect = aspect;
    const position = this.target.clone().addScaledVector(towards, this.distance);
    camera.matrix.makeBasis(right, up, towards).setPosition(position);
    camera.matrixWorldNeedsUpdate = true;
    const depth = position.clone().sub(this.ball.centre).dot(towards);
    camera.near = Math.max(depth - this.ball.radius * 1.05, this.distance / 500);
    camera.far = Math.max(depth + this.ball.radius * 1.05, camera.near * 2);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld(true);
    return position;
  }

  /** How far to stand off to see the corners of a box, as {target, height}. `margin`: share of the picture left free;
   *  `free`: shares of its height that lie under bars, {top, bottom}. */
  fitting(low, high, margin = 0.12, free = { top: 0, bottom: 0 }) {
    const target = new Vector3().addVectors(low, high).multiplyScalar(0.5);
    const { right, up, towards } = this.axes();
    const slope = Math.tan((this.camera.fov * Math.PI) / 360) * (1 - margin), open = 1 - free.top - free.bottom;
    let distance = 1;
    for (let i = 0; i < 8; i++) {
      const corner = new Vector3(i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z).sub(target);
      const across = Math.max(Math.abs(corner.dot(right)) / this.camera.aspect, Math.abs(corner.dot(up)) / open);
      distance = Math.max(distance, corner.dot(towards) + across / slope);
    }
    const height = Math.max(2 * distance * Math.tan((this.camera.fov * Math.PI) / 360), 4);
    return { target: target.addScaledVector(up, ((free.top - free.bottom) * height) / 2), height };
  }

  /** Where to look from so that a line is seen at its length: the nearest of some places, as {turn, tilt}. */
  across(from, to) {
    const line = new Vector3(...to).sub(new Vector3(...from)).normalize();
    let best = null;
    for (const tilt of [0.5, 0.25, 0.9]) {
      for (let k = -8; k < 8; k++) {
        const turn = VIEWS.chair.turn + (k * Math.PI) / 8;
        const towards = new Vector3(Math.sin(turn) * Math.cos(tilt), -Math.cos(turn) * Math.cos(tilt), Math.sin(tilt));
        const cost = 2 * Math.max(Math.abs(towards.dot(line)) - 0.25, 0) + 0.1 * Math.abs(nearestTurn(turn - this.turn));
        if (best === null || cost < best.cost - 1e-9) best = { cost, turn, tilt };
      }
    }
    return { turn: best.turn, tilt: best.tilt };
  }

  rotate(turn, tilt) {
    this.flight = null;
    this.turn += turn;
    this.tilt = Math.min(TILT, Math.max(-TILT, this.tilt + tilt));
    this.changed();
  }

  /** By pixels of a picture `pixels` high. */
  shift(x, y, pixels) {
    this.flight = null;
    const { right, up } = this.axes();
    const scale = this.height / pixels;
    this.target.addScaledVector(right, -x * scale).addScaledVector(up, y * scale);
    this.changed();
  }

  /** Nearer by a factor below 1; `x`, `y`: what stays in its place, from -1 to 1 across the picture. */
  near(factor, x = 0, y = 0) {
    this.flight = null;
    const to = Math.min(1e5, Math.max(1, this.height * factor));
    const { right, up } = this.axes();
    const by = (this.height - to) / 2;
    this.target.addScaledVector(right, x * by * this.camera.aspect).addScaledVector(up, y * by);
    this.height = to;
    this.changed();
  }

  /** See so much more of the height, wherever the eye is on its way to. */
  widen(by) {
    this.height *= by;
    for (const each of this.flight ? [this.flight.from, this.flight.to] : []) each.height *= by;
  }

  /** See between bars that take other shares of the height, {top, bottom}, what was seen between those before. */
  between(before, now) {
    const { up } = this.axes(), off = ({ top, bottom }) => (top - bottom) / 2;
    const by = (1 - before.top - before.bottom) / (1 - now.top - now.bottom);
    for (const each of [this, ...(this.flight ? [this.flight.from, this.flight.to] : [])]) {
      each.target.addScaledVector(up, each.height * (by * off(now) - off(before)));
    }
    this.widen(by);
  }

  /** Move to any of {target, height, turn, tilt}; at once where people ask for less motion. */
  fly(to) {
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const turn = to.turn === undefined ? this.turn : this.turn + nearestTurn(to.turn - this.turn);
    this.flight = {
      since: null, lasts: still ? 0 : 420,
      from: { target: this.target.clone(), height: this.height, turn: this.turn, tilt: this.tilt },
      to: { target: (to.target ?? this.target).clone(), height: to.height ?? this.height, turn, tilt: to.tilt ?? this.tilt },
    };
    this.changed();
  }

  /** One step of a flight at a time in ms; whether it goes on. */
  step(now) {
    const flight = this.flight;
    if (!flight) return false;
    flight.since ??= now;
    const part = flight.lasts ? Math.min(1, (now - flight.since) / flight.lasts) : 1;
    const eased = part * part * (3 - 2 * part);
    const { from, to } = flight;
    this.target.lerpVectors(from.target, to.target, eased);
    this.height = from.height * (to.height / from.height) ** eased;
    this.turn = from.turn + (to.turn - from.turn) * eased;
    this.tilt = from.tilt + (to.tilt - from.tilt) * eased;
    if (part < 1) return true;
    this.flight = null;
    return false;
  }

  viewProjection() {
    return new Matrix4().multiplyMatrices(this.camera.projectionMatrix, this.camera.matrixWorldInverse);
  }
}

const nearestTurn = (by) => by - 2 * Math.PI * Math.round(by / (2 * Math.PI));
