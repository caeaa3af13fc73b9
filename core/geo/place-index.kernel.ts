/** Numbers places in the order of their first coming; writes new ones to the lists it was given. */
export class PlaceIndex {
  readonly #x: number[];
  readonly #y: number[];
  #slots = new Int32Array(1024).fill(-1);

  constructor(x: number[], y: number[]) {
    this.#x = x;
    this.#y = y;
  }

  idOf(x: number, y: number): number {
    if (this.#x.length * 2 > this.#slots.length) this.#grow();
    const slot = this.#find(x, y);
    const known = this.#slots[slot]!;
    if (known >= 0) return known;
    const id = this.#x.length;
    this.#x.push(x);
    this.#y.push(y);
    this.#slots[slot] = id;
    return id;
  }

  #find(x: number, y: number): number {
    const mask = this.#slots.length - 1;
    // Multiplicative hash of both coordinates' low bits (constants of the murmur3 finaliser).
    let hash = Math.imul(x | 0, 0x85ebca6b) ^ Math.imul(y | 0, 0xc2b2ae35);
    hash ^= hash >>> 15;
    for (let slot = hash & mask; ; slot = (slot + 1) & mask) {
      const id = this.#slots[slot]!;
      if (id < 0 || (this.#x[id] === x && this.#y[id] === y)) return slot;
    }
  }

  #grow(): void {
    this.#slots = new Int32Array(this.#slots.length * 4).fill(-1);
    for (let id = 0; id < this.#x.length; id++) this.#slots[this.#find(this.#x[id]!, this.#y[id]!)] = id;
  }
}
