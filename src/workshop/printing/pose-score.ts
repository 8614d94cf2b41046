// What a pose costs, in seconds: the machine's hours with their risk, and the hands for support, scars and terraces. docs/methods/piece-poses.md.
import type { SupportColumns } from '../../geometry/support-columns.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { SURE_FOOT_MM2 } from '../facts/footing.ts';
import { JOINT, SHOWN } from './surface-kinds.ts';

/** An hour of hands counts as so many of the machine; common practice, no source. */
const HANDS_COUNT = 3;
/** Breaking support away and picking its crumbs, hands a gram; common practice, no source: removal and clean-up take 1 to 3 hours a helm, of some 200 g. */
const REMOVAL_S_PER_G = 30;
/** Hands a square centimetre; common practice, no source. Scars that show: cut down, filled twice, sanded. Scars on mating faces and keys: pared
 *  until the joint closes; of a wall of 3 mm that is 33 mm of edge with its keys. */
const SCAR_S_PER_CM2 = 60;
/** Scars inside: knocked down in one pass of coarse folded paper; padding hides the rest. */
const HIDDEN_SCAR_S_PER_CM2 = 3;
/** Terraces that show: one pull of putty and three papers more than other surface. */
const TERRACE_S_PER_CM2 = 6;
/** A print taller than this many times what its foot holds by is at risk; each unit more counts a tenth of its time again. */
const STEADY_SLENDERNESS = 6;
const RISK_PER_SLENDERNESS = 0.1;
/** A print that tips over this easily, degrees, is at risk: on its edge it counts half of its time again, at this angle nothing. */
const STEADY_TIP_DEG = 10;
const RISK_ON_EDGE = 0.5;
/** On less of its own plastic than a sure foot: none at all counts half of the time again. Support does not count: it is made to break off, wobbles
 *  under the first layers it carries, and lets them sag. Common practice, no source. */
const RISK_ON_SUPPORT = 0.5;
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

/** How much likelier than a squat print it fails, as a share more: 0 to 1. `ownFootMm2`: of the piece itself on the bed. */
export function unsteadiness({
  slenderness,
  tipDeg,
  ownFootMm2,
}: {
  readonly slenderness: number;
  readonly tipDeg: number;
  readonly ownFootMm2: number;
}): number {
  const slender = Math.max(0, slenderness - STEADY_SLENDERNESS) * RISK_PER_SLENDERNESS;
  const tipping = Math.max(0, 1 - Math.max(0, tipDeg) / STEADY_TIP_DEG) * RISK_ON_EDGE;
  const onSupport = Math.max(0, 1 - ownFootMm2 / SURE_FOOT_MM2) * RISK_ON_SUPPORT;
  return Math.min(1, slender + tipping + onSupport);
}

export interface Scored {
  readonly printS: number;
  readonly unsteady: number;
  readonly supportG: number;
  readonly held: HeldAreas;
  readonly terracesMm2: number;
}

/** Seconds of the machine, hands among them by what they count; the lowest is best. Height counts by its layers and by slenderness, the foot by
 *  slenderness, tipping and what of it is the piece's own. */
export function poseScore({ printS, unsteady, supportG, held, terracesMm2 }: Scored): number {
  const scarsS =
    (held.shownMm2 + held.jointMm2) * SCAR_S_PER_CM2 +
    held.hiddenMm2 * HIDDEN_SCAR_S_PER_CM2 +
    terracesMm2 * TERRACE_S_PER_CM2;
  const handsS = supportG * REMOVAL_S_PER_G + scarsS / 100;
  return printS * (1 + unsteady) + handsS * HANDS_COUNT;
}
