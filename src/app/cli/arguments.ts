// Reads the command line into one record, or says what is wrong with it.

import { parseArgs } from 'node:util';
import type { ProposalName } from '../../workshop/process/pieces-record.ts';

type Direction = readonly [number, number, number];

export interface Arguments {
  readonly command: 'check' | 'plan' | 'demo' | 'serve';
  /** A model file or a build file; empty for demo and serve. */
  readonly input: string;
  readonly bedsMm: readonly (readonly [number, number, number])[];
  readonly unit: 'mm' | 'cm' | 'm' | 'in' | null;
  readonly heightMm: number | null;
  readonly scale: number | null;
  readonly headMm: number | null;
  readonly clearanceMm: number | null;
  readonly layerMm: number | null;
  /** What becomes of a sheet's large openings. */
  readonly openings: 'wall' | 'close' | null;
  /** Wall a sheet is given, and wall that is kept at the worn size. */
  readonly wallMm: number | null;
  readonly rebuild: boolean;
  readonly rebuildCells: number | null;
  readonly mostPieces: number | null;
  readonly leastSectionMm: number | null;
  readonly proposal: ProposalName | null;
  readonly mostBowMm: number | null;
  /** Pieces are written as they were cut, without keys. */
  readonly plain: boolean;
  readonly up: Direction | null;
  readonly front: Direction | null;
  readonly name: string | null;
  readonly out: string | null;
  readonly data: string | null;
  readonly json: boolean;
  readonly strict: boolean;
  readonly serve: boolean;
  readonly open: boolean;
  readonly port: number;
  readonly triangles: number;
  readonly shape: string;
}

export const USAGE = `helmwright: from a model file to printable pieces and a book

  helmwright check MODEL|build.json [MENDING] [--unit mm|cm|m|in] [--strict] [--json]
      Reads, mends and measures a model, prints one page, writes nothing.
  helmwright plan MODEL|build.json [--out DIR] [--bed WxDxH]... [MENDING] [--unit mm|cm|m|in]
                  [--height MM | --scale FACTOR | --head MM [--clearance MM]]
                  [--seams fewest|hidden|quickest] [--bow MM] [--most-pieces N] [--least-section MM] [--plain]
                  [--layer MM] [--name TITLE] [--data DIR] [--json]
      Computes the book and writes DIR: build.json, plan.json, pieces/*.stl, kit.3mf, book.html.
      --plain writes the pieces as they were cut, without keys.
  helmwright demo [--out DIR] [--bed WxDxH]... [--plain] [--triangles N] [--shape NAME] [--serve] [--open]
      The same for the Keeper's helm, made by the program itself (also: half-mask, shoulder-guard).
  helmwright serve [--port N] [--data DIR] [--open]
      Serves the books as pages on this machine only. They are kept in DIR (usual: helmwright-data); with
      DATABASE_URL in the environment, in that PostgreSQL database, and their files in DIR.
  helmwright help, helmwright --version

MODEL is STL, 3MF, OBJ, PLY, OFF, glTF or GLB. MENDING, where the model leaves a choice:
  --openings wall|close   a sheet's large openings: give the sheet a wall inward, or close them with lids
  --wall MM               that wall, and the wall that is kept whatever the worn size
  --rebuild               rebuild the surface from what lies inside, instead of mending it exactly
  --cells N               as fine as N cells along the longest side (with --rebuild; usual 320)
  --up DIR, --front DIR   which way of the file that is: +x, -x, +y, -y, +z, -z, or three numbers x,y,z

Exit codes: 0 done, 1 a bug, 2 usage, 3 refused (with the reason), 130 cancelled.`;

const OPTIONS = {
  bed: { type: 'string', multiple: true },
  unit: { type: 'string' },
  height: { type: 'string' },
  scale: { type: 'string' },
  head: { type: 'string' },
  clearance: { type: 'string' },
  layer: { type: 'string' },
  openings: { type: 'string' },
  wall: { type: 'string' },
  rebuild: { type: 'boolean' },
  cells: { type: 'string' },
  'most-pieces': { type: 'string' },
  'least-section': { type: 'string' },
  seams: { type: 'string' },
  bow: { type: 'string' },
  plain: { type: 'boolean' },
  up: { type: 'string' },
  front: { type: 'string' },
  name: { type: 'string' },
  out: { type: 'string' },
  data: { type: 'string' },
  json: { type: 'boolean' },
  strict: { type: 'boolean' },
  serve: { type: 'boolean' },
  open: { type: 'boolean' },
  port: { type: 'string' },
  triangles: { type: 'string' },
  shape: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
  version: { type: 'boolean' },
} as const;

const MENDING = ['openings', 'wall', 'rebuild', 'cells', 'up', 'front'] as const;

/** Which options each command reads; any other is a mistake worth telling. */
const READS: Readonly<Record<Arguments['command'], readonly string[]>> = {
  check: ['unit', 'json', 'strict', ...MENDING],
  plan: [
    ...MENDING,
    'most-pieces',
    'least-section',
    'seams',
    'bow',
    'plain',
    'bed',
    'unit',
    'height',
    'scale',
    'head',
    'clearance',
    'layer',
    'name',
    'out',
    'data',
    'json',
  ],
  demo: [
    'seams',
    'bow',
    'plain',
    'bed',
    'height',
    'scale',
    'head',
    'clearance',
    'layer',
    'out',
    'data',
    'json',
    'serve',
    'open',
    'port',
    'triangles',
    'shape',
  ],
  serve: ['port', 'data', 'open'],
};

export type Parsed =
  | { readonly kind: 'arguments'; readonly arguments: Arguments }
  | { readonly kind: 'help' }
  | { readonly kind: 'version' }
  | { readonly kind: 'usage'; readonly wrong: string };

export function readArguments(argv: readonly string[]): Parsed {
  try {
    return read(argv);
  } catch (error) {
    return { kind: 'usage', wrong: usageWords(error) };
  }
}

/** The platform's words for an option without its value are long and speak of flags. */
function usageWords(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  const option = /Option '(?:-\w, )?(--[\w-]+)[^']*' argument (?:is ambiguous|missing)/.exec(message)?.[1];
  if (option !== undefined) return `${option} wants a value; one that begins with a minus is written ${option}=-3`;
  const unknown = /Unknown option '(--?[\w-]+)'/.exec(message)?.[1];
  return unknown === undefined ? message : `there is no option ${unknown}`;
}

function read(argv: readonly string[]): Parsed {
  const { values, positionals } = parseArgs({ args: [...argv], options: OPTIONS, allowPositionals: true });
  const [command, ...inputs] = positionals;
  if (values.version) return { kind: 'version' };
  if (values.help || command === undefined || command === 'help') return { kind: 'help' };
  if (!isCommand(command)) throw new Error(`there is no command "${command}"`);
  const foreign = Object.keys(values).find((name) => !READS[command].includes(name));
  if (foreign !== undefined) throw new Error(`${command} does not read --${foreign}`);
  const wanted = command === 'check' || command === 'plan' ? 1 : 0;
  if (inputs.length !== wanted)
    throw new Error(wanted === 1 ? `${command} needs one file` : `${command} takes no file`);
  const sizes = [values.height, values.scale, values.head].filter((value) => value !== undefined);
  if (sizes.length > 1) throw new Error('give one of --height, --scale and --head');
  if (values.clearance !== undefined && values.head === undefined) throw new Error('--clearance goes with --head');
  if (values.cells !== undefined && values.rebuild !== true) throw new Error('--cells goes with --rebuild');
  return {
    kind: 'arguments',
    arguments: {
      command,
      input: inputs[0] ?? '',
      bedsMm: (values.bed ?? []).map(readBed),
      unit: readUnit(values.unit),
      heightMm: readNumber('height', values.height),
      scale: readNumber('scale', values.scale),
      headMm: readNumber('head', values.head),
      clearanceMm: readNumber('clearance', values.clearance),
      layerMm: readNumber('layer', values.layer),
      openings: readOpenings(values.openings),
      wallMm: readNumber('wall', values.wall),
      rebuild: values.rebuild ?? false,
      rebuildCells: readNumber('cells', values.cells),
      mostPieces: readNumber('most-pieces', values['most-pieces']),
      leastSectionMm: readNumber('least-section', values['least-section']),
      proposal: readProposal(values.seams),
      mostBowMm: readNumber('bow', values.bow),
      plain: values.plain ?? false,
      up: readDirection('up', values.up),
      front: readDirection('front', values.front),
      name: values.name ?? null,
      out: values.out ?? null,
      data: values.data ?? null,
      json: values.json ?? false,
      strict: values.strict ?? false,
      serve: values.serve ?? false,
      open: values.open ?? false,
      port: readWhole('port', values.port, { least: 0, most: 65535, usual: 4870 }),
      triangles: readWhole('triangles', values.triangles, { least: 20_000, most: 2_000_000, usual: 200_000 }),
      shape: values.shape ?? 'keepers-helm',
    },
  };
}

function isCommand(word: string): word is Arguments['command'] {
  return word in READS;
}

function readBed(words: string): readonly [number, number, number] {
  const sides = words.toLowerCase().split('x').map(Number);
  if (sides.length !== 3 || sides.some((side) => !Number.isFinite(side) || side <= 0)) {
    throw new Error(`--bed wants WIDTHxDEPTHxHEIGHT in mm, such as 220x220x250, and got "${words}"`);
  }
  return [sides[0]!, sides[1]!, sides[2]!];
}

function readUnit(word: string | undefined): Arguments['unit'] {
  if (word === undefined) return null;
  if (word === 'mm' || word === 'cm' || word === 'm' || word === 'in') return word;
  throw new Error(`--unit is one of mm, cm, m, in, and got "${word}"`);
}

function readOpenings(word: string | undefined): Arguments['openings'] {
  if (word === undefined) return null;
  if (word === 'wall' || word === 'close') return word;
  throw new Error(`--openings is wall or close, and got "${word}"`);
}

function readProposal(word: string | undefined): ProposalName | null {
  if (word === undefined) return null;
  if (word === 'fewest' || word === 'hidden' || word === 'quickest') return word;
  throw new Error(`--seams is fewest, hidden or quickest, and got "${word}"`);
}

/** "+y", "-z", "x", or three numbers with commas; a unit vector. */
function readDirection(name: string, word: string | undefined): Direction | null {
  if (word === undefined) return null;
  const axis = /^([+-]?)([xyz])$/i.exec(word.trim());
  const parts =
    axis === null
      ? word.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)))
      : ['x', 'y', 'z'].map((each) => (each === axis[2]!.toLowerCase() ? (axis[1] === '-' ? -1 : 1) : 0));
  const length = Math.hypot(...parts);
  if (parts.length !== 3 || !(length > 0) || !Number.isFinite(length))
    throw new Error(
      `--${name} wants an axis of the file such as +z, or three numbers such as 0,0.2,1, and got "${word}"`,
    );
  return [parts[0]! / length, parts[1]! / length, parts[2]! / length];
}

function readNumber(name: string, word: string | undefined): number | null {
  if (word === undefined) return null;
  const value = Number(word);
  if (word.trim() === '' || !Number.isFinite(value)) throw new Error(`--${name} wants a number, and got "${word}"`);
  return value;
}

function readWhole(
  name: string,
  word: string | undefined,
  range: { least: number; most: number; usual: number },
): number {
  const value = readNumber(name, word);
  if (value === null) return range.usual;
  if (!Number.isInteger(value) || value < range.least || value > range.most) {
    throw new Error(`--${name} wants a whole number from ${range.least} to ${range.most}, and got ${value}`);
  }
  return value;
}
