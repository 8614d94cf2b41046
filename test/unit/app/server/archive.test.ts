// A whole build taken out and in again: the same hashes; and archives that are something else.
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildState } from '../../../../src/app/api/api.ts';
import { listZip, unpackEntry } from '../../../../src/documents/zip/read-zip.ts';
import { writeZip } from '../../../../src/documents/zip/write-zip.ts';
import { ask, begin, openSmallHouse, type SmallHouse, TINY_STL } from '../../../support/small-house.ts';
import { PLACES } from '../../../support/store-places.ts';

type Parts = ReadonlyMap<string, Uint8Array>;

describe('a build in one archive', () => {
  let small: SmallHouse;
  let parts: Parts;
  beforeAll(async () => {
    small = await openSmallHouse();
    parts = await takenOut(small.origin, await aBuildWithAPast(small.origin));
  });
  afterAll(() => small.close());

  it('holds the build file, the model, every version and what they are', () => {
    expect([...parts.keys()]).toEqual(['README.txt', 'build.json', 'model/häuptling.stl', 'log.json']);
    expect(textOf(parts, 'model/häuptling.stl')).toBe(TINY_STL);
    expect(JSON.parse(textOf(parts, 'build.json'))).toMatchObject({ print: { layerMm: 0.1 } });
    const log = JSON.parse(textOf(parts, 'log.json')) as { stands: number; versions: { from: number | null }[] };
    expect(log.stands).toBe(5);
    expect(log.versions.map(({ from }) => from)).toEqual([null, 1, 2, 3, 2, 5]);
    expect(textOf(parts, 'README.txt')).toContain(hashOf(parts.get('model/häuptling.stl')));
  });

  it('gives the same hashes of build, model and log after everything was wiped and it was taken in', async () => {
    const empty = await openSmallHouse();
    const { status, body } = await takenIn(empty.origin, archive(parts));
    expect([status, body]).toEqual([201, { id: expect.any(String) }]);
    const again = await takenOut(empty.origin, (body as { id: string }).id);
    expect([...again].map(([name, bytes]) => [name, hashOf(bytes)])).toEqual(
      [...parts].map(([name, bytes]) => [name, hashOf(bytes)]),
    );
    const id = (body as { id: string }).id;
    const undone = (await ask(empty.origin, `POST /api/builds/${id}/undo`)).body as BuildState;
    expect([undone.version, undone.build.print.layerMm]).toEqual([2, 0.28]);
    await empty.close();
  });

  const withPart = (name: string, text: string): Parts => new Map([...parts, [name, new TextEncoder().encode(text)]]);
  const without = (name: string): Parts => new Map([...parts].filter(([each]) => each !== name));
  const log = (change: (log: { stands: number; versions: Record<string, unknown>[] }) => void): Parts => {
    const copy = JSON.parse(textOf(parts, 'log.json')) as { stands: number; versions: Record<string, unknown>[] };
    change(copy);
    return withPart('log.json', JSON.stringify(copy));
  };

  it.each<readonly [what: string, parts: () => Parts, why: RegExp]>([
    ['no build file', () => without('build.json'), /no build\.json/],
    ['no log', () => without('log.json'), /no log\.json/],
    ['no model', () => without('model/häuptling.stl'), /no model/],
    ['a file beside', () => withPart('run.sh', 'rm -rf /'), /"run\.sh", which is no part/],
    ['a way out of the folder', () => withPart('../../etc/passwd', 'x'), /etc\/passwd", which is no part/],
    [
      'a model with a way out',
      () => new Map([...without('model/häuptling.stl'), ['model/../../x.stl', new Uint8Array(9)]]),
      /The model is/,
    ],
    ['two models', () => withPart('model/other.stl', TINY_STL), /twice/],
    [
      'another model',
      () => withPart('model/häuptling.stl', TINY_STL.replace('9 0 0', '8 0 0')),
      /hash begins [0-9a-f]{12}/,
    ],
    ['a build that is none', () => withPart('build.json', '{"kind":"helmwright-build"}'), /build\.json: /],
    ['text for JSON', () => withPart('log.json', 'versions'), /log\.json is not JSON/],
    [
      'another build than the log says',
      () => withPart('build.json', textOf(parts, 'build.json').replace('0.1', '0.3')),
      /is not the version 5/,
    ],
    [
      'prototype keys',
      () => withPart('build.json', textOf(parts, 'build.json').replace('{', '{"__proto__":{"x":1},')),
      /build\.json: |is not the version/,
    ],
    ['a version missing', () => log((it) => it.versions.splice(2, 1)), /version 3: it has the number 4/],
    [
      'a version from the future',
      () => log((it) => Object.assign(it.versions[1] ?? {}, { from: 4 })),
      /version 2: it is made from 4/,
    ],
    [
      'a version of another model',
      () => log((it) => Object.assign((it.versions[1]!.build as { model: object }).model, { sha256: 'b'.repeat(64) })),
      /version 2: it is a build of another model/,
    ],
    [
      'a time that is none',
      () => log((it) => Object.assign(it.versions[0] ?? {}, { madeAt: 'yesterday' })),
      /versions\.0\.madeAt/,
    ],
    ['none that stands', () => log((it) => Object.assign(it, { stands: 40 })), /version that stands, 40/],
    [
      'too many versions',
      () =>
        log((it) => {
          it.versions = Array.from({ length: 15_001 }, () => ({ ...it.versions[0], build: 1 }));
        }),
      /versions/,
    ],
  ])('refuses %s', async (_what, made, why) => {
    const before = (await ask(small.origin, 'GET /api/builds')).body;
    const { status, body } = await takenIn(small.origin, archive(made()));
    expect([status, body]).toMatchObject([422, { code: 'ARCHIVE_INVALID', detail: expect.stringMatching(why) }]);
    expect((await ask(small.origin, 'GET /api/builds')).body).toEqual(before);
  });

  it('refuses what is no zip, what was cut off, and what was damaged', async () => {
    const whole = archive(parts);
    const damaged = whole.slice();
    // in the packed build file, not in what a header says of its time
    const at = Buffer.from(whole).indexOf('build.json') + 300;
    damaged[at] = 255 - damaged[at]!;
    for (const bytes of [new TextEncoder().encode('hello'), whole.slice(0, -30), damaged, new Uint8Array()]) {
      const { status, body } = await takenIn(small.origin, bytes);
      expect([status, body]).toMatchObject([422, { code: 'ARCHIVE_INVALID' }]);
    }
  });

  it('refuses a bomb by what it announces, and one that announces less than it holds', async () => {
    const zeros = new Uint8Array(40e6);
    const bomb = new Map([...parts, ['model/häuptling.stl', zeros] as const]);
    expect(await takenIn(small.origin, archive(bomb))).toMatchObject({ status: 413, body: { code: 'FILE_TOO_LARGE' } });
    const lying = archive(bomb);
    const view = new DataView(lying.buffer, lying.byteOffset, lying.byteLength);
    for (let at = 0; at + 4 < lying.length; at++)
      if (view.getUint32(at, true) === zeros.length) view.setUint32(at, 900, true);
    expect(await takenIn(small.origin, lying)).toMatchObject({ status: 422, body: { code: 'ARCHIVE_INVALID' } });
  });

  it('stops reading an archive at the limit', async () => {
    const tight = await openSmallHouse({ limits: { archiveBytes: 1000 } });
    expect(await takenIn(tight.origin, archive(parts))).toMatchObject({
      status: 413,
      body: { code: 'FILE_TOO_LARGE' },
    });
    await tight.close();
  });
});

describe.each(PLACES)('on $name', ({ cannot, make }) => {
  it.skipIf(cannot !== null)('the hashes outlive the wiping of all that was stored', async () => {
    const first = await make();
    const house = await openSmallHouse({ store: await first.open() });
    const parts = await takenOut(house.origin, await aBuildWithAPast(house.origin));
    await house.close();
    await first.remove();

    const second = await make();
    const empty = await openSmallHouse({ store: await second.open() });
    const { status, body } = await takenIn(empty.origin, archive(parts));
    expect(status).toBe(201);
    const again = await takenOut(empty.origin, (body as { id: string }).id);
    expect([...again].map(([name, bytes]) => [name, hashOf(bytes)])).toEqual(
      [...parts].map(([name, bytes]) => [name, hashOf(bytes)]),
    );
    await empty.close();
    await second.remove();
  });
});

/** Changed, taken back, changed otherwise, an old version brought back: a log with branches. Returns its id. */
async function aBuildWithAPast(origin: string): Promise<string> {
  const id = await begin(origin, 'häuptling.stl');
  for (const [path, value] of [
    ['print.layerMm', 0.28],
    ['name', 'Kept helm'],
    ['print.infillPercent', 25],
  ])
    await ask(origin, `PATCH /api/builds/${id}`, { path, value });
  await ask(origin, `POST /api/builds/${id}/undo`, { steps: 2 });
  await ask(origin, `PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.1 });
  await ask(origin, `POST /api/builds/${id}/restore`, { version: 3 });
  await ask(origin, `POST /api/builds/${id}/undo`);
  return id;
}

async function takenOut(origin: string, id: string): Promise<Parts> {
  const response = await fetch(`${origin}/api/builds/${id}/whole.zip`);
  const bytes = new Uint8Array(await response.arrayBuffer());
  const listed = listZip(bytes);
  if (!listed.ok) throw new Error(listed.why);
  return new Map(
    listed.value.map((entry) => {
      const part = unpackEntry(bytes, entry);
      if (!part.ok) throw new Error(part.why);
      return [entry.name, part.value];
    }),
  );
}

async function takenIn(origin: string, body: Uint8Array): Promise<{ status: number; body: unknown }> {
  const response = await fetch(`${origin}/api/builds/take-in`, {
    method: 'POST',
    headers: { 'content-type': 'application/zip' },
    body: new Uint8Array(body),
  });
  return { status: response.status, body: await response.json() };
}

function archive(parts: Parts): Uint8Array {
  return writeZip([...parts].map(([name, bytes]) => ({ name, bytes })));
}

function textOf(parts: Parts, name: string): string {
  return new TextDecoder().decode(parts.get(name));
}

function hashOf(bytes: Uint8Array | undefined): string {
  return createHash('sha256')
    .update(bytes ?? '')
    .digest('hex');
}
