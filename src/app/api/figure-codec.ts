// The figure's geometry as one block of bytes: for the page over HTTP, for book.html inside the file.

export interface FigurePart {
  /** Piece id, or 'whole' for the undivided shell. */
  readonly id: string;
  readonly name: string;
  /** Model space, mm, xyz interleaved; display quality (decimated). */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
  /** Line segments along creases and cut edges, xyz xyz. */
  readonly creases: Float32Array;
  /** Outlines of this piece's mating faces, line segments xyz xyz. */
  readonly seams: Float32Array;
  /** Unit direction in which the piece moves when the pieces stand apart, and how far at "apart = 1" (mm). */
  readonly apart: readonly [number, number, number];
  readonly apartMm: number;
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
export interface FigureAsRead {
  /** The space of the figure, mm; thinned out for display. */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
  readonly creases: Float32Array;
  /** Edges with one face only, line segments xyz xyz. */
  readonly openEdges: Float32Array;
  readonly marks: readonly FigureMark[];
}

export interface FigureData {
  /** None when no shell could be made of the model; then there is `asRead`. */
  readonly parts: readonly FigurePart[];
  readonly sizeMm: readonly [number, number, number];
  /** Null when it came sound. */
  readonly asRead: FigureAsRead | null;
  /** The figure's space (model space at worn size, mm) to file space: 12 numbers, see mesh/transform.ts. */
  readonly toFile: readonly number[] | null;
}

interface Header {
  readonly sizeMm: readonly [number, number, number];
  readonly toFile: readonly number[] | null;
  readonly parts: readonly (Omit<FigurePart, 'positions' | 'triangles' | 'creases' | 'seams'> & {
    readonly lengths: Lengths;
  })[];
  readonly asRead: { readonly marks: readonly FigureMark[]; readonly lengths: Lengths } | null;
}

type Lengths = readonly [number, number, number, number];

/** Layout: uint32 length of the JSON header (padded to 4), header, then per part positions, triangles, creases, seams, and last
 *  those of the model as it was read, with its open edges for seams; little-endian. */
export function encodeFigure(figure: FigureData): Uint8Array<ArrayBuffer> {
  const { asRead } = figure;
  const header: Header = {
    sizeMm: figure.sizeMm,
    toFile: figure.toFile,
    parts: figure.parts.map((part) => {
      const { positions, triangles, creases, seams, ...rest } = part;
      return { ...rest, lengths: lengthsOf([positions, triangles, creases, seams]) };
    }),
    asRead: asRead === null ? null : { marks: asRead.marks, lengths: lengthsOf(arraysAsRead(asRead)) },
  };
  let json = JSON.stringify(header);
  let headerBytes = new TextEncoder().encode(json);
  if (headerBytes.length % 4 !== 0) {
    json += ' '.repeat(4 - (headerBytes.length % 4));
    headerBytes = new TextEncoder().encode(json);
  }
  const arrays = [
    ...figure.parts.flatMap((part) => [part.positions, part.triangles, part.creases, part.seams]),
    ...(asRead === null ? [] : arraysAsRead(asRead)),
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
  const floats = (length: number): Float32Array => {
    const array = new Float32Array(bytes.slice(at, at + length * 4));
    at += length * 4;
    return array;
  };
  const surface = (lengths: Lengths) => {
    const positions = floats(lengths[0]);
    const triangles = new Uint32Array(bytes.slice(at, at + lengths[1] * 4));
    at += lengths[1] * 4;
    return { positions, triangles, creases: floats(lengths[2]), lines: floats(lengths[3]) };
  };
  const parts = header.parts.map(({ lengths, ...rest }) => {
    const { lines, ...shape } = surface(lengths);
    return { ...rest, ...shape, seams: lines };
  });
  return { parts, sizeMm: header.sizeMm, toFile: header.toFile, asRead: readAsRead() };

  function readAsRead(): FigureAsRead | null {
    if (header.asRead === null) return null;
    const { lines, ...shape } = surface(header.asRead.lengths);
    return { ...shape, openEdges: lines, marks: header.asRead.marks };
  }
}

type FigureArray = Float32Array | Uint32Array;
type FourArrays = readonly [FigureArray, FigureArray, FigureArray, FigureArray];

function arraysAsRead({ positions, triangles, creases, openEdges }: FigureAsRead): FourArrays {
  return [positions, triangles, creases, openEdges];
}

function lengthsOf([positions, triangles, creases, lines]: FourArrays): Lengths {
  return [positions.length, triangles.length, creases.length, lines.length];
}
