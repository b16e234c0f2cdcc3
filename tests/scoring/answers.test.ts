import { describe, expect, it } from 'vitest';
import { findAnswer, languagePack } from '../../src/scoring';

const en = languagePack('en')!;
const answers = [
  {
    id: 'how-often-wash',
    asks: ['how often do I wash the spacer', 'when should I clean the spacer'],
    says: ['About once a week.'],
  },
  {
    id: 'how-many-left',
    asks: ['how do I know how much medicine is left', 'how many puffs are left'],
    says: ['Look at the counter.'],
  },
  { id: 'child', asks: ['can my child use the spacer'], says: ['Ask your care team.'] },
];
const find = (text: string) => findAnswer(text, answers, en)?.id ?? null;

describe('the answer to a question', () => {
  it('is found in other words', () => {
    expect(find('how often do I wash the spacer?')).toBe('how-often-wash');
    expect(find('um how often should i wash that spacer')).toBe('how-often-wash');
    expect(find('How many puffs are left in it')).toBe('how-many-left');
  });

  it.each([
    'how often do I wash my hair',
    'can I take it with my heart pills',
    'the spacer',
    'what does it cost',
    '',
    'how',
  ])('is none rather than a wrong one: "%s"', (text) => {
    expect(find(text)).toBeNull();
  });
});
