import { describe, expect, it } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { compileStep, type Finding, judge, languagePack } from '../../src/scoring';

const en = languagePack('en')!;
const finding = (concept: string, text: string): Finding =>
  judge(text, compileStep(readJudging(concept.split('.')[0]!, 'en'), [concept], en), en)[0]!;

describe('a word or two amid another matter', () => {
  it.each([
    ['nebulizer.finish.off', 'The muffler fell off on the highway and sparks went everywhere.'],
    ['nebulizer.finish.time', 'I do ten minutes on the bike and then a sandwich.'],
    ['nebulizer.medicine.close', 'They hung the sheets outside in the sun.'],
  ])('earns no credit for %s: "%s"', (concept, text) => {
    expect(finding(concept, text).label).not.toBe('understood');
  });

  it.each([
    ['nebulizer.finish.off', 'off'],
    ['nebulizer.finish.off', 'then I switch it off'],
    ['nebulizer.finish.time', 'ten minutes'],
    ['nebulizer.finish.time', 'well my dear it lasts about ten minutes'],
    ['nebulizer.medicine.close', 'I close it'],
  ])('still earns it for %s: "%s"', (concept, text) => {
    expect(finding(concept, text).label).toBe('understood');
  });

  it('names the words that made it doubt', () => {
    const { label, reason, confidence } = finding(
      'nebulizer.finish.off',
      'The muffler fell off on the highway and sparks went everywhere.',
    );
    expect(label).toBe('partial');
    expect(reason).toMatch(/muffler/);
    expect(confidence).toBeLessThan(0.6);
  });
});
