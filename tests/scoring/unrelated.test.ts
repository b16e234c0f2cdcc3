import { describe, expect, test } from 'vitest';
import { judgedIn, readJudging } from '../../phrasebanks/read';
import { compileStep, judge, languagePack } from '../../src/scoring';
import { clipsOf, speechSets } from '../bench/outside-speech';
import { skipped } from '../skipped';

/*
 * What people and telephones say about other things (../shared/datasets/speech: LibriVox, CMU ARCTIC, speechocean762,
 * Free Spoken Digit Dataset, Asterisk prompts), as it is written. Heard aloud: tests/bench/hearing-outside.ts.
 */
const pack = languagePack('en')!;
const sets = speechSets.map((set) => clipsOf(set));
const said = new Set(sets.flatMap(({ clips }) => clips.map((clip) => clip.said.join(' '))));
// A set that is not there is named in the title even when others are.
const absent = sets.flatMap(({ absent }) => absent ?? []).join('; ');

describe.skipIf(said.size === 0)(`speech about other things${skipped(absent)}`, () => {
  test.each(judgedIn('en'))('earns nothing in %s', (module) => {
    const judging = readJudging(module, 'en');
    const all = compileStep(judging, Object.keys(judging.concepts), pack);
    const earned = [...said].flatMap((text) =>
      judge(text, all, pack)
        .filter(({ label }) => label === 'understood')
        .map(({ concept, evidence }) => {
          const words = evidence.map(({ start, end }) => text.slice(start, end)).join(' ... ');
          return `${concept}: "${words}" in "${text}"`;
        }),
    );
    expect(earned).toEqual([]);
  });
});

test('what is said of telephones earns nothing', () => {
  const concepts: [string, string][] = [
    ['dry-powder-inhaler', 'This line is not ready. Look at the number and try again.'],
    ['home-oxygen', 'Speak after the beep. When you are through, hang up.'],
  ];
  for (const [module, text] of concepts) {
    const judging = readJudging(module, 'en');
    const all = compileStep(judging, Object.keys(judging.concepts), pack);
    expect(judge(text, all, pack).filter(({ label }) => label === 'understood')).toEqual([]);
  }
});
