// Which finding of a new round is the one that was there before: of the same check about the same parts, and of several such
// the nearest.

const key = (finding) => JSON.stringify([finding.id, finding.parts, finding.accepted]);

/** Index in `before` -> index in `after`; what is gone has none. No two become one. */
export function carried(before, after) {
  const groups = new Map();
  before.forEach((finding, i) => {
    const of = key(finding);
    if (!groups.has(of)) groups.set(of, { old: [], now: [] });
    groups.get(of).old.push(i);
  });
  after.forEach((finding, i) => groups.get(key(finding))?.now.push(i));
  const to = new Map();
  for (const { old, now } of groups.values()) {
    const pairs = old.flatMap((i) => now.map((j) => ({ i, j, ...apart(before[i], after[j]) })));
    const taken = new Set();
    for (const { i, j } of pairs.sort((a, b) => a.far - b.far || a.other - b.other)) {
      if (to.has(i) || taken.has(j)) continue;
      to.set(i, j);
      taken.add(j);
    }
  }
  return to;
}

/** `far`: mm between their places, a large number where only one has a place; `other`: by how much they say something else. */
function apart(a, b) {
  const far = a.point && b.point ? Math.hypot(...a.point.map((each, k) => each - b.point[k])) : a.point || b.point ? 1e9 : 0;
  return { far, other: 2 * (a.required !== b.required) + (a.message !== b.message) };
}
