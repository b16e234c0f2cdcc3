/*
 * The voice comes with data for 140 languages, 24 MB. We serve only what we speak, about 1 MB.
 * The package's own file index says which bytes belong to which file; the rest stays zero when unpacked, so that
 * every file is found where the package expects it.
 *
 * Pack: one line of JSON ({size, pieces: [start, length][]}), a line feed, then the pieces one after the other.
 */
import { voices } from '../../../phrasebanks/languages/voices.ts';

/** Where the pack is served, from the base of the site. */
export const packPath = 'voice/espeak-ng.bin';

/** Dictionaries we keep. */
export const packLanguages = [...new Set(Object.keys(voices).map((language) => language.slice(0, 2)))];

export interface DataFile {
  name: string;
  start: number;
  end: number;
}

/**
 * The file index of the package's script.
 * @throws when it holds none, as after a change of its build
 */
export function readIndex(script: string): DataFile[] {
  const entries = [...script.matchAll(/filename:"([^"]+)",start:(\d+),end:(\d+)/g)];
  if (entries.length === 0) throw new Error('espeak-ng.js: no file index found; has the package changed?');
  return entries.map(([, name, start, end]) => ({ name: name!, start: Number(start), end: Number(end) }));
}

/** All but the dictionaries of other languages and the tables for a second synthesizer (mb), which we do not have. */
export function wanted(file: DataFile, languages: readonly string[] = packLanguages): boolean {
  if (file.name.includes('/voices/mb/')) return false;
  const dictionary = file.name.match(/\/([a-z]+)_dict$/)?.[1];
  return dictionary === undefined || languages.includes(dictionary);
}

/** @param data all of espeak-ng.data */
export function pack(data: Uint8Array, files: readonly DataFile[]): Uint8Array<ArrayBuffer> {
  const past = files.find((file) => file.end > data.length);
  if (past) throw new Error(`espeak-ng.data ends at ${data.length}, before ${past.name} at ${past.end}`);
  const pieces = files.map(({ start, end }) => [start, end - start] as const);
  const head = new TextEncoder().encode(`${JSON.stringify({ size: data.length, pieces })}\n`);
  const out = new Uint8Array(head.length + pieces.reduce((sum, [, length]) => sum + length, 0));
  out.set(head);
  let at = head.length;
  for (const [start, length] of pieces) {
    out.set(data.subarray(start, start + length), at);
    at += length;
  }
  return out;
}

/**
 * @returns espeak-ng.data with zeros for what was left out
 * @throws when the pack is cut short or is something else, such as an error page
 */
export function unpack(packed: ArrayBuffer): ArrayBuffer {
  const bytes = new Uint8Array(packed);
  const line = bytes.indexOf(10);
  let head: { size: number; pieces: [number, number][] };
  try {
    head = JSON.parse(new TextDecoder().decode(bytes.subarray(0, line)));
  } catch {
    throw new Error('the voice data is not a pack');
  }
  let at = line + 1;
  const length = head.pieces.reduce((sum, piece) => sum + piece[1], at);
  if (length !== bytes.length)
    throw new Error(`the voice data has ${bytes.length} bytes in place of ${length}`);
  const out = new Uint8Array(head.size);
  for (const [start, size] of head.pieces) {
    out.set(bytes.subarray(at, at + size), start);
    at += size;
  }
  return out.buffer;
}
