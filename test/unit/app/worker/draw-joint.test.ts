// Every kind of joint reads: two views, letters on their pieces, the sides of the wall, the clearance, a bar of the scale.
import { writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { boughtOutlines } from '../../../../src/app/worker/bought-outlines.ts';
import { drawJoint, type JointPart } from '../../../../src/app/worker/draw-joint.ts';
import { box } from '../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import type { KeyGround } from '../../../../src/workshop/pieces/joints/key-ground.ts';
import { keySites, sitePlaces } from '../../../../src/workshop/pieces/joints/key-sites.ts';
import type { KeySolids } from '../../../../src/workshop/pieces/joints/key-solids.ts';
import { magnetKeys } from '../../../../src/workshop/pieces/joints/magnet-solids.ts';
import { pinKeys, rodKeys } from '../../../../src/workshop/pieces/joints/pin-solids.ts';
import { screwBosses, screwRoom } from '../../../../src/workshop/pieces/joints/screw-solids.ts';
import { type ThinKind, thinKeys, thinRooms } from '../../../../src/workshop/pieces/joints/thin-keys.ts';
import type { Key } from '../../../../src/workshop/process/joints-record.ts';
import { cutSolid } from '../../../support/joints/cut-solid.ts';
import { testKernel } from '../../../support/kernel.ts';
import { cutBowl, cutPipe } from '../../../support/pieces/walled-shapes.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const kernel = await testKernel();
const FORM = { reachMm: 8, thickMm: 2.4, clearanceMm: 0.25, skinMm: 1.2 };
const ROUND = { diameterMm: 4, clearanceMm: 0.2, skinMm: 1.2, spacingMm: 60 };
const slab = (thickMm: number) =>
  cutSolid(box([0, 0, 0], [100, thickMm, 60]), { normal: [0, 0, 1], offsetMm: 27.3 }, (_x, y) => y < 0.1);

interface Made {
  readonly solids: KeySolids;
  readonly ground: KeyGround;
  readonly wallMm: number;
}

function thin(kind: ThinKind, heldBy: 'stops' | 'pocket', shape: 'pipe' | 'bowl'): Made {
  const cut = shape === 'pipe' ? cutPipe(4) : cutBowl(6);
  const [section] = cut.sections;
  const { sites } = keySites(sitePlaces(section!, cut.ground, { rooms: thinRooms(kind, 16, FORM) }), 60, []);
  const about = { kind, heldBy, carriers: 1, pieces: section!.seam.pieces, ground: cut.ground } as const;
  return { solids: thinKeys(sites.slice(1, 2), FORM, about)[0]!, ground: cut.ground, wallMm: 4 };
}

function round(kind: 'pins' | 'rods' | 'magnets'): Made {
  const { section, ground } = slab(kind === 'magnets' ? 11 : 9);
  const side = { carrier: 0 } as const;
  const { keys } =
    kind === 'pins'
      ? pinKeys(section, ground, ROUND, side)
      : kind === 'rods'
        ? rodKeys(section, ground, { ...ROUND, diameterMm: 1.75 }, side)
        : magnetKeys(section, ground, { ...ROUND, diameterMm: 6, heightMm: 3 }, side);
  return { solids: keys[0]!, ground, wallMm: 9 };
}

function screwed(): Made {
  const cut = cutPipe(4);
  const [section] = cut.sections;
  const form = { diameterMm: 3, skinMm: 1.2 };
  const { sites } = keySites(sitePlaces(section!, cut.ground, { rooms: [screwRoom(form)] }), 60, []);
  const solids = screwBosses(sites[0]!, form, { carrier: 0, pieces: section!.seam.pieces });
  if (typeof solids === 'string') throw new Error(solids);
  return { solids, ground: cut.ground, wallMm: 4 };
}

function drawn({ solids, ground, wallMm }: Made): string {
  const { key, carrier, receiver, loose } = solids;
  const parts = [...ground.pieces].map(([id, { mesh }]): JointPart => {
    const change = id === key.carrier ? carrier : id === key.receiver ? receiver : null;
    return { id, mesh: change === null ? mesh : kernel.combine(mesh, change.add, change.cut).mesh };
  });
  const joint = plainJoint({ id: 'A-B' }, { keys: [key], wallMm });
  // of a seam all loose parts are handed on; that of another key is not in this drawing
  const others =
    loose === null
      ? []
      : [
          { id: 'elsewhere', mesh: shifted(loose, 200) },
          { id: 'loose', mesh: loose },
        ];
  return drawJoint(joint, [...parts, ...others], key.kind === 'screw' ? 13.5 : 3);
}

function shifted(mesh: Mesh, mm: number): Mesh {
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, mm, mm, mm], mesh);
}

/** Words of the first view, of the second, and under both. */
function wordsOf(svg: string): readonly [string[], string[], string[]] {
  const views = svg.split('<g transform').slice(1);
  const texts = (part: string): string[] => [...part.matchAll(/<text[^>]*>([^<]*)</g)].map(([, words]) => words!);
  const under = ['through the middle of it', 'across it, at half its reach', '10 mm'];
  const [first, second] = views.map((view) => texts(view).filter((words) => !under.includes(words)));
  return [first!, second!, texts(svg).filter((words) => under.includes(words))];
}

describe('what is bought for a joint', () => {
  const key = { kind: 'screw', widthMm: 3, reachMm: 7.5, clearanceMm: 0.25 } as Key;

  it('is a screw with its head before the clear hole, as long as it is', () => {
    const [loop] = boughtOutlines(key, 13.5).through;
    const xs = [...loop!].filter((_, i) => i % 2 === 0);
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([-6 - 1.95, 7.5]);
    expect(Math.max(...loop!.filter((_, i) => i % 2 === 1))).toBe(3);
  });

  it('is the second disc of a pair, clear of the first by what the pockets are deeper', () => {
    const [loop] = boughtOutlines({ ...key, kind: 'magnet', widthMm: 6, reachMm: 0.8, clearanceMm: 0.1 }, 3).through;
    const xs = [...loop!].filter((_, i) => i % 2 === 0);
    expect(Math.min(...xs)).toBeCloseTo(1.2, 12);
    // a pocket of 3 + 0.2 + 1, as magnet pockets are drawn
    expect(Math.max(...xs)).toBeCloseTo(4.2, 12);
  });

  it('is nothing where all was printed', () => {
    expect(boughtOutlines({ ...key, kind: 'tab' }, 16)).toEqual({ through: [], across: [] });
  });
});

describe('the drawing of a joint', () => {
  it.each([
    ['tabs', () => thin('tabs', 'stops', 'pipe'), '0.25 mm clear', []],
    ['tabs in pockets', () => thin('tabs', 'pocket', 'bowl'), '0.25 mm clear', []],
    ['laps', () => thin('laps', 'stops', 'pipe'), '0.25 mm clear', []],
    ['strips', () => thin('strips', 'stops', 'pipe'), '0.25 mm clear', ['splice']],
    ['pins', () => round('pins'), '0.20 mm clear', []],
    ['rods', () => round('rods'), '0.20 mm clear', ['rod']],
    ['magnets', () => round('magnets'), '0.10 mm clear', ['magnet']],
    ['screws', screwed, '', ['screw']],
  ] as const)('of %s', (name, make, clear, loose) => {
    const made = make();
    const svg = drawn(made);
    if (process.env.HELMWRIGHT_DRAWINGS !== undefined)
      writeFileSync(`${process.env.HELMWRIGHT_DRAWINGS}/${name}.svg`, svg);
    const [through, across, under] = wordsOf(svg);
    const { carrier, receiver } = made.solids.key;
    expect(through.slice(0, 2)).toEqual([carrier, receiver]);
    expect(through).toEqual(expect.arrayContaining(['outside', 'inside', ...loose]));
    expect(across).toEqual(expect.arrayContaining([receiver, 'outside']));
    expect([...through, ...across].filter((words) => words === clear)).toHaveLength(clear === '' ? 0 : 1);
    expect(under).toHaveLength(3);
    const scale = Number(/data-scale="([\d.]+)"/.exec(svg)![1]);
    const [, from, to] = /class="bar"[^>]* d="M([\d.]+) [^H]*H([\d.]+)/.exec(svg)!;
    expect(Number(to) - Number(from)).toBeCloseTo(10 * scale, 1);
    expect(Number(/width="([\d.]+)mm"/.exec(svg)![1])).toBeLessThanOrEqual(130);
  });
});
