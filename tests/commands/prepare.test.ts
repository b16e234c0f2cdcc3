import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { modulesInstalled, nodeProblem } from '../../src/commands/prepare.mjs';

describe('the version of Node', () => {
  test.each(['20.19.0', '20.20.2', '22.0.0', '30.1.0'])('%s will do', (version) => {
    expect(nodeProblem(version)).toBeNull();
  });
  test.each(['20.18.3', '18.20.0', '9.9.9'])('%s is too old, and the message names both', (version) => {
    expect(nodeProblem(version)).toContain('20.19');
    expect(nodeProblem(version)).toContain(version);
  });
});

describe('the installed modules', () => {
  let folder = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'ownwords-modules-'));
    mkdirSync(join(folder, 'node_modules'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  const wanted = {
    '': { name: 'x' },
    'node_modules/a': { version: '1.0.0' },
    'node_modules/only-mac': { version: '1.0.0', optional: true },
  };
  const write = (path: string, packages: object) =>
    writeFileSync(join(folder, path), JSON.stringify({ packages }));

  test('are missing before the first install', () => {
    write('package-lock.json', wanted);
    expect(modulesInstalled(folder)).toBe(false);
  });
  test('are there when every version agrees, whatever another system would need', () => {
    write('package-lock.json', wanted);
    write('node_modules/.package-lock.json', { 'node_modules/a': { version: '1.0.0' } });
    expect(modulesInstalled(folder)).toBe(true);
  });
  test('are out of date when a version differs', () => {
    write('package-lock.json', wanted);
    write('node_modules/.package-lock.json', { 'node_modules/a': { version: '0.9.0' } });
    expect(modulesInstalled(folder)).toBe(false);
  });
  test('are out of date when a module is missing', () => {
    write('package-lock.json', wanted);
    write('node_modules/.package-lock.json', {});
    expect(modulesInstalled(folder)).toBe(false);
  });
});
