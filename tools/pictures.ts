// Takes the README's pictures from the running page on the demo: npm run pictures.
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { CHROMIUM_FLAGS } from '../test/support/chromium.ts';
import { startCommand } from '../test/support/command.ts';

const OUT = 'docs/pictures';
const folder = mkdtempSync(join(tmpdir(), 'helmwright-pictures-'));
const { child, ended } = startCommand([
  'demo',
  '--serve',
  '--port',
  '0',
  '--data',
  join(folder, 'data'),
  '--out',
  join(folder, 'kit'),
]);
const address = await new Promise<string>((found, lost) => {
  child.stdout?.on('data', (chunk: Buffer) => {
    const match = /The book is at (\S+)/.exec(chunk.toString());
    if (match?.[1]) found(match[1]);
  });
  void ended.then(({ err }) => lost(new Error(err)));
});
mkdirSync(OUT, { recursive: true });
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });

const shots = [
  { name: 'book', width: 1440, height: 900, scheme: 'light', at: null },
  { name: 'pieces', width: 1440, height: 900, scheme: 'light', at: '#pieces' },
  { name: 'printing-slate', width: 1440, height: 900, scheme: 'dark', at: '#printing' },
  { name: 'phone', width: 390, height: 844, scheme: 'light', at: '#pieces' },
] as const;
for (const { name, width, height, scheme, at } of shots) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: scheme });
  await page.goto(address);
  await page.getByText('All is computed.').first().waitFor({ timeout: 180_000, state: 'attached' });
  if (at !== null)
    await page.locator(at).evaluate((element) => element.scrollIntoView({ block: 'start', behavior: 'instant' }));
  await page.waitForTimeout(9000);
  await page.screenshot({ path: join(OUT, `${name}.png`) });
  await page.close();
}
await browser.close();
child.kill('SIGTERM');
await ended;
rmSync(folder, { recursive: true, force: true });
