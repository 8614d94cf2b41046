// How a request whose body is not wanted ends: answered first, then cut off.
import type { FastifyRequest } from 'fastify';

/** The page has this long to read why, while what it still sends is thrown away; cutting off at once would lose the answer. */
const GRACE_MS = 1000;

export function hangUpSoon(request: FastifyRequest): void {
  const { raw } = request;
  if (raw.complete) return;
  raw.resume();
  const timer = setTimeout(() => raw.socket.destroy(), GRACE_MS);
  raw.once('close', () => clearTimeout(timer));
}
