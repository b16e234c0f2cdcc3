import { describe, expect, it } from 'vitest';
import { judgingSchema } from '../../phrasebanks/judging';
import { PhrasebankError, parse } from '../../phrasebanks/parse';
import { modules, readJudging, readModule } from '../../phrasebanks/read';

const problem = (json: string): string => {
  try {
    parse(judgingSchema, 'made-up/en.judging.json', json);
  } catch (error) {
    expect(error).toBeInstanceOf(PhrasebankError);
    return (error as Error).message;
  }
  throw new Error('was accepted');
};

describe('reading a phrasebank', () => {
  it('says which file is no JSON', () => {
    expect(problem('{"module": }')).toMatch(/made-up\/en\.judging\.json[\s\S]*is not JSON/);
  });

  it('says where a value is wrong and what would be right', () => {
    const message = problem(
      JSON.stringify({
        module: 'made-up',
        language: 'en',
        reviewedBy: null,
        words: {},
        concepts: { 'made-up.a.b': { says: '', accept: ['one'], parts: [], contradictions: [], extra: 1 } },
      }),
    );
    expect(message).toMatch(/concepts\["made-up\.a\.b"\]\.accept.*at least 8/);
    expect(message).toMatch(/concepts\["made-up\.a\.b"\]\.says.*empty/);
    expect(message).toMatch(/unknown key "extra"/);
  });

  it('reads what is there, and lists it when asked for what is not', () => {
    expect(modules()).toContain('inhaler-spacer');
    expect(readJudging('inhaler-spacer', 'en').module).toBe('inhaler-spacer');
    expect(() => readJudging('toaster', 'en')).toThrow(
      /phrasebanks\/toaster\/en\.judging\.json[\s\S]*modules here: .*inhaler-spacer/,
    );
    expect(() => readModule('../secrets')).toThrow(PhrasebankError);
  });

  it('takes a byte order mark', () => {
    expect(problem('\uFEFF{}')).toMatch(/at module/);
  });
});
