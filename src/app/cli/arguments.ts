// Reads the command line into one record, or says what is wrong with it.
import { parseArgs } from 'node:util';

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

  helmwright check MODEL [--unit mm|cm|m|in] [--strict] [--json]
      Reads and measures a model, writes nothing.
  helmwright plan MODEL|build.json [--out DIR] [--bed WxDxH]... [--unit mm|cm|m|in]
                  [--height MM | --scale FACTOR | --head MM [--clearance MM]]
                  [--layer MM] [--name TITLE] [--data DIR] [--json]
      Computes the book and writes DIR: build.json, plan.json, pieces/*.stl, kit.3mf, book.html.
  helmwright demo [--out DIR] [--bed WxDxH]... [--triangles N] [--shape NAME] [--serve] [--open]
      The same for the Keeper's helm, made by the program itself (also: half-mask, shoulder-guard).
  helmwright serve [--port N] [--data DIR] [--open]
      Serves the book as a page on this machine only.

Exit codes: 0 done, 1 a bug, 2 usage, 3 refused (with the reason), 130 cancelled.`;

const OPTIONS = {
  bed: { type: 'string', multiple: true },
  unit: { type: 'string' },
  height: { type: 'string' },
  scale: { type: 'string' },
  head: { type: 'string' },
  clearance: { type: 'string' },
  layer: { type: 'string' },
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
} as const;

/** Which options each command reads; any other is a mistake worth telling. */
const READS: Readonly<Record<Arguments['command'], readonly string[]>> = {
  check: ['unit', 'json', 'strict'],
  plan: ['bed', 'unit', 'height', 'scale', 'head', 'clearance', 'layer', 'name', 'out', 'data', 'json'],
  demo: [
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
  | { readonly kind: 'usage'; readonly wrong: string };

export function readArguments(argv: readonly string[]): Parsed {
  try {
    return read(argv);
  } catch (error) {
    return { kind: 'usage', wrong: error instanceof Error ? error.message : String(error) };
  }
}

function read(argv: readonly string[]): Parsed {
  const { values, positionals } = parseArgs({ args: [...argv], options: OPTIONS, allowPositionals: true });
  const [command, ...inputs] = positionals;
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
