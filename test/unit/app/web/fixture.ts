// A made-up book and figure for tests of the page; every number in it is invented.
import type { FigureData, FigurePart } from '../../../../src/app/api/figure-codec.ts';
import type { Block, BookText, Drawings, Span, Unit } from '../../../../src/workshop/book/book-text.ts';

const text = (words: string): Span => ({ s: 'text', text: words });
const term = (words: string): Span => ({ s: 'term', text: words });
const quantity = (value: number, unit: Unit, digits = 0): Span => ({ s: 'quantity', value, unit, digits });
const say = (...parts: readonly (string | Span)[]): Block => ({
  b: 'say',
  spans: parts.map((part) => (typeof part === 'string' ? text(part) : part)),
});
const number = (
  path: string,
  label: string,
  [value, min, max, step]: readonly [number, number, number, number],
  look: { unit: Unit; digits: number; follows: readonly string[] },
): Span => ({ s: 'number', path, label, value, min, max, step, usual: value, ...look });

const ALL = ['wearer', 'pieces', 'printing'];
const LATER = ['pieces', 'printing'];

export const FIXTURE_BOOK: BookText = {
  kind: 'book-text',
  version: 1,
  title: 'Keeper’s helm',
  standfirst: [
    say(
      term('Keeper’s helm'),
      ' stands ',
      quantity(310, 'mm'),
      ' high. It prints in five pieces on one machine, ',
      quantity(148_800, 's'),
      ' in all, from ',
      quantity(1240, 'g'),
      ' of polylactide.',
    ),
  ],
  chapters: [
    {
      name: 'model',
      title: 'Model',
      asks: 'What did we get, is it sound, which way is up?',
      state: 'computed',
      fingerprint: '8c1f03ab77d20e6195aa',
      decisions: [],
      blocks: [
        say(
          'The file ',
          term('keepers-helm.stl'),
          ' holds one closed shell of ',
          quantity(204_816, 'count'),
          ' triangles: ',
          quantity(812_345, 'mm3', 1),
          ' of material under ',
          quantity(541_200, 'mm2'),
          ' of surface. Read in ',
          {
            s: 'choice',
            path: 'model.unit',
            label: 'Unit of the file',
            value: 'null',
            options: [
              { value: 'null', label: 'the unit the file states, else millimetres' },
              { value: '"mm"', label: 'millimetres' },
              { value: '"in"', label: 'inches' },
            ],
            follows: ['model', ...ALL],
          },
          ', it stands ',
          quantity(250.2, 'mm', 1),
          ' wide, ',
          quantity(300.4, 'mm', 1),
          ' deep and ',
          quantity(310.1, 'mm', 1),
          ' high.',
        ),
        say(
          'Up was found by the neck opening, with nothing speaking against it; front by the eye opening, which is likely but worth a look.',
        ),
        say(
          'Should it lean, tip it forward by ',
          number('model.level.turnDeg.0', 'Turn about the left-right axis', [0, -180, 180, 0.5], {
            unit: 'deg',
            digits: 1,
            follows: ['model', ...ALL],
          }),
          ', to its left by ',
          number('model.level.turnDeg.1', 'Turn about the front-back axis', [0, -180, 180, 0.5], {
            unit: 'deg',
            digits: 1,
            follows: ['model', ...ALL],
          }),
          '.',
        ),
        { b: 'drawing', name: 'whole', caption: 'The shell, levelled, seen from its front left.' },
        say(
          'Through the wall it is ',
          quantity(3.02, 'mm', 2),
          ' at the middle of all its surface; the thinnest hundredth has ',
          quantity(1.9, 'mm', 2),
          ' or less behind it.',
        ),
      ],
      margin: [
        {
          b: 'finding',
          finding: {
            kind: 'finding',
            code: 'WALL_THIN',
            severity: 'caution',
            where: { path: 'model', space: 'model', atMm: [0, 20, 300] },
            measured: 0.7,
            limit: 0.9,
            unit: 'mm',
            say: 'At the foot of the vane the wall is 0.70 mm thick, less than two contour passes (0.90 mm).',
          },
        },
        {
          b: 'finding',
          finding: {
            kind: 'finding',
            code: 'TRAILING_BYTES',
            severity: 'note',
            where: { path: 'keepers-helm.stl' },
            measured: 12,
            limit: null,
            unit: 'bytes',
            say: '12 bytes follow the last triangle and were ignored.',
          },
        },
      ],
    },
    {
      name: 'wearer',
      title: 'Wearer',
      asks: 'How large is it worn, and which head goes in?',
      state: 'computed',
      fingerprint: '4be09912cc',
      decisions: [],
      blocks: [
        say(
          'It is brought to size by a head: a tape of ',
          number('wearer.size.circumferenceMm', 'Head circumference', [580, 400, 800, 5], {
            unit: 'mm',
            digits: 0,
            follows: ALL,
          }),
          ' round the brow, with ',
          number('wearer.size.clearanceMm', 'Clearance all round', [8, 0, 60, 1], {
            unit: 'mm',
            digits: 1,
            follows: ALL,
          }),
          ' of air or padding on every side.',
        ),
        say(
          'At brow height, ',
          quantity(182, 'mm'),
          ' above the foot, a tape laid round the inside reads ',
          quantity(631, 'mm'),
          '.',
        ),
      ],
      margin: [
        {
          b: 'caution',
          title: 'Not protective equipment',
          text: 'A costume helm is not a protective helmet. It narrows sight and hearing and holds heat and breath: try it on for a few minutes with somebody near, and plan breaks.',
        },
      ],
    },
    {
      name: 'pieces',
      title: 'Pieces',
      asks: 'Where are the seams, and does every piece fit its machine?',
      state: 'computed',
      fingerprint: 'a0a1b2c3d4',
      decisions: [],
      blocks: [
        say(
          'Every piece must lie within the bed of ',
          term('the ordinary machine'),
          ': ',
          number('machines.0.bedMm.0', 'Bed width', [220, 50, 2000, 5], { unit: 'mm', digits: 0, follows: LATER }),
          ' wide, ',
          number('machines.0.bedMm.1', 'Bed depth', [220, 50, 2000, 5], { unit: 'mm', digits: 0, follows: LATER }),
          ' deep and ',
          number('machines.0.bedMm.2', 'Height', [250, 50, 2000, 5], { unit: 'mm', digits: 0, follows: LATER }),
          ' high.',
        ),
        say(
          'On every side ',
          number('pieces.marginMm', 'Margin', [5, 0, 50, 1], { unit: 'mm', digits: 1, follows: LATER }),
          ' are kept clear.',
        ),
        say(
          'So the shell is divided into five pieces by six seams; ',
          quantity(1482, 'mm'),
          ' of seam shows on the outside and will want filling.',
        ),
        { b: 'drawing', name: 'apart', caption: 'The pieces apart, each along its own way out.' },
        {
          b: 'table',
          caption: 'Pieces, from top to foot',
          columns: [
            { head: 'Piece', align: 'start' },
            { head: 'Where', align: 'start' },
            { head: 'Size as laid', align: 'end' },
            { head: 'Material', align: 'end' },
          ],
          rows: ['crown, left', 'crown, right', 'back', 'cheek, left', 'cheek, right'].map((where, index) => [
            [term('ABCDE'[index]!)],
            [text(where)],
            [
              quantity(212 - index * 9, 'mm'),
              text(' × '),
              quantity(140 + index * 7, 'mm'),
              text(' × '),
              quantity(98 + index * 21, 'mm'),
            ],
            [quantity(148_200 - index * 9100, 'mm3', 1)],
          ]),
        },
        {
          b: 'table',
          caption: 'Seams',
          columns: [
            { head: 'Seam', align: 'start' },
            { head: 'Outside', align: 'end' },
            { head: 'Inside', align: 'end' },
            { head: 'Mating face', align: 'end' },
          ],
          rows: ['A-B', 'A-C', 'A-D', 'B-C', 'B-E', 'C-D'].map((id, index) => [
            [term(id)],
            [quantity(287 - index * 31, 'mm')],
            [quantity(271 - index * 30, 'mm')],
            [quantity(842.4 - index * 77, 'mm2', 1)],
          ]),
          total: [[text('together')], [quantity(1257, 'mm')], [quantity(1176, 'mm')], [quantity(3899.4, 'mm2', 1)]],
        },
      ],
      margin: [],
    },
    {
      name: 'joints',
      title: 'Joints',
      asks: 'How does each piece find its place, and how true does it sit?',
      state: 'computed',
      fingerprint: 'ddccbbaa99',
      decisions: [],
      blocks: [
        say(
          'A key comes about every ',
          number('joints.spacingMm', 'Distance between keys', [60, 20, 300, 5], {
            unit: 'mm',
            digits: 0,
            follows: ['joints', 'printing', 'assembly'],
          }),
          ' of seam.',
        ),
      ],
      margin: [],
    },
    {
      name: 'printing',
      title: 'Printing',
      asks: 'How does each piece lie, how long does it take, how much material?',
      state: 'computed',
      fingerprint: 'ffeeddccbb',
      decisions: [],
      blocks: [
        say(
          'Layers are ',
          number('print.layerMm', 'Layer height', [0.2, 0.05, 0.6, 0.02], {
            unit: 'mm',
            digits: 2,
            follows: ['printing'],
          }),
          ' high; each wall gets ',
          number('print.contourPasses', 'Contour passes', [3, 1, 12, 1], {
            unit: 'count',
            digits: 0,
            follows: ['printing'],
          }),
          ' contour passes a side, and what is left inside ',
          number('print.infillPercent', 'Infill', [15, 0, 100, 5], {
            unit: 'percent',
            digits: 0,
            follows: ['printing'],
          }),
          ' of infill.',
        ),
        say(
          'Printed one after another, the five pieces take ',
          quantity(148_800, 's'),
          ' and ',
          quantity(1240, 'g'),
          ' of material, with ',
          quantity(186, 'g'),
          ' of support to throw away.',
        ),
        {
          b: 'table',
          caption: 'Prints',
          columns: [
            { head: 'Piece', align: 'start' },
            { head: 'Lies on', align: 'start' },
            { head: 'Layers', align: 'end' },
            { head: 'Time', align: 'end' },
            { head: 'Material', align: 'end' },
            { head: 'Support', align: 'end' },
          ],
          rows: ['crown, left', 'crown, right', 'back', 'cheek, left', 'cheek, right'].map((where, index) => [
            [term('ABCDE'[index]!), text(` ${where}`)],
            [text(index % 2 === 0 ? 'its mating face' : 'its hull')],
            [quantity(490 - index * 40, 'count')],
            [quantity(41_000 - index * 5650, 's')],
            [quantity(312 - index * 32, 'g')],
            [quantity(22 + index * 7, 'g')],
          ]),
          total: [[text('together')], [], [], [quantity(148_800, 's')], [quantity(1240, 'g')], [quantity(186, 'g')]],
        },
        {
          b: 'strip',
          caption:
            'Where the hours go: each print from its first layer (left) to its last, a bar a twentieth of the height.',
          rows: [0, 1, 2, 3, 4].map((index) => ({
            label: 'ABCDE'[index]!,
            seconds: Array.from({ length: 20 }, (_, k) =>
              Math.round(900 + 800 * Math.sin(0.3 * k + index) + 40 * ((k * 7 + index) % 5)),
            ),
          })),
        },
        ...['A', 'B', 'C', 'D', 'E'].map(
          (id): Block => ({ b: 'drawing', name: `piece-${id}`, caption: `${id} as it lies, on its mating face.` }),
        ),
      ],
      margin: [
        {
          b: 'caution',
          title: 'Fumes and unwatched machines',
          text: 'Melting plastic gives off fine particles and vapours: print in an aired, separate room and follow the data sheet of the material.',
        },
      ],
    },
    {
      name: 'beds',
      title: 'Beds',
      asks: 'Which pieces lie together, on which machine, and when is all printed?',
      state: 'computed',
      fingerprint: 'ccbbaa9988',
      decisions: [],
      blocks: [say('All is printed by ', term('day 3, 14:05'), '.')],
      margin: [],
    },
    {
      name: 'assembly',
      title: 'Assembly',
      asks: 'In which order, with how much glue, held how?',
      state: 'computed',
      fingerprint: 'bbaa998877',
      decisions: [],
      blocks: [
        say('Glued with drops every ', quantity(12.7, 'mm', 1), ', which come to ', quantity(203, 'count'), ' drops.'),
      ],
      margin: [],
    },
    {
      name: 'surface',
      title: 'Surface',
      asks: 'Where will layers and seams show, and what does it take until they do not?',
      state: 'computed',
      fingerprint: 'ccbbaa9988',
      decisions: [],
      blocks: [say('The crown shows rings up to ', quantity(2.7, 'mm', 1), ' wide: two rounds there.')],
      margin: [],
    },
  ],
};

const BOX =
  '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40" role="img" fill="none"><title>A box</title><g class="outline" stroke="var(--ink)" stroke-width="0.5"><path data-part="A" d="M5 5H55V35H5Z"/></g></svg>';

export const FIXTURE_DRAWINGS: Drawings = Object.fromEntries(
  ['whole', 'apart', 'piece-A', 'piece-B', 'piece-C', 'piece-D', 'piece-E'].map((name) => [name, BOX]),
);

/** Five patches of a ribbed double-walled dome with a gap for the eyes. */
export function fixtureFigure(fineness = 1): FigureData {
  const patches: readonly Patch[] = [
    { id: 'A', name: 'crown, left', round: [-90, 90], down: [4, 62] },
    { id: 'B', name: 'crown, right', round: [90, 270], down: [4, 62] },
    { id: 'C', name: 'back', round: [35, 145], down: [62, 128] },
    { id: 'D', name: 'cheek, left', round: [-62, 35], down: [62, 128] },
    { id: 'E', name: 'cheek, right', round: [145, 242], down: [62, 128] },
  ];
  return {
    parts: patches.map((patch) => patchPart(patch, fineness)),
    sizeMm: [250, 300, 310],
    asRead: null,
    outside: null,
    toFile: [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0],
    scale: 1,
  };
}

interface Patch {
  readonly id: string;
  readonly name: string;
  /** Degrees round the upright axis from the wearer's left, over the back. */
  readonly round: readonly [number, number];
  /** Degrees from straight up. */
  readonly down: readonly [number, number];
}

function patchPart({ id, name, round, down }: Patch, fineness: number): FigurePart {
  const nu = Math.round((((round[1] - round[0]) / 3) | 0) * fineness);
  const nv = Math.round((((down[1] - down[0]) / 3) | 0) * fineness);
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const wall of [0, -3]) {
    for (let j = 0; j <= nv; j++) {
      for (let i = 0; i <= nu; i++) {
        const u = round[0] + ((round[1] - round[0]) * i) / nu;
        const v = down[0] + ((down[1] - down[0]) * j) / nv;
        positions.push(...domePoint(u, v, wall));
      }
    }
  }
  const half = (nu + 1) * (nv + 1);
  const at = (side: number, i: number, j: number): number => side * half + j * (nu + 1) + i;
  const quad = (a: number, b: number, c: number, d: number): void => {
    triangles.push(a, b, c, a, c, d);
  };
  for (let j = 0; j < nv; j++) {
    for (let i = 0; i < nu; i++) {
      quad(at(0, i, j), at(0, i, j + 1), at(0, i + 1, j + 1), at(0, i + 1, j));
      quad(at(1, i, j), at(1, i + 1, j), at(1, i + 1, j + 1), at(1, i, j + 1));
    }
  }
  const edges: [number, number][] = [];
  for (let i = 0; i < nu; i++) edges.push([at(0, i + 1, 0), at(0, i, 0)], [at(0, i, nv), at(0, i + 1, nv)]);
  for (let j = 0; j < nv; j++) edges.push([at(0, 0, j), at(0, 0, j + 1)], [at(0, nu, j + 1), at(0, nu, j)]);
  for (const [a, b] of edges) quad(b, a, a + half, b + half);
  const lines = edges.flatMap(([a, b]) => [a, b, a + half, b + half]).flatMap((v) => positions.slice(v * 3, v * 3 + 3));
  const [x, y, z] = domePoint((round[0] + round[1]) / 2, (down[0] + down[1]) / 2, 0);
  const length = Math.hypot(x, y, z - 155);
  return {
    id,
    name,
    positions: Float32Array.from(positions),
    triangles: Uint32Array.from(triangles),
    creases: Float32Array.from(lines),
    seams: Float32Array.from(lines),
    coarse: null,
    exposure: exposureOf(positions, lines),
    apart: [x / length, y / length, (z - 155) / length],
    apartMm: 110,
    joined: null,
    toLaid: laidAs(positions),
  };
}

/** Made up: less is looked at the farther back. */
function exposureOf(positions: readonly number[], lines: readonly number[]): FigurePart['exposure'] {
  const share = (y: number): number => Math.min(1, Math.max(0, (y + 150) / 300));
  const hidden = Uint8Array.from({ length: positions.length / 3 }, (_, v) => 255 * share(positions[v * 3 + 1]!));
  const seamPrice = Uint8Array.from({ length: lines.length / 6 }, (_, i) =>
    i % 2 === 1 ? 0 : 1 + 254 * (1 - share(lines[i * 6 + 1]!)),
  );
  return { hidden, coarseHidden: new Uint8Array(), seamPrice, seamLook: new Uint8Array() };
}

function domePoint(roundDeg: number, downDeg: number, wall: number): [number, number, number] {
  const u = (roundDeg * Math.PI) / 180;
  const v = (downDeg * Math.PI) / 180;
  const rib = 3 * Math.cos(u * 12) ** 2 * Math.sin(v) * (downDeg < 62 ? 1 : 0) + (Math.abs(downDeg - 66) < 4 ? 5 : 0);
  const skirt = downDeg > 100 ? (downDeg - 100) * 0.5 * Math.max(0, Math.sin(u)) : 0;
  const r = 1 + (rib + wall) / 130;
  return [
    122 * r * Math.cos(u) * Math.sin(v),
    147 * r * Math.sin(u) * Math.sin(v) + skirt,
    160 + 150 * r * Math.cos(v),
  ];
}

/** As it stands, on the ground: x' = x - min and so on. */
function laidAs(positions: readonly number[]): number[] {
  const least = [Infinity, Infinity, Infinity];
  for (let i = 0; i < positions.length; i++) least[i % 3] = Math.min(least[i % 3]!, positions[i]!);
  return [1, 0, 0, 0, 1, 0, 0, 0, 1, -least[0]!, -least[1]!, -least[2]!];
}
