import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgedIn, readJudging } from '../../phrasebanks/read';
import {
  compileStep,
  draftConcepts,
  type JudgeStep,
  judge,
  type Label,
  languagePack,
} from '../../src/scoring';

const en = languagePack('en')!;
const banks = judgedIn('en')
  .filter((module) => ['inhaler-spacer', 'nebulizer', 'home-oxygen'].includes(module))
  .map((module) => readJudging(module, 'en'));
const labelOf = (concept: string, text: string): Label => {
  const bank = banks.find((file) => concept.startsWith(`${file.module}.`))!;
  return judge(text, compileStep(bank, [concept], en), en)[0]!.label;
};
const rank: Record<Label, number> = { misconception: 0, missed: 1, partial: 2, understood: 3 };

/** [concept, label, text]: written for this test, apart from the phrasebanks. */
const answers = readFileSync(fileURLToPath(new URL('./answers.tsv', import.meta.url)), 'utf8')
  .split('\n')
  .filter(Boolean)
  .map((line) => line.split('\t') as [string, string, string]);
const names: Record<string, Label> = { u: 'understood', p: 'partial', x: 'misconception', m: 'missed' };

const steps: JudgeStep[] = banks.flatMap((bank) => {
  const ids = Object.keys(bank.concepts);
  const prefixes = new Set(ids.map((id) => id.split('.').slice(0, 2).join('.')));
  return [...prefixes].map((prefix) =>
    compileStep(
      bank,
      ids.filter((id) => id.startsWith(`${prefix}.`)),
      en,
    ),
  );
});

describe('judge', () => {
  it('knows every sentence that the phrasebanks call right or wrong', () => {
    const bad: string[] = [];
    for (const bank of banks)
      for (const [id, concept] of Object.entries(bank.concepts)) {
        for (const text of [concept.says, ...concept.accept])
          if (labelOf(id, text) === 'misconception') bad.push(`${id}: ${text}`);
        if (labelOf(id, concept.says) !== 'understood') bad.push(`${id}: ${concept.says}`);
        for (const item of concept.contradictions)
          if (labelOf(id, item.says) !== 'misconception') bad.push(`${id}/${item.id}: ${item.says}`);
      }
    expect(bad).toEqual([]);
  });

  it('judges answers in other words than its own, and passes hardly any mistake', () => {
    let right = 0;
    const passed: string[] = [];
    for (const [concept, name, text] of answers) {
      const label = labelOf(concept, text);
      if (label === names[name]) right++;
      if (name === 'x' && label === 'understood') passed.push(text);
    }
    // One in a hundred at most.
    expect(passed.length, passed.join('\n')).toBeLessThan(answers.length / 100);
    expect(right / answers.length).toBeGreaterThan(0.93);
  });

  it.each([
    ['inhaler-spacer.puff.hold', 'Hold it for ten, no wait, two seconds', 'misconception'],
    ['inhaler-spacer.puff.hold', 'Hold it for two, no wait, ten seconds', 'understood'],
    ['inhaler-spacer.after.rinse', 'Do I have to rinse and spit?', 'missed'],
    ['inhaler-spacer.after.rinse', 'I rinse and spit but only if it tastes bad', 'misconception'],
    ['inhaler-spacer.care.airdry', 'It should air dry but I rub it', 'misconception'],
    ['inhaler-spacer.puff.press', 'I used to do two squirts at once, now I do one puff', 'understood'],
    ['inhaler-spacer.prepare.shake', 'I never forget to shake it well before each puff', 'understood'],
    ['inhaler-spacer.puff.press', 'okay', 'missed'],
    ['inhaler-spacer.puff.press', 'like you said', 'missed'],
    ['nebulizer.setup.hands', 'When it is all done I go wash my hands', 'misconception'],
    ['nebulizer.setup.tubing', 'hose from the compress her to the bottom of the cup', 'understood'],
    ['nebulizer.breathe.upright', 'I sit in my chair', 'partial'],
    ['home-oxygen.fire.flame', 'I stay away from the stove', 'partial'],
    ['home-oxygen.care.cannula', 'New cannula every fortnight and after a cold', 'understood'],
  ] as [string, string, Label][])('%s: "%s" is %s', (concept, text, label) => {
    expect(labelOf(concept, text)).toBe(label);
  });

  it('explains itself: evidence in the text, the missing part, the contradiction, a reason', () => {
    const bank = banks.find((file) => file.module === 'inhaler-spacer')!;
    const step = compileStep(bank, ['inhaler-spacer.puff.slow', 'inhaler-spacer.puff.press'], en);
    const text = 'I breathe in slow, and press twice.';
    const [slow, press] = judge(text, step, en);
    expect(slow).toMatchObject({ label: 'partial', missing: 'deeply' });
    expect(press).toMatchObject({ label: 'misconception', contradiction: 'many' });
    expect(press!.evidence.map(({ start, end }) => text.slice(start, end)).join(' ')).toBe('press twice');
    expect(slow!.reason).toMatch(/deeply/);
  });

  it('never passes what was heard too poorly', () => {
    const bank = banks.find((file) => file.module === 'inhaler-spacer')!;
    const step = compileStep(bank, ['inhaler-spacer.puff.press'], en);
    const heard = { text: 'press it once', alternatives: [] };
    expect(judge({ ...heard, confidence: 0.9 }, step, en)[0]!.label).toBe('understood');
    expect(judge({ ...heard, confidence: 0.1 }, step, en)[0]!.label).toBe('partial');
  });

  it('changes no label for case, commas, full stops or fillers', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...answers),
        fc.constantFrom('um', 'uh', 'er', 'you know'),
        fc.nat(),
        ([concept, , text], filler, at) => {
          const label = labelOf(concept, text);
          expect(labelOf(concept, text.toUpperCase())).toBe(label);
          expect(labelOf(concept, text.replace(/[.,;:!]/g, ' '))).toBe(label);
          expect(labelOf(concept, text.replace(/[.,]/g, '!'))).toBe(label);
          const words = text.split(' ');
          words.splice(at % (words.length + 1), 0, filler);
          expect(labelOf(concept, words.join(' '))).toBe(label);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('raises no label for a contradiction added at the end', () => {
    const pairs = banks.flatMap((bank) =>
      Object.entries(bank.concepts).flatMap(([id, concept]) =>
        concept.contradictions.map((item) => [id, item.says] as const),
      ),
    );
    fc.assert(
      fc.property(fc.constantFrom(...pairs), fc.nat(), ([id, says], pick) => {
        const own = answers.filter(([concept]) => concept === id);
        const text = own[pick % own.length]?.[2] ?? '';
        const before = labelOf(id, text);
        const after = labelOf(id, `${text} ${says}`);
        expect(rank[after], `${text} + ${says}`).toBeLessThanOrEqual(rank[before] === 0 ? 3 : rank[before]);
        expect(after, `${text} + ${says}`).not.toBe('understood');
      }),
      { numRuns: 400 },
    );
  });

  it('judges any text without failing', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 500 }), fc.constantFrom(...steps), (text, step) => {
        for (const finding of judge(text, step, en)) {
          expect(finding.confidence).toBeGreaterThanOrEqual(0);
          expect(finding.confidence).toBeLessThanOrEqual(1);
          for (const { start, end } of finding.evidence)
            expect(start >= 0 && start < end && end <= text.length).toBe(true);
        }
      }),
    );
  });

  it('judges a concept drafted from plain sentences', () => {
    const step = draftConcepts(
      [
        {
          id: 'soap',
          says: 'Wash the cup with soap every evening.',
          accept: ['I clean the cup with soap each evening'],
        },
        { id: 'dry', says: 'Keep the charger away from water.' },
      ],
      en,
    );
    const labels = (text: string) => judge(text, step, en).map((finding) => finding.label);
    expect(labels('I wash the cup with soap every evening')[0]).toBe('understood');
    expect(labels('I do not wash the cup with soap every evening')[0]).toBe('misconception');
    expect(labels('what a nice day')).toEqual(['missed', 'missed']);
    expect(judge('anything', draftConcepts([], en), en)).toEqual([]);
  });
});
