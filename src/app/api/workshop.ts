// What travels between page and server about the workshop: machines, materials, the maker's hours and rates.
import { z } from 'zod';
import { Machine } from '../../workshop/process/machine.ts';
import { Maker } from '../../workshop/process/maker.ts';
import { Material } from '../../workshop/process/material.ts';
import { MachineRecord, MaterialRecord } from './api.ts';

export const MakerRecord = Maker.meta({ id: 'Maker' });

/** GET /api/workshop. Begins with ordinary machines and materials; every value has its source in docs/facts.md. */
export const Workshop = z
  .strictObject({
    machines: z.array(MachineRecord),
    materials: z.array(MaterialRecord),
    maker: MakerRecord,
  })
  .meta({ id: 'Workshop' });
export type Workshop = z.infer<typeof Workshop>;

/** PUT /api/workshop/machines/:id (and /materials/:id, /maker) with the whole record -> Workshop. Its `revision` must be the one that
 *  is kept (any for a new id), else 409 OUTDATED and nothing is written; what is kept gets the next revision.
 *  POST /api/workshop/machines and /materials with a record without id and revision -> Workshop: adds one under a new id.
 *  DELETE /api/workshop/machines/:id and /materials/:id -> Workshop; books keep their own copies. */
export const NewMachine = Machine.omit({ id: true, revision: true }).meta({ id: 'NewMachine' });
export type NewMachine = z.infer<typeof NewMachine>;
export const NewMaterial = Material.omit({ id: true, revision: true }).meta({ id: 'NewMaterial' });
export type NewMaterial = z.infer<typeof NewMaterial>;
