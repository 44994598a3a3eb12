// What is known of the part that is picked, or of the finding that is chosen.
import { byId, count, el, figure, kilograms, mm, put, withUnit } from "./dom.js";
import { exactPlace } from "./again.js";
import { KINDS } from "./desk.js";
import { keepPlace } from "./keep.js";
import { SEVERITY, weight } from "./findings_panel.js";
import { swatch } from "./parts_panel.js";

export function detailsPanel(desk, { pick, choose, measure, close, fit }) {
  const panel = byId("right");
  let shows = null; // what the card tells of: "measure", "part NAME", "finding ID NAMES"

  /** `what` as in `shows`: of the same thing the card stays as its reader left it, scrolled and unfolded. */
  function open(what, ...children) {
    const same = what === shows, title = () => panel.querySelector("h2");
    const folds = () => panel.querySelectorAll("details > summary");
    const were = new Map([...folds()].map((each) => [each.dataset.key, each.parentElement.open]));
    keepPlace(panel, same ? panel : null, () => {
      put(panel, ...children);
      if (same) for (const each of folds()) each.parentElement.open = were.get(each.dataset.key) ?? each.parentElement.open;
      panel.hidden = false;
      shows = what;
    }, { otherwise: same ? null : title });
    if (!same) panel.scrollTop = 0;
  }

  const line = (term, value) => (value === null || value === undefined || value === "" ? []
    : [el("dt", { text: term }), el("dd", {}, value)]);
  const head = (kind, title) => el("div", { class: "card-head" }, el("div", {}, el("p", { class: "kind", text: kind }), el("h2", { text: title, tabindex: "-1" })),
    el("button", { type: "button", class: "close", "data-key": "close", "aria-label": "Close details", on: { click: close }, text: "×" }));
  const button = (text, act, key, more = {}) => el("button", { type: "button", on: { click: act }, text, "data-key": key, ...more });
  const deed = (text, key, act) => button(text, act, key, { "data-act": key });

  function part(i) {
    const it = desk.part(i), { joints, findings, openings } = desk.record;
    const own = joints.filter((each) => each.a === it.name || each.b === it.name || each.hardware.includes(it.name));
    const about = findings.map((finding, n) => ({ finding, n })).filter(({ finding }) => finding.parts.includes(it.name));
    const opening = desk.openingOf.get(i);
    open(`part ${it.name}`, head(KINDS[it.kind] ?? it.kind, it.name),
      el("div", { class: "actions" },
        deed(desk.hidden.has(i) ? "Show" : "Put aside", "hide", () => { desk.hide(i); part(i); }),
        deed(desk.only ? "Show all" : "Only this", "only", () => { desk.isolate(desk.only ? null : [i]); part(i); }),
        deed(desk.ghosts.has(i) ? "Solid" : "See through", "ghost", () => { desk.ghost(i); part(i); }),
        deed("Go to", "fit", () => fit(i)),
        opening === undefined ? null : deed(desk.open.get(opening) ? "Close cover" : "Open cover", "open", () => {
          desk.open.set(opening, desk.open.get(opening) ? 0 : 1);
          desk.update();
          part(i);
        })),
      el("dl", {},
        ...line("Material", el("span", {}, swatch(desk, i), ` ${it.material}`)),
        ...line("Size", `${it.size.map((each) => figure(each)).join(" × ")} mm`),
        ...line("Mass", kilograms(it.mass)), ...line("Goods", it.text),
        ...line("Bay", it.bays.join(", ")), ...line("Place", `${it.box[0].map((each) => figure(each, 1)).join(" · ")} mm`),
        ...line("Opens", opening === undefined ? null : way(openings[opening])), ...line("Script", it.line),
        ...line("Not drawn", it.why)),
      ...(about.length ? [el("h3", { text: count(about.length, "finding", "findings") }),
        el("ul", { class: "plain" }, ...about.map(({ finding, n }) => el("li", {}, el("button", { type: "button",
          class: `finding ${weight(finding)}`, "data-key": `finding ${n}`, on: { click: () => choose(n) } },
        el("span", { class: "what", text: finding.message })))))] : []),
      ...features(it), faces(it),
      ...(own.length ? [el("h3", { text: count(own.length, "joint", "joints") }), el("ul", { class: "plain joints" },
        ...own.map((each) => el("li", {}, el("span", { text: each.text || each.kind }),
          ...[each.a, each.b].filter((name) => name !== it.name).map(partLink),
          each.hardware.length ? el("small", { text: ` ${count(each.hardware.length, "piece", "pieces")} of hardware` }) : null)))] : []));
  }

  const way = (opening) => [opening.lift ? `lifts ${mm(opening.lift.travel)}` : `turns ${figure(opening.turn.angle)}°`,
    opening.tool ? `with ${opening.tool}` : "by hand"].join(", ");

  function features(it) {
    const stages = new Map();
    for (const each of it.exact.features) {
      if (!stages.has(each.stage)) stages.set(each.stage, []);
      stages.get(each.stage).push(each);
    }
    if (!stages.size) return [];
    return [el("h3", { text: "What is done to it" }), ...[...stages].map(([stage, items]) => el("details", { class: "stage", open: items.length < 9 },
      el("summary", { "data-key": `stage ${stage}` }, el("span", { text: stage }), el("span", { class: "number", text: items.length })),
      el("ul", { class: "plain" }, ...items.map((each) => el("li", {},
        el("span", {}, el("span", { text: each.name === each.what ? each.what : `${each.what} ${each.name}` }),
          el("small", { text: [each.text, each.on && `${each.on}`, each.purpose !== "shape" && each.purpose].filter(Boolean).join(" · ") })),
        measurable(it, each))))))];
  }

  /** A button that measures from the feature where it has one axis. */
  function measurable(it, feature) {
    const axis = feature.axes.length === 1 ? feature.axes[0] : null;
    if (!axis) return null;
    return button("measure", () => measure(exactPlace(it, { kind: "axis", line: axis, of: feature })),
      `feature ${it.exact.features.indexOf(feature)} ${feature.name}`, { class: "small" });
  }

  function faces(it) {
    const own = it.exact.faces;
    if (!own.length) return null;
    return el("details", { class: "stage" }, el("summary", { "data-key": "faces" }, el("span", { text: "Faces to measure from" }),
      el("span", { class: "number", text: own.length })),
    el("ul", { class: "plain" }, ...own.map(([name, line]) => el("li", {}, el("span", { text: name }),
      button("measure", () => measure(exactPlace(it, { kind: "plane", line, of: null, name })), `face ${name}`, { class: "small" })))));
  }

  const partLink = (name) => {
    const i = desk.byName.get(name);
    return i === undefined ? el("span", { text: name }) : button(name, () => pick(i), `part ${name}`, { class: "link" });
  };

  function finding(n, shown) {
    const it = desk.record.findings[n], kind = weight(it);
    open(`finding ${it.id} ${it.parts.join(" ")}`, head(`${SEVERITY[kind].sign} ${kind === "accepted" ? "accepted" : it.severity === "stop" ? "stops the build" : it.severity === "warn" ? "warning" : "note"}`, it.title),
      el("p", { class: "message", text: it.message }),
      el("dl", {},
        ...line("Measured", it.measured === null ? null : withUnit(it.measured, it.unit)),
        ...line("Required", it.required === null ? null : withUnit(it.required, it.unit)),
        ...line("What to do", it.remedy), ...line("Accepted because", it.accepted),
        ...line("Required by", it.source), ...line("Script", it.lines.join(", "))),
      el("h3", { text: "Parts" }), el("ul", { class: "plain" }, ...it.parts.map((name) => el("li", {}, partLink(name)))),
      el("p", { class: "shown", text: told(it, shown) }), el("small", { text: `check ${it.id}` }));
  }

  function told(it, shown) {
    if (shown.bodies) return "In the picture: the room that both take, in red; everything else steps back.";
    if (shown.span !== null) return `In the picture: the line along which it was measured, ${mm(shown.span)} long.`;
    return shown.ring ? "In the picture: a ring at the place." : "This finding has no single place to show.";
  }

  /** The focus does not fall with the card: the picture takes it. */
  function shut() {
    if (panel.contains(document.activeElement)) byId("picture").focus({ preventScroll: true });
    panel.hidden = true;
    put(panel);
    shows = null;
  }

  return { part, finding, open, head, close: shut, get shows() { return shows; } };
}
