// Elements from data. Text only ever becomes text: names of parts come from a script and may hold anything.
import { reached } from "./keep.js";

export function el(tag, properties = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(properties)) {
    if (value === undefined || value === null || value === false) continue;
    if (key === "on") for (const [event, act] of Object.entries(value)) made.addEventListener(event, act);
    else if (key === "text") made.textContent = value;
    else if (key in made && typeof value !== "string") made[key] = value;
    else made.setAttribute(key, value === true ? "" : String(value));
  }
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}

export const byId = (id) => document.getElementById(id);

export function put(parent, ...children) {
  parent.replaceChildren(...children.filter((child) => child !== null && child !== undefined));
}

/** A number as people read it: at most so many digits after the point, no trailing zeros. */
export function figure(value, digits = 2) {
  const rounded = Number(value.toFixed(digits));
  return String(Object.is(rounded, -0) ? 0 : rounded).replace("-", "−");
}

export const mm = (value, digits = 2) => `${figure(value, digits)} mm`;

export function kilograms(value) {
  if (value === null || value === undefined) return "not known";
  if (value < 0.001) return `${figure(value * 1e6, 0)} mg`;
  return value < 1 ? `${figure(value * 1000, value < 0.1 ? 1 : 0)} g` : `${figure(value, 2)} kg`;
}

export const withUnit = (value, unit) =>
  unit === "°" ? `${figure(value)}°` : unit ? `${figure(value)} ${unit}` : figure(value);

export const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;

/** Up, Down, Home and End move within a list of buttons; Tab leaves it: one of them is its stop. `selector`: its buttons. What is
 *  returned is to be called whenever there are others of them, or others can be reached. */
export function walkable(list, selector) {
  const reach = () => [...list.querySelectorAll(selector)].filter(reached);
  list.addEventListener("keydown", (event) => {
    const items = reach();
    const at = items.indexOf(document.activeElement);
    const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: items.length - 1 }[event.key];
    if (at < 0 || to === undefined || !items[to]) return;
    event.preventDefault();
    items[at].tabIndex = -1;
    items[to].tabIndex = 0;
    items[to].focus();
  });
  list.addEventListener("focusin", (event) => {
    for (const each of list.querySelectorAll(`${selector}[tabindex="0"]`)) each.tabIndex = -1;
    if (event.target.matches(selector)) event.target.tabIndex = 0;
  });
  let stop = null;
  return () => {
    const items = reach();
    stop = items.find((each) => each === document.activeElement) ?? (items.includes(stop) ? stop : items[0]);
    for (const each of list.querySelectorAll(selector)) each.tabIndex = each === stop ? 0 : -1;
  };
}
