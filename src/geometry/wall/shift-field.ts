// Ways of vertices made fit to be gone: smooth, tied to what stays, carried over rims, without folds.
import { type Mesh, numVerts } from '../../mesh/mesh.ts';

/** Neighbours of vertex v: list[start[v]] .. list[start[v + 1] - 1]; each once for every triangle beside the edge. */
export interface VertexNeighbours {
  readonly start: Uint32Array;
  readonly list: Uint32Array;
}

/** Cost: O(n). */
export function vertexNeighbours(mesh: Mesh): VertexNeighbours {
  const { triangles: t } = mesh;
  const start = new Uint32Array(numVerts(mesh) + 1);
  for (const v of t) start[v + 1] = start[v + 1]! + 2;
  for (let v = 1; v < start.length; v++) start[v] = start[v]! + start[v - 1]!;
  const fill = start.slice();
  const list = new Uint32Array(t.length * 2);
  for (let h = 0; h < t.length; h += 3) {
    for (let k = 0; k < 3; k++) {
      const v = t[h + k]!;
      list[fill[v]!] = t[h + ((k + 1) % 3)]!;
      list[fill[v]! + 1] = t[h + ((k + 2) % 3)]!;
      fill[v] = fill[v]! + 2;
    }
  }
  return { start, list };
}

/** Half way to the mean of the neighbours that are marked too, in place. */
export function smoothOver({ start, list }: VertexNeighbours, marked: Uint8Array, values: Float64Array): void {
  const old = values.slice();
  for (let v = 0; v < marked.length; v++) {
    if (marked[v] === 0) continue;
    let [sum, num] = [0, 0];
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      if (marked[list[i]!] === 0) continue;
      sum += old[list[i]!]!;
      num++;
    }
    if (num > 0) values[v] = 0.5 * old[v]! + (0.5 * sum) / num;
  }
}

/** Shortens ways so that none is longer than its neighbour's by more than `slope` times their distance; fixed vertices go nowhere, led ones
 *  do not count. In place; sweeps to and fro until nothing changes, 20 times at most. */
export function keepSlope(
  { positions: p }: Mesh,
  { start, list }: VertexNeighbours,
  rule: {
    readonly role: Uint8Array;
    readonly fixed: number;
    readonly led: number;
    readonly slope: number;
    readonly alongMm: Float64Array;
  },
): void {
  const { role, fixed, led, slope, alongMm } = rule;
  const num = role.length;
  for (let sweep = 0; sweep < 20; sweep++) {
    let changed = 0;
    for (let i = 0; i < num; i++) {
      const v = sweep % 2 === 0 ? i : num - 1 - i;
      if (role[v] === fixed || role[v] === led) continue;
      for (let k = start[v]!; k < start[v + 1]!; k++) {
        const other = list[k]!;
        if (role[other] === led) continue;
        const away = Math.hypot(
          p[v * 3]! - p[other * 3]!,
          p[v * 3 + 1]! - p[other * 3 + 1]!,
          p[v * 3 + 2]! - p[other * 3 + 2]!,
        );
        const most = (role[other] === fixed ? 0 : Math.abs(alongMm[other]!)) + slope * away;
        if (Math.abs(alongMm[v]!) <= most * (1 + 1e-9)) continue;
        alongMm[v] = Math.sign(alongMm[v]!) * most;
        changed++;
      }
    }
    if (changed === 0) break;
  }
}

const BLENDS = 100;

/** Gives led vertices the mean way of their neighbours, again and again: shift is numVerts x 3. */
export function blendBetween(
  { start, list }: VertexNeighbours,
  { role, led }: { readonly role: Uint8Array; readonly led: number },
  shift: Float64Array,
): void {
  const verts: number[] = [];
  for (let v = 0; v < role.length; v++) if (role[v] === led && start[v + 1]! > start[v]!) verts.push(v);
  for (let round = 0; round < BLENDS; round++) {
    let most = 0;
    for (const v of verts) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let i = start[v]!; i < start[v + 1]!; i++) sum += shift[list[i]! * 3 + c]!;
        const mean = sum / (start[v + 1]! - start[v]!);
        most = Math.max(most, Math.abs(mean - shift[v * 3 + c]!));
        shift[v * 3 + c] = mean;
      }
    }
    if (most < 1e-4) break;
  }
}

const FOLD_ROUNDS = 12;
/** A triangle whose normal turns farther than this is folded; cosine. */
const FOLD_COSINE = 0.3;

/** Halves the ways at the corners of triangles that would turn over, and writes the shift anew, until none does. Marks the
 *  vertices that were held back. */
export function undoFolds(
  mesh: Mesh,
  { start, list }: VertexNeighbours,
  field: {
    readonly alongMm: Float64Array;
    readonly held: Uint8Array;
    readonly shift: Float64Array;
    readonly write: () => void;
  },
): void {
  const { held } = field;
  for (let round = 0; round < FOLD_ROUNDS; round++) {
    const bad = new Uint8Array(held.length);
    if (markFolds(mesh, field.shift, bad) === 0) break;
    const wide = bad.slice();
    for (let v = 0; v < bad.length; v++)
      if (bad[v] === 1) for (let i = start[v]!; i < start[v + 1]!; i++) wide[list[i]!] = 1;
    for (let v = 0; v < wide.length; v++) {
      if (wide[v] === 0 || field.alongMm[v] === 0) continue;
      held[v] = 1;
      field.alongMm[v] = field.alongMm[v]! * (bad[v] === 1 ? 0.5 : 0.75);
    }
    field.write();
  }
}

function markFolds({ positions: p, triangles: t }: Mesh, shift: Float64Array, bad: Uint8Array): number {
  let num = 0;
  const old = new Float64Array(3);
  const now = new Float64Array(3);
  for (let h = 0; h < t.length; h += 3) {
    const [a, b, c] = [t[h]! * 3, t[h + 1]! * 3, t[h + 2]! * 3];
    if (shift[a] === 0 && shift[b] === 0 && shift[c] === 0) continue;
    let [dot, oo, nn] = [0, 0, 0];
    for (let k = 0; k < 3; k++) {
      const [d, e] = [(k + 1) % 3, (k + 2) % 3];
      old[k] = (p[b + d]! - p[a + d]!) * (p[c + e]! - p[a + e]!) - (p[b + e]! - p[a + e]!) * (p[c + d]! - p[a + d]!);
      const [bd, ad] = [p[b + d]! + shift[b + d]!, p[a + d]! + shift[a + d]!];
      const [ce, ae] = [p[c + e]! + shift[c + e]!, p[a + e]! + shift[a + e]!];
      const [be, cd] = [p[b + e]! + shift[b + e]!, p[c + d]! + shift[c + d]!];
      now[k] = (bd - ad) * (ce - ae) - (be - ae) * (cd - ad);
      dot += old[k]! * now[k]!;
      oo += old[k]! * old[k]!;
      nn += now[k]! * now[k]!;
    }
    if (oo === 0 || dot >= FOLD_COSINE * Math.sqrt(oo * nn)) continue;
    num++;
    bad[a / 3] = bad[b / 3] = bad[c / 3] = 1;
  }
  return num;
}
