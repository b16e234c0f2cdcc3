import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { tokens } from '../../src/hearing/embedded/tokens';
import { mute, speak } from '../hearing/speak';
import { skipped } from '../skipped';

vi.setConfig({ testTimeout: 120_000 });

const root = join(import.meta.dirname, '../..');
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ownwords-hear-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...args: string[]) =>
  spawnSync(
    process.execPath,
    // In one process; the command line of tsx would begin a second.
    ['--import', 'tsx', join(root, 'src/commands/hear.ts'), ...args],
    {
      cwd: root,
      encoding: 'utf8',
    },
  );

test.skipIf(mute)(
  `answers every file with a line of JSON, and fails when one could not be heard${skipped(mute)}`,
  () => {
    const good = join(folder, 'good.wav');
    const bad = join(folder, 'bad.wav');
    writeFileSync(good, speak('I hold my breath for ten seconds.'));
    writeFileSync(bad, 'no sound at all');
    const { status, stdout } = run(
      '--module',
      'inhaler-spacer',
      '--step',
      'puff',
      '--language',
      'en',
      bad,
      good,
      'missing.wav',
    );
    const [first, second, third, ...more] = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(more).toEqual([]);
    expect(first).toEqual({ file: bad, error: expect.stringContaining('RIFF') });
    expect(second.file).toBe(good);
    expect(tokens(second.text).join(' ')).toBe('i hold my breath for ten seconds');
    expect(Object.keys(second)).toEqual(['file', 'text', 'confidence', 'words', 'audioMs', 'decodeMs']);
    expect(second.words[0]).toEqual({ word: 'I', confidence: expect.any(Number) });
    expect(second.audioMs).toBeGreaterThan(1000);
    expect(third).toEqual({ file: 'missing.wav', error: 'there is no such file' });
    expect(status).toBe(1);
  },
  60_000,
);

test.each([
  [['--module', 'nothing', '--step', 'puff', 'a.wav'], 'no module "nothing"; there are: '],
  [['--module', 'inhaler-spacer', '--step', 'huff', 'a.wav'], 'has no step "huff"; there are: which, '],
  [['--module', 'inhaler-spacer', '--step', 'puff'], 'no files'],
  [
    ['--module', 'inhaler-spacer', '--step', 'puff', '--language', 'fi', 'a.wav'],
    'no acoustic model for the language "fi"',
  ],
  [['--frobnicate'], 'frobnicate'],
])('%j is answered with what is wrong, and the usage', (args, problem) => {
  const { status, stderr } = run(...args);
  expect(stderr).toContain(problem);
  expect(stderr).toContain('usage: npm run -s hear');
  expect(status).toBe(2);
});
