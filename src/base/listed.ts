// Words in a row, as a sentence sets them.

/** "A", "A and B", "A, B and C"; nothing for none. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}
