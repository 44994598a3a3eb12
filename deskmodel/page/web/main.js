// Puts the page together: a desk, a picture of it, lists beside it. Each thing that can be done is done here once, whether it
// comes from a click, a key or a list.
import { Vector3 } from "three";
import { byId, count, el, figure, kilograms } from "./dom.js";
import { embedded } from "./decode.js";
import { Desk } from "./desk.js";
import { detailsPanel } from "./details_panel.js";
import { Evidence } from "./evidence.js";
import { checksPanel, findingsPanel, verdict, weight } from "./findings_panel.js";
import { gestures } from "./gestures.js";
import { hook } from "./hook.js";
import { live } from "./live.js";
import { measuring } from "./measure.js";
import { outline } from "./outline.js";
import { partsPanel } from "./parts_panel.js";
import { carried } from "./same_finding.js";
import { seenAt } from "./seen.js";
import { tabs } from "./tabs.js";
import { colours } from "./theme.js";
import { keysDialog, tools } from "./tools.js";
import { View } from "./view.js";

const canvas = byId("picture");
const MUCH = 2; // so many times as long, and a desk is another one to the eye
const page = { finding: null, shown: null, told: null };

async function start() {
  const view = new View(canvas, byId("overlay"));
  for (const id of ["overlay", "views", "tools"]) byId(id).hidden = view.blind !== null;
  const desk = new Desk(view), evidence = new Evidence(view);
  colours(view, evidence, desk);
  outline(view, desk);

  let fitted = null; // the box of the desk that the whole was last seen of
  const fitBox = (low, high, margin, to = {}) => {
    if (to.turn !== undefined) Object.assign(view.eye, { turn: to.turn, tilt: to.tilt, flight: null });
    view.eye.fly(view.eye.fitting(low, high, margin, view.free));
  };
  const fit = (toPicked, to) => {
    if (toPicked && desk.picked !== null) {
      const [low, high] = desk.boxOf(desk.picked).map((corner) => new Vector3(...corner));
      return fitBox(low, high, 0.5, to);
    }
    fitted = desk.record.figures.box;
    return fitBox(...desk.box, 0.06, to);
  };
  const act = {
    pick(i) {
      page.finding = null;
      findings.mark(null);
      evidence.clear();
      desk.focus = null;
      desk.pick(i);
      if (i === null) details.close(); else details.part(i);
    },
    choose(i) {
      if (measure.on) measure.stop();
      const finding = desk.record.findings[i];
      const about = partsOf(desk, finding);
      about.forEach((each) => { desk.hidden.delete(each); desk.ghosts.delete(each); });
      parts.reset();
      bar.closeAll();
      desk.open.clear();
      Object.assign(desk, { apart: 0, only: null, picked: null, filter: { text: "", kind: "", bay: "" } });
      if (finding.id === "cover-strikes") openUntil(desk, finding);
      act.tell(i, about);
      const way = finding.evidence?.span && view.eye.across(...finding.evidence.span);
      if (way) Object.assign(view.eye, way);
      if (evidence.box) fitBox(...roomy(evidence.box), 0.2);
      else if (about.size) fitBox(...union([...about].map((each) => desk.boxOf(each))), 0.3);
    },
    /** Show a finding from where one looks now. */
    tell(i, about) {
      const finding = desk.record.findings[i];
      page.finding = i;
      desk.focus = about.size && finding.point ? about : null;
      page.shown = evidence.show(finding, desk.shapes);
      desk.clear = page.shown.span !== null;
      desk.update();
      findings.mark(i);
      details.finding(i, page.shown);
    },
    step(by) {
      const order = ["stop", "warn", "note", "accepted"].flatMap((kind) => desk.record.findings.map((each, i) => [each, i])
        .filter(([each]) => weight(each) === kind).map(([, i]) => i));
      if (!order.length) return;
      const at = order.indexOf(page.finding);
      act.choose(order[at < 0 ? (by > 0 ? 0 : order.length - 1) : (at + by + order.length) % order.length]);
    },
    everything() {
      evidence.clear();
      page.finding = null;
      findings.mark(null);
      desk.open.clear();
      desk.apart = 0;
      bar.closeAll();
      if (measure.on) measure.stop();
      desk.picked = null;
      desk.everything();
      parts.reset();
      details.close();
    },
    close() {
      if (measure.on) measure.stop();
      act.pick(null);
      canvas.focus({ preventScroll: true });
    },
    see(x, y) {
      const seen = seenAt(view, desk, x, y);
      if (measure.on) { if (seen?.place) measure.take(seen); return; }
      act.pick(seen === null ? null : seen.part);
    },
  };
  const details = detailsPanel(desk, { pick: act.pick, choose: act.choose, measure: (place) => measure.take(place),
    close: act.close, fit: (i) => { desk.picked = i; fit(true); } });
  const measure = measuring(view, desk, details, { onChange: (on) => bar.measuring(on) });
  const findings = findingsPanel(desk, { choose: act.choose });
  const parts = partsPanel(desk, { pick: act.pick });
  const toggleMeasure = () => { if (measure.on) { measure.stop(); details.close(); } else { act.pick(null); measure.start(); } };
  const keys = keysDialog();
  const bar = tools(view, desk, { fit, everything: act.everything, keys, measuring: toggleMeasure });
  tabs();
  gestures(view, { pick: act.see, fit, key: (key) => {
    const i = desk.picked, one = (work) => { if (i !== null) { work(i); details.part(i); } };
    const found = { h: () => one((n) => desk.hide(n)), t: () => one((n) => desk.ghost(n)),
      o: () => { if (desk.only) desk.isolate(null); else one((n) => desk.isolate([n])); }, g: () => fit(true), m: toggleMeasure,
      n: () => act.step(1), b: () => act.step(-1), a: act.everything, escape: act.close, "?": keys,
      enter: () => act.see(view.width / 2, view.middle) }[key];
    found?.();
    return Boolean(found);
  } });

  let first = true;
  /** Before there is a desk nothing can be done with it. */
  function begin() {
    for (const id of ["left", "picture", "views", "tools"]) byId(id).inert = false;
    byId("last-good").hidden = false;
    first = false;
    say(resting());
  }

  /** The reader's own view stays, but not where there was nothing to see, or something else altogether. */
  function follow({ box }) {
    if (box === null || (fitted !== null && !another(fitted, box))) return;
    if (fitted === null) {
      view.prepare();
      Object.assign(view.eye, { flight: null }, view.eye.fitting(...desk.box, 0.06, view.free));
      fitted = box;
    } else fit(false);
  }

  /** What is said over the picture while all is well. */
  function resting() {
    if (first) return byId("fault").hidden ? "Waiting for the first check …" : "There is no desk to show yet.";
    return view.blind && `This browser cannot draw in three dimensions (WebGL 2): ${view.blind.replace(/\.+$/, "")}. `
      + "The lists beside tell the same; report.html has a picture of each finding.";
  }
  async function show(record, fetched) {
    const before = desk.record?.findings ?? [];
    const made = await desk.decoded(record, fetched); // before anything is drawn anew: a frame of the old desk helps nobody
    evidence.clear();
    desk.take(record, made);
    if (first) begin();
    heading(record, desk.changed.size);
    const now = carried(before, record.findings);
    findings.show(now);
    parts.show();
    checksPanel(desk);
    follow(record.figures);
    cards(now);
    await view.settled();
    document.documentElement.dataset.ready = "true";
  }

  /** What was told of the desk before, told of this one, or no more. */
  function cards(now) {
    const still = page.finding === null ? null : now.get(page.finding) ?? null;
    if (page.finding !== null && still === null) {
      page.finding = null;
      findings.mark(null);
      details.close();
    } else if (still !== null) act.tell(still, partsOf(desk, desk.record.findings[still]));
    if (details.shows?.startsWith("part ")) { if (desk.picked === null) details.close(); else details.part(desk.picked); }
    if (measure.on && !measure.renew()) {
      if (details.shows === "measure") details.close();
      measure.stop();
    }
  }

  hook({ view, desk, act, measure, page, fit, seen: (x, y) => seenAt(view, desk, x, y) });
  if (document.getElementById("scene")) {
    const { record, shapes } = embedded();
    await show(record, shapes);
  } else {
    say(resting());
    live({ show, tell, known: (key) => desk.shapes.has(key), fault: (text) => {
      byId("fault").hidden = text === null;
      byId("fault").querySelector("pre").textContent = text ?? "";
      byId("desk").removeAttribute("aria-busy");
    }, lost: (text) => say(text ?? resting()) });
  }
}

const partsOf = (desk, finding) => new Set(finding.parts.map((name) => desk.byName.get(name)).filter((each) => each !== undefined));

/** Open a cover as far as it gets before it strikes. */
function openUntil(desk, { parts, measured, required }) {
  const opening = desk.record.openings.findIndex((each) => each.cover === parts[0]);
  if (opening >= 0 && measured && required) desk.open.set(opening, Math.min(1, measured / required));
}

function heading(record, changed) {
  const { figures } = record, box = figures.box;
  document.title = `${record.name} · desk`;
  byId("name").textContent = record.name;
  byId("facts").textContent = [count(record.parts.length, "part", "parts"),
    box && `${box[1].map((each, i) => figure(each - box[0][i], 1)).join(" × ")} mm`, weighed(record),
    `revision ${record.revision}`, ...Object.entries(record.parameters).map(([key, value]) => `${key} ${value}`)].filter(Boolean).join(" · ");
  const said = judged(record);
  if (changed) byId("news").append(el("span", { class: "changed", text: ` ◆ ${count(changed, "part", "parts")} changed` }));
  byId("unreleased").hidden = record.unreleased === null;
  byId("unreleased").textContent = record.unreleased === null ? "" : `UNRELEASED: do not build from this. ${record.unreleased}`;
  canvas.setAttribute("aria-label", `${record.name}, ${count(record.parts.length, "part", "parts")}. ${said.text}.`);
}

/** The desk's mass, and of how many parts it is not; of a desk without parts nothing. */
function weighed({ parts, figures: { mass, unweighed } }) {
  if (!parts.length) return null;
  if (mass === null || unweighed.length === parts.length) return "mass not known";
  return kilograms(mass) + (unweighed.length ? ` without ${count(unweighed.length, "part", "parts")}` : "");
}

/** Whether a box is so much larger, smaller or elsewhere than another that a view of this shows little of that. */
function another(a, b) {
  const [one, other] = [a, b].map(([low, high]) => ({ low: new Vector3(...low), high: new Vector3(...high) }));
  const long = one.low.distanceTo(one.high), longer = other.low.distanceTo(other.high);
  const away = one.low.add(one.high).distanceTo(other.low.add(other.high)) / 2;
  return longer > MUCH * long || long > MUCH * longer || away > Math.max(long, longer) / 2;
}

/** What is known of a round before its desk is there: that it has begun (`begun`), what it came to, or its fault. What is
 *  shown is of the desk before until then. */
function tell(said) {
  page.told = said;
  if (said.fault) byId("desk").removeAttribute("aria-busy");
  else byId("desk").setAttribute("aria-busy", "true");
  judged(said);
}

/** Write down the verdict of what was told or shown, whichever is newer. */
function judged(newest) {
  if (page.told?.number > (newest.round?.number ?? newest.number ?? 0)) newest = page.told;
  const said = newest.begun ? { kind: "none", sign: "… ", text: "Checking" }
    : newest.fault ?? newest.round?.fault ? { kind: "none", sign: "? ", text: "Not checked" } : verdict(newest);
  const node = byId("verdict");
  node.className = said.kind;
  node.replaceChildren(el("span", { "aria-hidden": "true",
    text: said.sign ?? { stop: "■ ", warn: "▲ ", good: "✓ " }[said.kind] }), said.text);
  const changes = newest.round ? newest.round.changes : newest.changes;
  const number = (what) => (newest.round ? changes?.[what].length : changes?.[what]) ?? 0;
  byId("news").textContent = number("new") || number("gone") ? `${number("new")} new · ${number("gone")} gone` : "";
  return said;
}

function say(text) {
  const node = byId("loading");
  node.hidden = text === null;
  node.textContent = text ?? "";
}

/** A box at least 60 mm wide, so that the place of a finding is seen with what is about it. */
function roomy([low, high]) {
  const middle = low.clone().add(high).multiplyScalar(0.5);
  const half = high.clone().sub(low).multiplyScalar(0.5).max(new Vector3(30, 30, 30));
  return [middle.clone().sub(half), middle.clone().add(half)];
}

function union(boxes) {
  const low = new Vector3(...boxes[0][0]), high = new Vector3(...boxes[0][1]);
  for (const [from, to] of boxes) { low.min(new Vector3(...from)); high.max(new Vector3(...to)); }
  return [low, high];
}

start().catch((error) => { say(`The desk cannot be shown: ${error.message}`); throw error; });
