// Tabs after the pattern of the ARIA practices: arrows move, what is chosen is shown.
export function tabs() {
  const all = [...document.querySelectorAll('[role="tab"]')];
  const choose = (tab) => {
    for (const each of all) {
      const on = each === tab;
      each.setAttribute("aria-selected", on);
      each.tabIndex = on ? 0 : -1;
      document.getElementById(each.getAttribute("aria-controls")).hidden = !on;
    }
  };
  for (const [i, tab] of all.entries()) {
    tab.addEventListener("click", () => choose(tab));
    tab.addEventListener("keydown", (event) => {
      const to = { ArrowRight: i + 1, ArrowLeft: i - 1 + all.length }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      const next = all[to % all.length];
      choose(next);
      next.focus();
    });
  }
}
