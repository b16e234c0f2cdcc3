import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sureEnough } from '../../machines/step';
import { readJudging } from '../../phrasebanks/read';
import { findingSchema } from '../../src/records/schema';
import { compileStep, judge, judgeHeard, languagePack } from '../../src/scoring';
import { poorlyHeard } from '../../src/scoring/alternatives';
import type { Utterance } from '../../src/scoring/types';

const en = languagePack('en')!;
const file = readJudging('inhaler-spacer', 'en');
const ids = Object.keys(file.concepts).filter((id) => id.startsWith('inhaler-spacer.puff.'));
const step = compileStep(file, ids, en);
const hold = compileStep(file, ['inhaler-spacer.puff.hold'], en);
const ten = 'I hold my breath for ten seconds';
const two = 'I hold my breath for two seconds';
const words = (text: string, weak: Record<string, number> = {}): NonNullable<Utterance['words']> =>
  text.split(' ').map((word) => ({ word, confidence: weak[word] ?? 1 }));
const heldBy = (heard: Partial<Utterance>) =>
  judgeHeard({ text: ten, confidence: 0.7, alternatives: [], ...heard }, hold, en)[0]!;

describe('judgeHeard', () => {
  it('is surer when another reading says the same in other words', () => {
    const alone = heldBy({});
    const agreed = heldBy({ alternatives: [{ text: 'I hold a breath for ten seconds', confidence: 0.6 }] });
    expect(agreed.label).toBe('understood');
    expect(agreed.confidence).toBeGreaterThan(alone.confidence);
    expect(agreed.confidence).toBeLessThanOrEqual(judge(ten, hold, en)[0]!.confidence);
    expect(agreed.doubtful).toBeUndefined();
  });

  it('gets nothing from the same words again, or from a reading without weight', () => {
    expect(heldBy({ alternatives: [{ text: `${ten}.`, confidence: 0.9 }] })).toEqual(heldBy({}));
    expect(heldBy({ alternatives: [{ text: two, confidence: 0 }] })).toEqual(heldBy({}));
    expect(heldBy({ alternatives: [{ text: '', confidence: 0.9 }] })).toEqual(heldBy({}));
    expect(heldBy({ alternatives: [{ text: two, confidence: Number.NaN }] })).toEqual(heldBy({}));
  });

  it('asks again where another reading says something else', () => {
    const finding = heldBy({ alternatives: [{ text: two, confidence: 0.6 }] });
    expect(finding).toMatchObject({ label: 'partial', doubtful: true });
    expect(finding.confidence).toBeLessThan(0.5);
    expect(finding.reason).toMatch(/^Other readings/);
    expect(findingSchema.parse(finding)).toEqual(finding);
  });

  it('lets a far-fetched reading pass, but is less sure', () => {
    const finding = heldBy({ alternatives: [{ text: two, confidence: 0.1 }] });
    expect(finding.doubtful).toBeUndefined();
    expect(finding.confidence).toBeLessThan(heldBy({}).confidence);
  });

  it('never calls understood what only another reading says', () => {
    for (const text of ['I hold my breath', two, 'the weather is nice', ''])
      for (const confidence of [0.2, 0.6, 1]) {
        const finding = heldBy({ text, confidence, alternatives: [{ text: ten, confidence: 1 }] });
        expect(finding.label).not.toBe('understood');
        expect(finding.doubtful).toBe(true);
      }
  });

  it('asks again when a word that decides was heard poorly', () => {
    const finding = heldBy({ confidence: 0.9, words: words(ten, { ten: 0.2 }) });
    expect(finding).toMatchObject({ label: 'partial', doubtful: true });
    expect(finding.reason).toMatch(/^A word that decides it was heard poorly/);
  });

  it('earns nothing from an answer that a visit would ask about, until other readings bear it out', () => {
    expect(poorlyHeard).toBe(sureEnough);
    const poor = heldBy({ confidence: 0.59 });
    expect(poor).toMatchObject({ label: 'partial', doubtful: true });
    expect(poor.reason).toMatch(/^The answer was heard poorly/);
    expect(findingSchema.parse(poor)).toEqual(poor);
    expect(heldBy({ confidence: 0.6 })).toMatchObject({ label: 'understood' });
    const alternatives = [{ text: 'I hold a breath for ten seconds', confidence: 0.5 }];
    expect(heldBy({ confidence: 0.5, alternatives })).toMatchObject({ label: 'understood' });
  });

  it('does not doubt that nothing was said in an answer that was heard poorly', () => {
    const silent = heldBy({ text: 'the weather is nice', confidence: 0.3 });
    expect(silent).toMatchObject({ label: 'missed' });
    expect(silent.doubtful).toBeUndefined();
  });

  it('does not mind a poorly heard word that decides nothing', () => {
    const text = `Well ${ten}`;
    const heard = { text, confidence: 0.9, alternatives: [] };
    expect(judgeHeard({ ...heard, words: words(text, { Well: 0.1 }) }, hold, en)).toEqual(
      judgeHeard(heard, hold, en),
    );
  });

  it('passes over words that do not stand in the text', () => {
    expect(heldBy({ words: [{ word: 'elephant', confidence: 0 }, ...words(ten)] })).toEqual(heldBy({}));
    expect(heldBy({ words: [{ word: '', confidence: 0 }] })).toEqual(heldBy({}));
  });

  const pieces = fc.array(
    fc.constantFrom(
      'I breathe all the way out',
      'then',
      'press it once',
      'press it twice',
      'slowly and deeply',
      'I close my lips tight around it',
      'breathe in slow',
      'hold it for',
      'ten seconds',
      'two seconds',
      'not',
    ),
    { maxLength: 7 },
  );
  const level = fc.double({ min: 0, max: 1, noNaN: true });

  it('judges a surely heard text as the plain text', () => {
    fc.assert(
      fc.property(pieces, (list) => {
        const text = list.join(' ');
        const heard = { text, confidence: 1, alternatives: [], words: words(text) };
        expect(judgeHeard(heard, step, en)).toEqual(judge(text, step, en));
      }),
      { numRuns: 100 },
    );
  });

  it('is never surer, and never kinder, for a word heard worse', () => {
    fc.assert(
      fc.property(
        pieces,
        fc.array(level, { maxLength: 30 }),
        level,
        fc.nat(),
        level,
        (list, levels, whole, at, by) => {
          const text = list.join(' ');
          const before = text.split(' ').map((word, i) => ({ word, confidence: levels[i] ?? 1 }));
          const after = before.map((word, i) =>
            i === at % before.length ? { ...word, confidence: word.confidence * by } : word,
          );
          const judged = (heardWords: typeof before) =>
            judgeHeard({ text, confidence: whole, alternatives: [], words: heardWords }, step, en);
          const first = judged(before);
          judged(after).forEach((finding, i) => {
            expect(finding.confidence).toBeLessThanOrEqual(first[i]!.confidence);
            if (finding.label === 'understood') expect(first[i]!.label).toBe('understood');
          });
        },
      ),
      { numRuns: 100 },
    );
  });
});
