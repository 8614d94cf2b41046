// Writes the pages that are made from the code: docs/api.md, docs/codes.md, docs/finish-numbers.md and the JSON schemas. With --check it only compares.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { apiPage } from '../src/app/server/api-document.ts';
import { CODES } from '../src/base/codes.ts';
import { buildJsonSchema } from '../src/workshop/book/build-file.ts';
import { planJsonSchema } from '../src/workshop/book/plan-record.ts';
import { CAN_M2, FINISH_NUMBERS, PLAIN_STEP_MM } from '../src/workshop/facts/finish-numbers.ts';

const pages: Readonly<Record<string, string>> = {
  'docs/api.md': await apiPage(),
  'docs/codes.md': codesPage(),
  'docs/finish-numbers.md': finishNumbersPage(),
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

function finishNumbersPage(): string {
  const entries = [
    ...Object.entries(FINISH_NUMBERS).map(([name, number]) => [`surface.numbers.${name}`, number] as const),
    ['surface.canM2', CAN_M2] as const,
    ['surface.plainStepMm', PLAIN_STEP_MM] as const,
  ];
  return [
    '# Numbers of the finish',
    '',
    'Made from `src/workshop/facts/finish-numbers.ts` by `npm run generate`. Each is usual of a bench and can be changed in the build file, within its range. Grades: A law or standard, B data sheet, C web page, M from memory, P common practice.',
    '',
    '| what | usual | range | grade | source | in the build file |',
    '|---|---|---|---|---|---|',
    ...entries.map(
      ([path, { what, usual, least, most, unit, grade, source }]) =>
        `| ${what} | ${usual} ${unit} | ${least} to ${most} | ${grade} | ${source} | \`${path}\` |`,
    ),
    '',
  ].join('\n');
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
