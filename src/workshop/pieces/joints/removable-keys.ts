// The keys of a joint that is to come apart again: magnets in a thick face or in bosses, screws in bosses.
import { NO_BOSS_WORDS, type NoBoss } from './boss-solids.ts';
import type { JointsSettings } from './joints-settings.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySite } from './key-site.ts';
import { keySites, sitePlaces } from './key-sites.ts';
import type { KeySolids } from './key-solids.ts';
import { magnetBosses, magnetKeys, magnetRoom } from './magnet-solids.ts';
import type { RoundBody } from './round-room.ts';
import { screwBosses, screwRoom } from './screw-solids.ts';
import type { SeamSection } from './seam-section.ts';
import { sayWithout } from './thin-keys.ts';

export interface RemovableWish {
  readonly kind: 'magnets' | 'screws';
  readonly carrier: 0 | 1;
  readonly spacingMm: number;
  readonly settings: JointsSettings;
  readonly taken: { readonly sites: readonly KeySite[]; readonly bodies: readonly RoundBody[] };
}

export interface RemovableKeys {
  readonly keys: readonly KeySolids[];
  readonly sites: readonly KeySite[];
  readonly bodies: readonly RoundBody[];
  readonly why: string | null;
}

/** Magnets in the face where it is thick enough; else bosses at sites along the inner edge, and the reason where there are none.
 *  Cost: roundKeys and keySites. Space: worn. */
export function removableKeys(section: SeamSection, ground: KeyGround, wish: RemovableWish): RemovableKeys {
  const { kind, carrier, spacingMm, settings, taken } = wish;
  const [diameterMm, heightMm] = settings.magnetMm;
  const magnet = { diameterMm, heightMm, skinMm: settings.skinMm, spacingMm };
  if (kind === 'magnets') {
    const inFace = magnetKeys(section, ground, magnet, { carrier, taken: taken.bodies });
    if (inFace.keys.length > 0) return { ...inFace, sites: [] };
  }
  const screw = { diameterMm: settings.screwMm, skinMm: settings.skinMm };
  const room = kind === 'magnets' ? magnetRoom(magnet) : screwRoom(screw);
  const found = keySites(sitePlaces(section, ground, { rooms: [room] }), spacingMm, taken.sites);
  const by = { carrier, pieces: section.seam.pieces };
  const made = found.sites.map((site) => ({
    site,
    boss: kind === 'magnets' ? magnetBosses(site, magnet, by) : screwBosses(site, screw, by),
  }));
  const good = made.flatMap(({ site, boss }) => (typeof boss === 'string' ? [] : [{ site, boss }]));
  return {
    keys: good.map(({ boss }) => boss),
    sites: good.map(({ site }) => site),
    bodies: [],
    why: good.length > 0 ? null : (whyNone(made.map(({ boss }) => boss)) ?? sayWithout(found)),
  };
}

function whyNone(bosses: readonly (KeySolids | NoBoss)[]): string | null {
  const first = bosses.find((boss) => typeof boss === 'string');
  return typeof first === 'string' ? NO_BOSS_WORDS[first] : null;
}
