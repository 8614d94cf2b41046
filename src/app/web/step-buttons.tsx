// Undo and redo of a book, as words in the running head.
interface StepButtonsProps {
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly step: (way: 'undo' | 'redo') => void;
}

export function StepButtons({ canUndo, canRedo, step }: StepButtonsProps) {
  return (
    <>
      <button
        type="button"
        className="word"
        disabled={!canUndo}
        aria-keyshortcuts="Control+Z"
        onClick={() => step('undo')}
      >
        Undo
      </button>
      <button
        type="button"
        className="word"
        disabled={!canRedo}
        aria-keyshortcuts="Control+Shift+Z"
        onClick={() => step('redo')}
      >
        Redo
      </button>
    </>
  );
}
