// Flat arrays that grow while a file is read, when nobody can be trusted to say how long they will be.

/** Doubles; doubled in size when full. Lives as long as one file is read. */
export class GrowingFloats {
  used = 0;
  private values = new Float64Array(3072);

  push3(x: number, y: number, z: number): void {
    if (this.used + 3 > this.values.length) {
      const larger = new Float64Array(this.values.length * 2);
      larger.set(this.values);
      this.values = larger;
    }
    this.values[this.used] = x;
    this.values[this.used + 1] = y;
    this.values[this.used + 2] = z;
    this.used += 3;
  }

  /** Whether the last three are all finite numbers. */
  isLastFinite(): boolean {
    const { used, values } = this;
    return values[used - 1]! * 0 + values[used - 2]! * 0 + values[used - 3]! * 0 === 0;
  }

  taken(): Float64Array {
    return this.values.slice(0, this.used);
  }

  clear(): void {
    this.used = 0;
  }
}

/** Indices; doubled in size when full. */
export class GrowingIndices {
  used = 0;
  private values = new Uint32Array(3072);

  push(a: number): void {
    if (this.used === this.values.length) this.grow();
    this.values[this.used++] = a;
  }

  push3(a: number, b: number, c: number): void {
    if (this.used + 3 > this.values.length) this.grow();
    this.values[this.used] = a;
    this.values[this.used + 1] = b;
    this.values[this.used + 2] = c;
    this.used += 3;
  }

  at(index: number): number {
    return this.values[index]!;
  }

  taken(): Uint32Array {
    return this.values.slice(0, this.used);
  }

  clear(): void {
    this.used = 0;
  }

  /** Back to an earlier length. */
  cutTo(length: number): void {
    this.used = length;
  }

  private grow(): void {
    const larger = new Uint32Array(this.values.length * 2);
    larger.set(this.values);
    this.values = larger;
  }
}
