// What a reader may answer to a broken file: a mesh that holds, or a refusal that the registry knows, within bounds.
import { CODES } from '../../src/base/codes.ts';
import { readModel } from '../../src/documents/read-model.ts';

export interface Verdict {
  /** Null when the answer is allowed. */
  readonly trouble: string | null;
  readonly code: string;
  readonly ms: number;
}

/** A plain file beside the model, should it ask for one. */
const BESIDE = new Uint8Array(200);

export function verdictOn(bytes: Uint8Array): Verdict {
  const start = performance.now();
  let code = 'read';
  let trouble: string | null = null;
  try {
    const read = readModel(bytes, { resources: () => BESIDE });
    if (read.ok) trouble = troubleOf(read.value.mesh, bytes.length);
    else {
      code = read.code;
      if (CODES[read.code]?.kind !== 'refusal') trouble = `${read.code} is no refusal`;
      if (read.why === '' || read.why.length > 600) trouble = `a reason of ${read.why.length} letters`;
    }
  } catch (error) {
    trouble = `thrown: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`;
  }
  return { trouble, code, ms: performance.now() - start };
}

function troubleOf(mesh: { positions: Float64Array; triangles: Uint32Array }, fileBytes: number): string | null {
  const { positions, triangles } = mesh;
  if (positions.some((v) => !Number.isFinite(v))) return 'a coordinate that is not finite';
  if (triangles.some((v) => v * 3 >= positions.length)) return 'a triangle beyond the vertices';
  if (triangles.length === 0 || triangles.length % 3 !== 0) return `${triangles.length} corners`;
  const held = positions.byteLength + triangles.byteLength;
  return held > 64 * fileBytes + 64e6 ? `${held} bytes for a file of ${fileBytes}` : null;
}
