// What to beware of in the assembly: only of what this build uses, in full for the chapter and short for the sheet.
import type { AssemblyRecord } from '../process/assembly-record.ts';
import type { Block } from './book-text.ts';
import type { Build } from './build-file.ts';
import { valueAt } from './editable.ts';

interface Used {
  readonly glue: boolean;
  readonly bead: boolean;
  readonly activator: boolean;
  readonly hotTool: boolean;
}

/** Beside the chapter; while nothing is reckoned, by what the build asks for. */
export function assemblyCautions(build: Build, assembly: AssemblyRecord | null): readonly Block[] {
  const used = usedBy(build, assembly);
  return [
    ...(used.glue
      ? [
          caution(
            'Cyanoacrylate on skin and eyes',
            'It bonds skin and eyelids in seconds. Wear safety glasses, air the room, and keep cotton and paper away from it: soaked in it they get hot. Bonded skin comes apart in warm soapy water, not by force; glue in an eye is for a doctor. The data sheet of your glue knows more.',
          ),
        ]
      : []),
    ...vapour(used),
    ...(used.hotTool
      ? [
          caution(
            'Hot tools and their fumes',
            'A hot tool burns skin, and melted plastic gives off fumes, some plastics far worse ones than others: extraction or an open window, a heat-proof stand, and switched off when it leaves the hand.',
          ),
        ]
      : []),
  ];
}

/** Shorter, for the sheet. */
export function sheetCautions(build: Build, assembly: AssemblyRecord): readonly Block[] {
  const used = usedBy(build, assembly);
  const vapours = [...(used.bead ? ['solvent'] : []), ...(used.activator ? ['activator'] : [])];
  return [
    ...(used.glue
      ? [
          caution(
            'Glue',
            'Bonds skin and eyelids in seconds. Safety glasses, moving air, no cotton or paper near it. Bonded skin: warm soapy water. An eye: a doctor.',
          ),
        ]
      : []),
    ...(vapours.length > 0
      ? [
          caution(
            'Vapour',
            `${upperFirst(vapours.join(' and '))} ${vapours.length > 1 ? 'catch fire and harm' : 'catches fire and harms'}: no flame, gloves, moving air or a half mask for organic vapour. No head inside before all is cured.`,
          ),
        ]
      : []),
    ...(used.glue || used.bead
      ? [caution('Heat', 'No sanding, no heat, no warm car before the cure is over: soft joints creep.')]
      : []),
    ...(used.hotTool
      ? [caution('Hot tool', 'Burns skin, and melted plastic gives off fumes: extraction or an open window, a stand.')]
      : []),
  ];
}

function usedBy(build: Build, assembly: AssemblyRecord | null): Used {
  const asked = (key: string): boolean => valueAt(build, `assembly.${key}`) === true;
  // magnets and loose parts are glued too where no seam is
  const isGlued =
    assembly === null || assembly.steps.some(({ needs }) => needs.some((need) => need.includes('cyanoacrylate')));
  const hasDrops = assembly === null || assembly.totals.drops > 0;
  return {
    glue: isGlued,
    bead: asked('bead') && (assembly === null || assembly.totals.beadMm > 0),
    activator: asked('activator') && hasDrops,
    hotTool: asked('hotTool') && (assembly === null || assembly.seams.some(({ tacks }) => tacks.length > 0)),
  };
}

function vapour({ bead, activator }: Used): readonly Block[] {
  if (!bead && !activator) return [];
  const what = [
    ...(bead ? ['a flexible solvent adhesive'] : []),
    ...(activator ? [`${bead ? ', and ' : ''}a spray of activator`] : []),
  ].join('');
  return [
    caution(
      'Solvent vapour',
      `${upperFirst(what)}${bead && activator ? ', give' : ' gives'} off vapour that is harmful and catches fire: moving air, no flame, gloves that its solvent does not pass, and where the air stands a half mask with a cartridge for organic vapour. Inside a helm the vapour stays longest: no head goes in before the day of cure. Try it on a scrap first; some solvents soften some plastics.`,
    ),
  ];
}

function caution(title: string, text: string): Block {
  return { b: 'caution', title, text };
}

function upperFirst(words: string): string {
  return words.replace(/^./, (letter) => letter.toUpperCase());
}
