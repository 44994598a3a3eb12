// From welded triangles to what is drawn: corners doubled where faces of the solid meet, one normal for each.

/** {position, normal (Int16, 32767 is 1), index, edge (positions of the drawn edges, 6 for each)}. */
export function drawable(shape) {
  const { positions, triangles, faces, edges } = shape;
  const corners = new Uint32Array(triangles.length);
  const source = new Uint32Array(triangles.length); // at most: every corner its own
  const numbers = new Int32Array(positions.length / 3);
  const stamp = new Int32Array(positions.length / 3).fill(-1);
  let made = 0, at = 0;
  for (let face = 0; face < faces.length; face++) {
    for (const end = at + 3 * faces[face]; at < end; at++) {
      const vertex = triangles[at];
      if (stamp[vertex] !== face) {
        stamp[vertex] = face;
        numbers[vertex] = made;
        source[made++] = vertex;
      }
      corners[at] = numbers[vertex];
    }
  }
  const position = new Float32Array(3 * made);
  for (let i = 0; i < made; i++) {
    const from = 3 * source[i];
    position[3 * i] = positions[from];
    position[3 * i + 1] = positions[from + 1];
    position[3 * i + 2] = positions[from + 2];
  }
  const edge = new Float32Array(3 * edges.length);
  for (let i = 0; i < edges.length; i++) for (let k = 0; k < 3; k++) edge[3 * i + k] = positions[3 * edges[i] + k];
  return { position, normal: normals(position, corners), index: corners, edge };
}

/** Means over the triangles at a corner, weighted by their angle there: they do not depend on how a face is cut up. */
function normals(p, index) {
  const sum = new Float32Array(p.length);
  const a = new Float64Array(3), b = new Float64Array(3), n = new Float64Array(3);
  for (let t = 0; t < index.length; t += 3) {
    const at = [3 * index[t], 3 * index[t + 1], 3 * index[t + 2]];
    side(p, at[0], at[1], a);
    side(p, at[0], at[2], b);
    crossed(a, b, n);
    const size = Math.hypot(n[0], n[1], n[2]);
    if (size === 0) continue;
    for (let c = 0; c < 3; c++) {
      side(p, at[c], at[(c + 1) % 3], a);
      side(p, at[c], at[(c + 2) % 3], b);
      const weight = Math.atan2(size, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / size;
      for (let k = 0; k < 3; k++) sum[at[c] + k] += weight * n[k];
    }
  }
  const out = new Int16Array(p.length);
  for (let i = 0; i < p.length; i += 3) {
    const length = Math.hypot(sum[i], sum[i + 1], sum[i + 2]);
    if (length === 0) { out[i + 2] = 32767; continue; }
    for (let k = 0; k < 3; k++) out[i + k] = Math.round((32767 * sum[i + k]) / length);
  }
  return out;
}

function side(p, from, to, out) {
  for (let k = 0; k < 3; k++) out[k] = p[to + k] - p[from + k];
}

function crossed(a, b, out) {
  out[0] = a[1] * b[2] - a[2] * b[1];
  out[1] = a[2] * b[0] - a[0] * b[2];
  out[2] = a[0] * b[1] - a[1] * b[0];
}
