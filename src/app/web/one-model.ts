// Of the files that were chosen or dropped the one model to send, with what belongs to it in it.
import type { Refusal } from '../../base/findings.ts';
import type { Problem } from '../api/api.ts';
import { embedBuffers } from '../embed-buffers.ts';

/** What can be read, by the ends of names; the file's bytes decide in the end. */
export const MODEL_ENDINGS: readonly string[] = ['.stl', '.3mf', '.obj', '.ply', '.off', '.gltf', '.glb'];

export type OneModel =
  | { readonly ok: true; readonly name: string; readonly body: Blob }
  | { readonly ok: false; readonly problem: Problem };

export async function oneModelOf(files: readonly File[]): Promise<OneModel> {
  const models = files.filter(({ name }) => MODEL_ENDINGS.some((ending) => name.toLowerCase().endsWith(ending)));
  const [model] = models.length > 0 ? models : files;
  if (model === undefined || models.length > 1 || (models.length === 0 && files.length > 1))
    return { ok: false, problem: notOne(models.length === 0 ? files : models) };
  if (!model.name.toLowerCase().endsWith('.gltf')) return { ok: true, name: model.name, body: model };
  const beside = new Map<string, Uint8Array>();
  for (const file of files) if (file !== model) beside.set(file.name, new Uint8Array(await file.arrayBuffer()));
  const whole = embedBuffers(new Uint8Array(await model.arrayBuffer()), (name) => beside.get(name) ?? null);
  if (!whole.ok) return { ok: false, problem: problemOf(whole) };
  return { ok: true, name: model.name, body: new Blob([whole.value as Uint8Array<ArrayBuffer>]) };
}

function notOne(files: readonly File[]): Problem {
  const names = files.slice(0, 4).map(({ name }) => name);
  const more = files.length > names.length ? ` and ${files.length - names.length} more` : '';
  return {
    ...PLAIN,
    code: 'FILE_KIND_UNKNOWN',
    detail: `A book is about one model, and these are several files: ${names.join(', ')}${more}.`,
    tryThis: `Drop one model (${MODEL_ENDINGS.join(', ')}), a glTF scene together with the files it names.`,
  };
}

function problemOf({ code, why, tryThis }: Refusal): Problem {
  return { ...PLAIN, code, detail: why, tryThis };
}

const PLAIN = { type: 'about:blank', title: '', status: 400 };
