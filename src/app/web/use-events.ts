// Server-sent events for as long as the page is looked at. A browser opens few connections to one server; a hidden tab holds none.
import { useEffect, useRef, useState } from 'react';

export interface Hearing {
  readonly event: (name: string, data: unknown) => void;
  /** The stream is open, at first or anew: something may have been missed. */
  readonly open: () => void;
  /** The server answered, but with no stream; asked again after a while. */
  readonly refused?: () => void;
}

/** Hears `names` from `url`. True: the stream is lost for now. */
export function useEvents(url: string, names: readonly string[], on: Hearing): boolean {
  const [lost, setLost] = useState(false);
  const handlers = useRef(on);
  handlers.current = on;
  const listed = names.join(' ');
  useEffect(() => {
    let source: EventSource | null = null;
    let again: ReturnType<typeof setTimeout> | undefined;
    const open = (): void => {
      clearTimeout(again);
      source?.close();
      const stream = new EventSource(url);
      source = stream;
      stream.addEventListener('open', () => {
        setLost(false);
        handlers.current.open();
      });
      stream.addEventListener('error', () => {
        setLost(true);
        // The browser gives up on an answer that is no stream.
        if (stream.readyState !== EventSource.CLOSED) return;
        again = setTimeout(open, RETRY_MS);
        handlers.current.refused?.();
      });
      for (const name of listed.split(' '))
        stream.addEventListener(name, (event) =>
          handlers.current.event(name, JSON.parse((event as MessageEvent<string>).data) as unknown),
        );
    };
    const onVisible = (): void => {
      if (document.visibilityState === 'visible') open();
      else {
        clearTimeout(again);
        source?.close();
      }
    };
    if (document.visibilityState === 'visible') open();
    document.addEventListener('visibilitychange', onVisible);
    return () => {
      document.removeEventListener('visibilitychange', onVisible);
      clearTimeout(again);
      source?.close();
    };
  }, [url, listed]);
  return lost;
}

const RETRY_MS = 3000;
