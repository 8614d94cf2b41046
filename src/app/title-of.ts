// The title of a book before its maker has given one.

/** From a file's name: "storm-helm.stl" gives "Storm helm". */
export function titleOf(file: string): string {
  const words = file
    .replace(/\.[A-Za-z0-9]{1,5}$/, '')
    .replace(/[-_\s]+/g, ' ')
    .trim();
  return words === '' ? 'Untitled' : words.charAt(0).toUpperCase() + words.slice(1, 120);
}
