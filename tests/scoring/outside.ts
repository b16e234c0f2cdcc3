import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** A file of outside data beside the project. `absent`: why it cannot be read, '' when it can. */
export function outside(path: string): { absent: string; read(): string } {
  const file = fileURLToPath(new URL(`../../../shared/datasets/${path}`, import.meta.url));
  return {
    absent: existsSync(file) ? '' : `../shared/datasets/${path} is not there`,
    read: () => readFileSync(file, 'utf8').replace(/^\uFEFF/, ''),
  };
}
