// Numbers out of a glTF buffer: accessors checked against their views before a single value is read.
import type { Refusal } from '../../base/findings.ts';
import { broken, cutOff, isObject, type JsonObject } from './gltf-container.ts';

/** An accessor whose every byte is known to be there. */
export interface Accessor {
  readonly count: number;
  readonly components: number;
  readonly componentType: ComponentType;
  readonly isNormalized: boolean;
  /** Null when all values are 0 but for the sparse ones. */
  readonly values: Span | null;
  readonly sparse: Sparse | null;
}

interface Span {
  readonly bytes: Uint8Array;
  readonly stride: number;
}

interface Sparse {
  readonly count: number;
  readonly indexType: ComponentType;
  readonly indices: Uint8Array;
  readonly values: Uint8Array;
}

export interface AccessorSource {
  readonly json: JsonObject;
  readonly buffer: (index: number) => Uint8Array | Refusal;
  /** Values that come from no byte are allowed up to this many. */
  readonly maxEmpty: number;
}

type ComponentType = keyof typeof COMPONENT_BYTES;
const COMPONENT_BYTES = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 } as const;
const COMPONENTS: Readonly<Record<string, number>> = { SCALAR: 1, VEC3: 3 };

/** Looks up and checks one accessor of a given type. */
export function accessorAt(source: AccessorSource, index: number, type: 'SCALAR' | 'VEC3'): Accessor | Refusal {
  const json = entryOf(source.json, 'accessors', index);
  if (json === null) return broken(`Accessor ${index} is used but not defined.`);
  if (json.type !== type) return broken(`Accessor ${index} should be of type ${type}.`);
  const componentType = json.componentType as ComponentType;
  const size = COMPONENT_BYTES[componentType];
  const count = json.count;
  if (size === undefined || (type === 'SCALAR' && !isIndexType(componentType)))
    return broken(`Accessor ${index} has an unknown kind of numbers.`);
  if (!isCount(count)) return broken(`The count of accessor ${index} is no number.`);
  const components = COMPONENTS[type]!;
  const values = valuesOf(source, { json, index, count, bytesEach: size * components });
  if (values !== null && 'ok' in values) return values;
  if (values === null && count > source.maxEmpty)
    return cutOff(`Accessor ${index} announces ${count} values and has no bytes for them.`);
  const sparse = sparseOf(source, { json, index, count, bytesEach: size * components });
  if (sparse !== null && 'ok' in sparse) return sparse;
  return {
    count,
    components,
    componentType,
    isNormalized: type === 'VEC3' && json.normalized === true,
    values,
    sparse,
  };
}

/** Numbers of an accessor: a view on the file where they lie side by side, else a copy. Not to be written to. */
export type Numbers = Float64Array | Float32Array | Uint32Array | Uint16Array | Uint8Array;

/** All values of an accessor, count x components. Cost: nothing for a view, about 5 ns a number for a copy. */
export function readAccessor(accessor: Accessor): Numbers | Refusal {
  const { count, components, componentType, values, sparse } = accessor;
  const view = sideBySide(accessor);
  if (view !== null) return view;
  const out = new Float64Array(count * components);
  const scale = accessor.isNormalized ? NORMAL_SCALE[componentType] : 1;
  if (values !== null) {
    const read = numberReader(values.bytes, componentType);
    const size = COMPONENT_BYTES[componentType];
    for (let i = 0, o = 0; i < count; i++)
      for (let c = 0, at = i * values.stride; c < components; c++, at += size) out[o++] = read(at);
  }
  if (sparse !== null) {
    const trouble = spreadSparse(out, accessor, sparse);
    if (trouble !== null) return trouble;
  }
  if (scale !== 1) for (let i = 0; i < out.length; i++) out[i] = Math.max(out[i]! * scale, -1);
  return out;
}

/** The file's own bytes as numbers, when nothing has to be done to them; null otherwise. */
function sideBySide({ count, components, componentType, isNormalized, values, sparse }: Accessor): Numbers | null {
  const size = COMPONENT_BYTES[componentType];
  if (values === null || sparse !== null || isNormalized || values.stride !== size * components) return null;
  const { buffer, byteOffset } = values.bytes;
  if (!IS_LITTLE_ENDIAN || byteOffset % size !== 0) return null;
  const length = count * components;
  if (componentType === 5126) return new Float32Array(buffer, byteOffset, length);
  if (componentType === 5125) return new Uint32Array(buffer, byteOffset, length);
  if (componentType === 5123) return new Uint16Array(buffer, byteOffset, length);
  return componentType === 5121 ? new Uint8Array(buffer, byteOffset, length) : null;
}

const IS_LITTLE_ENDIAN = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** The entry of a list of the scene, or null. */
export function entryOf(json: JsonObject, list: string, index: unknown): JsonObject | null {
  const entries = json[list];
  if (!Array.isArray(entries) || typeof index !== 'number') return null;
  const entry: unknown = entries[index];
  return isObject(entry) ? entry : null;
}

function isCount(value: unknown): value is number {
  return typeof value === 'number' && Number.isSafeInteger(value) && value >= 0;
}

function isIndexType(type: ComponentType): boolean {
  return type === 5121 || type === 5123 || type === 5125;
}

interface Wanted {
  readonly json: JsonObject;
  readonly index: number;
  readonly count: number;
  readonly bytesEach: number;
}

function valuesOf(source: AccessorSource, { json, index, count, bytesEach }: Wanted): Span | null | Refusal {
  if (json.bufferView === undefined) return null;
  const view = viewAt(source, json.bufferView);
  if ('ok' in view) return view;
  const offset = json.byteOffset ?? 0;
  if (!isCount(offset)) return broken(`The offset of accessor ${index} is no number.`);
  const stride = view.stride === 0 ? bytesEach : view.stride;
  const needed = count === 0 ? 0 : offset + stride * (count - 1) + bytesEach;
  if (stride < bytesEach || needed > view.bytes.length)
    return cutOff(
      `Accessor ${index} announces ${count} values, which need ${needed} bytes; its view holds ${view.bytes.length}.`,
    );
  return { bytes: count === 0 ? view.bytes.subarray(0, 0) : view.bytes.subarray(offset), stride };
}

function sparseOf(source: AccessorSource, { json, index, count, bytesEach }: Wanted): Sparse | null | Refusal {
  if (json.sparse === undefined) return null;
  const sparse = json.sparse;
  if (!isObject(sparse) || !isObject(sparse.indices) || !isObject(sparse.values) || !isCount(sparse.count))
    return broken(`The sparse values of accessor ${index} are incomplete.`);
  const indexType = sparse.indices.componentType as ComponentType;
  if (!isIndexType(indexType)) return broken(`The sparse numbers of accessor ${index} are of an unknown kind.`);
  if (sparse.count > count) return broken(`Accessor ${index} has ${sparse.count} sparse values for ${count}.`);
  const indices = spanOf(source, sparse.indices, sparse.count * COMPONENT_BYTES[indexType]);
  if ('ok' in indices) return indices;
  const values = spanOf(source, sparse.values, sparse.count * bytesEach);
  if ('ok' in values) return values;
  return { count: sparse.count, indexType, indices, values };
}

function spanOf(source: AccessorSource, at: JsonObject, length: number): Uint8Array | Refusal {
  const view = viewAt(source, at.bufferView);
  if ('ok' in view) return view;
  const offset = at.byteOffset ?? 0;
  if (!isCount(offset) || offset + length > view.bytes.length)
    return cutOff(`Sparse values need ${length} bytes; their view holds ${view.bytes.length}.`);
  return view.bytes.subarray(offset, offset + length);
}

function viewAt(source: AccessorSource, index: unknown): Span | Refusal {
  const view = entryOf(source.json, 'bufferViews', index);
  if (view === null) return broken(`A buffer view (${String(index).slice(0, 20)}) is used but not defined.`);
  const { buffer, byteLength } = view;
  const offset = view.byteOffset ?? 0;
  const stride = view.byteStride ?? 0;
  if (!isCount(buffer) || !isCount(byteLength) || !isCount(offset) || !isCount(stride))
    return broken(`Buffer view ${index} has a length or place that is no number.`);
  const bytes = source.buffer(buffer);
  if (!(bytes instanceof Uint8Array)) return bytes;
  if (offset + byteLength > bytes.length)
    return cutOff(`Buffer view ${index} reaches to byte ${offset + byteLength}; its buffer holds ${bytes.length}.`);
  return { bytes: bytes.subarray(offset, offset + byteLength), stride };
}

const NORMAL_SCALE: Readonly<Record<ComponentType, number>> = {
  5120: 1 / 127,
  5121: 1 / 255,
  5122: 1 / 32767,
  5123: 1 / 65535,
  5125: 1,
  5126: 1,
};

function numberReader(bytes: Uint8Array, type: ComponentType): (at: number) => number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  switch (type) {
    case 5120:
      return (at) => view.getInt8(at);
    case 5121:
      return (at) => view.getUint8(at);
    case 5122:
      return (at) => view.getInt16(at, true);
    case 5123:
      return (at) => view.getUint16(at, true);
    case 5125:
      return (at) => view.getUint32(at, true);
    case 5126:
      return (at) => view.getFloat32(at, true);
  }
}

function spreadSparse(
  out: Float64Array,
  { count, components, componentType }: Accessor,
  sparse: Sparse,
): Refusal | null {
  const readIndex = numberReader(sparse.indices, sparse.indexType);
  const read = numberReader(sparse.values, componentType);
  const indexBytes = COMPONENT_BYTES[sparse.indexType];
  const size = COMPONENT_BYTES[componentType];
  for (let i = 0; i < sparse.count; i++) {
    const target = readIndex(i * indexBytes);
    if (target >= count) return broken(`A sparse value is meant for number ${target} of ${count}.`);
    for (let c = 0; c < components; c++) out[target * components + c] = read((i * components + c) * size);
  }
  return null;
}
