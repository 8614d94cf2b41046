// The first step of every job: the bytes of the model file become a welded mesh, once for each file and unit.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { sha256OfText } from '../../base/sha256.ts';
import type { Work } from '../../base/work.ts';
import { UNIT_WORDS } from '../../documents/model-unit.ts';
import { readModel } from '../../documents/read-model.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { MeshId, MeshStore } from '../../mesh/mesh-store.ts';
import type { Records } from './engine-shelves.ts';
import type { BookJob } from './protocol.ts';

export interface SourceRecord {
  /** Welded, file space, mm. */
  readonly mesh: MeshId;
  /** As a word: "millimetres". */
  readonly unit: string;
}

/** The mesh of the file, kept by the hash of its bytes and the unit that the build names. A file given by its path is not even opened
 *  when its mesh is kept. `onMesh` is called with a mesh that was just read, before it is kept. Refuses MODEL_MISSING (not there, or other bytes than the build's) and what the readers refuse. */
export function readSource(
  job: Pick<BookJob, 'build' | 'model'>,
  { meshes, records }: { readonly meshes: MeshStore; readonly records: Records },
  work: Work,
  onMesh: (mesh: Mesh) => void = () => {},
): Outcome<SourceRecord> {
  const { unit, sha256 } = job.build.model;
  const key = sha256OfText(`read 3 ${sha256} ${unit ?? 'unit of the file'}`);
  const kept = records.get<SourceRecord>(key);
  if (kept !== undefined && typeof job.model === 'string') return kept;
  const bytes = modelBytes(job);
  if (!bytes.ok) return bytes;
  if (kept !== undefined) return kept;
  const read = readModel(bytes.value, unit === null ? {} : { unit }, work);
  if (read.ok) onMesh(read.value.mesh);
  const outcome: Outcome<SourceRecord> = read.ok
    ? done({ mesh: meshes.put(read.value.mesh), unit: UNIT_WORDS[read.value.unit] }, read.findings)
    : read;
  records.put(key, outcome);
  return outcome;
}

/** The bytes of the build's model, whose hash has been seen to be the build's. */
export function modelBytes({ build, model }: Pick<BookJob, 'build' | 'model'>): Outcome<Uint8Array> {
  const bytes = typeof model === 'string' ? bytesAt(model) : model;
  if (bytes === undefined)
    return refuse('MODEL_MISSING', `The model file ${build.model.file} is not where it was kept.`);
  const sha256 = createHash('sha256').update(bytes).digest('hex');
  if (sha256 === build.model.sha256) return done(bytes);
  return refuse(
    'MODEL_MISSING',
    `The bytes of ${build.model.file} have changed: their hash begins ${sha256.slice(0, 12)}, the build was made with ${build.model.sha256.slice(0, 12)}.`,
  );
}

function bytesAt(path: string): Uint8Array | undefined {
  try {
    return readFileSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}
