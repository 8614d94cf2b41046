// Ctrl+Z and its fellows undo and redo the build, unless a number is being typed.
import { useEffect } from 'react';

export function useUndoKeys(step: (step: 'undo' | 'redo') => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      if (key !== 'z' && key !== 'y') return;
      const { target } = event;
      if (target instanceof HTMLInputElement && target.dataset.draft === 'true') return;
      event.preventDefault();
      step(key === 'y' || event.shiftKey ? 'redo' : 'undo');
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [step]);
}
