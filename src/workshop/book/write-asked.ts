// Writes what the maker asks of the seams: those held, areas kept clear, machines of pieces, and how more is asked.
import { listed } from '../../base/listed.ts';
import { isNearlySamePlane, type Plane } from '../../geometry/plane.ts';
import { dot, plus, scaled, unit } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import { wornPlaneOf } from '../process/asked-plane.ts';
import { type AskedMachine, AskedSeam, type PlaneAt, type SurfacePoint } from '../process/asked-seams.ts';
import type { Piece, PiecesRecord, Seam } from '../process/pieces-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { followsOf } from './editable.ts';
import { machineLabel } from './machine-words.ts';
import { offer, quantity, say, term, text } from './spans.ts';

const SEAMS = 'pieces.asked.seams';
const CLEAR = 'pieces.asked.clear';
const MACHINES = 'pieces.asked.machines';

/** A sentence for everything asked, then how to ask for more. Without a worn shell nothing can be pointed at. */
export function askedBlocks(build: Build, pieces: PiecesRecord | null, wearer: WearerRecord | null): readonly Block[] {
  const { seams, clear, machines } = build.pieces.asked;
  return [
    ...seams.map((seam, index) => heldSentence(seam, { seams, index, pieces, wearer })),
    ...clear.map((area, index) =>
      say(
        nameOf(`${CLEAR}.${index}.name`, 'Name of the area', area.name),
        ' is kept clear of seams. ',
        remove(CLEAR, clear, { index, label: area.name, says: 'Let seams cross it' }),
      ),
    ),
    // once there are pieces, their own rows tell their machines
    ...machines.flatMap((asked, index) =>
      pieces?.pieces.some((piece) => piece.asked === index) === true ? [] : [machineSentence(build, asked, index)],
    ),
    ...(wearer === null ? [] : [moreSentence(build)]),
  ];
}

function heldSentence(
  seam: AskedSeam,
  of: {
    readonly seams: readonly AskedSeam[];
    readonly index: number;
    readonly pieces: PiecesRecord | null;
    readonly wearer: WearerRecord | null;
  },
): Block {
  const path = `${SEAMS}.${of.index}`;
  const parts: (string | Span)[] = [nameOf(`${path}.name`, 'Name of the seam', seam.name), ' '];
  const plane = of.wearer === null ? null : wornPlaneOf(seam, of.wearer.scale);
  if (plane === null || of.wearer === null) parts.push('is asked for');
  else parts.push(planeSpan(seam, path, { plane, wearer: of.wearer }));
  const made = of.pieces?.seams.filter(({ asked }) => asked === of.index) ?? [];
  if (made.length > 0) {
    const outer = made.reduce((sum, { outerMm }) => sum + outerMm, 0);
    const cost = made.reduce((sum, { costMm }) => sum + costMm, 0);
    parts.push(
      `. It is ${listed(made.map(({ id }) => id))}, `,
      quantity(outer, 'mm', 0),
      ' on the outside, as dear as ',
      quantity(cost, 'mm', 0),
      ' in full view',
      ...withinWords(made, of.pieces?.seams ?? []),
    );
  }
  return say(...parts, '. ', remove(SEAMS, of.seams, { index: of.index, label: seam.name, says: 'Let it go' }));
}

/** Which other seams have to stay with it: it lies within their cuts. */
function withinWords(made: readonly Seam[], seams: readonly Seam[]): readonly string[] {
  const bounds = made.flatMap(({ within }) => within);
  const names = seams
    .filter(({ plane }) => bounds.some((bound) => isNearlySamePlane(bound, plane)))
    .map(({ id }) => id);
  if (names.length === 0) return [];
  return [`; it ends on ${listed(names)}, which ${names.length === 1 ? 'stays' : 'stay'} with it`];
}

function planeSpan(
  seam: AskedSeam,
  path: string,
  { plane, wearer }: { readonly plane: Plane; readonly wearer: WearerRecord },
): Span {
  return {
    s: 'plane',
    path,
    label: seam.name,
    entry: JSON.stringify(seam),
    normal: plane.normal,
    offsetMm: plane.offsetMm,
    scale: wearer.scale,
    heightMm: wearer.sizeMm[2],
    follows: followsOf(path),
  };
}

function machineSentence(build: Build, asked: AskedMachine, index: number): Block {
  const machine = build.machines.find(({ id }) => id === asked.machine);
  return say(
    'One piece is to be printed on ',
    term(machine === undefined ? asked.machine : machineLabel(machine)),
    '. ',
    remove(MACHINES, build.pieces.asked.machines, {
      index,
      label: 'A machine asked for a piece',
      says: 'Let it print on any',
    }),
  );
}

function moreSentence({ pieces: { asked } }: Build): Block {
  return offer(
    'A seam can be asked for: ',
    {
      s: 'places',
      path: SEAMS,
      label: 'A seam where you want it',
      makes: 'seam',
      name: freeName('Seam', asked.seams),
      least: 2,
      most: 12,
      says: 'point at places that it goes through',
      what: 'place that the seam goes through',
      such: 'two are enough for one square to the surface',
      follows: followsOf(SEAMS),
    },
    '. An area can be kept clear of seams: ',
    {
      s: 'places',
      path: CLEAR,
      label: 'An area kept clear',
      makes: 'area',
      name: freeName('Area', asked.clear),
      least: 3,
      most: 60,
      says: 'point at places round it',
      what: 'place of its outline',
      such: 'one after the other, all round',
      follows: followsOf(CLEAR),
    },
    '.',
  );
}

/** Whether a seam is held, under which name, or the word that holds it where it is. */
export function heldOf(build: Build, seam: Seam, record: PiecesRecord, wearer: WearerRecord): Span {
  const nameAt = (asked: number | null): string =>
    asked === null ? '' : (build.pieces.asked.seams[asked]?.name ?? '');
  if (seam.asked !== null) return text(nameAt(seam.asked));
  const ending = record.seams.find(
    ({ asked, within }) => asked !== null && within.some((bound) => isNearlySamePlane(bound, seam.plane)),
  );
  return ending === undefined ? holdSeam(build, seam, wearer) : text(`with ${nameAt(ending.asked)}`);
}

function holdSeam(build: Build, seam: Seam, wearer: WearerRecord): Span {
  const { normal } = seam.plane;
  const at = placeOn(seam);
  const entry: AskedSeam = AskedSeam.parse({
    name: freeName(`Seam ${seam.id}`, build.pieces.asked.seams),
    points: [pointAt(at.atMm, at.normal, wearer.scale)],
    normal: normal.map((v) => rounded(v, 12)),
    within: seam.within.map((bound) => planeAt(bound, at.atMm, wearer.scale)),
  });
  return add(SEAMS, entry, { label: `Seam ${seam.id}`, says: 'hold it' });
}

/** On which machine the piece is printed, as a choice. */
export function machineOfPiece(build: Build, piece: Piece, wearer: WearerRecord): Span {
  const asked = piece.asked === null ? null : (build.pieces.asked.machines[piece.asked] ?? null);
  const entries = build.machines.map((machine): { entry: string; label: string } => ({
    entry: JSON.stringify(
      asked?.machine === machine.id
        ? asked
        : { at: pointAt(piece.mark.atMm, piece.mark.normal, wearer.scale), machine: machine.id },
    ),
    label: machineLabel(machine),
  }));
  return {
    s: 'entry',
    path: MACHINES,
    label: `Machine for piece ${piece.id}`,
    options: [{ entry: null, label: 'any that fits' }, ...entries],
    value: asked === null ? null : JSON.stringify(asked),
    follows: followsOf(MACHINES),
  };
}

/** A point of the seam's line on the outside, in the middle of its longest stretch. */
function placeOn(seam: Seam): { readonly atMm: Vec3; readonly normal: Vec3 } {
  const lines = seam.lines.length > 0 ? seam.lines.map(({ points }) => points) : seam.outlines;
  const longest = lines.reduce((most, line) => (line.length > most.length ? line : most));
  const at = Math.floor(longest.length / 6) * 3;
  const atMm: Vec3 = [longest[at]!, longest[at + 1]!, longest[at + 2]!];
  // the first side of its line says in which plane it is; outward is told by the plane alone, so its own normal does
  return { atMm, normal: unit(seam.plane.normal) };
}

function pointAt(atMm: Vec3, normal: Vec3, scale: number): SurfacePoint {
  const at = scaled(atMm, 1 / scale);
  return {
    atMm: [rounded(at[0], 5), rounded(at[1], 5), rounded(at[2], 5)],
    normal: [rounded(normal[0], 6), rounded(normal[1], 6), rounded(normal[2], 6)],
  };
}

/** A plane by the point of it that is nearest to a place. */
function planeAt({ normal, offsetMm }: Plane, near: Vec3, scale: number): PlaneAt {
  const { atMm } = pointAt(plus(near, scaled(normal, offsetMm - dot(normal, near))), normal, scale);
  return { atMm, normal: [rounded(normal[0], 12), rounded(normal[1], 12), rounded(normal[2], 12)] };
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}

function nameOf(path: string, label: string, value: string): Span {
  return { s: 'name', path, label, value, follows: followsOf(path) };
}

/** The word that puts an entry into its list. */
export function add(path: string, entry: unknown, of: { readonly label: string; readonly says: string }): Span {
  const follows = followsOf(path);
  return { s: 'deed', path, ...of, does: 'add', entry: JSON.stringify(entry), index: 0, of: 0, follows };
}

/** The word that takes an entry out of its list. */
export function remove(
  path: string,
  list: readonly unknown[],
  of: { readonly index: number; readonly label: string; readonly says: string },
): Span {
  const entry = JSON.stringify(list[of.index]);
  return { s: 'deed', path, ...of, does: 'remove', entry, of: list.length, follows: followsOf(path) };
}

/** "Seam 2": the first that nothing is called yet. */
function freeName(stem: string, known: readonly { readonly name: string }[]): string {
  const has = (name: string): boolean => known.some((one) => one.name === name);
  if (!/^(Seam|Area)$/.test(stem) && !has(stem)) return stem;
  for (let n = 1; ; n++) if (!has(`${stem} ${n}`)) return `${stem} ${n}`;
}
