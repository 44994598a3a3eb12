// All parts, grouped by kind, equal hardware together; filtered as the picture is.
import { byId, count, el, put, walkable } from "./dom.js";
import { KINDS } from "./desk.js";
import { keepPlace } from "./keep.js";

export function partsPanel(desk, { pick }) {
  const list = byId("list"), name = byId("by-name"), kind = byId("by-kind"), bay = byId("by-bay"), shown = byId("shown");
  const fresh = walkable(list, "button");
  const opened = new Set(["Members", "Equipment", "Plates", "Covers"]);
  byId("filter").addEventListener("submit", (event) => event.preventDefault());
  const filter = () => desk.set({ filter: { text: name.value.trim(), kind: kind.value, bay: bay.value }, focus: null });
  for (const field of [name, kind, bay]) field.addEventListener("input", () => { filter(); rows(); });

  function show() {
    const { parts, bays } = desk.record;
    const there = new Set(parts.map((part) => part.kind));
    options(kind, "all", Object.entries(KINDS).filter(([each]) => there.has(each)));
    options(bay, "all", bays.map((each) => [each.name, each.name]));
    byId("tab-parts").textContent = `Parts ${parts.length}`;
    if (kind.value !== desk.filter.kind || bay.value !== desk.filter.bay) filter(); // what it asked for is gone
    rows();
  }

  function options(field, all, pairs) {
    const was = field.value;
    put(field, el("option", { value: "", text: all }), ...pairs.map(([value, text]) => el("option", { value, text })));
    field.value = pairs.some(([value]) => value === was) ? was : "";
  }

  function rows() {
    const { parts } = desk.record, groups = new Map();
    parts.forEach((part, i) => {
      if (!desk.within(i)) return;
      const title = KINDS[part.kind] ?? part.kind;
      if (!groups.has(title)) groups.set(title, []);
      groups.get(title).push(i);
    });
    const searching = Object.values(desk.filter).some(Boolean);
    keepPlace(list, byId("parts"), () => {
      put(list, ...[...groups].map(([title, items]) => group(title, items, searching)));
      fresh();
      mark();
    });
  }

  function group(title, items, searching) {
    const made = el("details", { class: "kind", open: opened.has(title) || (searching && items.length < 60) },
      el("summary", { "data-key": `group ${title}` }, el("span", { text: title }), el("span", { class: "number", text: items.length })));
    const fill = () => {
      if (made.open && made.childElementCount === 1) made.append(el("ul", { class: "plain" }, ...items.map(row)));
      mark();
    };
    let known = made.open;
    made.addEventListener("toggle", () => {
      if (made.open === known) return; // said of every group that is made open, too
      known = made.open;
      if (made.open) opened.add(title); else if (!searching) opened.delete(title);
      fill();
      fresh();
    });
    fill();
    return made;
  }

  const row = (i) => el("li", {}, el("button", { type: "button", class: "part", "data-part": i,
    "data-key": `part ${desk.part(i).name}`, on: { click: () => pick(i) } }, swatch(desk, i), el("span", { class: "label", text: desk.part(i).name })));

  function mark() {
    const said = `${desk.now.filter((each) => each.shown).length} of ${count(desk.now.length, "part", "parts")} shown`;
    if (shown.textContent !== said) shown.textContent = said; // it is read out whenever it is written
    for (const each of list.querySelectorAll("[data-part]")) {
      const i = Number(each.dataset.part);
      each.setAttribute("aria-current", i === desk.picked ? "true" : "false");
      each.classList.toggle("away", desk.hidden.has(i) || Boolean(desk.only && !desk.only.has(i)));
      each.classList.toggle("changed", desk.changed.has(i));
    }
  }

  desk.addEventListener("change", mark);
  desk.addEventListener("picked", () => list.querySelector(`[data-part="${desk.picked}"]`)?.scrollIntoView({ block: "nearest" }));
  return { show, reset() { name.value = kind.value = bay.value = ""; rows(); } };
}

export function swatch(desk, i) {
  const { colour } = desk.record.materials[desk.part(i).material];
  const made = el("span", { class: "swatch", "aria-hidden": "true" });
  made.style.background = `rgb(${colour.map((each) => Math.round(255 * each)).join(" ")})`;
  return made;
}
