// Views, and what opens the desk up for looking: covers, drawing apart, a section.
import { byId, el, figure, put } from "./dom.js";
import { VIEWS } from "./camera.js";

export function tools(view, desk, { fit, everything, keys, measuring }) {
  const views = byId("views"), bar = byId("tools");
  const button = (text, act, more = {}) => el("button", { type: "button", text, on: { click: act }, ...more });
  const parallel = button("Parallel", () => {
    view.eye.parallel = !view.eye.parallel;
    parallel.setAttribute("aria-pressed", view.eye.parallel);
    view.invalidate();
  }, { "aria-pressed": "false", title: "Without perspective" });
  put(views, button("Whole desk", () => fit(false), { "data-view": "whole", title: "Key 0" }),
    ...Object.entries(VIEWS).map(([name, each], i) => button(each.name, () => {
      fit(false, each);
    }, { "data-view": name, title: `Key ${i + 1}` })), parallel,
    button("?", keys, { "aria-label": "All keys", title: "All keys" }));

  const slider = (id, label, act) => {
    const input = el("input", { id, type: "range", min: 0, max: 100, value: "0", step: 1, on: { input: () => act(Number(input.value) / 100) } });
    return { input, whole: el("label", { class: "tool", for: id }, el("span", { text: label }), input) };
  };
  const covers = slider("open-covers", "Open covers", (share) => desk.openAll(share));
  const apart = slider("draw-apart", "Draw apart", (share) => { desk.set({ apart: share }); });

  const axis = el("select", { id: "section-axis" }, el("option", { value: "", text: "none" }),
    ...["across x", "across y", "across z"].map((text, i) => el("option", { value: i, text })));
  const at = el("input", { id: "section-at", type: "range", min: 0, max: 1000, value: "500", "aria-label": "Place of the section", disabled: true });
  const flip = button("Flip", () => { flip.setAttribute("aria-pressed", flip.getAttribute("aria-pressed") !== "true"); cut(); },
    { id: "section-flip", "aria-pressed": "false", disabled: true });
  const told = el("output", { for: "section-axis section-at", id: "section-told" });
  let last = null, facing = false;
  const span = () => [Number(axis.value), desk.record.figures.box ?? desk.box.map((each) => each.toArray())];
  function cut() {
    const on = axis.value !== "";
    at.disabled = flip.disabled = !on;
    if (!on) { told.value = ""; last = null; return desk.set({ section: null }); }
    const [i, [low, high]] = span();
    const place = low[i] + ((high[i] - low[i]) * Number(at.value)) / 1000;
    if (i !== last) facing = view.eye.axes().towards.toArray()[i] < 0; // the side that one looks from is taken away
    last = i;
    told.value = `${"xyz"[i]} ${figure(place, 1)}`;
    desk.set({ section: { axis: i, at: place, flip: facing !== (flip.getAttribute("aria-pressed") === "true") } });
  }
  axis.addEventListener("input", cut);
  at.addEventListener("input", cut);

  const measure = button("Measure", () => measuring(), { id: "measure", "aria-pressed": "false", title: "Key M" });
  put(bar, covers.whole, apart.whole,
    el("div", { class: "tool", role: "group", "aria-label": "Section" }, el("label", { for: "section-axis", text: "Cut open" }), axis, at, flip, told),
    measure, button("Show all", everything, { id: "everything", title: "Key A" }));

  function sync() {
    covers.input.disabled = !desk.record.openings.length;
    const shares = desk.record.openings.map((_, i) => desk.open.get(i) ?? 0);
    covers.input.value = String(Math.round(100 * Math.max(0, ...shares)));
    apart.input.value = String(Math.round(100 * desk.apart));
  }
  desk.addEventListener("change", sync);
  return {
    closeAll() { axis.value = ""; flip.setAttribute("aria-pressed", "false"); cut(); },
    measuring(on) { measure.setAttribute("aria-pressed", on); },
  };
}

const KEYS = [
  ["Arrow keys", "turn the desk; with Shift, move it"], ["+  −", "nearer, farther"], ["0", "see the whole desk"],
  ["1 to 7", "from the chair, front, right, back, left, above, below"], ["Enter", "pick what is in the middle of the picture"],
  ["H", "put the picked part aside, or bring it back"], ["O", "show only the picked part, or all again"],
  ["T", "see through the picked part"], ["G", "go to the picked part"], ["M", "measure: pick two places"],
  ["N  B", "next finding, the one before"], ["A", "show everything again"], ["Esc", "let go of what is picked"],
];

export function keysDialog() {
  const dialog = byId("keys");
  put(dialog, el("h2", { id: "keys-title", text: "Keys and hands" }),
    el("p", { text: "Up, Down and Enter are a list's own while it has the focus; all keys are the picture's while that has it." }),
    el("dl", { class: "keys" }, ...KEYS.flatMap(([key, what]) => [el("dt", {}, el("kbd", { text: key })), el("dd", { text: what })])),
    el("p", { text: "Drag turns, drag with the right button or with Shift moves, the wheel goes nearer, a click picks, two clicks go to the part." }),
    el("button", { type: "button", text: "Close", on: { click: () => dialog.close() } }));
  return () => dialog.showModal();
}
