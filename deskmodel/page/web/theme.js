// Colours of the picture, from the style sheet, light or dark as the reader has it. Apart for eyes that see fewer colours too:
// blue, orange-red and purple differ in lightness as well, and nothing is told by colour alone.
import { raw } from "./evidence.js";

export function colours(view, evidence, desk) {
  const read = () => {
    const style = getComputedStyle(document.documentElement);
    const colour = (name) => style.getPropertyValue(`--${name}`).trim();
    view.colours = { picked: raw(colour("picked")) };
    ["picked", "picked", "changed", "stop"].forEach((name, i) => {
      const made = raw(colour(name));
      view.mesh.uniforms.marks.value[i].set(made.r, made.g, made.b);
    });
    Object.assign(evidence.colours, { stop: colour("stop"), room: colour("room") });
    view.background(colour("stage"));
    if (desk.record) desk.update();
  };
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", read);
  read();
}
