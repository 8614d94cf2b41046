// Server-sent events to one page, with signs of life, and an end for pages that no longer read.
import type { FastifyReply } from 'fastify';

export interface EventStream {
  send(event: string, data: unknown): void;
  end(): void;
  /** The page is gone, or was ended. */
  onEnd(listener: () => void): void;
}

/** A page that has left this much unread is cut off; its browser asks again and gets the state as it is then. */
const MOST_UNREAD_BYTES = 16e6;
const SIGN_OF_LIFE_MS = 15_000;
/** How soon a browser asks again when the stream breaks. */
const RETRY_MS = 1000;

/** Takes the reply over: it is not answered in any other way. */
export function openEventStream(reply: FastifyReply): EventStream {
  reply.hijack();
  const { raw } = reply;
  raw.writeHead(200, {
    ...(reply.getHeaders() as Record<string, string>),
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    connection: 'keep-alive',
  });
  raw.write(`retry: ${RETRY_MS}\n\n`);
  const timer = setInterval(() => raw.write(':\n\n'), SIGN_OF_LIFE_MS);
  timer.unref();
  raw.on('close', () => clearInterval(timer));
  raw.on('error', () => raw.destroy());
  return {
    send(event, data) {
      if (raw.writableLength > MOST_UNREAD_BYTES) raw.destroy();
      else raw.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
    },
    end: () => raw.end(),
    onEnd: (listener) => raw.on('close', listener),
  };
}
