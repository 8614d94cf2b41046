// Of the schemas in a description of routes, those that a route refers to, directly or not.

/** A copy without the named schemas that nothing refers to: each is made for requests and for answers, and most travel one way. */
export function withoutUnused<Document extends object>(document: Document): Document {
  const { components, ...rest } = document as { components?: { schemas?: Readonly<Record<string, unknown>> } };
  const schemas = components?.schemas ?? {};
  const used = new Set<string>();
  const visit = (part: unknown): void => {
    for (const [, name] of JSON.stringify(part).matchAll(/"#\/components\/schemas\/([^"]+)"/g)) {
      if (name === undefined || used.has(name)) continue;
      used.add(name);
      if (schemas[name] !== undefined) visit(schemas[name]);
    }
  };
  visit(rest);
  const kept = Object.fromEntries(Object.entries(schemas).filter(([name]) => used.has(name)));
  return { ...document, components: { ...components, schemas: kept } };
}
