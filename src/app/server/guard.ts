// Who may ask: pages of this program on this machine, nobody else. And what every answer says about itself.
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { refuse } from '../../base/findings.ts';
import { problemOf, sendProblem } from './problem.ts';

const PAGE_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/** Answers are data: nothing in them runs, whatever opens them. */
const DATA_POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox";

/** Refuses other host names (a foreign page can point its own name at this machine), other origins, and requests that the browser says
 *  come from another site; navigations to a page are let in, as they read nothing. */
export function addGuard(app: FastifyInstance): void {
  app.addHook('onRequest', async (request, reply) => {
    const isData = request.url.startsWith('/api');
    void reply.headers({
      'content-security-policy': isData ? DATA_POLICY : PAGE_POLICY,
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'permissions-policy': 'camera=(), microphone=(), geolocation=()',
    });
    const why = foreign(request, isData);
    if (why !== null) await sendProblem(reply, problemOf(refuse('FOREIGN_REFUSED', why)));
  });
}

function foreign(request: FastifyRequest, isData: boolean): string | null {
  const { host = '', origin } = request.headers;
  const port = request.socket.localPort;
  const hosts = ['127.0.0.1', 'localhost'].flatMap((name) => [`${name}:${port}`, ...(port === 80 ? [name] : [])]);
  if (!hosts.includes(host)) return `Only requests to 127.0.0.1 or localhost are answered, not to ${shown(host)}.`;
  if (origin !== undefined && origin !== `http://${host}`)
    return `A page of ${shown(origin)} may not ask this program.`;
  const site = request.headers['sec-fetch-site'];
  if (isData && site !== undefined && site !== 'same-origin' && site !== 'none')
    return `A page of another site may not ask this program (${shown(String(site))}).`;
  return null;
}

function shown(words: string): string {
  return JSON.stringify(words.slice(0, 80));
}
