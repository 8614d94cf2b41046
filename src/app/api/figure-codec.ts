// The figure's geometry as one block of bytes: for the page over HTTP, for book.html inside the file.
import type { Space } from '../../base/findings.ts';
import { type LineGrid, offGrid, onGrid } from './grid-lines.ts';

/** A surface at one level of display: decimated, in the figure's space, mm. */
export interface FigureShape {
  /** xyz interleaved. */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
  /** Line segments along creases and cut edges, xyz xyz. */
  readonly creases: Float32Array;
}

/** How much a part and its seams are looked at. */
export interface FigureExposure {
  /** A number a vertex: 0 in full view (and wherever it is not outside), 255 looked at from nowhere. */
  readonly hidden: Uint8Array;
  /** The same for the coarse level; empty where there is none. */
  readonly coarseHidden: Uint8Array;
  /** A number a segment of `seams`: 0 for those that are not on the outside, else 1 to 255, how dear it is. */
  readonly seamPrice: Uint8Array;
  /** A number a segment of `seams`, how it is drawn: see SEGMENT_LOOKS; empty in figures from before there was any. */
  readonly seamLook: Uint8Array;
}

/** priced: as wide as it is dear. stitch: short and wide, across a seam that a crease hides. fine: between stitches. dot: of a seam
 *  that hardly anybody sees. */
export const SEGMENT_LOOKS = ['priced', 'stitch', 'fine', 'dot'] as const;
export type SegmentLook = (typeof SEGMENT_LOOKS)[number];

/** What can be marked on a part, each as line segments xyz xyz; missing in figures from before there was any, and where nothing is known.
 *  scars: where support holds it as it lies, on the full level. rings: along its layers, where they will show as rings. filling: where
 *  support marks its outside. reach: the closer the smaller the tool that sands there. warm: where a sander's warmth could soften it. */
export const PART_LINES = ['scars', 'rings', 'filling', 'reach', 'warm'] as const;
export type PartLines = (typeof PART_LINES)[number];

export interface FigurePart extends FigureShape, Readonly<Partial<Record<PartLines, Float32Array>>> {
  /** Piece id, or 'whole' for the undivided shell. */
  readonly id: string;
  readonly name: string;
  /** The same with few triangles (about 16 thousand over all parts), for the first moment and for turning on a slow machine; null
   *  where the part itself has no more. It stands in the same place, so that one can take the other's. */
  readonly coarse: FigureShape | null;
  /** Outlines of this piece's mating faces, then its seams on the outside; line segments xyz xyz. */
  readonly seams: Float32Array;
  /** Null where the shell is not divided. */
  readonly exposure: FigureExposure | null;
  /** Unit direction in which the piece moves when the pieces stand apart, and how far at "apart = 1" (mm). */
  readonly apart: readonly [number, number, number];
  readonly apartMm: number;
  /** How far it is drawn out at "apart = 1" along the ways by which the pieces are joined (mm), and the numbers of the joins in which it
   *  moves; null where nothing is joined. */
  readonly joined: { readonly shiftMm: readonly [number, number, number]; readonly joins: readonly number[] } | null;
  /** Model to laid space (12 numbers, see mesh/transform.ts), or null when it has no print. */
  readonly toLaid: readonly number[] | null;
}

/** Something done at one place of the model as it came. */
export interface FigureMark {
  /** Its number in the list of what was mended, from 1. */
  readonly number: number;
  readonly name: string;
  readonly atMm: readonly [number, number, number];
}

/** The model as it was read, before anything was mended; may be open, crossing, turned anyhow. */
export interface FigureAsRead extends FigureShape {
  readonly coarse: FigureShape | null;
  /** Edges with one face only, line segments xyz xyz. */
  readonly openEdges: Float32Array;
  readonly marks: readonly FigureMark[];
}

/** The outside of the shell, thinned, for telling what a seam costs while it moves. */
export interface FigureOutside {
  /** xyz interleaved, the figure's space. */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
  /** Per triangle, 0 to 1: what a millimetre of seam counts there. */
  readonly price: Float32Array;
}

/** What has a name at a place of the pieces: a seam, with what hides it, or an area that is kept clear of seams. */
export interface FigureName {
  readonly of: 'seam' | 'area';
  readonly name: string;
  readonly says: string;
  readonly atMm: readonly [number, number, number];
  /** Id of the piece with which it goes. */
  readonly piece: string;
  /** Of an area: its outline on the surface, line segments xyz xyz; empty for a seam. */
  readonly outline: readonly number[];
}

export interface FigureData {
  /** None when no shell could be made of the model; then there is `asRead`. */
  readonly parts: readonly FigurePart[];
  readonly sizeMm: readonly [number, number, number];
  /** Null when it came sound. */
  readonly asRead: FigureAsRead | null;
  /** The figure's space to file space: 12 numbers, see mesh/transform.ts. The figure's space is 'worn' (model space at worn size)
   *  where there is a shell; else that of the file, shifted onto the ground. */
  readonly toFile: readonly number[] | null;
  /** Worn size over the size of the file; null when there is no model space, because no shell could be made. */
  readonly scale: number | null;
  /** Null where there is no seam to move, and in book.html. */
  readonly outside: FigureOutside | null;
  /** Missing in figures from before there were any. */
  readonly named?: readonly FigureName[];
}

/** A place of a finding (see Where) in the figure's space; null when it cannot be told: a place in laid space, or in a space that the
 *  figure does not know. */
export function placeInFigure(
  figure: Pick<FigureData, 'toFile' | 'scale'>,
  { space, atMm }: { readonly space?: Space; readonly atMm?: readonly [number, number, number] },
): readonly [number, number, number] | null {
  if (atMm === undefined || space === undefined || space === 'laid') return null;
  if (space === 'file') return figure.toFile === null ? null : backThrough(figure.toFile, atMm);
  if (figure.scale === null) return null;
  const factor = space === 'model' ? figure.scale : 1;
  return [atMm[0] * factor, atMm[1] * factor, atMm[2] * factor];
}

/** The point that a similarity (turn, even scale, shift) takes to `p`: its turn transposed over the square of its scale. */
function backThrough(t: readonly number[], p: readonly [number, number, number]): [number, number, number] {
  const d = [p[0] - t[9]!, p[1] - t[10]!, p[2] - t[11]!] as const;
  const squared = t[0]! * t[0]! + t[1]! * t[1]! + t[2]! * t[2]!;
  const along = (row: 0 | 3 | 6): number => (d[0] * t[row]! + d[1] * t[row + 1]! + d[2] * t[row + 2]!) / squared;
  return [along(0), along(3), along(6)];
}

interface Header {
  readonly sizeMm: readonly [number, number, number];
  readonly toFile: readonly number[] | null;
  readonly scale: number | null;
  readonly parts: readonly (Pick<FigurePart, 'id' | 'name' | 'apart' | 'apartMm' | 'joined' | 'toLaid'> & Lengths)[];
  readonly asRead: ({ readonly marks: readonly FigureMark[] } & Lengths) | null;
  /** Counts of numbers of its three arrays. */
  readonly outside?: readonly number[] | null;
  readonly named?: readonly FigureName[];
}

/** Counts of numbers in the arrays that follow the header. */
interface Lengths {
  readonly lengths: readonly number[];
  readonly coarseLengths: readonly number[] | null;
  /** Of the arrays of bytes; missing in figures from before there were any. */
  readonly exposureLengths?: readonly number[] | null;
  /** Of what is marked on a part. */
  readonly marked?: Readonly<Partial<Record<PartLines, LineGrid>>>;
  /** Of what is marked in figures from before it lay on a grid. */
  readonly scarsLength?: number;
  readonly ringsLength?: number;
}

/** Layout: uint32 length of the JSON header (padded to 4), header, then per part positions, triangles, creases, seams and those of its
 *  coarse level, those of the model as it was read, with its open edges for seams, those of the outside, and of every part what is
 *  marked on it, in the order of PART_LINES; little-endian. Last the bytes of exposure of every part that has them, not padded. What was written before there were any is read as before. */
export function encodeFigure(figure: FigureData): Uint8Array<ArrayBuffer> {
  const { asRead, outside } = figure;
  const markings = figure.parts.map(markedOn);
  const header: Header = {
    sizeMm: figure.sizeMm,
    toFile: figure.toFile,
    scale: figure.scale,
    parts: figure.parts.map((part, index) => {
      const { id, name, apart, apartMm, joined, toLaid, exposure } = part;
      const exposureLengths = exposure === null ? null : bytesOf(exposure).map((bytes) => bytes.length);
      const marked = Object.fromEntries(markings[index]!.map(([line, { grid }]) => [line, grid]));
      const lengths = { ...lengthsOf(part, part.seams), exposureLengths, marked };
      return { id, name, apart, apartMm, joined, toLaid, ...lengths };
    }),
    asRead: asRead === null ? null : { marks: asRead.marks, ...lengthsOf(asRead, asRead.openEdges) },
    outside: outside === null ? null : arraysOfOutside(outside).map((array) => array.length),
    ...(figure.named === undefined ? {} : { named: figure.named }),
  };
  let json = JSON.stringify(header);
  let headerBytes = new TextEncoder().encode(json);
  if (headerBytes.length % 4 !== 0) {
    json += ' '.repeat(4 - (headerBytes.length % 4));
    headerBytes = new TextEncoder().encode(json);
  }
  const arrays = [
    ...figure.parts.flatMap((part) => arraysOf(part, part.seams)),
    ...(asRead === null ? [] : arraysOf(asRead, asRead.openEdges)),
    ...(outside === null ? [] : arraysOfOutside(outside)),
    ...markings.flatMap((marked) => marked.map(([, { steps }]) => steps)),
    ...figure.parts.flatMap(({ exposure }) => (exposure === null ? [] : bytesOf(exposure))),
  ];
  const total = 4 + headerBytes.length + arrays.reduce((sum, array) => sum + array.byteLength, 0);
  const out = new Uint8Array(total);
  new DataView(out.buffer).setUint32(0, headerBytes.length, true);
  out.set(headerBytes, 4);
  let at = 4 + headerBytes.length;
  for (const array of arrays) {
    out.set(new Uint8Array(array.buffer, array.byteOffset, array.byteLength), at);
    at += array.byteLength;
  }
  return out;
}

export function decodeFigure(bytes: ArrayBuffer): FigureData {
  const headerLength = new DataView(bytes).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, headerLength))) as Header;
  let at = 4 + headerLength;
  const next = (length: number): ArrayBuffer => {
    const from = at;
    at += length * 4;
    return bytes.slice(from, at);
  };
  const shape = ([positions, triangles, creases]: readonly number[]): FigureShape => ({
    positions: new Float32Array(next(positions!)),
    triangles: new Uint32Array(next(triangles!)),
    creases: new Float32Array(next(creases!)),
  });
  const surface = ({ lengths, coarseLengths }: Lengths) => {
    const full = shape(lengths);
    const lines = new Float32Array(next(lengths[3]!));
    return { full, lines, coarse: coarseLengths === null ? null : shape(coarseLengths) };
  };
  const bare = header.parts.map((part) => {
    const { id, name, apart, apartMm, toLaid } = part;
    const { full, lines, coarse } = surface(part);
    // figures kept from before there were joins say nothing of them
    return { id, name, apart, apartMm, joined: part.joined ?? null, toLaid, ...full, coarse, seams: lines };
  });
  const asRead = readAsRead();
  const outside = readOutside();
  const marked = header.parts.map((part) => readMarked(part));
  const parts = bare.map((part, index): FigurePart => {
    const lengths = header.parts[index]!.exposureLengths ?? null;
    return { ...part, ...marked[index], exposure: lengths === null ? null : readExposure(lengths) };
  });
  const { sizeMm, toFile, scale, named } = header;
  return { parts, sizeMm, toFile, scale, asRead, outside, ...(named === undefined ? {} : { named }) };

  function readExposure([hidden, coarse, prices, looks = 0]: readonly number[]): FigureExposure {
    const read = (length: number): Uint8Array => {
      at += length;
      return new Uint8Array(bytes.slice(at - length, at));
    };
    return { hidden: read(hidden!), coarseHidden: read(coarse!), seamPrice: read(prices!), seamLook: read(looks) };
  }

  function readMarked({ marked, scarsLength, ringsLength }: Lengths): Partial<Record<PartLines, Float32Array>> {
    const found: Partial<Record<PartLines, Float32Array>> = {};
    if (scarsLength !== undefined) found.scars = new Float32Array(next(scarsLength));
    if (ringsLength !== undefined) found.rings = new Float32Array(next(ringsLength));
    for (const name of PART_LINES) {
      const grid = marked?.[name];
      // two numbers in four bytes: there are six to a segment
      if (grid !== undefined) found[name] = offGrid(grid, new Uint16Array(next(grid.num / 2)));
    }
    return found;
  }

  function readAsRead(): FigureAsRead | null {
    if (header.asRead === null) return null;
    const { full, lines, coarse } = surface(header.asRead);
    return { ...full, coarse, openEdges: lines, marks: header.asRead.marks };
  }

  function readOutside(): FigureOutside | null {
    // figures kept from before there was one say nothing of it
    if (header.outside === null || header.outside === undefined) return null;
    const [positions, triangles, price] = header.outside;
    return {
      positions: new Float32Array(next(positions!)),
      triangles: new Uint32Array(next(triangles!)),
      price: new Float32Array(next(price!)),
    };
  }
}

function markedOn(part: FigurePart): readonly (readonly [PartLines, ReturnType<typeof onGrid>])[] {
  return PART_LINES.flatMap((name) => (part[name] === undefined ? [] : [[name, onGrid(part[name])] as const]));
}

function arraysOfOutside({ positions, triangles, price }: FigureOutside): readonly FigureArray[] {
  return [positions, triangles, price];
}

type Surface = FigureShape & { readonly coarse: FigureShape | null };
type FigureArray = Float32Array | Uint32Array | Uint16Array | Uint8Array;

function bytesOf({ hidden, coarseHidden, seamPrice, seamLook }: FigureExposure): readonly Uint8Array[] {
  return [hidden, coarseHidden, seamPrice, seamLook];
}

function arraysOf({ coarse, ...full }: Surface, lines: Float32Array): readonly FigureArray[] {
  return [...arraysOfShape(full), lines, ...(coarse === null ? [] : arraysOfShape(coarse))];
}

function arraysOfShape({ positions, triangles, creases }: FigureShape): readonly FigureArray[] {
  return [positions, triangles, creases];
}

function lengthsOf({ coarse, ...full }: Surface, lines: Float32Array): Lengths {
  return {
    lengths: [...arraysOfShape(full), lines].map((array) => array.length),
    coarseLengths: coarse === null ? null : arraysOfShape(coarse).map((array) => array.length),
  };
}
