// Asks axe-core what a page does wrong for readers who cannot see or point, and says it in lines a test can print.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** WCAG 2.2 at A and AA, and what axe calls good practice (landmarks, order of headings, names of regions). */
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

interface Found {
  readonly violations: readonly {
    readonly id: string;
    readonly impact: string | null;
    readonly help: string;
    readonly nodes: readonly { readonly target: readonly unknown[]; readonly failureSummary?: string }[];
  }[];
  /** Rules that looked at something and found nothing wrong. */
  readonly passed: number;
}

/** One line for each finding: rule, what it wants, and where. Fails when axe did not look at anything. `within`: a selector. */
export async function axeFindings(page: Page, within = 'html'): Promise<readonly string[]> {
  // Not as a script tag: the page's own content policy forbids that, and stays in force.
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(SOURCE);
  const found = await page.evaluate(
    async ([selector, tags]): Promise<Found> => {
      type Results = Pick<Found, 'violations'> & { readonly passes: readonly unknown[] };
      const { axe } = globalThis as unknown as { axe: { run(at: string, options: unknown): Promise<Results> } };
      // every rule runs; what passed is only counted, so that no selector is made up for each of thousands of sound elements
      const { violations, passes } = await axe.run(selector, {
        runOnly: { type: 'tag', values: tags },
        resultTypes: ['violations'],
      });
      return { violations, passed: passes.length };
    },
    [within, TAGS] as const,
  );
  if (found.passed < 10) throw new Error(`axe looked at ${found.passed} rules only: nothing was shown`);
  return found.violations.map(({ id, impact, help, nodes }) => {
    const where = nodes.slice(0, 4).map(({ target }) => target.join(' '));
    const more = nodes.length > where.length ? ` and ${nodes.length - where.length} more` : '';
    return `${id} (${impact ?? 'no weight'}): ${help}; at ${where.join(', ')}${more}`;
  });
}

export interface Look {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly scheme: 'light' | 'dark';
}

/** Every page is looked at in both tones, on a desk and on a phone. */
export const LOOKS: readonly Look[] = [
  { name: 'paper', width: 1440, height: 900, scheme: 'light' },
  { name: 'slate', width: 1440, height: 900, scheme: 'dark' },
  { name: 'phone paper', width: 360, height: 780, scheme: 'light' },
  { name: 'phone slate', width: 360, height: 780, scheme: 'dark' },
];

/** Sets the window and the tones; the page is loaded already. */
export async function lookAt(page: Page, { width, height, scheme }: Look): Promise<void> {
  await page.setViewportSize({ width, height });
  await page.emulateMedia({ colorScheme: scheme });
}

/** Sides by which the page is wider than the window, px; 0 when it fits. */
export function tooWidePx(page: Page): Promise<number> {
  return page.evaluate(() => Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth));
}

/** Controls smaller than 24 by 24 px that are not in a line of text (WCAG 2.2, 2.5.8), with their size. */
export function smallTargets(page: Page): Promise<readonly string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('a[href], button, input:not([type="hidden"]), select, summary')]
      .filter((each) => each.checkVisibility() && each.closest('p, td, th, li.prose, figcaption, caption') === null)
      .map((each) => ({ each, box: each.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 1 && (box.width < 24 || box.height < 24))
      .map(
        ({ each, box }) =>
          `${each.tagName.toLowerCase()} "${(each.getAttribute('aria-label') ?? each.textContent ?? '').trim().slice(0, 40)}" ${Math.round(box.width)} x ${Math.round(box.height)}`,
      ),
  );
}
