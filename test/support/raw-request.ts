// A request written by hand, with whatever headers and body a browser would not send.
import { type IncomingHttpHeaders, request } from 'node:http';
import { connect } from 'node:net';

export interface RawAnswer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly text: string;
  /** Bytes that the server took of the body before it answered. */
  readonly sent: number;
}

export interface RawRequest {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  /** The whole body, or as many blocks as the server takes. */
  readonly body?: string | Iterable<Uint8Array>;
}

export function rawRequest(
  url: string,
  { method = 'GET', headers = {}, body = '' }: RawRequest = {},
): Promise<RawAnswer> {
  const { hostname, port, pathname, search } = new URL(url);
  // The path as it is written, not as an address would be tidied up.
  const path = url.slice(url.indexOf(port) + port.length) || pathname + search;
  return new Promise((resolve, reject) => {
    let answered = false;
    const sending = request(
      { hostname, port, path, method, headers, setHost: headers.host === undefined },
      (response) => {
        answered = true;
        let text = '';
        response.setEncoding('utf8');
        response.on('data', (chunk: string) => {
          text += chunk;
        });
        response.on('error', () => {});
        response.on('close', () => {
          const sent = sending.socket?.bytesWritten ?? 0;
          sending.destroy();
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text, sent });
        });
      },
    );
    sending.on('error', (error) => {
      if (!answered) reject(error);
    });
    if (typeof body === 'string') sending.end(body);
    else void pour(body, sending, () => answered);
  });
}

async function pour(
  blocks: Iterable<Uint8Array>,
  to: ReturnType<typeof request>,
  enough: () => boolean,
): Promise<void> {
  for (const block of blocks) {
    if (enough() || to.destroyed) return;
    if (to.write(block)) continue;
    await new Promise((resolve) => {
      to.once('drain', resolve);
      to.once('close', resolve);
    });
  }
  to.end();
}

/** Sends the words and nothing more; gives what came back, and after how many ms the server hung up. */
export function halfRequest(
  origin: string,
  words: string,
): Promise<{ readonly text: string; readonly afterMs: number }> {
  const { hostname, port } = new URL(origin);
  return new Promise((resolve) => {
    const from = performance.now();
    const socket = connect(Number(port), hostname, () => socket.write(words));
    let text = '';
    socket.on('data', (chunk) => {
      text += chunk.toString();
    });
    socket.on('error', () => {});
    socket.on('close', () => resolve({ text, afterMs: performance.now() - from }));
  });
}
