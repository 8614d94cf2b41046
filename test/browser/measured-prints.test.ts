// Noting on the page what a print took: typed as makers write it, refused while it can be no measurement, kept with the machine.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Block } from '../../src/workshop/book/book-text.ts';
import { measuredBlocks } from '../../src/workshop/book/write-measured.ts';
import { estimateOf, learntMachines } from '../../src/workshop/printing/estimates.ts';
import type { PosedPrint } from '../../src/workshop/printing/pose-choice.ts';
import { type MeasuredPrint, sumOfParts } from '../../src/workshop/process/measured-print.ts';
import type { PiecesRecord } from '../../src/workshop/process/pieces-record.ts';
import type { PrintingRecord } from '../../src/workshop/process/printing-record.ts';
import { askedBuild, askedPage } from '../support/asked-page.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';
const parts = { contour: 15_000, infill: 3000, closing: 900, support: 1500, travel: 2500, held: 300, startUp: 360 };
const estimatedS = sumOfParts(parts);

/** Two prints on the first machine, one of them measured already. */
function written(): { readonly build: ReturnType<typeof askedBuild>; readonly blocks: readonly Block[] } {
  const usual = askedBuild();
  const known: MeasuredPrint = {
    name: 'B nape',
    parts,
    estimatedG: 92,
    material: 'pla',
    tookS: 1.12 * estimatedS,
    weighedG: 95,
  };
  const machines = [{ ...usual.machines[0]!, measured: [known] }, usual.machines[1]!];
  const build = { ...usual, machines };
  const machine = machines[0]!;
  const chosen = { machine, time: { parts }, material: { filamentG: 80, supportG: 12 } } as unknown as PosedPrint;
  const prints = ['A', 'B'].map((piece) => ({
    piece,
    machine: machine.id,
    printS: 1.1 * estimatedS,
    ...estimateOf(chosen),
  }));
  const printing = { prints, splices: null, learnt: learntMachines(machines) } as unknown as PrintingRecord;
  const pieces = {
    pieces: [
      { id: 'A', name: 'crown' },
      { id: 'B', name: 'nape' },
    ],
  } as unknown as PiecesRecord;
  return { build, blocks: measuredBlocks(build, pieces, printing) };
}

describe('a print noted on the page', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let served: PageServer;
  const measured = (): readonly MeasuredPrint[] => served.state().build.machines[0]!.measured;
  const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 100 });

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    const given = askedPage();
    const { build, blocks } = written();
    const text = given.state.text!;
    const chapters = text.chapters.map((chapter) => (chapter.name === 'printing' ? { ...chapter, blocks } : chapter));
    served = await startPage({ ...given, state: { ...given.state, build, text: { ...text, chapters } } });
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(served.address);
    await page.getByText('Printed and measured').scrollIntoViewIfNeeded();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await served?.close();
  });

  it('is forgotten by its word', async () => {
    await page.getByRole('button', { name: 'forget: B nape' }).click();
    await until(() => measured().length).toBe(0);
    served.show({ build: written().build });
    await until(() => measured().length).toBe(1);
  });

  it('is kept only when it can be a measurement', async () => {
    const hours = page.getByRole('textbox', { name: 'Hours of A crown' });
    await hours.fill('98 h');
    await until(() => page.getByRole('alert').textContent()).toMatch(/less than a third or more than three times/);
    expect(await page.getByRole('button', { name: 'keep it' }).count()).toBe(0);
    await page.screenshot({ path: join(PICTURES, 'measured-refused.png') });
    await hours.fill('7 h 24');
    await page.getByRole('textbox', { name: 'Grams of A crown' }).fill('95.5');
    await page.screenshot({ path: join(PICTURES, 'measured-typed.png') });
    await page.getByRole('button', { name: 'keep it' }).click();
    await until(() => measured().length).toBe(2);
    expect(measured()[1]).toEqual({
      name: 'A crown',
      parts,
      estimatedG: measured()[1]!.estimatedG,
      material: 'pla',
      tookS: 26_640,
      weighedG: 95.5,
    });
    await until(() => hours.inputValue()).toBe('');
    expect(complaints).toEqual([]);
  });
});
