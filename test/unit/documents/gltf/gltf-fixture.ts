// Small glTF scenes out of plain objects, for tests: as JSON with its data inside or as a binary file.

type Json = Record<string, unknown>;

const text = (s: string) => new TextEncoder().encode(s);

/** A scene that holds numbers as lists: each becomes a buffer view and an accessor, in order. */
export interface SceneOptions {
  readonly accessors: readonly (Json & {
    readonly values: readonly number[];
    readonly kind: 'f32' | 'u32' | 'u16' | 'u8' | 'i16';
  })[];
  readonly rest: Json;
}

const BYTES = { f32: 4, u32: 4, u16: 2, u8: 1, i16: 2 } as const;
const TYPES = { f32: 5126, u32: 5125, u16: 5123, u8: 5121, i16: 5122 } as const;

export function sceneOf({ accessors, rest }: SceneOptions): { json: Json; bin: Uint8Array } {
  const views: Json[] = [];
  const list: Json[] = [];
  const bytes: number[] = [];
  for (const { values, kind, ...more } of accessors) {
    while (bytes.length % 4 !== 0) bytes.push(0);
    const at = bytes.length;
    const view = new DataView(new ArrayBuffer(values.length * BYTES[kind]));
    values.forEach((value, i) => {
      if (kind === 'f32') view.setFloat32(i * 4, value, true);
      else if (kind === 'u32') view.setUint32(i * 4, value, true);
      else if (kind === 'u16') view.setUint16(i * 2, value, true);
      else if (kind === 'i16') view.setInt16(i * 2, value, true);
      else view.setUint8(i, value);
    });
    bytes.push(...new Uint8Array(view.buffer));
    const type = more.type ?? 'VEC3';
    const count = type === 'VEC3' ? values.length / 3 : values.length;
    list.push({ bufferView: views.length, componentType: TYPES[kind], count, type, ...more });
    views.push({ buffer: 0, byteOffset: at, byteLength: values.length * BYTES[kind] });
  }
  const json = {
    asset: { version: '2.0' },
    accessors: list,
    bufferViews: views,
    buffers: [{ byteLength: bytes.length }],
    ...rest,
  };
  return { json, bin: Uint8Array.from(bytes) };
}

/** A tetrahedron of volume 1/6 with one primitive, before what `rest` adds or replaces. */
export function tipScene(rest: Json = {}): { json: Json; bin: Uint8Array } {
  return sceneOf({
    accessors: [
      { values: [0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1], kind: 'f32' },
      { values: [0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3], kind: 'u16', type: 'SCALAR' },
    ],
    rest: {
      meshes: [{ primitives: [{ attributes: { POSITION: 0 }, indices: 1 }] }],
      nodes: [{ mesh: 0 }],
      scenes: [{ nodes: [0] }],
      ...rest,
    },
  });
}

export function asGlb({ json, bin }: { json: unknown; bin: Uint8Array }): Uint8Array {
  const padded = (bytes: Uint8Array, fill: number) => {
    const out = new Uint8Array(Math.ceil(bytes.length / 4) * 4).fill(fill);
    out.set(bytes);
    return out;
  };
  const chunks = [padded(text(JSON.stringify(json)), 32), padded(bin, 0)];
  const total = 12 + chunks.reduce((sum, chunk) => sum + 8 + chunk.length, 0);
  const out = new Uint8Array(total);
  const view = new DataView(out.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, total, true);
  let at = 12;
  for (const [i, chunk] of chunks.entries()) {
    view.setUint32(at, chunk.length, true);
    view.setUint32(at + 4, i === 0 ? 0x4e4f534a : 0x004e4942, true);
    out.set(chunk, at + 8);
    at += 8 + chunk.length;
  }
  return out;
}

/** JSON whose first buffer is a data URI, or the URI given. */
export function asJson({ json, bin }: { json: Json; bin: Uint8Array }, uri?: string): Uint8Array {
  const inside = `data:application/octet-stream;base64,${Buffer.from(bin).toString('base64')}`;
  return text(JSON.stringify({ ...json, buffers: [{ byteLength: bin.length, uri: uri ?? inside }] }));
}
