// What keys leave on the pieces, by name: where support holds on under them, and where strings collect in them.
import { listed } from '../../base/listed.ts';
import type { Joint, Key } from './joints-record.ts';

export interface KeyPlaces {
  /** What stands out and may hang over: "tabs", "stops", "lips". */
  readonly standing: readonly string[];
  /** What is hollow: "sockets", "seats". */
  readonly hollow: readonly string[];
}

/** Each name once, in the order of the joints; with `piece`, only what is on that one. Cost: O(keys). */
export function keyPlaces(joints: readonly Joint[], piece?: string): KeyPlaces {
  const on = (id: string): boolean => piece === undefined || id === piece;
  const of = (side: keyof KeyPlaces): string[] => [
    ...new Set(
      joints.flatMap(({ keys }) =>
        keys.flatMap((key) => [
          ...(on(key.carrier) ? carried(key)[side] : []),
          ...(on(key.receiver) ? received(key)[side] : []),
        ]),
      ),
    ),
  ];
  return { standing: of('standing'), hollow: of('hollow') };
}

/** "from under its tabs and stops and out of its sockets", with "its" for `whose`; '' where there are no keys. */
export function fromKeyPlaces({ standing, hollow }: KeyPlaces, whose: string): string {
  return [
    ...(standing.length > 0 ? [`from under ${whose} ${listed(standing)}`] : []),
    ...(hollow.length > 0 ? [`out of ${whose} ${listed(hollow)}`] : []),
  ].join(' and ');
}

function carried({ kind }: Key): KeyPlaces {
  switch (kind) {
    case 'tab':
      return { standing: ['tabs'], hollow: [] };
    case 'lap':
      return { standing: ['laps'], hollow: [] };
    case 'pin':
      return { standing: ['pins'], hollow: [] };
    case 'strip':
      return { standing: [], hollow: ['seats'] };
    case 'rod':
      return { standing: [], hollow: ['holes'] };
    case 'magnet':
      return { standing: ['bosses'], hollow: ['pockets'] };
    case 'screw':
      return { standing: ['bosses'], hollow: ['holes'] };
  }
}

function received(key: Key): KeyPlaces {
  switch (key.kind) {
    case 'tab':
      return { standing: key.heldBy === 'pocket' ? ['stops', 'lips'] : ['stops'], hollow: [] };
    case 'lap':
      return { standing: [], hollow: ['seats'] };
    case 'pin':
      return { standing: [], hollow: ['sockets'] };
    default:
      return carried(key);
  }
}
