// What the descriptions of many routes share: ids, refusals, bytes.
import { z } from 'zod';
import { Problem } from '../../api/api.ts';

export const WithId = z.strictObject({ id: z.string().min(1).max(64).describe('Id of the build') });

/** Every route may answer with a problem instead. */
export const REFUSED = {
  default: {
    description: 'Refused: what is wrong, where, and what to try',
    content: { 'application/problem+json': { schema: Problem } },
  },
} as const;

/** Bytes, which are not checked by a schema. */
export function bytes(description: string): z.ZodType<unknown> {
  return z.unknown().meta({ type: 'string', format: 'binary', description });
}

/** An answer that is a file. */
export function file(type: string, description: string) {
  return { 200: { description, content: { [type]: { schema: bytes(description) } } }, ...REFUSED };
}

/** An answer that is a stream of events. */
export function events(description: string) {
  return { 200: { description, content: { 'text/event-stream': { schema: z.string() } } }, ...REFUSED };
}

/** An answer without a body. */
export const NOTHING = { 204: z.null().describe('Done'), ...REFUSED } as const;
