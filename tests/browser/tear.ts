import { readdirSync, statSync, truncateSync } from 'node:fs';
import { join } from 'node:path';

/** Where Chromium keeps the visits, and their second copy. */
const folders = { visits: 'Default/IndexedDB', 'second copy': 'Default/WebStorage' };
export type Torn = keyof typeof folders;
export const torn = Object.keys(folders) as Torn[];

/** Cuts off the end of what a killed Chromium wrote last, as a power cut in the middle of it does. */
export function tear(profileDir: string, which: Torn, bytes: number): void {
  const folder = join(profileDir, folders[which]);
  const [log, more] = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.log') && name.includes('.leveldb'))
    .map((name) => join(folder, name));
  // One database, and of that one log: else it is not known which one it reads.
  if (!log || more) throw new Error(`not one log in ${folder}: ${log}, ${more}`);
  const { size } = statSync(log);
  if (size <= bytes) throw new Error(`${log} has ${size} bytes only`);
  truncateSync(log, size - bytes);
}
