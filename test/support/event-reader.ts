// Reads server-sent events as a page does, and keeps them for a test to look at.

export interface EventReader {
  /** Every event so far: name and data. */
  readonly heard: readonly { readonly event: string; readonly data: unknown }[];
  /** Resolves with the first event, of those so far or still to come, that is looked for. */
  until(looked: (event: string, data: never) => boolean): Promise<unknown>;
  close(): void;
}

export async function readEvents(url: string): Promise<EventReader> {
  const stop = new AbortController();
  const response = await fetch(url, { signal: stop.signal });
  if (!response.headers.get('content-type')?.startsWith('text/event-stream') || response.body === null)
    throw new Error(`no events: ${response.status} ${await response.text()}`);
  const heard: { event: string; data: unknown }[] = [];
  const waiting = new Set<() => void>();
  void listen(response.body, (event, data) => {
    heard.push({ event, data });
    for (const look of waiting) look();
  });
  return {
    heard,
    until: (looked) =>
      new Promise((found) => {
        const look = (): void => {
          const one = heard.find(({ event, data }) => looked(event, data as never));
          if (one === undefined) return;
          waiting.delete(look);
          found(one.data);
        };
        waiting.add(look);
        look();
      }),
    close: () => stop.abort(),
  };
}

async function listen(body: ReadableStream<Uint8Array>, tell: (event: string, data: unknown) => void): Promise<void> {
  let text = '';
  const decoder = new TextDecoder();
  try {
    for await (const chunk of body as unknown as AsyncIterable<Uint8Array>) {
      text += decoder.decode(chunk, { stream: true });
      const parts = text.split('\n\n');
      text = parts.pop() ?? '';
      for (const part of parts) {
        const match = /^event: (\w+)\ndata: (.*)$/.exec(part);
        if (match?.[1] !== undefined) tell(match[1], JSON.parse(match[2] ?? 'null'));
      }
    }
  } catch {
    // closed by the test, or by the server
  }
}
