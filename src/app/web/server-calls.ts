// Every call the page makes to its server; a refusal comes back as a value.
import type { BuildChange, BuildCopy, BuildState, Problem } from '../api/api.ts';
import type { Workshop } from '../api/workshop.ts';

export type Answer<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

export function getBuild(id: string): Promise<Answer<BuildState>> {
  return ask(buildUrl(id));
}

export function changeBuild(id: string, change: BuildChange): Promise<Answer<BuildState>> {
  return ask(buildUrl(id), sending('PATCH', change));
}

export function stepBuild(id: string, step: 'undo' | 'redo', steps: number): Promise<Answer<BuildState>> {
  return ask(`${buildUrl(id)}/${step}`, sending('POST', { steps }));
}

export function cancelBuild(id: string): Promise<Answer<BuildState>> {
  return ask(`${buildUrl(id)}/cancel`, { method: 'POST' });
}

export function copyBuild(id: string, copy: BuildCopy): Promise<Answer<{ readonly id: string }>> {
  return ask(`${buildUrl(id)}/copy`, sending('POST', copy));
}

export function removeBuild(id: string): Promise<Answer<null>> {
  return download(buildUrl(id), () => Promise.resolve(null), { method: 'DELETE' });
}

export function getWorkshop(): Promise<Answer<Workshop>> {
  return ask('/api/workshop');
}

export async function fetchFigure(id: string): Promise<Answer<ArrayBuffer>> {
  return download(`${buildUrl(id)}/figure`, (response) => response.arrayBuffer());
}

export async function fetchFile(url: string): Promise<Answer<Blob>> {
  return download(url, (response) => response.blob());
}

export function buildUrl(id: string): string {
  return `/api/builds/${encodeURIComponent(id)}`;
}

type Sent = (share: number) => void;

/** Sends a model; `onSent` hears the share that has left, 0 to 1. */
export function sendModel(
  model: { readonly name: string; readonly body: Blob },
  onSent: Sent,
): Promise<Answer<{ id: string }>> {
  return sendBytes(
    `/api/builds?name=${encodeURIComponent(model.name)}`,
    model.body,
    'application/octet-stream',
    onSent,
  );
}

/** Sends a book that was taken out before (whole.zip). */
export function sendArchive(body: Blob, onSent: Sent): Promise<Answer<{ id: string }>> {
  return sendBytes('/api/builds/take-in', body, 'application/zip', onSent);
}

function sendBytes(url: string, body: Blob, type: string, onSent: Sent): Promise<Answer<{ id: string }>> {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open('POST', url);
    request.setRequestHeader('content-type', type);
    request.upload.onprogress = (event) => {
      if (event.lengthComputable) onSent(event.loaded / event.total);
    };
    request.onerror = () => resolve({ ok: false, problem: UNREACHED });
    request.onload = () => {
      const answer = parsed(request.responseText);
      if (request.status < 300) resolve({ ok: true, value: answer as { id: string } });
      else resolve({ ok: false, problem: problemFrom(answer, request.status) });
    };
    request.send(body);
  });
}

/** A request with a JSON body. */
export function sending(method: 'POST' | 'PUT' | 'PATCH', body: unknown): RequestInit {
  return { method, headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
}

/** Any call that answers with JSON. */
export async function ask<T>(url: string, init?: RequestInit): Promise<Answer<T>> {
  return download(url, async (response) => (await response.json()) as T, init);
}

async function download<T>(
  url: string,
  read: (response: Response) => Promise<T>,
  init?: RequestInit,
): Promise<Answer<T>> {
  try {
    const response = await fetch(url, init);
    if (!response.ok) return { ok: false, problem: problemFrom(parsed(await response.text()), response.status) };
    return { ok: true, value: await read(response) };
  } catch {
    return { ok: false, problem: UNREACHED };
  }
}

const UNREACHED: Problem = {
  type: 'urn:helmwright:unreached',
  title: 'UNREACHED',
  status: 0,
  detail: 'The program does not answer.',
  code: 'UNREACHED',
  tryThis: 'See whether it still runs in its terminal, and start it again if not.',
};

function problemFrom(body: unknown, status: number): Problem {
  if (body !== null && typeof body === 'object' && 'detail' in body) {
    const { detail, tryThis, code, title, type } = body as Partial<Problem>;
    return {
      type: type ?? 'about:blank',
      title: title ?? '',
      status,
      detail: detail ?? '',
      code: code ?? '',
      tryThis: tryThis ?? '',
    };
  }
  return {
    ...UNREACHED,
    status,
    detail: `The program answered with trouble (${status}).`,
    tryThis: 'Reload the page.',
  };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return null;
  }
}
