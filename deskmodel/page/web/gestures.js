// Hands on the picture: drag turns, drag with the right button or Shift moves, the wheel goes nearer, a click picks.
// Two fingers move and spread. All of it also by keys, unless something else needs them that has the focus.
import { VIEWS } from "./camera.js";

const OWN = /^(Enter| |Arrow.*|Home|End)$/; // keys by which buttons, links and lists are used
const STILL = 4; // px; a press that moves less is a click

export function gestures(view, { pick, fit, key }) {
  const { canvas, eye } = view;
  const down = new Map();
  let moved = 0, spread = null;
  const where = (event) => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("pointerdown", (event) => {
    canvas.focus({ preventScroll: true });
    canvas.setPointerCapture(event.pointerId);
    if (!down.size) moved = 0;
    down.set(event.pointerId, where(event));
    spread = null;
  });
  canvas.addEventListener("pointermove", (event) => {
    const from = down.get(event.pointerId);
    if (!from) return;
    const to = where(event);
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    moved += Math.abs(dx) + Math.abs(dy);
    down.set(event.pointerId, to);
    if (moved < STILL) return;
    if (down.size === 2) return twoFingers([...down.values()], dx, dy);
    if (event.buttons & 6 || event.shiftKey) eye.shift(dx, dy, view.height);
    else eye.rotate((-dx / view.height) * 3.4, (dy / view.height) * 3.4);
  });
  const twoFingers = ([a, b], dx, dy) => {
    const apart = Math.hypot(a.x - b.x, a.y - b.y);
    eye.shift(dx / 2, dy / 2, view.height);
    if (spread) eye.near(spread / Math.max(apart, 1), ...centred((a.x + b.x) / 2, (a.y + b.y) / 2));
    spread = apart;
  };
  const up = (event) => {
    const at = down.get(event.pointerId);
    down.delete(event.pointerId);
    spread = null;
    if (at && event.type === "pointerup" && moved < STILL && event.button === 0) pick(at.x, at.y);
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("dblclick", () => fit(true));
  const centred = (x, y) => [(x / view.width) * 2 - 1, 1 - (y / view.height) * 2];
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    const by = event.deltaMode === 1 ? event.deltaY * 16 : event.deltaY;
    const { x, y } = where(event);
    eye.near(Math.exp(Math.max(-240, Math.min(240, by)) * 0.0016), ...centred(x, y));
  }, { passive: false });
  const order = Object.keys(VIEWS);
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented || canvas.inert) return;
    const at = event.target;
    if (at.closest("input, select, textarea, dialog")) return;
    if (at !== canvas && at.closest("button, a, [tabindex]") && OWN.test(event.key)) return;
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (arrows && event.shiftKey) eye.shift(-arrows[0] * 40, -arrows[1] * 40, view.height);
    else if (arrows) eye.rotate(arrows[0] * 0.12, -arrows[1] * 0.12);
    else if (event.key === "+" || event.key === "=") eye.near(0.85);
    else if (event.key === "-") eye.near(1 / 0.85);
    else if (/^[1-7]$/.test(event.key)) fit(false, VIEWS[order[Number(event.key) - 1]]);
    else if (event.key === "0") fit(false);
    else if (!key(event.key.toLowerCase())) return;
    event.preventDefault();
  });
}
