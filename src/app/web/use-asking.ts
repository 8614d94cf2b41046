// Asking once before something is taken away: the harmless answer gets the focus, and giving up gives it back.
import { type RefObject, useEffect, useRef, useState } from 'react';

export interface Asking {
  readonly asking: boolean;
  readonly setAsking: (asking: boolean) => void;
  /** Of the button that asks, and of the one that gives up. */
  readonly askRef: RefObject<HTMLButtonElement | null>;
  readonly keepRef: RefObject<HTMLButtonElement | null>;
}

export function useAsking(): Asking {
  const [asking, setAsking] = useState(false);
  const askRef = useRef<HTMLButtonElement>(null);
  const keepRef = useRef<HTMLButtonElement>(null);
  const wasAsking = useRef(false);
  useEffect(() => {
    if (asking) keepRef.current?.focus();
    else if (wasAsking.current) askRef.current?.focus();
    wasAsking.current = asking;
  }, [asking]);
  return { asking, setAsking, askRef, keepRef };
}
