import { describe, expect, it } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { compileStep, judge, languagePack } from '../../src/scoring';
import { factsOf } from '../../src/scoring/facts';
import { type ToldOrder, toldOrder } from '../../src/scoring/order';
import type { Finding } from '../../src/scoring/types';

const en = languagePack('en')!;
const rule = {
  id: 'out-before-press',
  first: 'inhaler-spacer.puff.out',
  next: 'inhaler-spacer.puff.press',
  says: 'Told the press before breathing out.',
};
const file = { ...readJudging('inhaler-spacer', 'en'), order: [rule] };
const step = compileStep(file, [rule.first, rule.next], en);
const reported = (text: string): boolean => judge(text, step, en)[1]!.order !== undefined;
const told = (text: string): ToldOrder => {
  const [first, next] = judge(text, step, en);
  return toldOrder(first!, next!, text, factsOf(text, step, en), en);
};

describe('order of steps', () => {
  it.each([
    'I breathe all the way out, then I press it once',
    'I breathe all the way out and after that I press it once',
    'First I breathe all the way out and press it once',
    'I press it once but before that I breathe all the way out',
    'I press it once, but first I breathe all the way out',
    'Before I press it once I breathe all the way out',
    'I breathe all the way out before I press it once',
    'I press it once after I breathe all the way out',
    "Once I've breathed all the way out I press it once",
    'I press it once and I breathe all the way out beforehand',
    'I breathe all the way out first and I press it once',
  ])('"%s" is in order', (text) => {
    expect(told(text)).toBe('in order');
    expect(reported(text)).toBe(false);
  });

  it.each([
    'I press it once, then I breathe all the way out',
    'I press it once and after that I breathe all the way out',
    'First I press it once and I breathe all the way out',
    'I press it once before I breathe all the way out',
    'I breathe all the way out but before that I press it once',
    'I breathe all the way out after I press it once',
    'After I press it once I breathe all the way out',
    'I breathe all the way out, but first I press it once',
    'I press it once and I breathe all the way out afterwards',
  ])('"%s" is the wrong way round', (text) => {
    expect(told(text)).toBe('reversed');
    expect(reported(text)).toBe(true);
  });

  it.each([
    'I press it once and I breathe all the way out',
    'Breathe all the way out. Press it once.',
    'I never press it once before I breathe all the way out',
    'I do not press it once until I breathe all the way out',
    'I press it once then, no wait, I breathe all the way out',
    'I press it once first I breathe all the way out',
    'I press it once after I breathe all the way out I go on with it',
    'Do I press it once and then breathe all the way out?',
    'Then I press it once',
    '',
  ])('"%s" tells no order', (text) => {
    expect(told(text)).toBe('not told');
    expect(reported(text)).toBe(false);
  });

  it.each([
    'I breathe all the way out, I press it once, I hold my breath, then I breathe all the way out',
    'I press it once. I mean first I breathe all the way out and then press it once',
  ])('"%s" is not reported, as the step was told in its place too', (text) => {
    expect(reported(text)).toBe(false);
  });

  it('changes no label and no confidence, and says so in a plain sentence', () => {
    const text = 'I press it once, then I breathe all the way out';
    const plain = judge(text, compileStep({ ...file, order: [] }, [rule.first, rule.next], en), en);
    const ordered = judge(text, step, en);
    expect(ordered[0]).toEqual(plain[0]);
    expect(ordered[1]).toEqual({
      ...plain[1],
      order: { id: rule.id, says: rule.says },
      reason: `${plain[1]!.reason} Told the press before breathing out.`,
    });
  });

  it('reports each order of the phrasebanks, and never when it was told rightly or not at all', () => {
    const wrongly: string[] = [];
    const rules = ['inhaler-spacer', 'nebulizer']
      .map((module) => readJudging(module, 'en'))
      .flatMap((bank) => (bank.order ?? []).map((one) => ({ one, bank })));
    expect(rules.length).toBeGreaterThan(10);
    const silent = rules.filter(({ one, bank }) => {
      const both = compileStep(bank, [one.first, one.next], en);
      const reports = (text: string): boolean => judge(text, both, en).some((finding) => finding.order);
      const ways = (id: string): string[] => {
        const concept = bank.concepts[id]!;
        return [concept.says, ...concept.accept].map((text) => text.replace(/[.]$/, ''));
      };
      const [firsts, nexts] = [ways(one.first), ways(one.next)];
      for (const a of firsts.slice(0, 6))
        for (const b of nexts.slice(0, 6)) {
          for (const text of [`${a}, then ${b}`, `${b}, but before that ${a}`, `${a}. ${b}.`, `${b}. ${a}.`])
            if (reports(text)) wrongly.push(`${one.id}: ${text}`);
        }
      return !firsts.some((a) => nexts.some((b) => reports(`${b}, then ${a}`)));
    });
    expect(wrongly).toEqual([]);
    expect(silent.map(({ one }) => one.id)).toEqual([]);
  });

  it('says nothing when only one of the two was asked for', () => {
    const one = compileStep(file, [rule.next], en);
    expect(judge('I breathe all the way out. First I press it once', one, en)[0]!.order).toBeUndefined();
  });

  it('names an order whose concept does not exist', () => {
    const bad = { ...file, order: [{ ...rule, next: 'inhaler-spacer.puff.nothing' }] };
    expect(() => compileStep(bad, [rule.first], en)).toThrow(
      'inhaler-spacer/en.judging.json, order "out-before-press": there is no concept "inhaler-spacer.puff.nothing"',
    );
  });

  /** Evidence given by hand: there are no phrasebanks in these languages here. */
  const by = (language: string, text: string, first: string, next: string): ToldOrder => {
    const pack = languagePack(language)!;
    const finding = (words: string): Finding => ({
      concept: words,
      label: 'understood',
      confidence: 1,
      evidence: [{ start: text.indexOf(words), end: text.indexOf(words) + words.length }],
      reason: 'given',
    });
    return toldOrder(finding(first), finding(next), text, factsOf(text, step, pack), pack);
  };

  it.each([
    ['es', 'Soplo todo el aire y luego aprieto', 'in order'],
    ['es', 'Aprieto pero antes de eso soplo todo el aire', 'in order'],
    ['es', 'Aprieto después de que soplo', 'in order'],
    ['es', 'Aprieto y después soplo', 'reversed'],
    ['es', 'Primero aprieto y soplo', 'reversed'],
    ['es', 'Aprieto y soplo', 'not told'],
    ['fr', "Je souffle à fond, ensuite j'appuie", 'in order'],
    ['fr', "J'appuie, mais avant ça je souffle", 'in order'],
    ['fr', "J'appuie, ensuite je souffle", 'reversed'],
    ['fr', "D'abord j'appuie et je souffle", 'reversed'],
    ['fr', "J'appuie et je souffle", 'not told'],
  ] as const)('%s: "%s" is %s', (language, text, order) => {
    const words = language === 'es' ? ['oplo', 'prieto'] : ['souffle', 'appuie'];
    expect(by(language, text, words[0]!, words[1]!)).toBe(order);
  });
});
