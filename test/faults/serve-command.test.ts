// The command that serves: one owner of a data folder, taken over at once when it was killed; a database that is not there; plain words.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { runCommandLine, startCommand } from '../support/command.ts';

describe('helmwright serve', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-serve-'));
  const data = join(folder, 'data');
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const serving = async () => {
    const { child, ended } = startCommand(['serve', '--port', '0', '--data', data]);
    const address = await new Promise<string>((found, lost) => {
      child.stdout!.on('data', (chunk: Buffer) => {
        const match = /http:\/\/127\.0\.0\.1:\d+\//.exec(chunk.toString());
        if (match) found(match[0]);
      });
      void ended.then(({ err }) => lost(new Error(err)));
    });
    return { child, ended, address };
  };

  it('refuses a data folder that is in use, naming the page that is there, and takes it over from a killed one', async () => {
    const first = await serving();
    for (const args of [
      ['serve', '--port', '0', '--data', data],
      ['demo', '--serve', '--port', '0', '--data', data, '--out', join(folder, 'kit')],
    ]) {
      const second = await runCommandLine(args);
      expect([second.code, second.out]).toEqual([3, '']);
      expect(second.err).toContain('DATA_FOLDER_IN_USE');
      expect(second.err).toContain(first.address);
    }
    first.child.kill('SIGKILL');
    await first.ended;
    const next = await serving();
    expect((await fetch(`${next.address}api/builds`)).status).toBe(200);
    next.child.kill('SIGTERM');
    expect((await next.ended).code).toBe(0);
  });

  it('refuses a port that is taken', async () => {
    const first = await serving();
    const port = new URL(first.address).port;
    const second = await runCommandLine(['serve', '--port', port, '--data', join(folder, 'other')]);
    expect([second.code, second.err]).toEqual([3, expect.stringContaining('PORT_TAKEN')]);
    first.child.kill('SIGTERM');
    await first.ended;
  });

  it('says its version, and of a mistake only what is wrong', async () => {
    expect(await runCommandLine(['--version'])).toMatchObject({
      code: 0,
      out: expect.stringMatching(/^helmwright \d+\.\d+\.\d+\n$/),
    });
    const wrong = await runCommandLine(['serve', '--nonsense']);
    expect(wrong).toEqual({
      code: 2,
      out: '',
      err: 'there is no option --nonsense\nAll commands and options: helmwright help\n',
    });
    expect((await runCommandLine(['help'])).out).toContain('DATABASE_URL');
  });
});
