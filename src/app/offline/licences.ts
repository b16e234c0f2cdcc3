import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';

/** What package-lock.json tells of a package. */
export interface Locked {
  /** Its folder: "node_modules/react". */
  path: string;
  name: string;
  version: string;
  license: string;
}

interface Entry {
  name?: string;
  version: string;
  license?: string;
  dev?: boolean;
}

/** All packages that may be built into the app: what it depends on, and what that depends on. */
export function shipped(root: string): Locked[] {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  return Object.entries(packages as Record<string, Entry>)
    .filter(([path, { dev }]) => path !== '' && !dev)
    .map(([path, { name, version, license }]) => ({
      path,
      // One that stands in for another says its own name.
      name: name ?? path.replace(/^.*node_modules\//, ''),
      version,
      license: license ?? 'not told',
    }));
}

/** The licence of each package, in full where it brings the text. */
export function licenceText(root: string): string {
  const parts = shipped(root).map(({ path, name, version, license }) => {
    const folder = join(root, path);
    const texts = readdirSync(folder)
      .filter((file) => /^(licen[cs]e|copying|notice)/i.test(file))
      .map((file) => readFileSync(join(folder, file), 'utf8').trim());
    return [`## ${name} ${version}`, `Licence: ${license}`, ...texts].join('\n\n');
  });
  return `${['# What Ownwords is built with', ...parts].join('\n\n')}\n`;
}

/** Whoever is given the built app is given the licences of what is in it. */
export function licences(): Plugin {
  let root = '';
  return {
    name: 'ownwords-licences',
    // Pages that tests build in other folders are given to nobody.
    apply: ({ root }, { command }) => command === 'build' && root === undefined,
    configResolved(config) {
      root = config.root;
    },
    generateBundle() {
      if (this.environment.name !== 'client') return;
      this.emitFile({ type: 'asset', fileName: 'licences.txt', source: licenceText(root) });
    },
  };
}
