import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { resample } from '../../src/hearing/audio/resample';
import type { Sound } from '../../src/hearing/audio/wav';

/* PocketSphinx with its own English sounds, as a yardstick (Debian: pocketsphinx, pocketsphinx-en-us). */

const model = '/usr/share/pocketsphinx/model/en-us';
const sampleRate = 16_000;

export const hasSphinx = existsSync(model) && spawnSync('which', ['pocketsphinx_batch']).status === 0;
export const noSphinx =
  'PocketSphinx is not installed here (apt-get install pocketsphinx pocketsphinx-en-us): not compared';

/** Is the word in its dictionary? Words that are not would make it refuse a grammar. */
export function sphinxKnows(word: string): boolean {
  dictionary ??= new Set(
    readFileSync(join(model, 'cmudict-en-us.dict'), 'utf8')
      .split('\n')
      .map((line) => line.split(' ', 1)[0]!),
  );
  return dictionary.has(word);
}
let dictionary: Set<string> | undefined;

/** Words heard in each sound, by a grammar in FSG text or, without one, by its general language model. */
export function sphinxHears(sounds: readonly Sound[], fsg?: string): string[][] {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-sphinx-'));
  try {
    // It looks for speech after some silence.
    const quiet = Buffer.alloc(0.3 * sampleRate * 2);
    sounds.forEach((sound, index) => {
      const ints = Int16Array.from(resample(sound.samples, sound.sampleRate, sampleRate), (x) =>
        Math.round(Math.max(-1, Math.min(1, x)) * 32_767),
      );
      writeFileSync(join(folder, `${index}.raw`), Buffer.concat([quiet, Buffer.from(ints.buffer), quiet]));
    });
    writeFileSync(join(folder, 'list'), sounds.map((_, index) => `${index}\n`).join(''));
    if (fsg) writeFileSync(join(folder, 'grammar.fsg'), fsg);
    const run = spawnSync(
      'pocketsphinx_batch',
      [
        ['-ctl', join(folder, 'list')],
        ['-cepdir', folder],
        ['-cepext', '.raw'],
        ['-adcin', 'yes'],
        ['-hmm', join(model, 'en-us')],
        fsg ? ['-fsg', join(folder, 'grammar.fsg')] : ['-lm', join(model, 'en-us.lm.bin')],
        ['-dict', join(model, 'cmudict-en-us.dict')],
        ['-hyp', join(folder, 'heard')],
        ['-logfn', '/dev/null'],
      ].flat(),
      { encoding: 'utf8' },
    );
    if (run.status !== 0) throw new Error(`PocketSphinx failed: ${run.stderr}`);
    const lines = readFileSync(join(folder, 'heard'), 'utf8').trimEnd().split('\n');
    if (lines.length !== sounds.length)
      throw new Error(`PocketSphinx heard ${lines.length} of ${sounds.length} sounds`);
    return lines.map((line) =>
      line
        .replace(/\([^()]*\)$/, '')
        .split(/\s+/)
        .filter(Boolean),
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
