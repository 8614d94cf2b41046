// Builds the page's files: scripts, styles, fonts, and what book.html is made of.
import { copyFile, cp, mkdir, readFile, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type BuildOptions, build } from 'esbuild';
import { FONT_FACES, fontFaceCss } from './font-faces.ts';
import type { StaticBookAssets } from './static-book.tsx';

const HERE = dirname(fileURLToPath(import.meta.url));

const PAGE: BuildOptions = {
  bundle: true,
  format: 'esm',
  target: ['chrome123', 'firefox121', 'safari17.5'],
  jsx: 'automatic',
  minify: true,
  legalComments: 'none',
  define: { 'process.env.NODE_ENV': '"production"' },
  logLevel: 'warning',
};

/** Writes index.html, main.js with what it loads on demand, paper.js, page.css, fonts/, icon.svg and static-book.json. */
export async function buildWeb(outDir: string): Promise<void> {
  await mkdir(join(outDir, 'fonts'), { recursive: true });
  const [, paper, figure, pageCss, bookCss] = await Promise.all([
    build({
      ...PAGE,
      entryPoints: { main: join(HERE, 'main.tsx') },
      splitting: true,
      chunkNames: '[name]-[hash]',
      outdir: outDir,
    }),
    bundled({
      ...PAGE,
      format: 'iife',
      stdin: {
        contents:
          "import { applyPaper, readPreferences } from './preferences.ts'; applyPaper(readPreferences().paper);",
        resolveDir: HERE,
        loader: 'ts',
      },
    }),
    bundled({ ...PAGE, format: 'iife', entryPoints: [join(HERE, 'figure-static.ts')] }),
    bundled({ ...PAGE, entryPoints: [join(HERE, 'styles/page.css')] }),
    bundled({ ...PAGE, entryPoints: [join(HERE, 'styles/static.css')] }),
  ]);
  const fonts = await readFonts();
  await Promise.all([
    writeFile(join(outDir, 'paper.js'), paper),
    writeFile(join(outDir, 'page.css'), `${fontFaceCss((face) => `fonts/${face.file}.woff2`)}\n${pageCss}`),
    ...fonts.map(({ file, bytes }) => writeFile(join(outDir, 'fonts', `${file}.woff2`), bytes)),
    copyFile(join(HERE, 'index.html'), join(outDir, 'index.html')),
    cp(join(HERE, 'icon.svg'), join(outDir, 'icon.svg')),
    writeFile(join(outDir, 'static-book.json'), JSON.stringify(staticAssets(bookCss, figure, fonts))),
  ]);
}

function staticAssets(css: string, script: string, fonts: readonly ReadFont[]): StaticBookAssets {
  const fontsBase64 = Object.fromEntries(fonts.map(({ file, bytes }) => [file, bytes.toString('base64')]));
  return { css, script, fontsBase64 };
}

interface ReadFont {
  readonly file: string;
  readonly bytes: Buffer;
}

async function readFonts(): Promise<readonly ReadFont[]> {
  const require = createRequire(import.meta.url);
  return Promise.all(
    FONT_FACES.map(async ({ file, source }) => {
      const [scope, name, ...rest] = source.split('/');
      // The packages export no font file by its path; their manifest says where they lie.
      const folder = dirname(require.resolve(`${scope}/${name}/package.json`));
      return { file, bytes: await readFile(join(folder, ...rest)) };
    }),
  );
}

async function bundled(options: BuildOptions): Promise<string> {
  const { outputFiles } = await build({ ...options, write: false });
  return outputFiles?.[0]?.text ?? '';
}
