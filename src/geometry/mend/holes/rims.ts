// Tells a hole that is to be closed from an opening that is meant: by its length and lid against the shell it is in.
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, numTris, type Vec3 } from '../../../mesh/mesh.ts';

/** Where a surface ends. */
export interface Rim {
  readonly lengthMm: number;
  readonly edges: number;
  /** Middle of its vertices. */
  readonly atMm: Vec3;
  /** Of a flat lid, i.e. seen from where it looks largest. */
  readonly lidAreaMm2: number;
  /** The lid's area against that of the shell the rim is in. */
  readonly shareOfShell: number;
  /** Length against the girth of a ball with the shell's area. */
  readonly shareOfGirth: number;
  /** Which shell, counted from 0 in order of first triangle. */
  readonly shell: number;
  /** Half-edges of the mended mesh along it, each beginning where the one before it ends. */
  readonly loop: Int32Array;
}

export interface HoleLimits {
  /** Holes are at most this share of the shell's area, measured by their flat lid ... */
  readonly mostShare: number;
  /** ... and at most this share of the girth of a ball of the shell's area, measured by their length. */
  readonly mostGirth: number;
  /** In a shell that has an opening larger than that, a sheet, only what is shorter than this share of the girth is a hole: eyes and
   *  vents of a sheet are meant. */
  readonly mostGirthInSheet: number;
}

/** Between what is broken or was never modelled (a bust's back, 3 %) and what a sheet is open by (a neck, from 6 %). */
export const HOLE_LIMITS: HoleLimits = { mostShare: 0.04, mostGirth: 0.5, mostGirthInSheet: 0.02 };

/** Parts rims of holes from rims of openings. */
export function sortRims(
  rims: readonly Rim[],
  limits: HoleLimits = HOLE_LIMITS,
): { readonly holes: readonly Rim[]; readonly openings: readonly Rim[] } {
  const isSmall = (rim: Rim): boolean => rim.shareOfShell <= limits.mostShare && rim.shareOfGirth <= limits.mostGirth;
  const sheets = new Set(rims.filter((rim) => !isSmall(rim)).map(({ shell }) => shell));
  const isHole = (rim: Rim): boolean => {
    if (rim.edges <= FEW_EDGES) return rim.shareOfShell < FEW_EDGES_SHARE;
    return isSmall(rim) && (!sheets.has(rim.shell) || rim.shareOfGirth <= limits.mostGirthInSheet);
  };
  return { holes: rims.filter(isHole), openings: rims.filter((rim) => !isHole(rim)) };
}

/** One or two triangles are missing: nobody opens a shell like that, unless the lid is most of what is there. */
const FEW_EDGES = 4;
const FEW_EDGES_SHARE = 0.1;

/** Measures each loop against its shell; triangles hang together by `mates`. Cost: O(n). */
export function rimsOf(mesh: Mesh, mates: Int32Array, loops: readonly Int32Array[]): readonly Rim[] {
  const { shellOf, areas } = shellAreas(mesh, mates);
  return loops.map((loop) => {
    const shell = shellOf[Math.trunc(loop[0]! / 3)]!;
    return { ...rimOf(mesh, loop, areas[shell]!), shell };
  });
}

/** numTris: the shell each triangle hangs in, and the area of each shell, mm2. */
export function shellAreas(mesh: Mesh, mates: Int32Array): { shellOf: Int32Array; areas: readonly number[] } {
  const shellOf = new Int32Array(numTris(mesh)).fill(NONE);
  const stack = new Int32Array(numTris(mesh));
  const areas: number[] = [];
  for (let seed = 0; seed < shellOf.length; seed++) {
    if (shellOf[seed] !== NONE) continue;
    let depth = 0;
    let area = 0;
    stack[depth++] = seed;
    shellOf[seed] = areas.length;
    while (depth > 0) {
      const t = stack[--depth]!;
      area += triangleArea(mesh, t);
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const g = mates[h]!;
        if (g === NONE) continue;
        const u = Math.trunc(g / 3);
        if (shellOf[u] !== NONE) continue;
        shellOf[u] = areas.length;
        stack[depth++] = u;
      }
    }
    areas.push(area);
  }
  return { shellOf, areas };
}

function rimOf({ positions: p, triangles }: Mesh, loop: Int32Array, shellArea: number): Omit<Rim, 'shell'> {
  const origin = 3 * triangles[loop[0]!]!;
  const at = (v: number, c: number): number => p[3 * v + c]! - p[origin + c]!;
  let [lengthMm, lx, ly, lz] = [0, 0, 0, 0];
  const middle = [0, 0, 0];
  for (const h of loop) {
    const a = triangles[h]!;
    const b = triangles[nextHalfEdge(h)]!;
    const [ax, ay, az] = [at(a, 0), at(a, 1), at(a, 2)];
    const [bx, by, bz] = [at(b, 0), at(b, 1), at(b, 2)];
    lengthMm += Math.hypot(bx - ax, by - ay, bz - az);
    lx += (ay * bz - az * by) / 2;
    ly += (az * bx - ax * bz) / 2;
    lz += (ax * by - ay * bx) / 2;
    for (let c = 0; c < 3; c++) middle[c]! += p[3 * a + c]! / loop.length;
  }
  const lidAreaMm2 = Math.hypot(lx, ly, lz);
  return {
    lengthMm,
    edges: loop.length,
    atMm: [middle[0]!, middle[1]!, middle[2]!],
    lidAreaMm2,
    shareOfShell: shellArea > 0 ? lidAreaMm2 / shellArea : 1,
    shareOfGirth: shellArea > 0 ? lengthMm / Math.sqrt(Math.PI * shellArea) : 1,
    loop,
  };
}

export function triangleArea({ positions: p, triangles }: Mesh, t: number): number {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  return Math.sqrt(x * x + y * y + z * z) / 2;
}
