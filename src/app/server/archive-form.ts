// The form of an archive of a whole build: which parts it has and what stands in its log.
import { z } from 'zod';
import type { Build } from '../../workshop/book/build-file.ts';
import { plainFileName } from './file-names.ts';

export const ARCHIVE_NAMES = { readme: 'README.txt', build: 'build.json', log: 'log.json', model: 'model/' } as const;

/** Where the model lies in the archive. */
export function modelEntry(build: Build): string {
  return `${ARCHIVE_NAMES.model}${plainFileName(build.model.file)}`;
}

/** More versions than this are not taken in: a year of forty changes a day. */
export const MOST_VERSIONS = 15_000;

const number = z.int().min(1).max(MOST_VERSIONS);

export const LogHead = z.strictObject({
  kind: z.literal('helmwright-log'),
  version: z.literal(1),
  stands: number.describe('Number of the version that stands'),
});
export type LogHead = z.infer<typeof LogHead>;

export const Log = LogHead.extend({
  versions: z
    .array(
      z.strictObject({
        number,
        from: number.nullable(),
        kind: z.enum(['begun', 'set', 'restored']),
        path: z.string().max(200),
        madeAt: z.iso.datetime(),
        build: z.unknown(),
      }),
    )
    .min(1)
    .max(MOST_VERSIONS),
});
export type Log = z.infer<typeof Log>;
