import { existsSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import { hearSound, openSphinx } from '../../../../src/commands/listening';
import { readWav, type Sound } from '../../../../src/hearing/audio/wav';
import { compileLanguageModel } from '../../../../src/hearing/embedded/sphinx/language-model';
import type { Recogniser } from '../../../../src/hearing/embedded/sphinx/recogniser';
import { frenchTokens } from '../../../../src/hearing/embedded/sphinx/tokens.fr';
import { addErrors, wordErrorRate, wordErrors } from '../../../bench/wer';
import { skipped } from '../../../skipped';
import { muteAbroad, speakAbroad } from '../../speak';

// A busy machine decodes slower than people speak.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let recogniser: Recogniser;
beforeAll(async () => {
  recogniser = await openSphinx('fr-CA');
});

const hear = (sound: Sound) => hearSound(recogniser.turn(sound.sampleRate), sound);
const said = (text: string) => readWav(speakAbroad(text, 'fr-fr'));

/** Only these phrases, and what their words may be put together to. */
const onlyThese = (phrases: readonly string[]) =>
  recogniser.expectModel(
    compileLanguageModel([{ phrases, weight: 1 }], {
      tokens: frenchTokens,
      knows: (word) => recogniser.phones(word) !== undefined,
    }),
  );

describe.skipIf(muteAbroad)(`with a synthetic voice${skipped(muteAbroad)}`, () => {
  const phrases = [
    'je souffle tout mon air à côté du tube',
    'je retiens mon souffle dix secondes',
    'après je me rince la bouche et je crache l’eau',
    'je laisse sécher le tube à l’air, sans frotter',
    'l’oxygène reste à deux mètres du feu',
    'je ne change pas le débit',
  ];

  test('the words of the step are heard among everyday words, written as French is', async () => {
    expect(recogniser.expect({ step: phrases, module: ['inhalateur', '吸入器'] })).toEqual(['吸入器']);
    const heard = await hear(said('Après je me rince la bouche et je crache l’eau.'));
    for (const word of ['rince', 'bouche', 'crache', "l'eau"])
      expect(heard?.words?.map((each) => each.word)).toContain(word);
    expect(heard?.words?.map(({ word }) => word).join(' ')).toBe(heard?.text);
    expect(heard?.confidence).toBeGreaterThan(0);
  });

  test('most words of known sentences are heard: the sound is analysed as the model needs it', async () => {
    // With the settings that the package ships with the model two words of five are wrong.
    onlyThese(phrases);
    const errors = [];
    for (const phrase of phrases)
      errors.push(wordErrors(frenchTokens(phrase), frenchTokens((await hear(said(phrase)))?.text ?? '')));
    expect(wordErrorRate(addErrors(errors))).toBeLessThan(0.3);
  });
});

/** A woman of French-speaking Canada says numbers: Debian's asterisk-core-sounds-fr (CC BY-SA 3.0). */
const prompts = new URL('../../../../../shared/datasets/speech/asterisk/', import.meta.url);
const noPrompts = existsSync(prompts) ? '' : 'the recordings of ../shared/datasets are not there';

test.skipIf(noPrompts)(`most numbers that a person says are heard${skipped(noPrompts)}`, async () => {
  const numbers = readFileSync(new URL('transcripts.tsv', prompts), 'utf8')
    .split('\n')
    .filter((line) => line.startsWith('fr/'))
    .map((line) => line.split('\t') as [file: string, text: string]);
  expect(numbers).toHaveLength(13);
  onlyThese(numbers.map(([, text]) => text));
  let right = 0;
  for (const [file, text] of numbers)
    if ((await hear(readWav(readFileSync(new URL(file, prompts)))))?.text === text) right++;
  console.info(`numbers heard right: ${right} of ${numbers.length}`);
  expect(right).toBeGreaterThanOrEqual(8);
});
