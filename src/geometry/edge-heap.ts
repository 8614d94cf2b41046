// A priority queue over numbered items whose keys change: least key first, ties by number.
import { NONE } from '../mesh/mesh.ts';

/** Binary heap in flat arrays. Every operation O(log n). Equal keys come out in order of their numbers, so that a run is repeatable. */
export class IndexedHeap {
  private readonly heap: Int32Array;
  private readonly slotOf: Int32Array;
  private readonly keys: Float64Array;
  private count = 0;

  /** For items 0 .. capacity - 1; `mostHeld` of them at once. */
  constructor(capacity: number, mostHeld: number) {
    this.heap = new Int32Array(mostHeld);
    this.slotOf = new Int32Array(capacity).fill(NONE);
    this.keys = new Float64Array(capacity);
  }

  get size(): number {
    return this.count;
  }

  keyOf(item: number): number {
    return this.keys[item]!;
  }

  /** Adds an item or changes its key. */
  set(item: number, key: number): void {
    const slot = this.slotOf[item]!;
    const before = this.keys[item]!;
    this.keys[item] = key;
    if (slot === NONE) {
      this.heap[this.count] = item;
      this.slotOf[item] = this.count;
      this.rise(this.count++);
    } else if (key < before) this.rise(slot);
    else if (key > before) this.sink(slot);
  }

  remove(item: number): void {
    const slot = this.slotOf[item]!;
    if (slot === NONE) return;
    this.slotOf[item] = NONE;
    this.count--;
    if (slot === this.count) return;
    const last = this.heap[this.count]!;
    this.heap[slot] = last;
    this.slotOf[last] = slot;
    this.rise(slot);
    this.sink(this.slotOf[last]!);
  }

  /** The item with the least key, taken out; NONE when empty. */
  take(): number {
    if (this.count === 0) return NONE;
    const item = this.heap[0]!;
    this.remove(item);
    return item;
  }

  private isBefore(a: number, b: number): boolean {
    const ka = this.keys[a]!;
    const kb = this.keys[b]!;
    return ka < kb || (ka === kb && a < b);
  }

  private rise(from: number): void {
    const item = this.heap[from]!;
    let slot = from;
    while (slot > 0) {
      const above = (slot - 1) >> 1;
      const other = this.heap[above]!;
      if (!this.isBefore(item, other)) break;
      this.heap[slot] = other;
      this.slotOf[other] = slot;
      slot = above;
    }
    this.heap[slot] = item;
    this.slotOf[item] = slot;
  }

  private sink(from: number): void {
    const item = this.heap[from]!;
    let slot = from;
    for (;;) {
      let below = 2 * slot + 1;
      if (below >= this.count) break;
      if (below + 1 < this.count && this.isBefore(this.heap[below + 1]!, this.heap[below]!)) below++;
      const other = this.heap[below]!;
      if (!this.isBefore(other, item)) break;
      this.heap[slot] = other;
      this.slotOf[other] = slot;
      slot = below;
    }
    this.heap[slot] = item;
    this.slotOf[item] = slot;
  }
}
