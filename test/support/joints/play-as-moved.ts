// What contacts say of the play of a joint, held against moving its meshes until they meet.
import { expect, it } from 'vitest';
import { randomStream } from '../../../src/base/random.ts';
import { type Contacts, type Play, playOf, type SmallMotion } from '../../../src/geometry/contact-play.ts';
import { cross, dot, scaled } from '../../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { jointPlay } from '../../../src/workshop/pieces/joints/joint-play.ts';
import type { SeamSection } from '../../../src/workshop/pieces/joints/seam-section.ts';
import { collisionsOf, farthestFound, farthestFree, goes } from './joint-by-collision.ts';
import { type RandomJoint, randomJoint } from './random-joint.ts';

/** What the contact model and the meshes may differ by. */
const AGREE_MM = 0.05;

/** Declares the tests of one joint. */
export function expectPlayAsMoved(seed: number): void {
  const joint = randomJoint(randomStream(seed));
  const { section, keys } = joint;
  const collides = collisionsOf(joint);
  const play = jointPlay([{ section, keys }], section, { toleranceMm: 0.1 })!;

  it('stands free as drawn, and is held', () => {
    expect(collides({ aboutMm: section.origin, shiftMm: [0, 0, 0], turnRad: [0, 0, 0] })).toBe(false);
    expect(play.held).toBe(true);
  });

  it('slides and turns as far as the contacts let it', () => {
    const random = randomStream(seed + 1000);
    for (const motion of plainMotions(section, random)) {
      const watched = farPlace(section, motion);
      const step = Math.abs(goes(motion, ...watched));
      const most = 4 / step;
      const model = Math.min(most, reachOf(joint, motion));
      const met = farthestFree(collides, motion, most);
      expect(Math.abs(met - model) * step).toBeLessThan(AGREE_MM);
    }
  });

  it('is nowhere farther off at the outer edge than said, and that far where said', () => {
    const random = randomStream(seed + 2000);
    for (const [at, direction, isWorst] of someOfEdge(joint, random)) {
      const { misfitMm: said, motion } = playThere(joint, at, direction);
      const along = scaled(direction, Math.sign(goes(motion!, at, direction)));
      const frame = [section.u, section.v, section.n] as const;
      // What is found is never more than there is; where the search fell short, it begins anew.
      let found = 0;
      for (let tries = 0; tries < 4 && found < said - AGREE_MM / 2; tries++) {
        const by = { aboutMm: section.origin, frame, leverMm: 60, at, direction: along, random };
        found = Math.max(found, farthestFound(collides, by));
      }
      expect(Math.abs(said - found)).toBeLessThan(AGREE_MM);
      expect(found).toBeLessThan(play.nominalMm + AGREE_MM);
      if (isWorst) expect(said).toBeCloseTo(play.nominalMm, 9);
    }
  });

  it('is the same, told of its walls as seams that close at the same time', () => {
    // which seam a key belongs to is of no account then: every other one is given to the last
    const seams = section.loops.map((loop, i) => ({
      section: { ...section, loops: [loop] },
      keys: keys.filter((_key, k) => Math.min(k % 2, section.loops.length - 1) === i),
    }));
    const plays = seams.map((seam) => jointPlay(seams, seam.section, { toleranceMm: 0.1 })!);
    expect(Math.max(...plays.map(({ nominalMm }) => nominalMm))).toBeCloseTo(play.nominalMm, 9);
    expect(Math.max(...plays.map(({ printedMm }) => printedMm))).toBeCloseTo(play.printedMm, 9);
  });

  it('with its tolerance is the joint whose every gap is drawn wider by two faces', () => {
    const wider = randomJoint(randomStream(seed), { looserMm: 0.2 });
    // Faces drawn farther back bring their contacts some tenths farther from the middle, too.
    expect(Math.abs(play.printedMm - jointPlay([wider], wider.section, { toleranceMm: 0 })!.nominalMm)).toBeLessThan(
      0.005,
    );
  });
}

/** Slides any way in the plane, and turns about places on the edge; a turn moves the farthest of the edge by about a millimetre. */
function* plainMotions({ u, v, n, loops }: SeamSection, random: () => number): Generator<SmallMotion> {
  for (let i = 0; i < 6; i++) {
    const [c, s] = [Math.cos(i + random()), Math.sin(i + random())];
    const shiftMm: Vec3 = [c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]];
    yield { aboutMm: [0, 0, 0], shiftMm, turnRad: [0, 0, 0] };
  }
  for (let i = 0; i < 6; i++) {
    const { points } = loops[Math.floor(random() * loops.length)]!;
    const corner = Math.floor(random() * 4) * 3;
    const sign = i % 2 === 0 ? 0.01 : -0.01;
    yield {
      aboutMm: [points[corner]!, points[corner + 1]!, points[corner + 2]!],
      shiftMm: [0, 0, 0],
      turnRad: [sign * n[0], sign * n[1], sign * n[2]],
    };
  }
}

/** The place of the edge, and the direction in the plane, that a motion moves most. */
function farPlace({ loops }: SeamSection, { aboutMm, shiftMm, turnRad }: SmallMotion): [Vec3, Vec3] {
  let most = -1;
  let far: [Vec3, Vec3] = [aboutMm, shiftMm];
  for (const { points } of loops) {
    for (let i = 0; i < points.length; i += 3) {
      const at: Vec3 = [points[i]!, points[i + 1]!, points[i + 2]!];
      const turned = cross(turnRad, [at[0] - aboutMm[0], at[1] - aboutMm[1], at[2] - aboutMm[2]]);
      const moved: Vec3 = [shiftMm[0] + turned[0], shiftMm[1] + turned[1], shiftMm[2] + turned[2]];
      const length = Math.hypot(...moved);
      if (length > most) {
        most = length;
        far = [at, [moved[0] / length, moved[1] / length, moved[2] / length]];
      }
    }
  }
  return far;
}

/** How many times a motion of the piece above fits into the gaps: each contact by itself. */
function reachOf({ keys }: RandomJoint, { aboutMm, shiftMm, turnRad }: SmallMotion): number {
  let most = Infinity;
  for (const { key, contacts } of keys) {
    const sign = key.carrier === 'B' ? 1 : -1;
    for (let i = 0; i < contacts.gapMm.length; i++) {
      const [p, m] = [contacts.points, contacts.normals].map((a) => a.subarray(i * 3, i * 3 + 3) as unknown as Vec3);
      const turned = cross(turnRad, [p![0] - aboutMm[0], p![1] - aboutMm[1], p![2] - aboutMm[2]]);
      const nears = sign * (dot(shiftMm, m!) + dot(turned, m!));
      if (nears > 1e-12) most = Math.min(most, contacts.gapMm[i]! / nears);
    }
  }
  return most;
}

/** The worst corner, and one more by chance: places on the edge and directions across the wall there. */
function* someOfEdge(joint: RandomJoint, random: () => number): Generator<readonly [Vec3, Vec3, isWorst: boolean]> {
  const { loops, u, v } = joint.section;
  const places = loops.flatMap(({ points: p, flat }) => {
    const [dx, dy] = [flat[2]! - flat[0]!, flat[3]! - flat[1]!];
    const length = Math.hypot(dx, dy);
    const across = [0, 1, 2].map((k) => (dy * u[k]! - dx * v[k]!) / length) as unknown as Vec3;
    return [0, 3].map((i): [Vec3, Vec3] => [[p[i]!, p[i + 1]!, p[i + 2]!], across]);
  });
  const said = places.map((one) => playThere(joint, ...one).misfitMm);
  const worst = said.indexOf(Math.max(...said));
  yield [...places[worst]!, true];
  const others = places.filter((_, i) => i !== worst);
  yield [...others[Math.floor(random() * others.length)]!, false];
}

function playThere({ keys, section }: RandomJoint, at: Vec3, direction: Vec3): Play {
  const all = (of: (contacts: Contacts, sign: number) => Iterable<number>): Float64Array =>
    Float64Array.from(keys.flatMap(({ key, contacts }) => [...of(contacts, key.carrier === 'B' ? 1 : -1)]));
  const contacts: Contacts = {
    points: all(({ points }) => points),
    normals: all(({ normals }, sign) => normals.map((x) => sign * x)),
    gapMm: all(({ gapMm }) => gapMm),
  };
  const edge = { points: Float64Array.from(at), directions: Float64Array.from(direction) };
  return playOf(contacts, edge, { pressed: section.n });
}
