import { describe, expect, it } from 'vitest';
import { openWorkQueue, type Task, URGENCY } from '../../../../src/app/server/work-queue.ts';
import { Cancelled } from '../../../../src/base/work.ts';
import { newBuild } from '../../../../src/workshop/book/build-file.ts';
import { handEngine } from '../../../support/small-house.ts';

const settled = () => new Promise((resolve) => setTimeout(resolve, 5));

describe('the order of work', () => {
  const task = (key: string, urgency: () => number): Task => ({
    key,
    job: { build: newBuild({ name: key, file: 'a.stl', sha256: 'a'.repeat(64) }), model: '/nowhere', want: 'book' },
    hooks: {},
    urgency,
  });
  const names = (engine: ReturnType<typeof handEngine>) => engine.begun.map(({ job }) => job.build.name);

  it('runs one at a time, what is looked at before what is not, otherwise in turn', async () => {
    const engine = handEngine('by hand');
    const queue = openWorkQueue(engine);
    for (const [key, urgency] of [
      ['first', URGENCY.read],
      ['idle', URGENCY.idle],
      ['read', URGENCY.read],
      ['awaited', URGENCY.awaited],
    ] as const)
      void queue.run(task(key, () => urgency));
    for (let i = 0; i < 4; i++) {
      await settled();
      expect(names(engine)).toHaveLength(i + 1);
      engine.finish();
    }
    expect(names(engine)).toEqual(['first', 'awaited', 'read', 'idle']);
  });

  it('lets what nobody looks at make way, and goes on with it later', async () => {
    const engine = handEngine('by hand');
    const queue = openWorkQueue(engine);
    const idle = queue.run(task('idle', () => URGENCY.idle));
    void queue.run(task('read', () => URGENCY.read));
    await settled();
    expect(names(engine)).toEqual(['idle', 'read']);
    engine.finish();
    await settled();
    expect(names(engine)).toEqual(['idle', 'read', 'idle']);
    engine.finish();
    expect(await idle).toHaveProperty('text');
  });

  it('does not stop what is looked at, until the reader has left', async () => {
    const engine = handEngine('by hand');
    const queue = openWorkQueue(engine);
    let readers = 1;
    void queue.run(task('one', () => readers));
    void queue.run(task('other', () => URGENCY.read));
    await settled();
    expect(names(engine)).toEqual(['one']);
    readers = 0;
    queue.reconsider();
    await settled();
    expect(names(engine)).toEqual(['one', 'other']);
  });

  it('drops what runs and what waits, and hears no more of either', async () => {
    const engine = handEngine('by hand');
    const queue = openWorkQueue(engine);
    const heard: string[] = [];
    const loud: Task = { ...task('runs', () => 1), hooks: { progress: (chapter) => heard.push(chapter) } };
    const runs = queue.run(loud);
    const waits = queue.run(task('waits', () => 1));
    await settled();
    queue.drop('waits');
    queue.drop('runs');
    engine.begun[0]?.hooks.progress?.('pieces', 0.5, '');
    await expect(runs).rejects.toBeInstanceOf(Cancelled);
    await expect(waits).rejects.toBeInstanceOf(Cancelled);
    expect(heard).toEqual([]);
  });

  it('begins nothing any more once it is closed', async () => {
    const engine = handEngine('by hand');
    const queue = openWorkQueue(engine);
    const all = ['runs', 'waits'].map((key) => queue.run(task(key, () => 1)));
    queue.close();
    for (const each of [...all, queue.run(task('late', () => 1))]) await expect(each).rejects.toBeInstanceOf(Cancelled);
    await settled();
    expect(names(engine)).toEqual(['runs']);
  });
});
