// A list or a card that is built anew keeps its reader's place: how far it was scrolled, and the focus. What can be focused
// has a `data-key` that says what it is, whatever its number.

const keyed = (panel) => [...panel.querySelectorAll("[data-key]")].filter(reached);

/** Whether one gets to it by the keyboard as far as what it is folded into goes; a summary is seen while its own is closed. */
export function reached(node) {
  const fold = node.closest("details:not([open])");
  return fold === null || (node.parentElement === fold && node.tagName === "SUMMARY" && reached(fold.parentElement));
}

/** `work` builds anew what is in `panel`; `scroller` is scrolled, null where it is to begin at its top. `become`: the key that
 *  another has turned into; `otherwise`: what gets the focus where nothing has that key, else what stands in its place. */
export function keepPlace(panel, scroller, work, { become = (key) => key, otherwise = null } = {}) {
  const held = panel.contains(document.activeElement) ? document.activeElement : null;
  const at = held ? keyed(panel).indexOf(held) : -1, top = scroller?.scrollTop ?? 0;
  work();
  if (scroller && top) scroller.scrollTop = top;
  if (held === null || held.isConnected) return;
  const key = become(held.dataset.key), now = keyed(panel);
  const to = now.find((each) => each.dataset.key === key) ?? otherwise?.() ?? now[Math.min(Math.max(at, 0), now.length - 1)];
  to?.focus({ preventScroll: true });
}
