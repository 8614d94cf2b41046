// How a command ended, for scripts.
export const EXIT = { done: 0, bug: 1, usage: 2, refused: 3, cancelled: 130 } as const;
