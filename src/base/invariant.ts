// A bug, not bad input: stops at once and is caught once, in app.

/** Throws when a law of the program itself is broken. Never use it for what a person or a file can cause. */
export function invariant(holds: unknown, law: string): asserts holds {
  if (!holds) throw new Error(`invariant broken: ${law}`);
}
