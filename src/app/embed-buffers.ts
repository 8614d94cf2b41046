// A glTF scene and the files it keeps its numbers in, made one file: for whatever carries only one. Runs in page and command alike.
import { done, type Outcome, refuse } from '../base/findings.ts';
import { plainNameOf } from '../documents/gltf/gltf-buffers.ts';

/** The scene with every buffer that lies in a file of its own embedded as data. `bytesOf` gives a file beside the scene by its plain
 *  name, or null. The same bytes when there is nothing to embed, and when they are no such scene: the reader will say what they
 *  are. Refuses RESOURCE_MISSING with the names of all files that are wanted and not there. Pictures are left alone: no form is
 *  in them. Cost: O(n); no string longer than the scene's own text is made. */
export function embedBuffers(scene: Uint8Array, bytesOf: (name: string) => Uint8Array | null): Outcome<Uint8Array> {
  const json = parsed(scene);
  const buffers = json?.buffers;
  if (json === null || !Array.isArray(buffers)) return done(scene);
  const wanted = buffers.map((buffer: unknown) => fileOf(buffer));
  const names = [...new Set(wanted.filter((name) => name !== null))];
  if (names.length === 0) return done(scene);
  const files = new Map(names.map((name) => [name, bytesOf(name)]));
  const missing = names.filter((name) => files.get(name) === null);
  if (missing.length > 0) return refuseMissing(missing);
  const mark = unusedMark(json);
  const marked = buffers.map((buffer: object, index) =>
    wanted[index] === null ? buffer : { ...buffer, uri: `${DATA_URI}${mark}` },
  );
  const texts = JSON.stringify({ ...json, buffers: marked }).split(mark);
  const parts: Uint8Array[] = [];
  const embedded = wanted.filter((name) => name !== null).map((name) => files.get(name)!);
  for (const [index, text] of texts.entries()) {
    parts.push(new TextEncoder().encode(text));
    const bytes = embedded[index];
    if (bytes !== undefined) parts.push(base64Of(bytes));
  }
  return done(joined(parts));
}

const DATA_URI = 'data:application/octet-stream;base64,';

function refuseMissing(missing: readonly string[]): Outcome<Uint8Array> {
  const listed = missing.slice(0, 6).map((name) => `"${name}"`);
  const more = missing.length > listed.length ? ` and ${missing.length - listed.length} more` : '';
  const which = `${listed.join(', ')}${more}`;
  return refuse('RESOURCE_MISSING', `The scene keeps its numbers in ${which}, which did not come with it.`, {
    where: { path: 'gltf' },
    tryThis: `Take the scene and ${missing.length === 1 ? 'that file' : 'those files'} together, or export it as one binary file (.glb).`,
  });
}

function parsed(scene: Uint8Array): Readonly<Record<string, unknown>> | null {
  try {
    const json: unknown = JSON.parse(new TextDecoder().decode(scene));
    return typeof json === 'object' && json !== null && !Array.isArray(json)
      ? (json as Readonly<Record<string, unknown>>)
      : null;
  } catch {
    return null;
  }
}

/** The file a buffer lies in; null when it lies in the scene, or nowhere a plain name leads. */
function fileOf(buffer: unknown): string | null {
  if (typeof buffer !== 'object' || buffer === null || !('uri' in buffer)) return null;
  const { uri } = buffer;
  return typeof uri === 'string' && !uri.startsWith('data:') ? plainNameOf(uri) : null;
}

/** A word that the scene does not hold. */
function unusedMark(json: unknown): string {
  const text = JSON.stringify(json);
  let mark = 'buffer';
  while (text.includes(mark)) mark += '~';
  return mark;
}

const LETTERS = new TextEncoder().encode('ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/');
const PAD = 0x3d;

function base64Of(bytes: Uint8Array): Uint8Array {
  const out = new Uint8Array(4 * Math.ceil(bytes.length / 3));
  let to = 0;
  for (let i = 0; i < bytes.length; i += 3) {
    const three = (bytes[i]! << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
    out[to++] = LETTERS[three >> 18]!;
    out[to++] = LETTERS[(three >> 12) & 63]!;
    out[to++] = i + 1 < bytes.length ? LETTERS[(three >> 6) & 63]! : PAD;
    out[to++] = i + 2 < bytes.length ? LETTERS[three & 63]! : PAD;
  }
  return out;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
