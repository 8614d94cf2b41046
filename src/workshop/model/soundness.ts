// Is the surface one closed shell? Says what is wrong, how much of it, and where, or hands the shell on facing outward.
import { done, type Finding, finding, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { surfaceArea, volume } from '../../mesh/measure.ts';
import { type Mesh, NONE, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { halfEdgeTwins, openLoops, type SurfaceCheck, surfaceCheck, turnedInsideOut } from '../../mesh/topology.ts';

export interface SoundShell {
  readonly mesh: Mesh;
  readonly genus: number;
  readonly volumeMm3: number;
  readonly areaMm2: number;
}

/** One closed, manifold shell that faces outward. One that faces inward is turned round (finding MESH_INSIDE_OUT).
 *  Refuses MESH_EMPTY, MESH_OPEN, MESH_NOT_MANIFOLD, MESH_MANY_SHELLS. Space: file, mm. Cost: about a second per million
 *  triangles. Weak: crossings of the surface with itself are not looked for. */
export function soundShell(mesh: Mesh): Outcome<SoundShell> {
  const areaMm2 = numTris(mesh) === 0 ? 0 : surfaceArea(mesh);
  if (!(areaMm2 > 0)) return refuse('MESH_EMPTY', `The model has ${numTris(mesh)} triangles and no area.`);
  const check = surfaceCheck(mesh);
  const trouble = openTrouble(mesh, check) ?? manifoldTrouble(mesh, check) ?? shellTrouble(mesh, check);
  if (trouble !== null) return trouble;
  const volumeMm3 = volume(mesh);
  if (volumeMm3 === 0) return refuse('MESH_EMPTY', 'The surface is folded flat and encloses nothing.');
  const findings: Finding[] = [];
  if (volumeMm3 < 0) {
    findings.push(
      finding('MESH_INSIDE_OUT', `All ${numTris(mesh)} triangles faced inward and were turned round.`, {
        where: { path: 'model' },
      }),
    );
  }
  const outward = volumeMm3 < 0 ? turnedInsideOut(mesh) : mesh;
  return done({ mesh: outward, genus: check.genus, volumeMm3: Math.abs(volumeMm3), areaMm2 }, findings);
}

function openTrouble(mesh: Mesh, check: SurfaceCheck): Refusal | null {
  if (check.openEdges === 0) return null;
  const loops = openLoops(mesh);
  const total = loops.reduce((sum, loop) => sum + loop.lengthMm, 0);
  const longest = loops[0];
  const which =
    longest === undefined
      ? ''
      : ` The longest opening, ${mm(longest.lengthMm)} round over ${longest.edges} edges, is at ${place(longest.atMm)} of the file.`;
  const why = `The surface is not closed: ${check.openEdges} open edges, ${mm(total)} in all, in ${loops.length} openings.${which}`;
  return refuse('MESH_OPEN', why, at(longest?.atMm));
}

function manifoldTrouble(mesh: Mesh, check: SurfaceCheck): Refusal | null {
  if (check.manifold) return null;
  const what: string[] = [];
  if (check.crowdedEdges > 0) what.push(`${check.crowdedEdges} edges have more than two faces`);
  if (check.clashingEdges > 0) what.push(`at ${check.clashingEdges} edges the faces run against each other`);
  if (check.pinchedVerts > 0) what.push(`at ${check.pinchedVerts} points the surface only touches itself`);
  const first = firstLoneEdge(mesh);
  const where = first === undefined ? '' : ` The first such edge is at ${place(first)} of the file.`;
  return refuse('MESH_NOT_MANIFOLD', `The surface bounds no solid: ${what.join('; ')}.${where}`, at(first));
}

function firstLoneEdge(mesh: Mesh): Vec3 | undefined {
  const half = halfEdgeTwins(mesh).indexOf(NONE);
  if (half < 0) return undefined;
  const { positions: p, triangles: t } = mesh;
  const a = t[half]! * 3;
  const b = t[half % 3 === 2 ? half - 2 : half + 1]! * 3;
  return [(p[a]! + p[b]!) / 2, (p[a + 1]! + p[b + 1]!) / 2, (p[a + 2]! + p[b + 2]!) / 2];
}

function shellTrouble(mesh: Mesh, check: SurfaceCheck): Refusal | null {
  if (check.shells === 1) return null;
  const boxes = shellBoxes(mesh, check).sort((a, b) => b.triangles - a.triangles);
  const named = boxes
    .slice(0, 4)
    .map((box) => `${box.triangles} triangles, ${box.sizeMm.map(tidy).join(' x ')} mm about ${place(box.middleMm)}`);
  const more = boxes.length > 4 ? ', and smaller ones' : '';
  const why = `The model is made of ${check.shells} separate surfaces: ${named.join('; ')}${more}.`;
  return refuse('MESH_MANY_SHELLS', why, at(boxes[1]?.middleMm));
}

interface ShellBox {
  readonly triangles: number;
  readonly sizeMm: Vec3;
  readonly middleMm: Vec3;
}

function shellBoxes(mesh: Mesh, check: SurfaceCheck): ShellBox[] {
  const { positions: p, triangles: t } = mesh;
  const low = new Float64Array(check.shells * 3).fill(Infinity);
  const high = new Float64Array(check.shells * 3).fill(-Infinity);
  const count = new Uint32Array(check.shells);
  for (let corner = 0; corner < t.length; corner++) {
    const shell = check.shellOfTri[Math.floor(corner / 3)]!;
    if (corner % 3 === 0) count[shell] = count[shell]! + 1;
    for (let c = 0; c < 3; c++) {
      const v = p[t[corner]! * 3 + c]!;
      if (v < low[shell * 3 + c]!) low[shell * 3 + c] = v;
      if (v > high[shell * 3 + c]!) high[shell * 3 + c] = v;
    }
  }
  return Array.from(count, (triangles, shell) => ({
    triangles,
    sizeMm: [0, 1, 2].map((c) => high[shell * 3 + c]! - low[shell * 3 + c]!) as unknown as Vec3,
    middleMm: [0, 1, 2].map((c) => (high[shell * 3 + c]! + low[shell * 3 + c]!) / 2) as unknown as Vec3,
  }));
}

function at(place: Vec3 | undefined): { where?: Refusal['where'] & object } {
  return place === undefined ? {} : { where: { path: 'model', space: 'file', atMm: place } };
}

function mm(value: number): string {
  return `${tidy(value)} mm`;
}

function tidy(value: number): string {
  return String(Math.round(value * 10) / 10);
}

function place(p: Vec3): string {
  return `(${p.map(tidy).join(', ')}) mm`;
}
