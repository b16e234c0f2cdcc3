import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

/** The folder of an installed package, whatever it lets others import. For Node. Throws when it is not installed. */
export function packageFolder(name: string): string {
  const roots = createRequire(import.meta.url).resolve.paths(name) ?? [];
  const folder = roots.map((root) => join(root, name)).find((path) => existsSync(join(path, 'package.json')));
  if (!folder) throw new Error(`the package ${name} is not installed; run npm ci`);
  return folder;
}
