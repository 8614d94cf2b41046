// Refusals, bad requests and bugs as they travel over HTTP (RFC 9457 problem details).
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import { StoreFull } from '../../store/store.ts';
import type { Problem } from '../api/api.ts';
import { LARGEST_JSON_BYTES } from '../api/limits.ts';

const STATUS: Readonly<Partial<Record<Refusal['code'], number>>> = {
  NOT_FOUND: 404,
  OUTDATED: 409,
  FILE_TOO_LARGE: 413,
  REQUEST_REFUSED: 400,
  FOREIGN_REFUSED: 403,
  DISK_REFUSED: 507,
};

export function problemOf(refusal: Refusal, status: number = STATUS[refusal.code] ?? 422): Problem {
  return {
    type: `urn:helmwright:${refusal.code.toLowerCase().replace(/_/g, '-')}`,
    title: refusal.code,
    status,
    detail: refusal.why,
    code: refusal.code,
    tryThis: refusal.tryThis,
  };
}

/** What the page shows when the program itself failed; the details go to the server's standard error. */
export function bugProblem(error: unknown): Problem {
  process.stderr.write(`${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
  return {
    type: 'urn:helmwright:bug',
    title: 'BUG',
    status: 500,
    detail: 'The program itself failed here; your build file is unharmed.',
    code: 'BUG',
    tryThis: 'Undo the last change, or start the server again.',
  };
}

export function sendProblem(reply: FastifyReply, problem: Problem): FastifyReply {
  return reply
    .code(problem.status)
    .header('cache-control', 'no-store')
    .type('application/problem+json')
    .serializer(JSON.stringify)
    .send(problem);
}

/** The value as JSON, or the refusal as a problem. */
export function answer<T>(reply: FastifyReply, outcome: Outcome<T>, status = 200): FastifyReply {
  if (!outcome.ok) return sendProblem(reply, problemOf(outcome));
  return reply.code(status).header('cache-control', 'no-store').send(outcome.value);
}

/** Everything that is thrown on the way to an answer ends here. */
export function addProblemHandlers(app: FastifyInstance): void {
  app.setErrorHandler((error: RequestError, request, reply) => sendProblem(reply, problemOfError(error, request)));
  app.setNotFoundHandler((request, reply) =>
    sendProblem(reply, problemOf(refuse('NOT_FOUND', `There is nothing at ${request.url.slice(0, 100)}.`))),
  );
}

interface RequestError extends Error {
  readonly statusCode?: number;
  readonly code?: string;
  readonly validation?: readonly { readonly instancePath: string; readonly message?: string }[];
  readonly validationContext?: string;
}

function problemOfError(error: RequestError, request: FastifyRequest): Problem {
  if (error instanceof StoreFull)
    return problemOf(refuse('DISK_REFUSED', 'The disk is full; the change was not kept, everything before it was.'));
  if (error instanceof Cancelled) return problemOf(refuse('REQUEST_REFUSED', 'The work for this was stopped.'), 409);
  if (error.code === 'ECONNRESET' && request.raw.destroyed)
    return problemOf(refuse('REQUEST_REFUSED', 'The request broke off before all of it had come.'));
  if (error.validation !== undefined) return problemOf(refuse('REQUEST_REFUSED', validationWords(error)));
  const status = error.statusCode ?? 500;
  if (status >= 500) return bugProblem(error);
  if (status === 413)
    return problemOf(
      refuse('REQUEST_REFUSED', `The request is larger than ${LARGEST_JSON_BYTES / 1024} kB.`, {
        tryThis: 'Send one change at a time.',
      }),
      413,
    );
  if (status === 415) {
    const type = request.headers['content-type'] ?? 'none';
    return problemOf(refuse('REQUEST_REFUSED', `The content type ${type.slice(0, 80)} is not taken here.`), 415);
  }
  return problemOf(refuse('REQUEST_REFUSED', sentence(error.message)), status);
}

/** Where in the request what was expected: "body, steps: Too big: expected number to be <=1000". */
function validationWords({ validation = [], validationContext = 'request' }: RequestError): string {
  const problems = validation.slice(0, 5).map(({ instancePath, message = 'does not hold' }) => {
    const path = instancePath.split('/').filter(Boolean).join('.');
    return `${validationContext}${path === '' ? '' : `, ${path}`}: ${message}`;
  });
  return `The request does not hold: ${problems.join('; ')}.`;
}

function sentence(message: string): string {
  return message.endsWith('.') ? message : `${message}.`;
}
