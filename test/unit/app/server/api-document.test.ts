// The description of the routes: every route is in it, every name in it leads somewhere, and the page made from it is fresh.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { apiDocument, apiPage } from '../../../../src/app/server/api-document.ts';
import { openApp } from '../../../../src/app/server/app.ts';

describe('the description of the routes', () => {
  it('holds every route that is answered', async () => {
    const app = await openApp(() => {
      throw new Error('nothing is asked here');
    });
    await app.ready();
    const routes = routesOf(app.printRoutes({ commonPrefix: false, includeHooks: false }));
    await app.close();
    const { paths } = await apiDocument();
    const described = Object.entries(paths).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method.toUpperCase()} ${path.replace(/\{(\w+)\}/g, ':$1')}`),
    );
    expect(routes.length).toBeGreaterThan(25);
    expect(described.sort()).toEqual(routes.sort());
  });

  it('says of every route what it does, and what a refusal is', async () => {
    for (const [path, methods] of Object.entries((await apiDocument()).paths))
      for (const [method, about] of Object.entries(methods)) {
        expect(about.summary, `${method} ${path}`).toMatch(/^[A-Z].{5,}/);
        if (path !== '/api/openapi.json') expect(about.responses, `${method} ${path}`).toHaveProperty('default');
      }
  });

  it('names no schema that it does not hold', async () => {
    const document = await apiDocument();
    const named = [...JSON.stringify(document).matchAll(/"#\/components\/schemas\/([^"]+)"/g)].map(([, name]) => name);
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((name) => name === undefined || !(name in document.components.schemas))).toEqual([]);
  });

  it('is what docs/api.md was made from', async () => {
    expect(readFileSync('docs/api.md', 'utf8')).toBe(await apiPage());
  });
});

/** Routes out of the tree that the framework prints: a node a line, its depth by the width before its name. */
function routesOf(tree: string): string[] {
  const above: string[] = [];
  return tree.split('\n').flatMap((line) => {
    const node = /^([\s│├└─]*)(\S+)(?: \(([A-Z, ]+)\))?$/.exec(line);
    if (node === null) return [];
    const [, lead = '', name = '', methods = ''] = node;
    const depth = lead.length / 4;
    above.splice(depth - 1, above.length, name);
    const path = above.join('');
    return methods
      .split(', ')
      .flatMap((method) => (method === '' || method === 'HEAD' || method === 'OPTIONS' ? [] : [`${method} ${path}`]));
  });
}
