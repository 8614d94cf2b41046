// Writes the pages that are made from the code: docs/api.md, docs/codes.md and the JSON schemas. With --check it only compares.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { apiPage } from '../src/app/server/api-document.ts';
import { CODES } from '../src/base/codes.ts';
import { buildJsonSchema } from '../src/workshop/book/build-file.ts';
import { planJsonSchema } from '../src/workshop/book/plan-record.ts';

const pages: Readonly<Record<string, string>> = {
  'docs/api.md': await apiPage(),
  'docs/codes.md': codesPage(),
  'docs/build.schema.json': `${JSON.stringify(buildJsonSchema(), null, 2)}\n`,
  'docs/plan.schema.json': `${JSON.stringify(planJsonSchema(), null, 2)}\n`,
};

const onlyCheck = process.argv.includes('--check');
for (const [path, text] of Object.entries(pages)) {
  const fresh = existsSync(path) && readFileSync(path, 'utf8') === text;
  if (onlyCheck && !fresh) {
    process.stderr.write(`${path} is not what the code says; run npm run generate\n`);
    process.exitCode = 1;
  } else if (!fresh) writeFileSync(path, text);
}

function codesPage(): string {
  const entries = Object.entries(CODES);
  const findings = entries.flatMap(([code, entry]) =>
    entry.kind === 'finding' ? [`| \`${code}\` | ${entry.severity} | ${entry.meaning} |`] : [],
  );
  const refusals = entries.flatMap(([code, entry]) =>
    entry.kind === 'refusal' ? [`| \`${code}\` | ${entry.meaning} | ${entry.tryThis} |`] : [],
  );
  return [
    '# Findings and refusals',
    '',
    'Made from `src/base/codes.ts` by `npm run generate`. A finding comes beside a result and says what is wrong or noteworthy; a refusal means that no result can be had. Both name the place, the measured value and the limit where there is one.',
    '',
    '## Findings',
    '',
    '| code | severity | what it means |',
    '|---|---|---|',
    ...findings,
    '',
    '## Refusals',
    '',
    '| code | what it means | what to try |',
    '|---|---|---|',
    ...refusals,
    '',
  ].join('\n');
}
