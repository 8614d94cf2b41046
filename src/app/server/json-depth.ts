// JSON that is nested without end is refused before anything walks it.
import type { FastifyReply, FastifyRequest } from 'fastify';
import { refuse } from '../../base/findings.ts';
import { problemOf, sendProblem } from './problem.ts';

/** A build file is nested six deep. */
const MOST_DEPTH = 32;

export async function checkDepth(request: FastifyRequest, reply: FastifyReply): Promise<void> {
  const type = request.headers['content-type'] ?? '';
  if (!type.startsWith('application/json') || !isTooDeep(request.body)) return;
  await sendProblem(reply, problemOf(refuse('REQUEST_REFUSED', `The JSON is nested deeper than ${MOST_DEPTH}.`)));
}

/** Level by level, without recursion. */
function isTooDeep(value: unknown): boolean {
  let level: readonly unknown[] = [value];
  for (let depth = 0; level.length > 0; depth++) {
    if (depth > MOST_DEPTH) return true;
    level = level.flatMap((each) => (each !== null && typeof each === 'object' ? Object.values(each) : []));
  }
  return false;
}
