// The workshop as it is kept: machines, materials and the maker's hours, each with its revision.
import { randomBytes } from 'node:crypto';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Kept, Store } from '../../store/store.ts';
import { type Build, newBuild } from '../../workshop/book/build-file.ts';
import { ordinaryMachine } from '../../workshop/facts/machines.ts';
import { ordinaryMaker, ordinaryWorkshop } from '../../workshop/facts/workshop.ts';
import { Machine } from '../../workshop/process/machine.ts';
import { Maker } from '../../workshop/process/maker.ts';
import { Material } from '../../workshop/process/material.ts';
import type { NewMachine, NewMaterial, Workshop } from '../api/workshop.ts';

/** A record with the place it is kept at. */
export type WorkshopRecord =
  | { readonly kind: 'machine'; readonly record: Machine }
  | { readonly kind: 'material'; readonly record: Material }
  | { readonly kind: 'maker'; readonly record: Maker };

export type NewRecord =
  | { readonly kind: 'machine'; readonly record: NewMachine }
  | { readonly kind: 'material'; readonly record: NewMaterial };

export interface WorkshopRecords {
  /** As it was when it was last read. */
  current(): Workshop;
  /** Read again: another process may share the database. */
  read(): Promise<Workshop>;
  /** Replaces or adds a record. Refuses OUTDATED when another revision is kept. */
  put(at: WorkshopRecord): Promise<Outcome<Workshop>>;
  add(at: NewRecord): Promise<Outcome<Workshop>>;
  remove(kind: 'machine' | 'material', id: string): Promise<Outcome<Workshop>>;
  /** A build for a model, with a machine and a material of this workshop. */
  newBuild(model: { readonly name: string; readonly file: string; readonly sha256: string }): Build;
}

const MAKER = 'maker';
/** The machine a build begins with, as long as it is in the workshop. */
const USUAL_MACHINE = ordinaryMachine([220, 220, 250]).id;

/** `changed` hears of every change made here. An empty workshop is filled with ordinary records first. */
export async function openWorkshopRecords(store: Store, changed: () => void): Promise<WorkshopRecords> {
  let workshop = await readAll(store);
  if ((await store.kept('maker')).length === 0) {
    await fill(store);
    workshop = await readAll(store);
  }
  const read = async (): Promise<Workshop> => {
    workshop = await readAll(store);
    return workshop;
  };
  const put = async (at: WorkshopRecord, revision: number): Promise<Outcome<Workshop>> => {
    const id = at.kind === 'maker' ? MAKER : at.record.id;
    const kept = await store.keep(at.kind, id, revision, (next) => ({ ...at.record, revision: next }));
    await read();
    if (kept === 'outdated')
      return refuse('OUTDATED', `${nameOf(at)} was changed meanwhile: revision ${revision} is no longer the latest.`);
    changed();
    return done(workshop);
  };
  return {
    current: () => workshop,
    read,
    async put(at) {
      const kept = (await store.kept(at.kind)).find(({ id }) => at.kind === 'maker' || id === at.record.id);
      return put(at, kept === undefined ? 0 : at.record.revision);
    },
    add(at) {
      const id = freshId(at.record.name);
      return at.kind === 'machine'
        ? put({ kind: 'machine', record: { ...at.record, id, revision: 1 } }, 0)
        : put({ kind: 'material', record: { ...at.record, id, revision: 1 } }, 0);
    },
    async remove(kind, id) {
      const known = (await store.kept(kind)).some((kept) => kept.id === id);
      if (!known) return refuse('NOT_FOUND', `There is no ${kind} "${id.slice(0, 60)}" in the workshop.`);
      await store.forget(kind, id);
      await read();
      changed();
      return done(workshop);
    },
    newBuild(model) {
      const build = newBuild(model);
      const machine = workshop.machines.find(({ id }) => id === USUAL_MACHINE) ?? workshop.machines[0];
      if (machine === undefined) return build;
      const material = workshop.materials.find(({ id }) => id === (machine.loaded ?? build.material.id));
      return { ...build, machines: [machine], material: material ?? build.material };
    },
  };
}

/** The maker's record is written last: as long as it is missing, filling is not finished. */
async function fill(store: Store): Promise<void> {
  const { machines, materials, maker } = ordinaryWorkshop();
  for (const machine of machines) await store.keep('machine', machine.id, 0, (revision) => ({ ...machine, revision }));
  for (const material of materials)
    await store.keep('material', material.id, 0, (revision) => ({ ...material, revision }));
  await store.keep('maker', MAKER, 0, (revision) => ({ ...maker, revision }));
}

async function readAll(store: Store): Promise<Workshop> {
  const [machines, materials, makers] = await Promise.all([
    store.kept('machine'),
    store.kept('material'),
    store.kept('maker'),
  ]);
  return {
    machines: machines.map((kept) => Machine.parse(recordOf(kept))),
    materials: materials.map((kept) => Material.parse(recordOf(kept))),
    maker: makers[0] === undefined ? ordinaryMaker() : Maker.parse(recordOf(makers[0])),
  };
}

function recordOf({ record, revision }: Kept): unknown {
  return { ...(record as object), revision };
}

/** Never used before, so that a book's frozen machine is not taken for another one of the same name. */
function freshId(name: string): string {
  const words = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
    .slice(0, 30);
  return `${words === '' ? 'record' : words}-${randomBytes(4).toString('hex')}`;
}

function nameOf(at: WorkshopRecord): string {
  return at.kind === 'maker' ? 'The hours and rates' : `The ${at.kind} ${at.record.name}`;
}
