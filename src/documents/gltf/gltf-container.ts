// The wrapping of a glTF scene: a binary file of chunks or plain JSON, opened with distrust of every length in it.
import { done, type Finding, finding, type Outcome, type Refusal, refuse } from '../../base/findings.ts';

export type JsonObject = Readonly<Record<string, unknown>>;

export interface GltfContainer {
  readonly json: JsonObject;
  /** The binary chunk, or null. */
  readonly bin: Uint8Array | null;
}

export const GLTF_WHERE = { where: { path: 'gltf' } };
/** Objects and lists within each other. Real scenes need about ten. */
export const MAX_JSON_DEPTH = 64;
/** Beyond this a text cannot be held as one string everywhere. */
export const MAX_JSON_BYTES = 400_000_000;

export function isGlb(bytes: Uint8Array): boolean {
  return bytes[0] === 0x67 && bytes[1] === 0x6c && bytes[2] === 0x54 && bytes[3] === 0x46;
}

/** Opens either kind.  Findings: TRAILING_BYTES.  Refuses: FILE_TRUNCATED, FILE_MALFORMED, FILE_TOO_LARGE, FILE_KIND_UNKNOWN. */
export function openGltf(bytes: Uint8Array): Outcome<GltfContainer> {
  const opened: Outcome<Chunks> = isGlb(bytes) ? openChunks(bytes) : done({ text: bytes, bin: null });
  if (!opened.ok) return opened;
  const json = parseGuarded(opened.value.text);
  if ('ok' in json && json.ok === false) return json as unknown as Refusal;
  const asset = (json as JsonObject).asset;
  if (!isObject(asset))
    return refuse('FILE_KIND_UNKNOWN', 'This is JSON text, but no glTF: it has no "asset".', GLTF_WHERE);
  const version = String(asset.version).slice(0, 20);
  if (!/^2\./.test(version))
    return refuse('FILE_MALFORMED', `The scene is of glTF version ${JSON.stringify(version)}; version 2 is read.`, {
      ...GLTF_WHERE,
      tryThis: 'Export the model as glTF 2.0.',
    });
  return done({ json: json as JsonObject, bin: opened.value.bin }, opened.findings);
}

export function isObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

interface Chunks {
  readonly text: Uint8Array;
  readonly bin: Uint8Array | null;
}

const JSON_CHUNK = 0x4e4f534a;
const BIN_CHUNK = 0x004e4942;

function openChunks(bytes: Uint8Array): Outcome<Chunks> {
  if (bytes.length < 20) return cutOff(`A binary glTF has at least 20 bytes; this file has ${bytes.length}.`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const version = view.getUint32(4, true);
  if (version !== 2) return broken(`The binary glTF is of version ${version}; version 2 is read.`);
  const length = view.getUint32(8, true);
  if (length > bytes.length) return cutOff(`The file announces ${length} bytes and holds ${bytes.length}.`);
  let text: Uint8Array | null = null;
  let bin: Uint8Array | null = null;
  for (let at = 12; at + 8 <= length; ) {
    const size = view.getUint32(at, true);
    const kind = view.getUint32(at + 4, true);
    const from = at + 8;
    if (from + size > length)
      return cutOff(`The chunk at byte ${at} announces ${size} bytes; ${length - from} follow.`);
    if (text === null && kind !== JSON_CHUNK) return broken('The first chunk is not JSON (byte 12).');
    if (text === null) text = bytes.subarray(from, from + size);
    else if (kind === BIN_CHUNK) bin ??= bytes.subarray(from, from + size);
    at = from + size;
  }
  if (text === null) return broken('The binary glTF has no chunk.');
  const findings: Finding[] = [];
  const extra = bytes.length - length;
  if (extra > 0) {
    const say = `${extra} bytes follow the ${length} announced; they were ignored.`;
    findings.push(finding('TRAILING_BYTES', say, { ...GLTF_WHERE, measured: extra, limit: 0, unit: 'bytes' }));
  }
  return done({ text, bin }, findings);
}

function parseGuarded(text: Uint8Array): JsonObject | Refusal {
  if (text.length > MAX_JSON_BYTES)
    return refuse('FILE_TOO_LARGE', `The JSON has ${text.length} bytes; the limit is ${MAX_JSON_BYTES}.`, {
      ...GLTF_WHERE,
      tryThis: 'Export the model as binary glTF (.glb).',
    });
  const deep = firstTooDeep(text);
  if (deep >= 0) return broken(`The JSON is nested deeper than ${MAX_JSON_DEPTH} (byte ${deep}).`);
  try {
    const json: unknown = JSON.parse(new TextDecoder().decode(text));
    return isObject(json) ? json : broken('The JSON is no object.');
  } catch (error) {
    const why = error instanceof SyntaxError ? error.message.replace(/\s+/g, ' ').slice(0, 120) : 'it cannot be held';
    return broken(`The JSON cannot be read: ${why}.`);
  }
}

/** Byte of the first bracket beyond the allowed depth, or -1. Brackets within strings do not count. */
function firstTooDeep(text: Uint8Array): number {
  let depth = 0;
  let isInString = false;
  for (let i = 0; i < text.length; i++) {
    const b = text[i]!;
    if (isInString) {
      if (b === 0x5c) i++;
      else if (b === 0x22) isInString = false;
    } else if (b === 0x22) isInString = true;
    else if (b === 0x7b || b === 0x5b) {
      if (++depth > MAX_JSON_DEPTH) return i;
    } else if (b === 0x7d || b === 0x5d) depth--;
  }
  return -1;
}

export function broken(why: string): Refusal {
  return refuse('FILE_MALFORMED', why, GLTF_WHERE);
}

export function cutOff(why: string): Refusal {
  return refuse('FILE_TRUNCATED', why, GLTF_WHERE);
}
