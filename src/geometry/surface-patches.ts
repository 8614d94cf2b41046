// A small stand-in for a big mesh: patches of surface about one spacing wide, each with area, normal and neighbours.
// Searches that try thousands of planes run on this and only their answer touches the mesh itself.
import type { Work } from '../base/work.ts';
import { type Mesh, NONE, numTris, numVerts } from '../mesh/mesh.ts';

export interface SurfaceSamples {
  readonly num: number;
  readonly spacingMm: number;
  /** num x 3: the point of the patch farthest from the middle of the model, so that extents taken over samples are near true. */
  readonly points: Float64Array;
  /** num x 3: the middle of the patch's area. */
  readonly middles: Float64Array;
  /** num x 3, unit: mean outward normal. */
  readonly normals: Float64Array;
  readonly areaMm2: Float64Array;
  /** num x 6, mm2: how far the patch spreads about its middle, mean of dx dx, dy dy, dz dz, dx dy, dx dz, dy dz over its area. */
  readonly spread: Float32Array;
  /** num: 1 for the one sample of its cell that reaches farthest from the middle: enough of them to measure extents by. */
  readonly isReach: Uint8Array;
  /** numTris: the sample a triangle counts to (one of them when it is spread over several). */
  readonly triSample: Int32Array;
  /** num: a triangle that counts to the sample, and lies near its middle. */
  readonly sampleTri: Int32Array;
  /** Neighbours of sample i: neighbours[neighbourStart[i] .. neighbourStart[i + 1]). Symmetric. */
  readonly neighbourStart: Uint32Array;
  readonly neighbours: Uint32Array;
}

export const SAMPLE_DEFAULTS = { aimNum: 8000 } as const;

/** Gathers the surface into about `aimNum` patches (at most some twice as many on walls whose two sides share cells).
 *  A patch is what falls into one cell of a cubic grid and faces the same of six ways. Neighbours are patches that share a
 *  vertex of the mesh, share a cell (so that the two sides of a wall hang together), or lie in touching cells and continue each
 *  other. Cost: O(triangles + area / spacing^2), about 0.2 s per million triangles. Weak: two walls closer than a spacing count
 *  as joined; the sides of a wall thicker than a spacing join only round its rim. */
export function surfaceSamples(mesh: Mesh, work: Work, options: { aimNum: number } = SAMPLE_DEFAULTS): SurfaceSamples {
  const spacingMm = Math.sqrt((meshArea(mesh) * 1.6) / options.aimNum) || 1;
  const cells = cellGrid(mesh, spacingMm);
  const patches = gatherPatches(mesh, cells, work);
  const { neighbourStart, neighbours } = joinPatches(mesh, cells, patches);
  return {
    num: patches.num,
    spacingMm,
    points: patches.points.slice(0, patches.num * 3),
    middles: patches.middles.slice(0, patches.num * 3),
    normals: patches.normals.slice(0, patches.num * 3),
    areaMm2: patches.area.slice(0, patches.num),
    spread: spreadOf(patches),
    isReach: farthestOfCells(patches),
    triSample: patches.triSample,
    sampleTri: patches.sampleTri.slice(0, patches.num),
    neighbourStart,
    neighbours,
  };
}

function meshArea(mesh: Mesh): number {
  const { positions: p, triangles: t } = mesh;
  let area = 0;
  for (let i = 0; i < t.length; i += 3) {
    const a = t[i]! * 3;
    const b = t[i + 1]! * 3;
    const c = t[i + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    area += Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
  }
  return area;
}

interface CellGrid {
  readonly minX: number;
  readonly minY: number;
  readonly minZ: number;
  readonly sizeX: number;
  readonly sizeY: number;
  readonly spacing: number;
}

function cellGrid(mesh: Mesh, spacing: number): CellGrid {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  const p = mesh.positions;
  for (let i = 0; i < p.length; i++) {
    const axis = i % 3;
    if (p[i]! < low[axis]!) low[axis] = p[i]!;
    if (p[i]! > high[axis]!) high[axis] = p[i]!;
  }
  // half a cell of room, so that symmetric models fall into symmetric cells as nearly as the grid allows
  const numX = Math.ceil((high[0]! - low[0]!) / spacing) + 1;
  const numY = Math.ceil((high[1]! - low[1]!) / spacing) + 1;
  const numZ = Math.ceil((high[2]! - low[2]!) / spacing) + 1;
  return {
    minX: (low[0]! + high[0]! - numX * spacing) / 2,
    minY: (low[1]! + high[1]! - numY * spacing) / 2,
    minZ: (low[2]! + high[2]! - numZ * spacing) / 2,
    sizeX: numX + 2,
    sizeY: numY + 2,
    spacing,
  };
}

function cellOf(g: CellGrid, x: number, y: number, z: number): number {
  const ix = Math.floor((x - g.minX) / g.spacing) + 1;
  const iy = Math.floor((y - g.minY) / g.spacing) + 1;
  const iz = Math.floor((z - g.minZ) / g.spacing) + 1;
  return ix + g.sizeX * (iy + g.sizeY * iz);
}

/** An open-addressing table from non-negative whole numbers to sample indices. */
interface Slots {
  keys: Float64Array;
  values: Int32Array;
  used: number;
}

function newSlots(capacity: number): Slots {
  return { keys: new Float64Array(capacity).fill(-1), values: new Int32Array(capacity), used: 0 };
}

function slotOf(slots: Slots, key: number): number {
  const mask = slots.keys.length - 1;
  let at = (Math.imul(key | 0, 0x9e3779b1) ^ Math.imul((key / 4294967296) | 0, 0x85ebca6b)) >>> 0;
  at = (at ^ (at >>> 15)) & mask;
  while (slots.keys[at]! !== -1 && slots.keys[at]! !== key) at = (at + 1) & mask;
  return at;
}

function find(slots: Slots, key: number): number {
  const at = slotOf(slots, key);
  return slots.keys[at]! === key ? slots.values[at]! : NONE;
}

function put(slots: Slots, key: number, value: number): void {
  if (slots.used * 2 >= slots.keys.length) {
    const old = { keys: slots.keys, values: slots.values };
    slots.keys = new Float64Array(old.keys.length * 2).fill(-1);
    slots.values = new Int32Array(old.keys.length * 2);
    for (let i = 0; i < old.keys.length; i++) {
      if (old.keys[i]! === -1) continue;
      const at = slotOf(slots, old.keys[i]!);
      slots.keys[at] = old.keys[i]!;
      slots.values[at] = old.values[i]!;
    }
  }
  const at = slotOf(slots, key);
  slots.keys[at] = key;
  slots.values[at] = value;
  slots.used++;
}

interface Patches {
  num: number;
  points: Float64Array;
  middles: Float64Array;
  normals: Float64Array;
  area: Float64Array;
  /** Moments about the origin of the model, as `SurfaceSamples.spread` orders them. */
  moments: Float64Array;
  cell: Float64Array;
  reach: Float64Array;
  triSample: Int32Array;
  sampleTri: Int32Array;
  readonly slots: Slots;
  readonly middle: readonly [number, number, number];
}

function gatherPatches(mesh: Mesh, cells: CellGrid, work: Work): Patches {
  const { positions: p, triangles: t } = mesh;
  const patches: Patches = {
    num: 0,
    points: new Float64Array(3 * 4096),
    middles: new Float64Array(3 * 4096),
    normals: new Float64Array(3 * 4096),
    area: new Float64Array(4096),
    moments: new Float64Array(6 * 4096),
    cell: new Float64Array(4096),
    reach: new Float64Array(4096),
    triSample: new Int32Array(numTris(mesh)),
    sampleTri: new Int32Array(4096),
    slots: newSlots(1 << 14),
    middle: middleOf(p),
  };
  const stack = new Float64Array(9 * 64);
  for (let tri = 0; tri < patches.triSample.length; tri++) {
    if ((tri & 0x3fff) === 0) work.tick(tri / patches.triSample.length, 'sampling the surface');
    for (let c = 0; c < 3; c++) {
      const v = t[tri * 3 + c]! * 3;
      stack[c * 3] = p[v]!;
      stack[c * 3 + 1] = p[v + 1]!;
      stack[c * 3 + 2] = p[v + 2]!;
    }
    spreadTriangle(patches, cells, stack, tri);
  }
  for (let i = 0; i < patches.num; i++) {
    const n = patches.normals;
    const length = Math.hypot(n[i * 3]!, n[i * 3 + 1]!, n[i * 3 + 2]!) || 1;
    const area = patches.area[i]! || 1;
    for (let c = 0; c < 3; c++) {
      n[i * 3 + c] = n[i * 3 + c]! / length;
      patches.middles[i * 3 + c] = patches.middles[i * 3 + c]! / area;
    }
  }
  return patches;
}

function middleOf(p: Float64Array): [number, number, number] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i++) {
    const axis = i % 3;
    if (p[i]! < low[axis]!) low[axis] = p[i]!;
    if (p[i]! > high[axis]!) high[axis] = p[i]!;
  }
  return [(low[0]! + high[0]!) / 2, (low[1]! + high[1]!) / 2, (low[2]! + high[2]!) / 2];
}

/** The triangle on the stack, halved across its longest edge until no part is longer than a spacing. */
function spreadTriangle(patches: Patches, cells: CellGrid, stack: Float64Array, tri: number): void {
  const limit = cells.spacing * cells.spacing;
  let depth = 1;
  let first = true;
  while (depth > 0) {
    const at = (depth - 1) * 9;
    const ab = squared(stack, at, at + 3);
    const bc = squared(stack, at + 3, at + 6);
    const ca = squared(stack, at + 6, at);
    const longest = Math.max(ab, bc, ca);
    if (longest <= limit || depth >= 63) {
      depth--;
      const sample = addToPatch(patches, cells, stack.subarray(at, at + 9), tri);
      if (first) patches.triSample[tri] = sample;
      first = false;
      continue;
    }
    const from = longest === ab ? 0 : longest === bc ? 3 : 6;
    halve(stack, at, from);
    depth++;
  }
}

function squared(s: Float64Array, a: number, b: number): number {
  const x = s[a]! - s[b]!;
  const y = s[a + 1]! - s[b + 1]!;
  const z = s[a + 2]! - s[b + 2]!;
  return x * x + y * y + z * z;
}

/** Splits the triangle at `at` across the edge that starts at corner offset `from`; the second half goes one place up. */
function halve(stack: Float64Array, at: number, from: number): void {
  const to = (from + 3) % 9;
  stack.copyWithin(at + 9, at, at + 9);
  for (let c = 0; c < 3; c++) {
    const middle = (stack[at + from + c]! + stack[at + to + c]!) / 2;
    stack[at + to + c] = middle;
    stack[at + 9 + from + c] = middle;
  }
}

function addToPatch(patches: Patches, cells: CellGrid, corners: Float64Array, tri: number): number {
  const ux = corners[3]! - corners[0]!;
  const uy = corners[4]! - corners[1]!;
  const uz = corners[5]! - corners[2]!;
  const vx = corners[6]! - corners[0]!;
  const vy = corners[7]! - corners[1]!;
  const vz = corners[8]! - corners[2]!;
  const nx = (uy * vz - uz * vy) / 2;
  const ny = (uz * vx - ux * vz) / 2;
  const nz = (ux * vy - uy * vx) / 2;
  const area = Math.hypot(nx, ny, nz);
  const cx = (corners[0]! + corners[3]! + corners[6]!) / 3;
  const cy = (corners[1]! + corners[4]! + corners[7]!) / 3;
  const cz = (corners[2]! + corners[5]! + corners[8]!) / 3;
  const cell = cellOf(cells, cx, cy, cz);
  const key = cell * 6 + facingOf(nx, ny, nz);
  let sample = find(patches.slots, key);
  if (sample === NONE) {
    sample = newPatch(patches, cell);
    put(patches.slots, key, sample);
    patches.sampleTri[sample] = tri;
    for (let c = 0; c < 3; c++) patches.points[sample * 3 + c] = corners[c]!;
    patches.reach[sample] = -1;
  }
  patches.area[sample] = patches.area[sample]! + area;
  patches.middles[sample * 3] = patches.middles[sample * 3]! + area * cx;
  patches.middles[sample * 3 + 1] = patches.middles[sample * 3 + 1]! + area * cy;
  patches.middles[sample * 3 + 2] = patches.middles[sample * 3 + 2]! + area * cz;
  patches.normals[sample * 3] = patches.normals[sample * 3]! + nx;
  patches.normals[sample * 3 + 1] = patches.normals[sample * 3 + 1]! + ny;
  patches.normals[sample * 3 + 2] = patches.normals[sample * 3 + 2]! + nz;
  const [mx, my, mz] = patches.middle;
  addMoments(patches, sample, corners, area);
  for (let c = 0; c < 9; c += 3) {
    const x = corners[c]!;
    const y = corners[c + 1]!;
    const z = corners[c + 2]!;
    const reach = (x - mx) * (x - mx) + (y - my) * (y - my) + (z - mz) * (z - mz);
    if (reach <= patches.reach[sample]!) continue;
    patches.reach[sample] = reach;
    patches.points[sample * 3] = x;
    patches.points[sample * 3 + 1] = y;
    patches.points[sample * 3 + 2] = z;
    patches.sampleTri[sample] = tri;
  }
  return sample;
}

/** Mean of the products over a triangle: a twelfth of those of its corners and of their sum. */
function addMoments({ moments, middle }: Patches, sample: number, corners: Float64Array, area: number): void {
  const [mx, my, mz] = middle;
  const ax = corners[0]! - mx;
  const ay = corners[1]! - my;
  const az = corners[2]! - mz;
  const bx = corners[3]! - mx;
  const by = corners[4]! - my;
  const bz = corners[5]! - mz;
  const cx = corners[6]! - mx;
  const cy = corners[7]! - my;
  const cz = corners[8]! - mz;
  const sx = ax + bx + cx;
  const sy = ay + by + cy;
  const sz = az + bz + cz;
  const share = area / 12;
  const at = sample * 6;
  moments[at] = moments[at]! + share * (ax * ax + bx * bx + cx * cx + sx * sx);
  moments[at + 1] = moments[at + 1]! + share * (ay * ay + by * by + cy * cy + sy * sy);
  moments[at + 2] = moments[at + 2]! + share * (az * az + bz * bz + cz * cz + sz * sz);
  moments[at + 3] = moments[at + 3]! + share * (ax * ay + bx * by + cx * cy + sx * sy);
  moments[at + 4] = moments[at + 4]! + share * (ax * az + bx * bz + cx * cz + sx * sz);
  moments[at + 5] = moments[at + 5]! + share * (ay * az + by * bz + cy * cz + sy * sz);
}

function spreadOf({ num, moments, middles, area, middle }: Patches): Float32Array {
  const out = new Float32Array(num * 6);
  for (let i = 0; i < num; i++) {
    const a = area[i]! || 1;
    const x = middles[i * 3]! - middle[0];
    const y = middles[i * 3 + 1]! - middle[1];
    const z = middles[i * 3 + 2]! - middle[2];
    out[i * 6] = moments[i * 6]! / a - x * x;
    out[i * 6 + 1] = moments[i * 6 + 1]! / a - y * y;
    out[i * 6 + 2] = moments[i * 6 + 2]! / a - z * z;
    out[i * 6 + 3] = moments[i * 6 + 3]! / a - x * y;
    out[i * 6 + 4] = moments[i * 6 + 4]! / a - x * z;
    out[i * 6 + 5] = moments[i * 6 + 5]! / a - y * z;
  }
  return out;
}

function facingOf(nx: number, ny: number, nz: number): number {
  const ax = Math.abs(nx);
  const ay = Math.abs(ny);
  const az = Math.abs(nz);
  if (az >= ax && az >= ay) return nz >= 0 ? 0 : 1;
  if (ay >= ax) return ny >= 0 ? 2 : 3;
  return nx >= 0 ? 4 : 5;
}

function newPatch(patches: Patches, cell: number): number {
  const sample = patches.num++;
  if (sample >= patches.area.length) {
    patches.points = grown(patches.points);
    patches.middles = grown(patches.middles);
    patches.normals = grown(patches.normals);
    patches.area = grown(patches.area);
    patches.moments = grown(patches.moments);
    patches.cell = grown(patches.cell);
    patches.reach = grown(patches.reach);
    const tris = new Int32Array(patches.sampleTri.length * 2);
    tris.set(patches.sampleTri);
    patches.sampleTri = tris;
  }
  patches.cell[sample] = cell;
  return sample;
}

function grown(array: Float64Array): Float64Array {
  const out = new Float64Array(array.length * 2);
  out.set(array);
  return out;
}

function farthestOfCells(patches: Patches): Uint8Array {
  const isReach = new Uint8Array(patches.num);
  for (let a = 0; a < patches.num; a++) {
    let farthest = true;
    for (let facing = 0; facing < 6; facing++) {
      const b = find(patches.slots, patches.cell[a]! * 6 + facing);
      if (b === NONE || b === a) continue;
      const more = patches.reach[b]! - patches.reach[a]!;
      if (more > 0 || (more === 0 && b < a)) farthest = false;
    }
    isReach[a] = farthest ? 1 : 0;
  }
  return isReach;
}

/** The samples with further pairs of neighbours, such as the two sides of a thick wall. pairs: 2 x n samples. */
export function withNeighbours(samples: SurfaceSamples, pairs: readonly number[]): SurfaceSamples {
  const links: number[] = [...pairs];
  for (let a = 0; a < samples.num; a++) {
    for (let k = samples.neighbourStart[a]!; k < samples.neighbourStart[a + 1]!; k++) {
      if (samples.neighbours[k]! > a) links.push(a, samples.neighbours[k]!);
    }
  }
  return { ...samples, ...adjacencyOf(samples.num, links) };
}

function joinPatches(
  mesh: Mesh,
  cells: CellGrid,
  patches: Patches,
): { neighbourStart: Uint32Array; neighbours: Uint32Array } {
  const links: number[] = [];
  linkAtVerts(mesh, patches, links);
  linkAcrossCells(cells, patches, links);
  return adjacencyOf(patches.num, links);
}

function adjacencyOf(num: number, links: readonly number[]): { neighbourStart: Uint32Array; neighbours: Uint32Array } {
  const degree = new Uint32Array(num + 1);
  for (const end of links) degree[end + 1] = degree[end + 1]! + 1;
  for (let i = 0; i < num; i++) degree[i + 1] = degree[i + 1]! + degree[i]!;
  const neighbours = new Uint32Array(links.length);
  const next = degree.slice();
  for (let k = 0; k < links.length; k += 2) {
    const a = links[k]!;
    const b = links[k + 1]!;
    neighbours[next[a]!] = b;
    next[a] = next[a]! + 1;
    neighbours[next[b]!] = a;
    next[b] = next[b]! + 1;
  }
  return { neighbourStart: degree, neighbours };
}

function linkAtVerts(mesh: Mesh, patches: Patches, links: number[]): void {
  const firstAt = new Int32Array(numVerts(mesh)).fill(NONE);
  const known = newSlots(1 << 14);
  const t = mesh.triangles;
  for (let i = 0; i < t.length; i++) {
    const sample = patches.triSample[(i / 3) | 0]!;
    const v = t[i]!;
    const other = firstAt[v]!;
    if (other === NONE) firstAt[v] = sample;
    if (other === NONE || other === sample) continue;
    const key = Math.min(sample, other) * patches.num + Math.max(sample, other);
    if (find(known, key) !== NONE) continue;
    put(known, key, 1);
    links.push(sample, other);
  }
}

function linkAcrossCells(cells: CellGrid, patches: Patches, links: number[]): void {
  const { sizeX, sizeY, spacing } = cells;
  const { points: p, normals: n } = patches;
  for (let a = 0; a < patches.num; a++) {
    for (let step = 13; step < 27; step++) {
      const dz = Math.floor(step / 9) - 1;
      const dy = (Math.floor(step / 3) % 3) - 1;
      const dx = (step % 3) - 1;
      const cell = patches.cell[a]! + dx + sizeX * (dy + sizeY * dz);
      for (let facing = 0; facing < 6; facing++) {
        const b = find(patches.slots, cell * 6 + facing);
        if (b === NONE || (step === 13 && b <= a)) continue;
        if (step === 13 || continues(p, n, a, b, spacing)) links.push(a, b);
      }
    }
  }
}

/** Whether patch b goes on where patch a ends: they face much the same way and neither stands off the other's plane. */
function continues(p: Float64Array, n: Float64Array, a: number, b: number, spacing: number): boolean {
  let agree = 0;
  let off = 0;
  for (let c = 0; c < 3; c++) {
    agree += n[a * 3 + c]! * n[b * 3 + c]!;
    off += (p[b * 3 + c]! - p[a * 3 + c]!) * n[a * 3 + c]!;
  }
  return agree > 0.3 && Math.abs(off) < 0.6 * spacing;
}
