import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { licenceText, shipped } from '../../../src/app/offline/licences';
import { root } from '../../../src/commands/prepare.mjs';

/** Which may be part of a work under GPL-3.0-or-later: the licence list of the FSF, "GPL-Compatible". */
const compatible = new Set([
  'MIT',
  'ISC',
  '0BSD',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Apache-2.0',
  'GPL-3.0',
  'GPL-3.0-or-later',
  'LGPL-3.0-or-later',
  'Unlicense',
]);
/** For letters alone: a font may be bundled with any program (OFL FAQ 1.1.5). */
const lettersOnly = { '@fontsource-variable/atkinson-hyperlegible-next': 'OFL-1.1' };

const packages = shipped(root);

describe('what is built into the app', () => {
  test('may be given away together', () => {
    const others = packages
      .filter(
        ({ name, license }) =>
          !compatible.has(license) &&
          Object.entries(lettersOnly).every(([of, its]) => of !== name || its !== license),
      )
      .map(({ name, license }) => `${name}: ${license}`);
    expect(packages.length).toBeGreaterThan(20);
    expect(others).toEqual([]);
  });

  test('comes with its licences', () => {
    const text = licenceText(root);
    for (const { name, version } of packages) expect(text).toContain(`## ${name} ${version}\n`);
    expect(text).toContain('GNU GENERAL PUBLIC LICENSE');
  });

  test('is asked for in one version each, and so is what builds and tests it', () => {
    const { dependencies, devDependencies } = JSON.parse(readFileSync(`${root}/package.json`, 'utf8'));
    const loose = Object.entries({ ...dependencies, ...devDependencies }).filter(
      ([, version]) => !/^\d+\.\d+\.\d+$/.test(String(version)),
    );
    expect(loose).toEqual([]);
  });

  test('is listed, all of it, by npm run sbom as CycloneDX', () => {
    const printed = execFileSync('npm', ['run', '-s', 'sbom'], {
      cwd: root,
      encoding: 'utf8',
      shell: process.platform === 'win32',
    });
    const list = JSON.parse(printed);
    expect(list).toMatchObject({ bomFormat: 'CycloneDX', specVersion: expect.stringMatching(/^1\.[4-9]/) });
    const listed = new Set(list.components.map(({ purl }: { purl: string }) => decodeURIComponent(purl)));
    expect(
      packages
        .map(({ name, version }) => `pkg:npm/${name}@${version}`)
        .filter((address) => !listed.has(address)),
    ).toEqual([]);
  });
});
