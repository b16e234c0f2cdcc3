import { StoreError } from '../errors';
import { type Bytes, keyOf, rawOf } from './box';
import type { Slot } from './slot';
import { newVisitKey, privateKeyOf, publicKeyOf, unwrap, type WardRow, wardRowSchema, wrap } from './ward';

/**
 * Who has which key at hand: the data key of the one running visit, in memory and in the slot, and while staff have
 * opened the private key of the ward, by which every visit can be read.
 */
export class Sealer {
  #running: { visit: string; key: CryptoKey } | null = null;
  #private: CryptoKey | null = null;

  private constructor(
    private readonly publicKey: CryptoKey,
    private readonly slot: Slot,
  ) {}

  /** @param row as stored; rejects when it is no key */
  static async load(row: unknown, slot: Slot): Promise<Sealer> {
    const read = wardRowSchema.safeParse(row);
    const key = read.success ? await publicKeyOf(read.data.publicKey).catch(() => null) : null;
    if (!key) throw new StoreError('broken-seal', 'the key of the ward');
    const sealer = new Sealer(key, slot);
    const held = await slot.read().catch(() => null);
    if (held) sealer.#running = { visit: held.visit, key: await keyOf(held.raw) };
    return sealer;
  }

  static ward(publicKey: Bytes, since: string): WardRow {
    return { publicKey, since };
  }

  async open(privateKey: Bytes): Promise<void> {
    this.#private = await privateKeyOf(privateKey);
  }

  close(): void {
    this.#private = null;
  }

  newKey(visit: string): Promise<{ key: CryptoKey; wrapped: Bytes }> {
    return newVisitKey(this.publicKey, visit);
  }

  /** The key at hand once more wrapped, for a visit whose own was lost. Throws 'broken-seal' when it is another visit's. */
  async keyAgain(visit: string): Promise<{ key: CryptoKey; wrapped: Bytes }> {
    if (this.#running?.visit !== visit) throw new StoreError('broken-seal', `visit ${visit}: it is lost`);
    const { key } = this.#running;
    return { key, wrapped: await wrap(this.publicKey, key, visit) };
  }

  /** @param wrapped as stored. Throws 'sealed' while nobody has opened, 'broken-seal' when it does not open. */
  async keyFor(visit: string, wrapped: unknown): Promise<CryptoKey> {
    if (this.#running?.visit === visit) return this.#running.key;
    if (!this.#private) throw new StoreError('sealed');
    const key = wrapped instanceof Uint8Array ? await unwrap(this.#private, wrapped as Bytes, visit) : null;
    if (!key) throw new StoreError('broken-seal', `visit ${visit}`);
    return key;
  }

  /** Makes it the running visit: it can be gone on with after a crash and after staff have closed. */
  async run(visit: string, key: CryptoKey): Promise<void> {
    if (this.#running?.visit === visit) return;
    this.#running = { visit, key };
    // Without it the visit still goes on; only after a crash staff are needed.
    await this.slot.write({ visit, raw: await rawOf(key) }).catch(() => {});
  }

  /** The visit has ended: nothing on the device opens it any more without staff. */
  async ended(): Promise<void> {
    await this.slot.erase();
  }

  /** The visit that a crash would leave open. */
  get running(): string | null {
    return this.#running?.visit ?? null;
  }

  /** And it has left the screen. A visit that has not ended stays in the slot. */
  forget(): void {
    this.#running = null;
  }
}
