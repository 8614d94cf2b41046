// Prints what each page loads before its first paint, and what only on demand: npx tsx tools/page-sizes.ts [DIST]
import { pathToFileURL } from 'node:url';
import { type LoadedPage, pageLoads } from '../test/support/page-loads.ts';

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;

function print({ page, files, onDemand }: LoadedPage): void {
  const sum = (of: 'bytes' | 'gzip'): number => files.reduce((total, file) => total + file[of], 0);
  const later = onDemand.map((file) => `${file.name} ${kb(file.gzip)}`).join(', ');
  console.log(
    `${page}: ${kb(sum('gzip'))} packed, ${kb(sum('bytes'))} in ${files.length} files${later && `; on demand ${later}`}`,
  );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  for (const page of pageLoads(`${process.argv[2] ?? 'dist'}/web`)) print(page);
