// Sentences that come as plain words, set as the book sets them.

/** No line ends between a number and its unit. */
export function unbroken(words: string): string {
  return words.replace(/(\d) (?=(?:mm|cm|m|in|g|kg|h|min|s|W)\b)/g, '$1\u00a0');
}
