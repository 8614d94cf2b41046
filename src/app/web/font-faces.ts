// The four fonts of the book, latin letters only, as files of the page or inside book.html.

export interface FontFace {
  /** Name of the file in the page's fonts folder, without .woff2, and of its entry in book.html's assets. */
  readonly file: string;
  /** Where the package keeps it. */
  readonly source: string;
  readonly family: string;
  readonly style: 'normal' | 'italic';
  readonly weights: string;
}

export const FONT_FACES: readonly FontFace[] = [
  {
    file: 'literata',
    source: '@fontsource-variable/literata/files/literata-latin-opsz-normal.woff2',
    family: 'Literata',
    style: 'normal',
    weights: '200 900',
  },
  {
    file: 'literata-italic',
    source: '@fontsource-variable/literata/files/literata-latin-wght-italic.woff2',
    family: 'Literata',
    style: 'italic',
    weights: '200 900',
  },
  {
    file: 'source-sans-3',
    source: '@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2',
    family: 'Source Sans 3',
    style: 'normal',
    weights: '200 900',
  },
];

export function fontFaceCss(urlOf: (face: FontFace) => string): string {
  return FONT_FACES.map(
    (face) =>
      `@font-face{font-family:'${face.family}';font-style:${face.style};font-weight:${face.weights};font-display:swap;src:url(${urlOf(face)}) format('woff2')}`,
  ).join('\n');
}
