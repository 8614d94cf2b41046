// Whoever else is on this machine or on the web: foreign pages, names that climb, bodies without end, half requests.
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildState, Problem } from '../../src/app/api/api.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { openStore } from '../../src/store/open-store.ts';
import { startCommand } from '../support/command.ts';
import { quickHelm } from '../support/quick-helm.ts';
import { halfRequest, rawRequest } from '../support/raw-request.ts';
import { openSmallHouse } from '../support/small-house.ts';

const SCRIPT = '<script>globalThis.stolen = 1</script>"><img src=x onerror=alert(1)>';

describe('a hostile neighbour', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-hostile-'));
  const data = join(folder, 'data');
  let server: ReturnType<typeof startCommand>;
  let origin = '';
  let id = '';

  const json = { 'content-type': 'application/json' };
  const patch = (body: string) => rawRequest(`${origin}/api/builds/${id}`, { method: 'PATCH', headers: json, body });
  const problem = (text: string) => JSON.parse(text) as Problem;
  const state = async () => JSON.parse((await rawRequest(`${origin}/api/builds/${id}`)).text) as BuildState;

  beforeAll(async () => {
    server = startCommand(['serve', '--port', '0', '--data', data]);
    origin = await new Promise<string>((found, lost) => {
      server.child.stdout!.on('data', (chunk: Buffer) => {
        const match = /(http:\/\/127\.0\.0\.1:\d+)\//.exec(chunk.toString());
        if (match?.[1]) found(match[1]);
      });
      void server.ended.then(({ err }) => lost(new Error(err)));
    });
    const model = writeStl(quickHelm({ rings: 8, around: 20, radiiMm: [90, 110, 120] }));
    const begun = await rawRequest(`${origin}/api/builds?name=${encodeURIComponent('..\\..\\..//etc/passwd.stl')}`, {
      method: 'POST',
      headers: { 'content-type': 'application/octet-stream' },
      body: [model],
    });
    expect(begun.status, begun.text).toBe(201);
    id = (JSON.parse(begun.text) as { id: string }).id;
  });
  afterAll(async () => {
    server?.child.kill('SIGTERM');
    const ended = await server?.ended;
    rmSync(folder, { recursive: true, force: true });
    expect(ended?.err, 'nothing failed inside').not.toMatch(/Error/);
  });

  it.each<readonly [who: string, headers: Record<string, string>]>([
    ['a foreign origin', { origin: 'https://example.org' }],
    ['an origin without a name', { origin: 'null' }],
    ['another port of this machine', { origin: 'http://127.0.0.1:1' }],
    ['a name that was pointed at this machine', { host: 'evil.example' }],
    ['that name with the right port', { host: 'evil.example:80' }],
    ['no name at all', { host: '' }],
    ['a page of another site', { 'sec-fetch-site': 'cross-site' }],
    ['a page of another port', { 'sec-fetch-site': 'same-site' }],
  ])('refuses %s, whatever it asks for', async (_who, headers) => {
    const asked = [
      await rawRequest(`${origin}/api/builds`, { headers }),
      await rawRequest(`${origin}/api/builds/${id}/events`, { headers }),
      await rawRequest(`${origin}/api/builds/${id}/whole.zip`, { headers }),
      await rawRequest(`${origin}/api/builds/${id}`, { method: 'DELETE', headers }),
      await rawRequest(`${origin}/api/builds`, { method: 'OPTIONS', headers }),
      await rawRequest(`${origin}/api/builds/${id}/undo`, {
        method: 'POST',
        headers: { ...headers, ...json },
        body: '{}',
      }),
    ];
    for (const { status, text, headers: given } of asked) {
      expect(status).toBe(403);
      expect(problem(text)).toMatchObject({ code: 'FOREIGN_REFUSED', status: 403 });
      expect(given).not.toHaveProperty('access-control-allow-origin');
    }
    expect((await state()).id).toBe(id);
  });

  it('lets its own pages ask, and a link on another page lead here', async () => {
    expect(
      (await rawRequest(`${origin}/api/builds`, { headers: { origin, 'sec-fetch-site': 'same-origin' } })).status,
    ).toBe(200);
    const linked = await rawRequest(`${origin}/builds/${id}`, { headers: { 'sec-fetch-site': 'cross-site' } });
    expect(linked.status).toBe(200);
    expect(linked.headers['content-security-policy']).toMatch(
      /default-src 'none'; script-src 'self'; style-src 'self';/,
    );
    expect(linked.headers['content-security-policy']).toContain("frame-ancestors 'none'");
  });

  it('takes a simple form of another page for no change', async () => {
    for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x'])
      expect(
        (
          await rawRequest(`${origin}/api/builds/${id}/undo`, {
            method: 'POST',
            headers: { 'content-type': type },
            body: '{}',
          })
        ).status,
      ).toBe(415);
  });

  it('uses no name from outside as a path', async () => {
    expect((await state()).build.model.file).toBe('passwd.stl');
    for (const path of [
      '/api/builds/..%2f..%2fowner.json',
      '/api/builds/../../../etc/passwd',
      '/assets/../cli.js',
      '/assets/..%2fcli.js',
      '/assets/%2e%2e/package.json',
      `/api/builds/${id}/..%2f..%2fbuild.json`,
      '/beside/..%2f..%2fetc/passwd/x/y',
    ]) {
      const { status, text } = await rawRequest(`${origin}${path}`);
      expect([path, status]).toEqual([path, path.startsWith('/assets/') ? expect.toSatisfy(isRefused) : 404]);
      expect(text).not.toMatch(/root:|import |"pid"/);
    }
    expect(readdirSync(folder)).toEqual(['data']);
    expect(existsSync(join(data, 'passwd.stl'))).toBe(false);
  });

  it('refuses a declared 10 GB at once, before a byte of it', async () => {
    const before = readdirSync(join(data, 'files'), { recursive: true }).length;
    for (const [path, type] of [
      ['/api/builds?name=big.stl', 'application/octet-stream'],
      ['/api/builds/take-in', 'application/zip'],
    ] as const) {
      const headers = { 'content-type': type, 'content-length': String(10e9) };
      const { status, text, sent } = await rawRequest(`${origin}${path}`, {
        method: 'POST',
        headers,
        body: blocks(64),
      });
      expect(status).toBe(413);
      expect(problem(text)).toMatchObject({ code: 'FILE_TOO_LARGE', detail: expect.stringContaining('800 MB') });
      expect(sent).toBeLessThan(70e6);
    }
    expect(readdirSync(join(data, 'files'), { recursive: true })).toHaveLength(before);
  });

  it('gives a script in a title back as the words it is', async () => {
    const changed = await patch(JSON.stringify({ path: 'name', value: SCRIPT }));
    expect(changed.status).toBe(200);
    expect(changed.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(changed.headers['x-content-type-options']).toBe('nosniff');
    expect(changed.headers['content-security-policy']).toMatch(/^default-src 'none';.* sandbox$/);
    const book = await rawRequest(`${origin}/api/builds/${id}/book.html`);
    expect([book.status, book.headers['content-disposition']]).toEqual([
      200,
      expect.stringMatching(/^attachment; filename="[\w .-]+"; filename\*=UTF-8''[\w%.-]+$/),
    ]);
    expect(book.text).toContain('&lt;script&gt;globalThis.stolen');
    expect(book.text).not.toContain('<script>globalThis.stolen');
    expect(book.text).not.toContain('<img src=x');
    const archive = await rawRequest(`${origin}/api/builds/${id}/whole.zip`);
    expect(archive.headers['content-disposition']).not.toMatch(/[<>\r\n]|script>/);
    await rawRequest(`${origin}/api/builds/${id}/undo`, { method: 'POST' });
  });

  it('refuses JSON that is huge, deep, broken, or reaches for prototypes', async () => {
    const before = await state();
    const deep = `{"path":"name","value":${'['.repeat(20_000)}${']'.repeat(20_000)}}`;
    for (const [body, status] of [
      [JSON.stringify({ path: 'name', value: 'x'.repeat(70_000) }), 413],
      [deep, 400],
      ['{"path":"name","value":', 400],
      ['', 400],
      ['null', 400],
      ['[]', 400],
      ['{"path":"name","value":"x","more":1}', 400],
      ['{"__proto__":{"path":"name"},"value":"x"}', 400],
      ['{"path":"name","value":{"constructor":{"prototype":{"x":1}}}}', 400],
      ['{"path":"__proto__.polluted","value":1}', 400],
      ['{"path":"print.constructor.prototype.polluted","value":1}', 400],
      [`{"path":"${'a.'.repeat(150)}","value":1}`, 400],
      ['{"path":"print.layerMm","value":1e999}', 422],
      ['{"path":"machines.4000","value":{}}', 422],
    ] as const) {
      const answer = await patch(body);
      expect([body.slice(0, 60), answer.status]).toEqual([body.slice(0, 60), status]);
      expect(problem(answer.text).code).toMatch(/^(REQUEST_REFUSED|BUILD_INVALID)$/);
    }
    expect((await state()).version).toBe(before.version);
  });

  it('answers two hundred at once', async () => {
    const answers = await Promise.all(
      Array.from({ length: 200 }, (_, i) => rawRequest(`${origin}/api/builds${i % 2 === 0 ? '' : `/${id}`}`)),
    );
    expect(answers.map(({ status }) => status)).toEqual(answers.map(() => 200));
  });
});

describe('bodies and requests without end', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-endless-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('stops an endless upload at the limit and leaves nothing of it', async () => {
    const opened = await openStore({ dataFolder: folder });
    if (!opened.ok) throw new Error(opened.why);
    const small = await openSmallHouse({ store: opened.value, limits: { modelBytes: 4e6, archiveBytes: 4e6 } });
    const left = () => readdirSync(join(folder, 'files'), { recursive: true });
    const before = left();
    for (const [path, type] of [
      ['/api/builds?name=endless.stl', 'application/octet-stream'],
      ['/api/builds/take-in', 'application/zip'],
    ] as const) {
      const { status, text, sent } = await rawRequest(`${small.origin}${path}`, {
        method: 'POST',
        headers: { 'content-type': type, 'transfer-encoding': 'chunked' },
        body: blocks(4000),
      });
      expect(status).toBe(413);
      expect(problemCode(text)).toBe('FILE_TOO_LARGE');
      expect(sent).toBeLessThan(200e6);
    }
    expect(left()).toEqual(before);
    expect(await small.store.listBuilds()).toEqual([]);
    await small.close();
  });

  it('leaves nothing of an upload that breaks off', async () => {
    const small = await openSmallHouse();
    await halfRequest(
      small.origin,
      `${head(small.origin, 'POST /api/builds?name=a.stl')}content-type: application/octet-stream\r\ncontent-length: 900\r\nconnection: close\r\n\r\nsolid`.replace(
        '900',
        '5',
      ),
    );
    const cut = halfRequest(
      small.origin,
      `${head(small.origin, 'POST /api/builds?name=a.stl')}content-type: application/octet-stream\r\ncontent-length: 900\r\n\r\nsolid`,
    );
    setTimeout(() => void small.close(), 200);
    await cut;
    expect(await small.store.listBuilds()).toHaveLength(1);
  });

  it('hangs up on a page that never finishes what it asks', async () => {
    const small = await openSmallHouse({ patience: { headersMs: 300, requestMs: 600 } });
    const asked = await halfRequest(small.origin, `${head(small.origin, 'GET /api/builds')}x-slow: `);
    expect(asked.text).toMatch(/^HTTP\/1\.1 408 /);
    const sent = await halfRequest(
      small.origin,
      `${head(small.origin, 'POST /api/builds/take-in')}content-type: application/zip\r\ncontent-length: 900\r\n\r\nPK`,
    );
    expect(sent.text).toMatch(/^HTTP\/1\.1 408 /);
    const rubbish = await halfRequest(small.origin, 'Guten Tag\r\n\r\n');
    expect(rubbish.text).toMatch(/^HTTP\/1\.1 400 /);
    expect((await rawRequest(`${small.origin}/api/builds`)).status).toBe(200);
    await small.close();
  });
});

function head(origin: string, line: string): string {
  return `${line} HTTP/1.1\r\nhost: ${origin.slice('http://'.length)}\r\n`;
}

/** Refused as a way out, or not found as a name. */
function isRefused(status: number): boolean {
  return status === 403 || status === 404;
}

function problemCode(text: string): string {
  return (JSON.parse(text) as Problem).code;
}

function* blocks(count: number): Generator<Uint8Array> {
  const block = new Uint8Array(1 << 20).fill(32);
  for (let i = 0; i < count; i++) yield block;
}
