// A model of several solids: each is laid or divided on its own, and all pieces are told in one list.
import { done, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { splitComponents } from '../../../geometry/split-components.ts';
import { bounds, middleOf, sizeOf } from '../../../mesh/measure.ts';
import { type Mesh, numTris } from '../../../mesh/mesh.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { ProposalName } from '../../process/pieces-record.ts';
import { roughPrintS } from '../../process/rough-print.ts';
import { bedsOf, type DivideSettings, demandsOfBody } from '../asked/asked-at-size.ts';
import { noPrice, writePrice } from '../price/seam-price.ts';
import { PROPOSAL_NAMES } from '../search/proposal-aims.ts';
import { sampledShell } from '../search/shell-task.ts';
import { NO_ESTIMATE, togetherOf } from './carried-estimate.ts';
import { type CarriedOut, type Divided, divideShell } from './divide-shell.ts';
import { fittingPoses } from './fitting-pose.ts';
import { pieceMeasures } from './piece-measures.ts';

/** Every body that fits a bed stays whole, the others are divided. Refuses what divideShell refuses for one of them. */
export function divideBodies(
  shell: Mesh,
  symmetry: Plane | null,
  settings: DivideSettings,
  work: ChapterWork,
): Outcome<Divided> {
  const bodies = splitComponents({ mesh: shell, sourceTri: ascending(numTris(shell)) });
  const all: Divided[] = [];
  for (const [index, body] of bodies.entries()) {
    const part = partOfWork(work, index / bodies.length, (index + 1) / bodies.length);
    const mirror = bodies.length === 1 || isAcross(body.mesh, symmetry) ? symmetry : null;
    const own = { ...settings, demands: demandsOfBody(settings.demands, body.sourceTri) };
    const one = divideBody({ ...body, sourceTri: ascending(numTris(body.mesh)) }, mirror, own, part);
    if (!one.ok) return one;
    all.push(one.value);
  }
  return done(all.length === 1 ? all[0]! : merged(shell, bodies, all));
}

function divideBody(
  body: MeshPart,
  symmetry: Plane | null,
  settings: DivideSettings,
  work: ChapterWork,
): Outcome<Divided> {
  const { seams, machines } = settings.demands;
  const whole = { ...settings, beds: bedsOf(settings.beds, machines), matingFaces: [] };
  const poses = seams.length > 0 ? [] : fittingPoses(body.mesh, partOfWork(work, 0, 0.05), whole);
  if (poses.length === 0) {
    const mirrored = divideShell(body, symmetry, settings, partOfWork(work, 0.05, symmetry === null ? 1 : 0.6));
    // What is only nearly its own mirror image can be divided more freely than a pattern that has to be mirrored.
    const isStuck = !mirrored.ok && mirrored.code === 'PIECES_TOO_MANY' && symmetry !== null;
    return isStuck ? divideShell(body, null, settings, partOfWork(work, 0.6, 1)) : mirrored;
  }
  const { areaMm2, volumeMm3 } = pieceMeasures(body.mesh);
  const printS = roughPrintS({ areaMm2, thickMm: volumeMm3 / areaMm2, supportG: 0 });
  const one = {
    parts: [{ part: body, path: [] }],
    cuts: [],
    poses: [poses],
    supportG: 0,
    printS,
    longestPrintS: printS,
  };
  return done({
    ...one,
    // nothing is cut, but how it lies and what is done to its surface asks which side is seen
    price: sampledShell(body.mesh, settings, partOfWork(work, 0.05, 1)).price,
    proposals: { fewest: one, hidden: one, quickest: one },
    search: { planesTried: 0, divisions: 0, cost: 0 },
  });
}

/** The plane goes through the middle of the body: only then can a pattern on it be mirrored. */
function isAcross(mesh: Mesh, plane: Plane | null): boolean {
  if (plane === null) return false;
  const box = bounds(mesh);
  const [x, y, z] = middleOf(box);
  const off = x * plane.normal[0] + y * plane.normal[1] + z * plane.normal[2] - plane.offsetMm;
  return Math.abs(off) < 0.02 * Math.max(...sizeOf(box));
}

/** One division of the whole: cuts counted through, triangles again those of the shell. */
function merged(shell: Mesh, bodies: readonly MeshPart[], all: readonly Divided[]): Divided {
  const price = noPrice(numTris(shell));
  all.forEach((one, index) => {
    writePrice(price, bodies[index]!.sourceTri, one.price);
  });
  const proposed = new Map<string, CarriedOut>();
  const proposal = (name: ProposalName): CarriedOut => {
    // divisions that are one for every body are one for the whole
    const key = all.map(({ proposals }) => PROPOSAL_NAMES.findIndex((other) => proposals[other] === proposals[name]));
    const known = proposed.get(key.join());
    const made =
      known ??
      joined(
        bodies,
        all.map(({ proposals }) => proposals[name]),
      );
    proposed.set(key.join(), made);
    return made;
  };
  return {
    ...joined(bodies, all),
    price,
    proposals: { fewest: proposal('fewest'), hidden: proposal('hidden'), quickest: proposal('quickest') },
    search: {
      planesTried: all.reduce((sum, { search }) => sum + search.planesTried, 0),
      divisions: all.reduce((sum, { search }) => sum + search.divisions, 0),
      cost: all.reduce((sum, { search }) => sum + search.cost, 0),
    },
  };
}

function joined(bodies: readonly MeshPart[], all: readonly CarriedOut[]): CarriedOut {
  let cutsBefore = 0;
  const parts = all.flatMap((one, index) => {
    const { sourceTri } = bodies[index]!;
    const before = cutsBefore;
    cutsBefore += one.cuts.length;
    return one.parts.map(({ part, path }) => ({
      part: { ...part, sourceTri: part.sourceTri.map((tri) => (tri < 0 ? tri - before : sourceTri[tri]!)) },
      path: path.map((step) => ({ ...step, cut: step.cut + before })),
    }));
  });
  return {
    parts,
    cuts: all.flatMap(({ cuts }) => cuts),
    poses: all.flatMap(({ poses }) => poses),
    ...all.reduce(togetherOf, NO_ESTIMATE),
  };
}

function ascending(count: number): Int32Array {
  return Int32Array.from({ length: count }, (_, t) => t);
}
