import type { Held, Slot } from '../../../src/records/seal/slot';

/** A slot in memory, that outlives the stores of a test as a file does. */
export function fakeSlot(): Slot & { held: Held | null } {
  return {
    held: null,
    async read() {
      return structuredClone(this.held);
    },
    async write(held) {
      this.held = structuredClone(held);
    },
    async erase() {
      this.held = null;
    },
  };
}
