// From a soup of triangles to shared vertices, by exact position.
import { type Mesh, meshOf, NONE } from './mesh.ts';

export interface Welded {
  readonly mesh: Mesh;
  /** Triangles left out because two of their corners fell on one vertex. */
  readonly dropped: number;
}

/** Joins corners with bit-equal coordinates (-0 equals 0). corners: 9 per triangle, mm, finite. Vertices are numbered in order
 *  of first use. Cost: O(n), about 0.2 s per million triangles in the order a program writes them, three times that when they are
 *  shuffled; some 40 bytes a corner. Method: open addressing over the coordinates' bits; docs/methods/weld.md.
 *  Weak: corners a rounding apart stay apart (the next step repairs). */
export function weldSoup(corners: Float32Array | Float64Array): Welded {
  const numCorners = Math.trunc(corners.length / 9) * 3;
  const vertOfCorner = new Uint32Array(numCorners);
  const firstCorner = new Uint32Array(numCorners);
  const hashOf = corners instanceof Float32Array ? hashSingles(corners) : hashDoubles(corners);
  let table = openTable(numCorners / 3);
  let count = 0;
  for (let corner = 0; corner < numCorners; corner++) {
    const at = corner * 3;
    const x = corners[at]!;
    const y = corners[at + 1]!;
    const z = corners[at + 2]!;
    const hash = hashOf(at);
    const { slots, mask } = table;
    let slot = hash & mask;
    let vert = slots[slot * 2]!;
    while (vert !== NONE) {
      if (slots[slot * 2 + 1] === hash) {
        const other = firstCorner[vert]! * 3;
        if (corners[other] === x && corners[other + 1] === y && corners[other + 2] === z) break;
      }
      slot = (slot + 1) & mask;
      vert = slots[slot * 2]!;
    }
    if (vert === NONE) {
      vert = count++;
      slots[slot * 2] = vert;
      slots[slot * 2 + 1] = hash;
      firstCorner[vert] = corner;
      if (count * 2 > mask) table = doubled(table);
    }
    vertOfCorner[corner] = vert;
  }
  return dropCollapsed(meshOf(positionsAt(corners, firstCorner, count), vertOfCorner));
}

/** The same for a mesh with shared vertices already: joins vertices at bit-equal positions. */
export function weldMesh(mesh: Mesh): Welded {
  const corners = new Float64Array(mesh.triangles.length * 3);
  for (let h = 0; h < mesh.triangles.length; h++) {
    const v = mesh.triangles[h]! * 3;
    corners[h * 3] = mesh.positions[v]!;
    corners[h * 3 + 1] = mesh.positions[v + 1]!;
    corners[h * 3 + 2] = mesh.positions[v + 2]!;
  }
  return weldSoup(corners);
}

/** Leaves out vertices that no triangle uses; keeps the order of the others. Cost: O(n). */
export function compactMesh(mesh: Mesh): Mesh {
  const newVert = new Int32Array(mesh.positions.length / 3).fill(NONE);
  for (const v of mesh.triangles) newVert[v] = 0;
  let count = 0;
  for (let v = 0; v < newVert.length; v++) if (newVert[v] !== NONE) newVert[v] = count++;
  if (count === newVert.length) return mesh;
  const positions = new Float64Array(count * 3);
  for (let v = 0; v < newVert.length; v++) {
    const to = newVert[v]!;
    if (to === NONE) continue;
    for (let c = 0; c < 3; c++) positions[to * 3 + c] = mesh.positions[v * 3 + c]!;
  }
  return meshOf(
    positions,
    mesh.triangles.map((v) => newVert[v]!),
  );
}

function dropCollapsed(mesh: Mesh): Welded {
  const { triangles } = mesh;
  let kept = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    if (a === b || b === c || c === a) continue;
    triangles[kept] = a;
    triangles[kept + 1] = b;
    triangles[kept + 2] = c;
    kept += 3;
  }
  const dropped = (triangles.length - kept) / 3;
  if (dropped === 0) return { mesh, dropped };
  return { mesh: inOrderOfUse(mesh.positions, triangles.slice(0, kept)), dropped };
}

/** Vertices that only left-out triangles used are gone, and the others count as if those triangles had never been. */
function inOrderOfUse(positions: Float64Array, triangles: Uint32Array): Mesh {
  const newVert = new Int32Array(positions.length / 3).fill(NONE);
  const used = new Float64Array(positions.length);
  let count = 0;
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]!;
    if (newVert[v] === NONE) {
      for (let c = 0; c < 3; c++) used[count * 3 + c] = positions[v * 3 + c]!;
      newVert[v] = count++;
    }
    triangles[h] = newVert[v]!;
  }
  return meshOf(used.slice(0, count * 3), triangles);
}

function positionsAt(corners: Float32Array | Float64Array, firstCorner: Uint32Array, count: number): Float64Array {
  const positions = new Float64Array(count * 3);
  for (let vert = 0; vert < count; vert++) {
    const at = firstCorner[vert]! * 3;
    // + 0 turns -0 into 0
    positions[vert * 3] = corners[at]! + 0;
    positions[vert * 3 + 1] = corners[at + 1]! + 0;
    positions[vert * 3 + 2] = corners[at + 2]! + 0;
  }
  return positions;
}

/** Slots of two numbers, vertex and hash, side by side in memory. */
interface Table {
  readonly slots: Int32Array;
  readonly mask: number;
}

/** Room for `expected` vertices at half full or less. */
function openTable(expected: number): Table {
  let size = 1024;
  while (size < expected) size *= 2;
  return { slots: new Int32Array(size * 2).fill(NONE), mask: size - 1 };
}

function doubled(table: Table): Table {
  const out = openTable((table.mask + 1) * 2);
  for (let i = 0; i < table.slots.length; i += 2) {
    const vert = table.slots[i]!;
    if (vert === NONE) continue;
    let slot = table.slots[i + 1]! & out.mask;
    while (out.slots[slot * 2] !== NONE) slot = (slot + 1) & out.mask;
    out.slots[slot * 2] = vert;
    out.slots[slot * 2 + 1] = table.slots[i + 1]!;
  }
  return out;
}

function hashSingles(corners: Float32Array): (at: number) => number {
  const bits = new Uint32Array(corners.buffer, corners.byteOffset, corners.length);
  return (at) => {
    // -0 equals 0, so both must hash alike
    const x = bits[at]! === 0x80000000 ? 0 : bits[at]!;
    const y = bits[at + 1]! === 0x80000000 ? 0 : bits[at + 1]!;
    const z = bits[at + 2]! === 0x80000000 ? 0 : bits[at + 2]!;
    return mix(x, y, z);
  };
}

function hashDoubles(corners: Float64Array): (at: number) => number {
  const bits = new Uint32Array(corners.buffer, corners.byteOffset, corners.length * 2);
  const word = (at: number): number => {
    const low = bits[2 * at]!;
    const high = bits[2 * at + 1]!;
    return low === 0 && high === 0x80000000 ? 0 : low ^ Math.imul(high, 0x9e3779b1);
  };
  return (at) => mix(word(at), word(at + 1), word(at + 2));
}

function mix(x: number, y: number, z: number): number {
  let h = Math.imul(x, 0x85ebca6b) ^ Math.imul(y, 0xc2b2ae35) ^ Math.imul(z, 0x27d4eb2f);
  h ^= h >>> 15;
  h = Math.imul(h, 0x2c1b3c6d);
  h ^= h >>> 13;
  return h | 0;
}
