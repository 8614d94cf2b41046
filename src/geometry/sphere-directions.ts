// Directions spread evenly over the whole sphere, any number of them.

/** `num` unit vectors on a Fibonacci spiral, num x 3. Each has about the same share of the sphere; not symmetric in anything. */
export function spiralDirections(num: number): Float64Array {
  const out = new Float64Array(num * 3);
  const golden = Math.PI * (3 - Math.sqrt(5));
  for (let i = 0; i < num; i++) {
    const z = 1 - (2 * i + 1) / num;
    const r = Math.sqrt(1 - z * z);
    out[i * 3] = r * Math.cos(golden * i);
    out[i * 3 + 1] = r * Math.sin(golden * i);
    out[i * 3 + 2] = z;
  }
  return out;
}
