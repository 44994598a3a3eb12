// Findings by severity. Choosing one flies to its place and shows what it is shown by.
import { byId, count, el, put, walkable, withUnit } from "./dom.js";
import { keepPlace } from "./keep.js";

export const SEVERITY = {
  stop: { sign: "■", one: "stops the build", many: "stop the build" }, warn: { sign: "▲", one: "warning", many: "warnings" },
  note: { sign: "●", one: "note", many: "notes" }, accepted: { sign: "○", one: "accepted", many: "accepted" },
};
const ORDER = ["stop", "warn", "note", "accepted"];
export const weight = (finding) => (finding.accepted !== null ? "accepted" : finding.severity);

export function findingsPanel(desk, { choose }) {
  const panel = byId("findings");
  const fresh = walkable(panel, "button.finding");
  let chosen = null;

  /** `carried`: number of a finding before -> its number now, see same_finding.js. */
  function show(carried) {
    keepPlace(panel, panel, rows, { become: (key) => `finding ${carried.get(Number(key?.split(" ")[1]))}` });
  }

  function rows() {
    const { findings, round } = desk.record;
    const news = new Set(round?.changes?.new ?? []);
    const groups = ORDER.map((kind) => [kind, findings.map((finding, i) => ({ finding, i }))
      .filter(({ finding }) => weight(finding) === kind)]).filter(([, items]) => items.length);
    const gone = (round?.changes?.gone ?? []).map((each) => el("li", { class: "gone", text: `gone: ${each.message}` }));
    put(panel, ...(findings.length ? [] : [el("p", { class: "empty", text: open(desk.record).length
      ? "Nothing was found, but not everything was checked." : "Nothing is left to say: everything that was checked fits." })]),
    gone.length ? el("ul", { class: "plain" }, ...gone) : null,
    ...groups.map(([kind, items]) => el("section", { class: `group ${kind}` },
      el("h2", {}, el("span", { class: "sign", text: SEVERITY[kind].sign, "aria-hidden": "true" }),
        ` ${count(items.length, SEVERITY[kind].one, SEVERITY[kind].many)}`),
      el("ul", { class: "plain" }, ...items.map(({ finding, i }) => el("li", {}, row(finding, i, news.has(i))))))));
    fresh();
    mark();
    byId("tab-findings").textContent = findings.length ? `Findings ${findings.length}` : "Findings";
  }

  function row(finding, i, isNew) {
    const figures = finding.measured === null ? null : el("span", { class: "figures", text: finding.required === null
      ? withUnit(finding.measured, finding.unit)
      : `${withUnit(finding.measured, finding.unit)}; ${withUnit(finding.required, finding.unit)} required` });
    return el("button", { class: `finding ${weight(finding)}`, type: "button", "data-finding": i, "data-key": `finding ${i}`,
      on: { click: () => choose(i) } },
      el("span", { class: "what" }, isNew ? el("strong", { class: "new", text: "new " }) : null, finding.title),
      el("span", { class: "who", text: finding.parts.join(" · ") }), figures);
  }

  function mark() {
    for (const each of panel.querySelectorAll("[data-finding]")) {
      each.setAttribute("aria-current", Number(each.dataset.finding) === chosen ? "true" : "false");
    }
  }

  return { show, mark(i) { chosen = i; mark(); } };
}

const open = (record) => record.checks.filter((each) => each.outcome === "not-checked" || each.outcome === "crashed");
const leftOut = (record) => open(record).filter((each) => each.reason === "left out");
const undone = (record) => open(record).filter((each) => each.reason !== "left out");

export function checksPanel(desk) {
  const { checks, findings } = desk.record;
  const numbers = new Map();
  for (const each of findings) numbers.set(each.id, (numbers.get(each.id) ?? 0) + 1);
  const words = { passed: "✓", findings: "■", "not-checked": "?", crashed: "✕" };
  put(byId("checks"), el("ul", { class: "plain checks" }, ...checks.map((each) => el("li", { class: each.outcome },
    el("span", { class: "sign", text: words[each.outcome] ?? "?" }),
    el("span", {}, el("span", { text: each.title }), el("small", { text: [each.id, outcome(each, numbers.get(each.id) ?? 0)].join(" · ") }))))));
}

function outcome(check, number) {
  if (check.outcome === "findings") return count(number, "finding", "findings");
  if (check.outcome === "passed") return "passed";
  return `${check.outcome === "crashed" ? "crashed" : "not checked"}${check.reason ? `: ${check.reason}` : ""}`;
}

/** The sentence on top: may it be built? What was not done holds it back as a finding does; what was left out, nobody judged. */
export function verdict(record) {
  const stops = record.findings.filter((each) => each.severity === "stop" && each.accepted === null).length;
  const missing = undone(record).length, left = leftOut(record).length, warns = record.findings.filter((each) => weight(each) === "warn").length;
  if (stops) return { kind: "stop", text: `${count(stops, "finding stops", "findings stop")} the build` };
  if (missing) return { kind: "stop", text: `${count(missing, "check", "checks")} not done: that holds the build back` };
  if (left) return { kind: "stop", text: `Not judged as a whole: ${count(left, "check was", "checks were")} left out` };
  return { kind: "good", text: warns ? `Nothing stops the build; ${count(warns, "warning", "warnings")}` : "Nothing stops the build" };
}
