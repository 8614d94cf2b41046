// The buffers of a glTF scene: the binary chunk, data within the JSON, or plain files beside it, and nothing else.
import { type Refusal, refuse } from '../../base/findings.ts';
import { decodeBase64 } from '../text/base64.ts';
import { harmless } from '../text/text-place.ts';
import { broken, cutOff, GLTF_WHERE, type JsonObject } from './gltf-container.ts';

/** Gives the bytes of a file beside the model by its plain name, or null when there is none. */
export type Resources = (name: string) => Uint8Array | null;

/** Bytes of one buffer, exactly as long as the scene says. `bin` is the binary chunk for the first buffer of a binary file. */
export function bufferBytes(
  buffer: JsonObject,
  index: number,
  source: { bin: Uint8Array | null; resources: Resources },
): Uint8Array | Refusal {
  const announced = buffer.byteLength;
  if (typeof announced !== 'number' || !Number.isSafeInteger(announced) || announced < 0)
    return broken(`The length of buffer ${index} is no number.`);
  const bytes = sourceBytes(buffer.uri, index, source);
  if (!(bytes instanceof Uint8Array)) return bytes;
  if (bytes.length < announced)
    return cutOff(`Buffer ${index} announces ${announced} bytes and holds ${bytes.length}.`);
  return bytes.subarray(0, announced);
}

/** The plain file name that a URI gives, or null when it is anything else: a path, an address, a hidden climb. */
export function plainNameOf(uri: string): string | null {
  if (uri.length > 255) return null;
  let name: string;
  try {
    name = decodeURIComponent(uri);
  } catch {
    return null;
  }
  if (name.startsWith('./')) name = name.slice(2);
  if (name === '' || name.startsWith('.') || /[/\\:?*"<>|]/.test(name)) return null;
  return Array.from(name).every((c) => c >= ' ' && c !== '\u007f') ? name : null;
}

function sourceBytes(
  uri: unknown,
  index: number,
  { bin, resources }: { bin: Uint8Array | null; resources: Resources },
): Uint8Array | Refusal {
  if (uri === undefined) {
    if (index === 0 && bin !== null) return bin;
    return broken(`Buffer ${index} has neither data nor a file.`);
  }
  if (typeof uri !== 'string') return broken(`The file of buffer ${index} is no text.`);
  if (uri.startsWith('data:')) {
    const comma = uri.indexOf(',', 5);
    const isBase64 = comma > 0 && comma < 200 && uri.slice(5, comma).endsWith(';base64');
    const bytes = isBase64 ? decodeBase64(uri, comma + 1) : null;
    return bytes ?? broken(`The data of buffer ${index} is not base64.`);
  }
  const name = plainNameOf(uri);
  const shown = JSON.stringify(harmless(uri));
  if (name === null)
    return refuse(
      'RESOURCE_REFUSED',
      `Buffer ${index} is to be read from ${shown}; only a plain file beside it may be named.`,
      GLTF_WHERE,
    );
  return (
    resources(name) ??
    refuse('RESOURCE_MISSING', `The scene needs the file ${shown}, which was not given with it.`, GLTF_WHERE)
  );
}
