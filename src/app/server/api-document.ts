// The description of all routes without a server behind them: OpenAPI, and the page docs/api.md that is made from it.
import { openApp } from './app.ts';

interface Described {
  readonly tags?: readonly string[];
  readonly summary?: string;
  readonly description?: string;
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly description?: string }[];
  readonly requestBody?: { readonly content: Readonly<Record<string, { readonly schema?: unknown }>> };
  readonly responses?: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { readonly schema?: unknown }>> }>
  >;
}

export interface ApiDocument {
  readonly openapi: string;
  readonly paths: Readonly<Record<string, Readonly<Record<string, Described>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, unknown>> };
}

export async function apiDocument(): Promise<ApiDocument> {
  const app = await openApp(() => {
    throw new Error('no request is answered while the routes are described');
  });
  await app.ready();
  const document = app.swagger() as unknown as ApiDocument;
  await app.close();
  return document;
}

/** docs/api.md */
export async function apiPage(): Promise<string> {
  const { paths } = await apiDocument();
  const routes = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, about]) => ({ path, method: method.toUpperCase(), about })),
  );
  const tags = [...new Set(routes.map(({ about }) => about.tags?.[0] ?? 'other'))];
  return [
    '# What the page asks of its server',
    '',
    'Made from the routes of `src/app/server` by `npm run generate`. The server listens on this machine only and answers only pages of its own. The same as OpenAPI 3.1, with every schema: `GET /api/openapi.json`.',
    '',
    'Everything that is refused is answered as problem details (RFC 9457, `application/problem+json`) with a code of [codes.md](codes.md), what is wrong and where, and what to try; `BUG` stands for a failure of the program itself. Status: 400 a request that does not hold, 403 asked from elsewhere, 404 not there, 409 changed meanwhile, 413 too large, 422 refused for what it is about, 507 the disk is full.',
    '',
    ...tags.flatMap((tag) => [
      `## ${tag.charAt(0).toUpperCase()}${tag.slice(1)}`,
      '',
      '| route | what it does | takes | gives |',
      '|---|---|---|---|',
      ...routes
        .filter(({ about }) => (about.tags?.[0] ?? 'other') === tag)
        .map(({ method, path, about }) => row(`\`${method} ${path}\``, about)),
      '',
    ]),
  ].join('\n');
}

function row(route: string, about: Described): string {
  const does = [about.summary, about.description].filter((words) => words !== undefined).join('. ');
  const query = (about.parameters ?? []).filter((parameter) => parameter.in === 'query');
  const takes = [
    ...query.map(({ name, description }) => `\`${name}\`${description === undefined ? '' : ` ${description}`}`),
    ...contents(about.requestBody?.content),
  ];
  const gives = Object.entries(about.responses ?? {}).flatMap(([status, { content }]) =>
    status === 'default' ? [] : [`${status} ${contents(content).join(', ')}`.trim()],
  );
  return `| ${[route, does, takes.join('; '), gives.join('; ')].map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

function contents(content: Readonly<Record<string, { readonly schema?: unknown }>> | undefined): readonly string[] {
  return Object.entries(content ?? {}).map(([type, { schema }]) =>
    type === 'application/json' ? (schemaName(schema) ?? 'JSON') : type,
  );
}

/** "BuildState", "list of BuildCard"; undefined for a schema without a name. */
function schemaName(schema: unknown): string | undefined {
  const { $ref, items, anyOf } = (schema ?? {}) as { $ref?: string; items?: unknown; anyOf?: readonly unknown[] };
  if ($ref !== undefined)
    return `\`${$ref
      .split('/')
      .at(-1)
      ?.replace(/Input$/, '')}\``;
  const of = items === undefined ? undefined : schemaName(items);
  if (of !== undefined) return `list of ${of}`;
  return anyOf?.map(schemaName).find((name) => name !== undefined);
}
