// A helm in four or in seven pieces with its joints and its assembly, for what writes and shows them. Lengths and shares are rounded from the demo's
// own divisions for beds of 220 and 180 mm; keys are invented so that every kind is there.
import { AssemblySettings, totalsOf } from '../../src/workshop/assembly/assembly.ts';
import { assemblySteps } from '../../src/workshop/assembly/assembly-steps.ts';
import { seamGluing } from '../../src/workshop/assembly/seam-gluing.ts';
import type { BookResults } from '../../src/workshop/book/graph.ts';
import type { AssembledJoin, AssemblyRecord } from '../../src/workshop/process/assembly-record.ts';
import { joinOrder } from '../../src/workshop/process/join-order.ts';
import type { Joint, JointKind, JointsRecord, Key, LoosePart } from '../../src/workshop/process/joints-record.ts';
import type { PiecesRecord } from '../../src/workshop/process/pieces-record.ts';

interface GivenSeam {
  readonly id: string;
  readonly cut: number;
  readonly outerMm: number;
  /** Of its inner edge in reach once it is closed. */
  readonly share: number;
  readonly kind: JointKind;
  readonly misfitMm: number;
}

const seam = (
  id: string,
  cut: number,
  outerMm: number,
  share: number,
  kind: JointKind,
  misfitMm: number,
): GivenSeam => ({
  id,
  cut,
  outerMm,
  share,
  kind,
  misfitMm,
});

const FOUR = {
  names: ['crown', 'face', 'back of the head, left', 'back of the head, right'],
  seams: [
    seam('A-B', 0, 275, 0.67, 'tabs', 0.22),
    seam('A-C', 0, 227, 0.82, 'strips', 0.26),
    seam('A-D', 0, 216, 0.78, 'tabs', 0.23),
    seam('B-C', 1, 273, 0.78, 'magnets', 0.45),
    seam('B-D', 1, 273, 0.88, 'screws', 0.25),
    seam('C-D', 2, 348, 0.98, 'none', 0),
  ],
};

const SEVEN = {
  names: [
    'crown, back',
    'face, left',
    'face, right',
    'back of the head',
    'chin',
    'back of the neck, left',
    'back of the neck, right',
  ],
  seams: [
    seam('A-D', 0, 219, 0.86, 'tabs', 0.24),
    seam('B-D', 0, 48, 1, 'strips', 10),
    seam('C-D', 0, 48, 1, 'strips', 6.52),
    seam('B-F', 0, 212, 0.83, 'tabs', 0.27),
    seam('E-F', 0, 76, 1, 'tabs', 1.09),
    seam('C-G', 0, 212, 0.81, 'tabs', 0.26),
    seam('E-G', 0, 75, 1, 'tabs', 1.09),
    seam('B-E', 1, 87, 0.67, 'tabs', 0.31),
    seam('C-E', 1, 87, 0.73, 'tabs', 0.31),
    seam('A-B', 2, 264, 0.59, 'tabs', 0.58),
    seam('A-C', 2, 238, 0.53, 'tabs', 0.56),
    seam('B-C', 3, 311, 0.89, 'tabs', 0.31),
    seam('D-G', 4, 320, 1, 'tabs', 0.74),
    seam('D-F', 5, 320, 0.78, 'tabs', 0.31),
  ],
};

export type Assembled = Pick<BookResults, 'pieces' | 'joints' | 'assembly' | 'wearer'>;

export function assembledHelm(numPieces: 4 | 7): Assembled {
  const { names, seams } = numPieces === 4 ? FOUR : SEVEN;
  const pieces = piecesOf(names, seams);
  const joints = jointsOf(pieces, seams);
  const computed = <R>(record: R) => ({ state: 'computed', record, findings: [], fingerprint: 'f', reused: false });
  return {
    wearer: computed({ kind: 'wearer', scale: 1, sizeMm: [250, 300, 310] }),
    pieces: computed(pieces),
    joints: computed(joints),
    assembly: computed(assemblyOf(pieces, joints, seams)),
  } as unknown as Assembled;
}

function piecesOf(names: readonly string[], seams: readonly GivenSeam[]): PiecesRecord {
  return {
    kind: 'pieces',
    pieces: names.map((name, i) => ({ id: String.fromCharCode(65 + i), name, volumeMm3: 100_000 + 10_000 * i })),
    seams: seams.map(({ id, cut, outerMm }, i) => ({
      id,
      pieces: id.split('-'),
      cut,
      outerMm,
      innerMm: 0.94 * outerMm,
      areaMm2: 3 * outerMm,
      bowMm: i % 3 === 1 ? 3 : 0,
      plane: { normal: NORMALS[cut % NORMALS.length], offsetMm: 0 },
      lines: [],
      outlines: [Float32Array.of(100, 0, 40 * i, 0, 100, 40 * i, -100, 0, 40 * i)],
    })),
  } as unknown as PiecesRecord;
}

const NORMALS = [
  [0, 0, 1],
  [0, 1, 0],
  [1, 0, 0],
  [0, 0.6, 0.8],
] as const;

const KEY_KINDS: Readonly<Record<Exclude<JointKind, 'none'>, Key['kind']>> = {
  tabs: 'tab',
  laps: 'lap',
  strips: 'strip',
  pins: 'pin',
  rods: 'rod',
  magnets: 'magnet',
  screws: 'screw',
};

function jointsOf(pieces: PiecesRecord, seams: readonly GivenSeam[]): JointsRecord {
  const joints = seams.map(({ id, kind, misfitMm }): Joint => {
    const [carrier, receiver] = id.split('-') as [string, string];
    const key = kind === 'none' ? null : keyOf(KEY_KINDS[kind], carrier, receiver);
    return {
      seam: id,
      kind,
      stays: kind === 'magnets' || kind === 'screws' ? 'removable' : 'glued',
      wallMm: kind === 'none' ? 0 : 3.1,
      keys: key === null ? [] : [key, key, key],
      reliefMm: 0,
      skinMm: kind === 'strips' ? 1.4 : null,
      play: key === null ? null : { nominalMm: misfitMm, printedMm: 3 * misfitMm, held: true, atMm: [0, 0, 0] },
      aloneMm: key === null ? null : misfitMm,
      why: null,
    };
  });
  return {
    kind: 'joints',
    version: 1,
    pieces: pieces.pieces,
    joints,
    loose: joints.flatMap(({ seam: id, kind }) => looseOf(id, kind)),
    order: joinOrder(pieces.pieces, pieces.seams),
  };
}

function keyOf(kind: Key['kind'], carrier: string, receiver: string): Key {
  return {
    kind,
    carrier,
    receiver,
    atMm: [0, 0, 0],
    along: [1, 0, 0],
    into: [0, 0, -1],
    inward: [0, 1, 0],
    widthMm: kind === 'magnet' ? 6 : kind === 'screw' ? 3 : 16,
    reachMm: kind === 'magnet' ? 0.8 : 8,
    thickMm: 2.4,
    clearanceMm: 0.2,
    heldBy: 'stops',
  };
}

function looseOf(id: string, kind: JointKind): readonly LoosePart[] {
  const part = { strips: ['splice', 3, 16], magnets: ['disc magnet', 6, 3], screws: ['screw', 3, 13.5] } as const;
  const found = kind in part ? part[kind as keyof typeof part] : null;
  if (found === null) return [];
  const [name, count, lengthMm] = found;
  return Array.from({ length: count }, (_, i) => ({
    id: `${id}/${i + 1}`,
    name,
    seam: id,
    mesh: null,
    lengthMm,
    volumeMm3: 600,
  }));
}

function assemblyOf(pieces: PiecesRecord, joints: JointsRecord, given: readonly GivenSeam[]): AssemblyRecord {
  const settings = AssemblySettings.parse({});
  const closed: string[] = [];
  const joins = joints.order.map((join): AssembledJoin => {
    closed.push(...join.seams);
    const reach = closed.map((id) => ({ seam: id, share: given.find((one) => one.id === id)!.share }));
    return { ...join, meets: [], reach };
  });
  const seams = pieces.seams.map((one, i) => seamGluing(one, joints.joints[i]!, { joins, settings, spread: () => [] }));
  const steps = assemblySteps({ joins, seams, pieces, record: joints, settings });
  return {
    kind: 'assembly',
    version: 1,
    joins,
    seams,
    steps,
    totals: totalsOf(seams, steps, settings),
  };
}
