// Measuring between two places: exact ones of the model, or points that were only seen on a mesh, with their error.
import { BufferGeometry, Float32BufferAttribute, LineBasicMaterial, LineSegments, Vector3 } from "three";
import { el, figure, mm } from "./dom.js";
import { again } from "./again.js";
import { between } from "./exact.js";

export function measuring(view, desk, details, { onChange }) {
  const places = [];
  let on = false, labels = [], line = null;

  function take(place) {
    if (places.length === 2) places.length = 0;
    places.push(place);
    begin();
  }

  function begin() {
    on = true;
    onChange(on);
    show();
  }

  function clear() {
    for (const { element } of labels) element.remove();
    view.labels = view.labels.filter((label) => !labels.includes(label));
    labels = [];
    if (line) { view.scene.remove(line); line.geometry.dispose(); line.material.dispose(); line = null; }
    view.invalidate();
  }

  const measured = () => (places.length === 2 ? between(places[0].place, places[1].place) : null);

  /** `card`: whether it is told, too; while the first place is kept the card may tell of a part. */
  function show(card = true) {
    clear();
    const result = measured();
    if (result) draw(result); else if (places.length) mark(places[0].place.at, "1");
    if (card) tell(result);
  }

  function tell(result) {
    details.open("measure", details.head("Measure", result ? main(result) : "Pick two places"),
      el("ol", { class: "places" }, ...[0, 1].map((i) => el("li", { text: places[i]
        ? `${places[i].label}${places[i].place.error ? ` (± ${figure(places[i].place.error, 4)} mm)` : ""}`
        : "a hole, a face, or any point of the picture" }))),
      result && el("dl", {}, el("dt", { text: "How" }), el("dd", { text: result.what }),
        ...(result.value !== null && result.angle !== null ? [el("dt", { text: "Angle" }), el("dd", { text: `${figure(result.angle, 4)}°` })] : []),
        ...(result.parts ? [el("dt", { text: "Along x · y · z" }), el("dd", { text: result.parts.map((each) => figure(each, 3)).join(" · ") })] : []),
        ...(result.mouths ? [el("dt", { text: "Mouth to mouth" }), el("dd", { text: mm(result.mouths, 3) })] : []),
        el("dt", { text: "Exactness" }), el("dd", { class: "exactness", text: result.error
          ? `seen on a mesh: ± ${figure(result.error, 4)} mm` : "exact: from the model's own planes and axes" })),
      el("p", { class: "shown", text: "Measured on the desk as it stands, whatever was opened or drawn apart for looking." }),
      el("div", { class: "actions" }, el("button", { type: "button", text: "Start again", "data-key": "again",
        on: { click: () => { places.length = 0; begin(); } } })));
  }

  const main = (result) => (result.value === null ? `${figure(result.angle, 4)}°`
    : `${mm(result.value, 3)}${result.error ? ` ± ${figure(result.error, 4)}` : ""}`);

  function draw(result) {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new Float32BufferAttribute([...result.from, ...result.to], 3));
    line = new LineSegments(geometry, new LineBasicMaterial({ color: view.colours.picked, depthTest: false, transparent: true }));
    line.renderOrder = 14;
    line.frustumCulled = false;
    view.scene.add(line);
    mark(result.from, "");
    mark(result.to, "");
    if (result.value !== null) mark(result.from.map((each, i) => (each + result.to[i]) / 2), main(result), "tag");
    view.invalidate();
  }

  function mark(at, text, kind = "") {
    const element = el("div", { class: `mark ${text && !kind ? "" : "end"} measure` }, text ? el("span", { class: "tag", text }) : null);
    if (kind) element.classList.remove("end");
    view.overlay.append(element);
    const label = { element, at: new Vector3(...at) };
    labels.push(label);
    view.labels.push(label);
    view.invalidate();
  }

  return {
    get on() { return on; },
    get result() { return measured(); },
    take,
    start() { places.length = 0; begin(); },
    /** Of another record: the same places there, drawn and where its card is open told anew. False where one of them is gone. */
    renew() {
      const now = places.map((each) => again(desk, each));
      if (now.includes(null)) return false;
      places.splice(0, places.length, ...now);
      show(details.shows === "measure");
      return true;
    },
    stop() { on = false; places.length = 0; clear(); onChange(on); },
  };
}
