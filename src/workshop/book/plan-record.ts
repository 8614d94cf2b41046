// plan.json: the division and the prints as numbers, for other programs. Its schema is docs/plan.schema.json.
import { z } from 'zod';
import type { Finding } from '../../base/findings.ts';
import { chainTransforms, type Transform } from '../../mesh/transform.ts';
import type { ModelRecord } from '../process/model-record.ts';
import type { Piece } from '../process/pieces-record.ts';
import type { Print, PrintingRecord } from '../process/printing-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { CHAPTER_NAMES } from './book-text.ts';
import type { Build } from './build-file.ts';
import type { BookResults } from './graph.ts';
import { joinedOrder } from './joined-order.ts';
import { PlannedBeds, plannedBeds } from './planned-beds.ts';
import { PlannedFinish, plannedFinish } from './planned-finish.ts';

const Vec3 = z.tuple([z.number(), z.number(), z.number()]);
const Transform12 = z.array(z.number()).length(12);
const PlaneRecord = z.strictObject({ normal: Vec3, offsetMm: z.number() });
const FindingRecord = z.strictObject({
  code: z.string(),
  severity: z.enum(['note', 'caution', 'fault']),
  say: z.string(),
  where: z.strictObject({
    path: z.string(),
    space: z.enum(['file', 'model', 'worn', 'laid']).optional(),
    atMm: Vec3.optional(),
    piece: z.string().optional(),
  }),
  measured: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
});

const PLUS_MINUS = {
  plusMinusS: z.number().describe('Nine in ten come out within it'),
  plusMinusG: z.number().describe('The same for filament and support together'),
};

export const Plan = z.strictObject({
  kind: z.literal('helmwright-plan'),
  version: z.literal(1),
  name: z.string(),
  model: z
    .strictObject({
      triangles: z.int(),
      closed: z.boolean(),
      volumeMm3: z.number(),
      areaMm2: z.number(),
      sizeMm: Vec3,
      scale: z.number().describe('Worn size over the size of the file'),
      fromFile: Transform12.describe('File space (mm) to model space at worn size: row vectors, last row the shift'),
      findings: z.array(FindingRecord),
    })
    .describe('The shell at worn size, model space: X to the left of the wearer, Y back, Z up'),
  pieces: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      file: z.string(),
      triangles: z.int(),
      closed: z.boolean(),
      volumeMm3: z.number(),
      areaMm2: z.number(),
      sizeMm: Vec3.describe('As laid'),
      bed: z.string().describe('Id of the machine'),
      toModel: Transform12.describe('Laid space (as written in the file) to model space at worn size'),
      printS: z.number(),
      filamentG: z.number(),
      supportG: z.number(),
      ...PLUS_MINUS,
      risk: z
        .strictObject({ failingShare: z.number(), expectedS: z.number(), lostG: z.number() })
        .describe(
          'Share of tries that fail; machine time until it has come out, and filament lost on the way, in the mean',
        ),
    }),
  ),
  seams: z.array(
    z.strictObject({
      id: z.string(),
      pieces: z.tuple([z.string(), z.string()]),
      outerMm: z.number(),
      innerMm: z.number(),
      areaMm2: z.number(),
      costMm: z.number().describe('Millimetres of seam in full view that would be as dear'),
      bowMm: z.number().describe('How far the mating face leaves its plane at most'),
      places: z
        .strictObject({
          creaseMm: z.number(),
          frontMm: z.number(),
          sidesMm: z.number(),
          backMm: z.number(),
          aboveMm: z.number(),
          unseenMm: z.number(),
        })
        .describe('Of the line on the outside: in a crease; else where it is looked at most from; they sum to outerMm'),
      asked: z.string().nullable().describe('Name of the seam asked for that it is part of'),
      plane: PlaneRecord.describe('Model space at worn size: normal . p = offsetMm'),
    }),
  ),
  joints: z.array(
    z.strictObject({
      seam: z.string(),
      kind: z.enum(['tabs', 'laps', 'strips', 'pins', 'rods', 'magnets', 'screws', 'none']),
      stays: z.enum(['glued', 'removable']),
      wallMm: z.number(),
      reliefMm: z.number().describe('Taken back along the outer edge of the mating face that prints down'),
      skinMm: z.number().nullable().describe('Least wall left outside of what was cut, measured'),
      play: z
        .strictObject({ nominalMm: z.number(), printedMm: z.number(), held: z.boolean() })
        .nullable()
        .describe('Misfit at the outer edge that its keys and those of the seams that close with it allow'),
      aloneMm: z.number().nullable().describe('As drawn, by its own keys alone; null without keys'),
      why: z.string().nullable(),
      keys: z.array(
        z.strictObject({
          kind: z.enum(['tab', 'lap', 'strip', 'pin', 'rod', 'magnet', 'screw']),
          carrier: z.string(),
          receiver: z.string(),
          atMm: Vec3,
          along: Vec3,
          into: Vec3,
          inward: Vec3,
          widthMm: z.number(),
          reachMm: z.number(),
          thickMm: z.number(),
          clearanceMm: z.number(),
        }),
      ),
    }),
  ),
  assembly: z
    .array(
      z.strictObject({
        moving: z.array(z.string()),
        onto: z.array(z.string()),
        towards: Vec3,
        seams: z.array(z.string()),
      }),
    )
    .describe('In the order of joining; model space'),
  splices: z
    .strictObject({
      count: z.int(),
      bed: z.string().describe('Id of the machine'),
      printS: z.number(),
      filamentG: z.number(),
      supportG: z.number(),
      ...PLUS_MINUS,
    })
    .nullable()
    .describe('All loose splices as one print; null where no seam has any'),
  beds: PlannedBeds.nullable().describe('Which prints share a bed, and when; null where no plan was possible'),
  finish: PlannedFinish.nullable().describe('Filling, priming, sanding and paint; null where it could not be reckoned'),
  division: z.enum(['fewest', 'hidden', 'quickest']).nullable().describe('Which of the proposals this is'),
  proposals: z
    .array(
      z.strictObject({
        name: z.enum(['fewest', 'hidden', 'quickest']),
        sameAs: z.enum(['fewest', 'hidden', 'quickest']).nullable(),
        pieces: z.int(),
        costMm: z.number(),
        outerMm: z.number(),
        supportG: z.number(),
        printS: z.number(),
        longestPrintS: z.number(),
      }),
    )
    .describe('The divisions found, with rough support and hours; empty where no division was needed'),
  learnt: z
    .array(
      z.strictObject({
        machine: z.string(),
        prints: z.int().describe('Measured prints that its hours are learnt from'),
        weighed: z.int().describe('Of these, in the material of this build, those that its grams are learnt from'),
      }),
    )
    .describe('From how many measured prints hours and grams are corrected, machine by machine'),
  totals: z.strictObject({
    pieces: z.int(),
    volumeMm3: z.number(),
    printS: z.number(),
    filamentG: z.number(),
    supportG: z.number(),
    ...PLUS_MINUS,
    seamOuterMm: z.number(),
    seamCostMm: z.number(),
  }),
  fingerprints: z.record(z.string(), z.string()).describe('A chapter: SHA-256 of its settings and of what it needs'),
  timings: z.record(z.string(), z.number()).describe('Seconds a chapter; 0 when its result was known'),
});
export type Plan = z.infer<typeof Plan>;

export function planJsonSchema(): unknown {
  return z.toJSONSchema(Plan, { target: 'draft-2020-12' });
}

/** What is written and where: each piece with the pose Printing chose. */
export interface LaidPiece {
  readonly piece: Piece;
  readonly print: Print;
  readonly file: string;
}

export function laidPieces(pieces: readonly Piece[], prints: readonly Print[]): readonly LaidPiece[] {
  return pieces.flatMap((piece) => {
    const print = prints.find((candidate) => candidate.piece === piece.id);
    return print === undefined ? [] : [{ piece, print, file: `pieces/${fileNameOf(piece)}.stl` }];
  });
}

/** File space to model space at worn size. */
export function fromFileToWorn(model: ModelRecord, wearer: WearerRecord): Transform {
  const k = wearer.scale;
  return chainTransforms(model.fromFile, [k, 0, 0, 0, k, 0, 0, 0, k, 0, 0, 0]);
}

/** Null when a chapter was refused: there is no plan then. `written` are the laid pieces' measured counts, by piece id. */
export function planOf(
  build: Build,
  results: BookResults,
  about: {
    readonly timings: Readonly<Record<string, number>>;
    readonly readingFindings: readonly Finding[];
    readonly written: ReadonlyMap<
      string,
      { readonly triangles: number; readonly closed: boolean; readonly volumeMm3: number; readonly areaMm2: number }
    >;
  },
): Plan | null {
  const { model, wearer, pieces, joints, printing } = results;
  if (model.state !== 'computed' || wearer.state !== 'computed') return null;
  if (pieces.state !== 'computed' || joints.state !== 'computed' || printing.state !== 'computed') return null;
  const laid = laidPieces(joints.record.pieces, printing.record.prints);
  const findings = [
    ...about.readingFindings,
    ...CHAPTER_NAMES.flatMap((chapter) => {
      const result = results[chapter];
      return result.state === 'computed' ? result.findings : [];
    }),
  ];
  return {
    kind: 'helmwright-plan',
    version: 1,
    name: build.name,
    model: {
      triangles: model.record.triangles,
      closed: model.record.closed,
      volumeMm3: wearer.record.volumeMm3,
      areaMm2: wearer.record.areaMm2,
      sizeMm: [...wearer.record.sizeMm],
      scale: wearer.record.scale,
      fromFile: [...fromFileToWorn(model.record, wearer.record)],
      findings: findings.map(plainFinding),
    },
    pieces: laid.map(({ piece, print, file }) => {
      const measured = about.written.get(piece.id) ?? piece;
      return {
        id: piece.id,
        name: piece.name,
        file,
        triangles: measured.triangles,
        closed: measured.closed,
        volumeMm3: measured.volumeMm3,
        areaMm2: measured.areaMm2,
        sizeMm: [...print.sizeMm],
        bed: print.machine,
        toModel: [...print.toModel],
        printS: print.printS,
        filamentG: print.filamentG,
        supportG: print.supportG,
        plusMinusS: print.plusMinusS,
        plusMinusG: print.plusMinusG,
        risk: { ...print.risk },
      };
    }),
    seams: pieces.record.seams.map((seam) => ({
      id: seam.id,
      pieces: [...seam.pieces],
      outerMm: seam.outerMm,
      innerMm: seam.innerMm,
      areaMm2: seam.areaMm2,
      costMm: seam.costMm,
      bowMm: seam.bowMm,
      places: { ...seam.places },
      asked: seam.asked === null ? null : (build.pieces.asked.seams[seam.asked]?.name ?? null),
      plane: { normal: [...seam.plane.normal], offsetMm: seam.plane.offsetMm },
    })),
    joints: joints.record.joints.map(({ keys, play, ...joint }) => ({
      ...joint,
      play: play === null ? null : { nominalMm: play.nominalMm, printedMm: play.printedMm, held: play.held },
      keys: keys.map(({ heldBy: _heldBy, ...key }) => ({
        ...key,
        atMm: [...key.atMm],
        along: [...key.along],
        into: [...key.into],
        inward: [...key.inward],
      })),
    })),
    assembly: joinedOrder(results).map(({ moving, onto, towards, seams }) => ({
      moving: [...moving],
      onto: [...onto],
      towards: [...towards],
      seams: [...seams],
    })),
    splices: splicesOf(printing.record),
    beds: results.beds.state === 'computed' ? plannedBeds(results.beds.record) : null,
    finish: results.surface.state === 'computed' ? plannedFinish(results.surface.record) : null,
    division: pieces.record.proposal,
    proposals: pieces.record.proposals.map(({ seams: _seams, ...proposal }) => proposal),
    learnt: printing.record.learnt.map(({ machine, prints, weighed }) => ({ machine, prints, weighed })),
    totals: {
      pieces: laid.length,
      volumeMm3: laid.reduce((sum, { piece }) => sum + (about.written.get(piece.id) ?? piece).volumeMm3, 0),
      printS: printing.record.totals.printS,
      filamentG: printing.record.totals.filamentG,
      supportG: printing.record.totals.supportG,
      plusMinusS: printing.record.totals.plusMinusS,
      plusMinusG: printing.record.totals.plusMinusG,
      seamOuterMm: pieces.record.seams.reduce((sum, seam) => sum + seam.outerMm, 0),
      seamCostMm: pieces.record.seams.reduce((sum, seam) => sum + seam.costMm, 0),
    },
    fingerprints: Object.fromEntries(CHAPTER_NAMES.map((chapter) => [chapter, results[chapter].fingerprint])),
    timings: { ...about.timings },
  };
}

function splicesOf({ splices }: PrintingRecord): Plan['splices'] {
  if (splices === null) return null;
  const { count, machine, printS, filamentG, supportG, plusMinusS, plusMinusG } = splices;
  return { count, bed: machine, printS, filamentG, supportG, plusMinusS, plusMinusG };
}

function fileNameOf(piece: Piece): string {
  const words = piece.name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
  return words === '' ? piece.id : `${piece.id}-${words}`;
}

function plainFinding(finding: Finding): Plan['model']['findings'][number] {
  const { code, severity, say, measured, limit, unit, where } = finding;
  return {
    code,
    severity,
    say,
    measured,
    limit,
    unit,
    where: {
      path: where.path,
      ...(where.space === undefined ? {} : { space: where.space }),
      ...(where.atMm === undefined ? {} : { atMm: [...where.atMm] as [number, number, number] }),
      ...(where.piece === undefined ? {} : { piece: where.piece }),
    },
  };
}
