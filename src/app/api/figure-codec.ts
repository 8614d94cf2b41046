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

export interface FigureData {
  readonly parts: readonly FigurePart[];
  readonly sizeMm: readonly [number, number, number];
}

interface Header {
  readonly sizeMm: readonly [number, number, number];
  readonly parts: readonly (Omit<FigurePart, 'positions' | 'triangles' | 'creases' | 'seams'> & {
    readonly lengths: readonly [number, number, number, number];
  })[];
}

/** Layout: uint32 length of the JSON header (padded to 4), header, then per part positions, triangles, creases, seams; little-endian. */
export function encodeFigure(figure: FigureData): Uint8Array<ArrayBuffer> {
  const header: Header = {
    sizeMm: figure.sizeMm,
    parts: figure.parts.map(({ positions, triangles, creases, seams, ...rest }) => ({
      ...rest,
      lengths: [positions.length, triangles.length, creases.length, seams.length],
    })),
  };
  let json = JSON.stringify(header);
  let headerBytes = new TextEncoder().encode(json);
  if (headerBytes.length % 4 !== 0) {
    json += ' '.repeat(4 - (headerBytes.length % 4));
    headerBytes = new TextEncoder().encode(json);
  }
  const arrays = figure.parts.flatMap((part) => [part.positions, part.triangles, part.creases, part.seams]);
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
  const parts = header.parts.map(({ lengths, ...rest }) => {
    const positions = floats(lengths[0]);
    const triangles = new Uint32Array(bytes.slice(at, at + lengths[1] * 4));
    at += lengths[1] * 4;
    return { ...rest, positions, triangles, creases: floats(lengths[2]), seams: floats(lengths[3]) };
  });
  return { sizeMm: header.sizeMm, parts };
}
