import { inTime } from '../inTime';
import type { Bytes } from './box';

/*
 * Where the data key of the running visit lies for the case of a crash, until the visit ends.
 *
 * Not in IndexedDB: what is deleted there stays in its files for a long time. A file of the page's own file system
 * is written in place by a worker, so the key can be overwritten and flushed.
 */

export interface Held {
  visit: string;
  /** 32 bytes. */
  raw: Bytes;
}

/** One visit at a time; each write goes over the one before. */
export interface Slot {
  read(): Promise<Held | null>;
  write(held: Held): Promise<void>;
  /** Overwrites it. */
  erase(): Promise<void>;
}

const idLength = 16;
const length = idLength + 32;

export function toBytes({ visit, raw }: Held): Bytes {
  const bytes = new Uint8Array(length);
  visit.replaceAll('-', '').replace(/../g, (pair, at: number) => {
    bytes[at / 2] = Number.parseInt(pair, 16);
    return '';
  });
  bytes.set(raw, idLength);
  return bytes;
}

/** null: empty, or not all of it was written. */
export function fromBytes(bytes: Bytes): Held | null {
  if (bytes.length !== length || bytes.every((byte) => byte === 0)) return null;
  const hex = [...bytes.slice(0, idLength)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  const visit = hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
  return { visit, raw: bytes.slice(idLength) };
}

/** For a browser without such a file: a visit that a crash ends can be gone on with by staff only. */
export const noSlot: Slot = { read: async () => null, write: async () => {}, erase: async () => {} };

const fileName = 'running-visit';

/** For the worker, ms. No visit waits longer for it. */
const patience = 3_000;

// async: a worker that may not even be made rejects like one that does not answer.
async function put(bytes: Bytes): Promise<void> {
  const worker = new Worker(new URL('./slot-worker.ts', import.meta.url), { type: 'module' });
  const written = new Promise<void>((done, failed) => {
    worker.onmessage = ({ data }) => (data === null ? done() : failed(new Error(String(data))));
    worker.onerror = () => failed(new Error('the worker that writes the key could not be loaded'));
    worker.postMessage({ fileName, bytes });
  });
  return inTime(written, patience, 'the worker that writes the key').finally(() => worker.terminate());
}

/** The slot of this browser. */
export function openSlot(): Slot {
  if (typeof Worker === 'undefined' || !globalThis.navigator?.storage?.getDirectory) return noSlot;
  return {
    async read() {
      const root = await navigator.storage.getDirectory();
      const file = await root.getFileHandle(fileName).catch(() => null);
      return file && fromBytes(new Uint8Array(await (await file.getFile()).arrayBuffer()));
    },
    write: (held) => put(toBytes(held)),
    erase: () => put(new Uint8Array(length)),
  };
}
