// A record for other threads whose large flat arrays are copied once into memory that all threads see, instead of once for each.

/** Smaller arrays are left to be copied with the message: shared memory comes in whole pages. */
const LEAST_BYTES = 1 << 16;

/** The same records, arrays and maps with every flat array of 64 kB or more over shared memory; what stands in several places of `value`
 *  still is one object. Cost: one copy of the large arrays; of lists of numbers and text nothing is looked at. */
export function withSharedArrays<T>(value: T): T {
  return sharedOf(value, new Map()) as T;
}

function sharedOf(value: unknown, known: Map<object, unknown>): unknown {
  if (typeof value !== 'object' || value === null) return value;
  const seen = known.get(value);
  if (seen !== undefined) return seen;
  if (ArrayBuffer.isView(value)) return noted(value, sharedView(value), known);
  if (Array.isArray(value)) {
    if (typeof value[0] === 'number' || typeof value[0] === 'string') return value;
    const out: unknown[] = [];
    known.set(value, out);
    for (const one of value) out.push(sharedOf(one, known));
    return out;
  }
  if (value instanceof Map) {
    const out = new Map<unknown, unknown>();
    known.set(value, out);
    for (const [key, one] of value) out.set(sharedOf(key, known), sharedOf(one, known));
    return out;
  }
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  const out: Record<string, unknown> = {};
  known.set(value, out);
  for (const [key, one] of Object.entries(value)) out[key] = sharedOf(one, known);
  return out;
}

function noted(value: object, shared: unknown, known: Map<object, unknown>): unknown {
  known.set(value, shared);
  return shared;
}

function sharedView(view: ArrayBufferView): ArrayBufferView {
  if (view.byteLength < LEAST_BYTES || view.buffer instanceof SharedArrayBuffer || view instanceof DataView)
    return view;
  const bytes = new Uint8Array(new SharedArrayBuffer(view.byteLength));
  bytes.set(new Uint8Array(view.buffer, view.byteOffset, view.byteLength));
  return Reflect.construct(view.constructor as new (buffer: SharedArrayBuffer) => ArrayBufferView, [bytes.buffer]);
}
