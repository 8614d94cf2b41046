// Piece files hold single precision: rounds a closed mesh so that it is still closed when a reader joins equal coordinates.
import { type Mesh, meshOf } from '../mesh/mesh.ts';
import { flipNeedles } from './flip-needles.ts';
import type { MeshPart } from './plane-split.ts';

export interface SingleMesh extends MeshPart {
  /** Triangles that lost their area and were taken out, the surface staying closed. */
  readonly numCollapsed: number;
  /** Largest move of any coordinate, mm. */
  readonly movedMm: number;
  /** Edges that after all are not used once in each direction; 0 whenever the input was closed. */
  readonly numBadEdges: number;
  /** Triangles without area that could not be turned away. */
  readonly numNeedles: number;
}

/** Rounds to single precision, joins vertices that fall together and takes out the triangles that collapse. Where joining would
 *  give an edge more than two triangles (the link condition of an edge collapse fails, or two sheets fall together), one
 *  vertex is moved by the last bit instead; triangles left without area are turned away (flipNeedles). Every edge is then in exactly two triangles, in opposite directions, also for a
 *  reader that joins vertices by coordinates. sourceTri as in the part; without one, the triangle of the input mesh.
 *  Call it in laid pose, where the file is written. Cost: O(n), about 0.2 s per million triangles.
 *  Weak: neighbouring sheets closer than the last bit (some 1e-5 mm) may cross; flat needles may turn over. */
export function roundToSingle(mesh: Mesh, sourceTri: Int32Array | null = null): SingleMesh {
  const exact = mesh.positions;
  const rounded = new Float64Array(exact.length);
  for (let i = 0; i < exact.length; i++) rounded[i] = toSingle(exact[i]!);
  for (let round = 0; ; round++) {
    const rep = joinEqual(rounded);
    const joined = joinedTriangles(mesh.triangles, rep);
    const bad = joined.hasJoins ? badEdges(joined, rep) : [];
    if (bad.length === 0 || round === MAX_ROUNDS)
      return finish(mesh, sourceTri, { rounded, joined, rep, numBadEdges: bad.length });
    for (const vert of vertsToPart(bad, rep)) moveByLastBit(rounded, exact, vert * 3 + ((vert + round) % 3));
  }
}

/** Each round parts at least one pair; two have always been enough in tests. */
const MAX_ROUNDS = 24;

/** Per vertex the first vertex with the same coordinates. */
function joinEqual(rounded: Float64Array): Uint32Array {
  const numVerts = rounded.length / 3;
  const bits = new Int32Array(Float32Array.from(rounded).buffer);
  let size = 16;
  while (size < numVerts * 2) size *= 2;
  const slots = new Int32Array(size).fill(-1);
  const rep = new Uint32Array(numVerts);
  for (let v = 0, i = 0; v < numVerts; v++, i += 3) {
    let h = Math.imul(bits[i]!, 0x9e3779b1) ^ Math.imul(bits[i + 1]!, 0x85ebca6b) ^ Math.imul(bits[i + 2]!, 0xc2b2ae35);
    h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
    let slot = (h ^ (h >>> 13)) & (size - 1);
    for (;;) {
      const other = slots[slot]!;
      if (other < 0) {
        slots[slot] = v;
        rep[v] = v;
        break;
      }
      const j = other * 3;
      if (bits[i] === bits[j] && bits[i + 1] === bits[j + 1] && bits[i + 2] === bits[j + 2]) {
        rep[v] = other;
        break;
      }
      slot = (slot + 1) & (size - 1);
    }
  }
  return rep;
}

interface Joined {
  readonly triangles: Uint32Array;
  /** numTris: 1 for triangles that are still there. */
  readonly alive: Uint8Array;
  /** numVerts: 1 for a vertex that stands for several. */
  readonly isJoined: Uint8Array;
  readonly hasJoins: boolean;
}

/** Triangles of joined vertices. Those with two equal corners go; so do two that cover each other face to face. Either way the
 *  directed edges of what is left still cancel. */
function joinedTriangles(input: Uint32Array, rep: Uint32Array): Joined {
  const isJoined = new Uint8Array(rep.length);
  let hasJoins = false;
  for (let v = 0; v < rep.length; v++)
    if (rep[v] !== v) {
      isJoined[rep[v]!] = 1;
      hasJoins = true;
    }
  const alive = new Uint8Array(input.length / 3).fill(1);
  const triangles = hasJoins ? input.map((v) => rep[v]!) : input;
  const touched: number[] = [];
  for (let tri = 0, t = 0; t < triangles.length; tri++, t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    if (a === b || b === c || c === a) alive[tri] = 0;
    else if (hasJoins && (isJoined[a]! | isJoined[b]! | isJoined[c]!) !== 0) touched.push(tri);
  }
  cancelFacing(triangles, alive, touched);
  return { triangles, alive, isJoined, hasJoins };
}

/** Takes out pairs of triangles with the same corners and opposite turn. */
function cancelFacing(triangles: Uint32Array, alive: Uint8Array, touched: readonly number[]): void {
  const sorted = touched.map((tri) => {
    const [a, b, c] = [triangles[tri * 3]!, triangles[tri * 3 + 1]!, triangles[tri * 3 + 2]!];
    const low = Math.min(a, b, c);
    const high = Math.max(a, b, c);
    const turn = (low === a && high === c) || (low === b && high === a) || (low === c && high === b) ? 1 : -1;
    return { tri, low, mid: a + b + c - low - high, high, turn };
  });
  sorted.sort((x, y) => x.low - y.low || x.mid - y.mid || x.high - y.high || x.turn - y.turn || x.tri - y.tri);
  const stack: (typeof sorted)[number][] = [];
  for (const item of sorted) {
    const last = stack.at(-1);
    const isSame = last !== undefined && last.low === item.low && last.mid === item.mid && last.high === item.high;
    if (isSame && last.turn !== item.turn) {
      alive[last.tri] = 0;
      alive[item.tri] = 0;
      stack.pop();
    } else stack.push(item);
  }
}

/** Edges (two vertices each) that touch a joined vertex and are used more than once in one direction. */
function badEdges(joined: Joined, rep: Uint32Array): (readonly [number, number])[] {
  const { triangles, alive, isJoined } = joined;
  const keys: number[] = [];
  for (let tri = 0, t = 0; t < triangles.length; tri++, t += 3) {
    if (alive[tri] === 0) continue;
    for (let c = 0; c < 3; c++) {
      const a = triangles[t + c]!;
      const b = triangles[t + (c === 2 ? 0 : c + 1)]!;
      if ((isJoined[a]! | isJoined[b]!) !== 0) keys.push(a * rep.length + b);
    }
  }
  const sorted = Float64Array.from(keys).sort();
  const bad: (readonly [number, number])[] = [];
  for (let i = 1; i < sorted.length; i++) {
    const key = sorted[i]!;
    if (key === sorted[i - 1]) bad.push([Math.floor(key / rep.length), key % rep.length]);
  }
  return bad;
}

/** One joined vertex per bad edge, each vertex once: the last that fell onto an end of the edge. */
function vertsToPart(bad: readonly (readonly [number, number])[], rep: Uint32Array): Set<number> {
  const wanted = new Set(bad.flat());
  const lastOnto = new Map<number, number>();
  for (let v = 0; v < rep.length; v++) if (rep[v] !== v && wanted.has(rep[v]!)) lastOnto.set(rep[v]!, v);
  const chosen = new Set<number>();
  for (const [a, b] of bad) {
    const vert = lastOnto.get(a) ?? lastOnto.get(b);
    if (vert !== undefined) chosen.add(vert);
  }
  return chosen;
}

/** To the next single-precision number on the side where the exact value lies. */
function moveByLastBit(rounded: Float64Array, exact: Float64Array, i: number): void {
  const at = rounded[i]!;
  const isUp = exact[i]! >= at;
  if (Math.abs(at) < 2) {
    rounded[i] = at + (isUp ? GRID : -GRID);
    return;
  }
  const cell = new Float32Array([at]);
  const bits = new Int32Array(cell.buffer);
  bits[0]! += isUp === at > 0 ? 1 : -1;
  rounded[i] = cell[0]!;
}

/** Steps below 2 mm, where single precision would go on to ever finer ones: those are noise of the arithmetic, and only make
 *  needles of 1e-15 mm that no reader handles. The last bit of numbers from 2 to 4. */
const GRID = 2 ** -22;

function toSingle(value: number): number {
  return (Math.abs(value) < 2 ? Math.round(value / GRID) * GRID : Math.fround(value)) + 0;
}

function finish(
  mesh: Mesh,
  sourceTri: Int32Array | null,
  state: {
    readonly rounded: Float64Array;
    readonly joined: Joined;
    readonly rep: Uint32Array;
    readonly numBadEdges: number;
  },
): SingleMesh {
  const { rounded, joined, numBadEdges } = state;
  const numTris = joined.alive.length;
  const numKept = joined.alive.reduce((sum, is) => sum + is, 0);
  const handle = new Int32Array(rounded.length / 3).fill(-1);
  const triangles = new Uint32Array(numKept * 3);
  const source = new Int32Array(numKept);
  for (let tri = 0, kept = 0; tri < numTris; tri++) {
    if (joined.alive[tri] === 0) continue;
    for (let c = 0; c < 3; c++) {
      triangles[kept * 3 + c] = joined.triangles[tri * 3 + c]!;
      handle[triangles[kept * 3 + c]!] = 0;
    }
    source[kept++] = sourceTri === null ? tri : sourceTri[tri]!;
  }
  let numVerts = 0;
  for (let v = 0; v < handle.length; v++) if (handle[v] === 0) handle[v] = numVerts++;
  const positions = new Float64Array(numVerts * 3);
  let movedMm = 0;
  for (let v = 0; v < handle.length; v++)
    for (let k = 0; k < 3; k++) {
      movedMm = Math.max(movedMm, Math.abs(rounded[v * 3 + k]! - mesh.positions[v * 3 + k]!));
      if (handle[v]! >= 0) positions[handle[v]! * 3 + k] = rounded[v * 3 + k]!;
    }
  for (let i = 0; i < triangles.length; i++) triangles[i] = handle[triangles[i]!]!;
  const numNeedles = flipNeedles(positions, triangles, source);
  return {
    mesh: meshOf(positions, triangles),
    sourceTri: source,
    numCollapsed: numTris - numKept,
    movedMm,
    numBadEdges,
    numNeedles,
  };
}
