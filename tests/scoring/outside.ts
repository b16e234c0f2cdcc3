import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Outside data beside the project, or null (said aloud) when it is not there. */
export function outside(path: string): string | null {
  const file = fileURLToPath(new URL(`../../../shared/datasets/${path}`, import.meta.url));
  if (existsSync(file)) return readFileSync(file, 'utf8').replace(/^\uFEFF/, '');
  console.warn(`outside data absent: ${path}; its checks are left out`);
  return null;
}
