import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { listFiles, versionOf } from '../../../src/app/offline/vite-plugin';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'ownwords-files-'));
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'index.html'), '<p>');
  writeFileSync(join(folder, 'assets', 'a-1.js'), 'alert(1)');
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('the list of files of a build', () => {
  test('names each by its address, size and hash (Subresource Integrity)', () => {
    const sum = createHash('sha384').update('<p>').digest('base64');
    expect(listFiles(folder)).toEqual([
      { url: '/assets/a-1.js', bytes: 8, integrity: expect.stringMatching(/^sha384-/) },
      { url: '/index.html', bytes: 3, integrity: `sha384-${sum}` },
    ]);
  });

  test('leaves out settings, hidden files, maps and the worker itself', () => {
    for (const name of ['site.json', '.built', 'offline.js', 'a.js.map'])
      writeFileSync(join(folder, name), '');
    expect(listFiles(folder)).toHaveLength(2);
  });

  test('makes another version of any other byte or name', () => {
    const before = versionOf(listFiles(folder), '1.2.3');
    expect(before).toMatch(/^1\.2\.3\+[0-9a-f]{7}$/);
    expect(versionOf(listFiles(folder), '1.2.3')).toBe(before);
    writeFileSync(join(folder, 'index.html'), '<b>');
    expect(versionOf(listFiles(folder), '1.2.3')).not.toBe(before);
  });
});
