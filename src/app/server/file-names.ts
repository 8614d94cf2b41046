// Names of files as they come in and go out. A name from outside is only ever shown; nothing on this machine is found by it.

/** The last part of a name as the browser gave it, without what a name cannot hold. */
export function plainFileName(name: string): string {
  const last = name.split(/[\\/]/).at(-1) ?? '';
  const plain = withoutControls(last).slice(0, 200).trim();
  return plain === '' || /^\.+$/.test(plain) ? 'model' : plain;
}

/** A name to save a file under, made of a book's title: letters, digits, blanks, and the ending that is given. */
export function savedAs(title: string, ending: string): string {
  const words = withoutControls(title)
    .replace(/[\\/:*?"<>|]+/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[ .]+|[ .]+$/g, '')
    .slice(0, 80)
    .trim();
  return `${words === '' ? 'Book' : words}${ending}`;
}

/** A Content-Disposition header (RFC 6266): the name in plain letters for old readers, and as it is for all others. */
export function attachment(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[^A-Za-z0-9 ._-]/g, '')
    .trim();
  const encoded = encodeURIComponent(name).replace(/['()*]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`);
  return `attachment; filename="${/^\W*$/.test(plain) ? 'book' : plain}"; filename*=UTF-8''${encoded}`;
}

/** Control characters and marks that turn the direction of writing have no place in a name: they hide its ending. */
function withoutControls(words: string): string {
  return words.replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu, '');
}
