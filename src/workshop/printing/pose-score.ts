// What a pose costs, in seconds of a maker's: the machine's hours with their risk, support, scars, terraces. docs/methods/piece-poses.md.
import type { SupportColumns } from '../../geometry/support-columns.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { JOINT, SHOWN } from './surface-kinds.ts';

/** Breaking support away and picking its crumbs takes this long a gram; common practice, no source. */
const REMOVAL_S_PER_G = 60;
/** Scars that show are filled and sanded, a minute of hands a square centimetre, and an hour of hands counts as three of the machine; common practice, no source. */
const SHOWN_SCAR_S_PER_MM2 = 1.8;
/** Scars on mating faces and keys are pared until the joint closes, a sixth of that; common practice, no source. */
const JOINT_SCAR_S_PER_MM2 = 0.3;
/** Scars inside are knocked down in one pass of coarse paper, a thirtieth; common practice, no source. */
const HIDDEN_SCAR_S_PER_MM2 = 0.06;
/** Terraces that show take a round of filler and sanding more than other surface, ten seconds a square centimetre; common practice, no source. */
const TERRACE_S_PER_MM2 = 0.1;
/** A print taller than this many times what its foot holds by is at risk; each unit more counts a tenth of its time again. */
const STEADY_SLENDERNESS = 6;
const RISK_PER_SLENDERNESS = 0.1;
/** A print that tips over this easily, degrees, is at risk: on its edge it counts half of its time again, at this angle nothing. */
const STEADY_TIP_DEG = 10;
const RISK_ON_EDGE = 0.5;
/** Less plastic on the bed than this clings badly, mm2 (4 cm2): none at all counts half of the time again. Common practice, no source. */
const SURE_FOOT_MM2 = 400;
const RISK_WITHOUT_FOOT = 0.5;
/** Terraces wider than this are a level place with an edge, mm. */
const WIDEST_TERRACE_MM = 20;

/** Held surface, projected on the bed, by what it is, mm2. */
export interface HeldAreas {
  readonly shownMm2: number;
  readonly jointMm2: number;
  readonly hiddenMm2: number;
}

/** Cost: O(columns). `kinds`: of the triangles of the mesh that the columns hold. */
export function heldAreas({ num, tri, areaMm2 }: SupportColumns, kinds: Uint8Array): HeldAreas {
  let [shownMm2, jointMm2, hiddenMm2] = [0, 0, 0];
  for (let i = 0; i < num; i++) {
    const kind = kinds[tri[i]!];
    if (kind === SHOWN) shownMm2 += areaMm2[i]!;
    else if (kind === JOINT) jointMm2 += areaMm2[i]!;
    else hiddenMm2 += areaMm2[i]!;
  }
  return { shownMm2, jointMm2, hiddenMm2 };
}

/** Slopes on which terraces show, as tangents from level: terraces wider than a line leave each edge standing alone. */
export function terraceSlopes({ layerMm, lineMm }: { readonly layerMm: number; readonly lineMm: number }) {
  return { least: layerMm / WIDEST_TERRACE_MM, most: layerMm / lineMm };
}

/** Area that shows and lies so flat that each layer's edge stands alone on it, mm2; what is held counts as scars instead.
 *  `mesh`: laid. Cost: O(triangles). Weak: by the slope of triangles; a flat place smaller than a terrace counts too. */
export function terracedArea(
  { positions: p, triangles }: Mesh,
  kinds: Uint8Array,
  print: { readonly layerMm: number; readonly lineMm: number; readonly overhangLimitDeg: number },
): number {
  const { least, most } = terraceSlopes(print);
  const held = Math.sin((print.overhangLimitDeg * Math.PI) / 180);
  let sum = 0;
  for (let t = 0, k = 0; t < triangles.length; t += 3, k++) {
    if (kinds[k] !== SHOWN) continue;
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ex = p[b]! - p[a]!;
    const ey = p[b + 1]! - p[a + 1]!;
    const ez = p[b + 2]! - p[a + 2]!;
    const fx = p[c]! - p[a]!;
    const fy = p[c + 1]! - p[a + 1]!;
    const fz = p[c + 2]! - p[a + 2]!;
    const nz = ex * fy - ey * fx;
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    const across = Math.sqrt(nx * nx + ny * ny);
    const flat = Math.abs(nz);
    if (across >= most * flat || across <= least * flat) continue;
    const twice = Math.sqrt(across * across + nz * nz);
    if (-nz > held * twice) continue;
    sum += twice / 2;
  }
  return sum;
}

/** Height over what the foot holds by: a knock up there pulls at the foot by its height, and the foot resists by its area times its spread, the
 *  root of its hull's area. The third root of that is a length, for a full square foot its side; a ring of thin wall holds by more than its area alone. */
export function slendernessOn(
  { footMm2, hullMm2 }: { readonly footMm2: number; readonly hullMm2: number },
  heightMm: number,
): number {
  const holdsBy = Math.cbrt(footMm2 * Math.sqrt(Math.max(footMm2, hullMm2)));
  return holdsBy > 0 ? heightMm / holdsBy : Infinity;
}

/** How much likelier than a squat print it fails, as a share more: 0 to 1. */
export function unsteadiness({
  slenderness,
  tipDeg,
  footMm2,
}: {
  readonly slenderness: number;
  readonly tipDeg: number;
  readonly footMm2: number;
}): number {
  const slender = Math.max(0, slenderness - STEADY_SLENDERNESS) * RISK_PER_SLENDERNESS;
  const tipping = Math.max(0, 1 - Math.max(0, tipDeg) / STEADY_TIP_DEG) * RISK_ON_EDGE;
  const loose = Math.max(0, 1 - footMm2 / SURE_FOOT_MM2) * RISK_WITHOUT_FOOT;
  return Math.min(1, slender + tipping + loose);
}

export interface Scored {
  readonly printS: number;
  readonly unsteady: number;
  readonly supportG: number;
  readonly held: HeldAreas;
  readonly terracesMm2: number;
}

/** Seconds; the lowest is best. Height counts by its layers and by slenderness, the foot by slenderness and tipping. */
export function poseScore({ printS, unsteady, supportG, held, terracesMm2 }: Scored): number {
  return (
    printS * (1 + unsteady) +
    supportG * REMOVAL_S_PER_G +
    held.shownMm2 * SHOWN_SCAR_S_PER_MM2 +
    held.jointMm2 * JOINT_SCAR_S_PER_MM2 +
    held.hiddenMm2 * HIDDEN_SCAR_S_PER_MM2 +
    terracesMm2 * TERRACE_S_PER_MM2
  );
}
