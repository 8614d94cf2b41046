// The chapter and the sheet warn of what the build uses, and of nothing else.
import { describe, expect, it } from 'vitest';
import { assemblyCautions, sheetCautions } from '../../../../src/workshop/book/assembly-cautions.ts';
import type { Block } from '../../../../src/workshop/book/book-text.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import type { AssemblyRecord } from '../../../../src/workshop/process/assembly-record.ts';
import { gluing } from '../../../support/gluing.ts';

const build = (more: { bead?: boolean; activator?: boolean; hotTool?: boolean } = {}): Build =>
  ({ assembly: { bead: true, activator: false, hotTool: false, ...more } }) as unknown as Build;
const record = (more: { drops?: number; beadMm?: number; needs?: string[]; tacks?: number } = {}): AssemblyRecord =>
  ({
    seams: [gluing('A-B', { tacks: Array(more.tacks ?? 0).fill([0, 0, 0]) })],
    steps: [{ needs: more.needs ?? ['20 drops of cyanoacrylate, medium grade'] }],
    totals: { drops: more.drops ?? 20, beadMm: more.beadMm ?? 192 },
  }) as unknown as AssemblyRecord;

const titles = (blocks: readonly Block[]): string[] =>
  blocks.flatMap((block) => (block.b === 'caution' ? [block.title] : []));
const texts = (blocks: readonly Block[]): string =>
  blocks.flatMap((block) => (block.b === 'caution' ? [block.text] : [])).join(' ');

describe('cautions of the assembly', () => {
  const [SKIN, VAPOUR, HOT] = ['Cyanoacrylate on skin and eyes', 'Solvent vapour', 'Hot tools and their fumes'];

  it.each([
    [{}, [SKIN, VAPOUR]],
    [{ hotTool: true }, [SKIN, VAPOUR, HOT]],
    [{ bead: false }, [SKIN]],
    [{ bead: false, activator: true }, [SKIN, VAPOUR]],
  ])('before anything is reckoned, of what %j asks for', (more, found) =>
    expect(titles(assemblyCautions(build(more), null))).toEqual(found),
  );

  it('name activator and solvent only where they are used', () => {
    expect(texts(assemblyCautions(build(), record()))).toContain('A flexible solvent adhesive gives off vapour');
    expect(texts(assemblyCautions(build(), record()))).not.toMatch(/activator|hot tool/i);
    expect(texts(sheetCautions(build(), record()))).not.toMatch(/activator|hot tool/i);
    const sprayed = build({ activator: true });
    expect(texts(assemblyCautions(sprayed, record()))).toContain(
      'A flexible solvent adhesive, and a spray of activator, give off vapour',
    );
    expect(texts(sheetCautions(sprayed, record()))).toContain('Solvent and activator catch fire and harm');
    const only = build({ bead: false, activator: true });
    expect(texts(assemblyCautions(only, record({ beadMm: 0 })))).toContain('A spray of activator gives off vapour');
    expect(texts(sheetCautions(only, record({ beadMm: 0 })))).toContain('Activator catches fire and harms');
  });

  it('are none where all is screwed, and of glue alone where only magnets are set', () => {
    const screwed = record({ drops: 0, beadMm: 0, needs: ['3 screws', 'short screwdriver'] });
    expect(assemblyCautions(build({ activator: true, hotTool: true }), screwed)).toEqual([]);
    expect(sheetCautions(build({ activator: true, hotTool: true }), screwed)).toEqual([]);
    const magnets = record({ drops: 0, beadMm: 0, needs: ['6 disc magnets', 'cyanoacrylate, a drop each'] });
    expect(titles(assemblyCautions(build({ activator: true }), magnets))).toEqual([SKIN]);
  });

  it('of heat until all is cured, and of the hot tool where it welds', () => {
    expect(titles(sheetCautions(build(), record()))).toEqual(['Glue', 'Vapour', 'Heat']);
    expect(titles(sheetCautions(build({ hotTool: true }), record({ tacks: 4 })))).toEqual([
      'Glue',
      'Vapour',
      'Heat',
      'Hot tool',
    ]);
  });
});
