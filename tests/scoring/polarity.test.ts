import { describe, expect, it } from 'vitest';
import { languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findNegations, negated } from '../../src/scoring/polarity';

const en = languagePack('en')!;
function isNegated(text: string, word: string): boolean {
  const tokens = normalize(text, en);
  const at = tokens.findIndex((token) => token.word === word);
  expect(at, `${word} in ${text}`).toBeGreaterThanOrEqual(0);
  return negated(findNegations(tokens, en), at, at + 1);
}

describe('polarity', () => {
  it.each([
    ['I do not shake it', 'shake'],
    ['dont wash the tubing', 'tubing'],
    ['no soap in the spacer', 'soap'],
    ['nobody in the house smokes', 'smokes'],
    ['no need to rinse', 'rinse'],
    ['I skip the rinsing', 'rinsing'],
    ['I never let it get wet', 'wet'],
    ["don't nobody need to fall", 'fall'],
    ['rinsing is not needed', 'rinsing'],
    ['without shaking it', 'shaking'],
    ['I do not. Shake it', 'shake'],
    ['no fever no chills cough chest pain or swelling', 'swelling'],
    ['she denies pain fever or chills', 'chills'],
    ['infection was ruled out', 'infection'],
  ])('hears the negation in "%s"', (text, word) => {
    expect(isNegated(text, word)).toBe(true);
  });

  it.each([
    ["I don't forget to rinse", 'rinse'],
    ['I never skip the controller', 'controller'],
    ['no towel just let it air dry', 'air'],
    ['I do not wipe it but I rinse it', 'rinse'],
    ['I do not rush. Slow breaths', 'slow'],
    ['no soap! Warm water', 'water'],
    ['dont wipe them air dry', 'dry'],
    ['no I shake it', 'shake'],
    ['no matter how I feel', 'feel'],
    ["if it doesn't stop I call the doctor", 'call'],
    ["I can't talk call the ambulance", 'ambulance'],
    ['not only the cup, the mouthpiece too', 'cup'],
    ['no soap or I rinse it twice', 'twice'],
    ['not squashed or twisted and I feel air', 'air'],
    ['no towel but a brush or a cloth', 'cloth'],
  ])('hears none in "%s"', (text, word) => {
    expect(isNegated(text, word)).toBe(false);
  });
});
