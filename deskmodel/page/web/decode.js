// The record and the shapes, out of the page itself. A block of bytes is described in ../shape_blob.py.

const MAGIC = 0x31534d44; // "DMS1", little-endian
const HEADER = 28;

export function embedded() {
  const record = JSON.parse(document.getElementById("scene").textContent);
  const index = JSON.parse(document.getElementById("index").textContent);
  const packed = unpacked(document.getElementById("shapes").textContent);
  document.getElementById("shapes").remove(); // a second copy of the desk that nobody needs
  const shapes = new Map();
  let at = 0;
  for (const { key, bytes } of index) {
    shapes.set(key, packed.subarray(at, at + bytes));
    at += bytes;
  }
  return { record, shapes };
}

function unpacked(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i++) bytes[i] = letters.charCodeAt(i);
  return bytes;
}

/** {positions (3n, mm), triangles (3m), faces (f), edges (2e), chord}, or an Error that says what is wrong. */
export async function decodeShape(bytes) {
  const head = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.byteLength < HEADER || head.getUint32(0, true) !== MAGIC) throw new Error("not a shape of this page");
  const [n, m, f, e, units] = [4, 8, 12, 16, 20].map((at) => head.getUint32(at, true));
  const raw = await inflated(bytes.subarray(HEADER));
  if (raw.length !== 4 * (3 * n + 3 * m + f + 2 * e)) throw new Error("a shape of another length than its header says");
  let at = 0;
  const next = (length) => {
    const values = unfolded(raw, at, length);
    at += 4 * length;
    return values;
  };
  const positions = new Float32Array(3 * n);
  for (let axis = 0; axis < 3; axis++) {
    const places = next(n);
    for (let i = 0; i < n; i++) positions[3 * i + axis] = places[i] / units;
  }
  const triangles = next(3 * m), faces = next(f), edges = next(2 * e);
  return { positions, triangles, faces, edges, chord: head.getFloat32(24, true) };
}

async function inflated(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** Planes of bytes to whole numbers: each is stored as its folded difference to the one before it. */
function unfolded(raw, at, length) {
  const values = new Int32Array(length);
  const b1 = at + length, b2 = b1 + length, b3 = b2 + length;
  let value = 0;
  for (let i = 0; i < length; i++) {
    const folded = (raw[at + i] | (raw[b1 + i] << 8) | (raw[b2 + i] << 16) | (raw[b3 + i] << 24)) >>> 0;
    value += folded & 1 ? -((folded + 1) / 2) : folded / 2;
    values[i] = value;
  }
  return values;
}
