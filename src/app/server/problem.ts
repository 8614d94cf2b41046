// Refusals and bugs as they travel over HTTP (RFC 9457 problem details).
import type { Refusal } from '../../base/findings.ts';
import type { Problem } from '../api/api.ts';

const STATUS: Readonly<Partial<Record<Refusal['code'], number>>> = {
  NOT_FOUND: 404,
  FILE_TOO_LARGE: 413,
  REQUEST_REFUSED: 400,
};

export function problemOf(refusal: Refusal): Problem {
  return {
    type: `urn:helmwright:${refusal.code.toLowerCase().replace(/_/g, '-')}`,
    title: refusal.code,
    status: STATUS[refusal.code] ?? 422,
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
