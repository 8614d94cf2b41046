// Joining things that hang together: the forest of links behind it, as one flat array.

/** Each its own root. */
export function parentsByLink(num: number): Uint32Array {
  const parent = new Uint32Array(num);
  for (let n = 0; n < num; n++) parent[n] = n;
  return parent;
}

/** The root of what n hangs together with; halves the way for the next who asks. */
export function rootOf(parent: Uint32Array, n: number): number {
  let at = n;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}
