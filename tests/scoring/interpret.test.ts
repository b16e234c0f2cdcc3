import { describe, expect, it } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { interpret, languagePack, yesNo } from '../../src/scoring';

const en = languagePack('en')!;
const common = readCommon('en');
const meaning = (text: string, kind: 'answer' | 'short' | 'yes-no' | 'question' = 'answer') =>
  interpret(text, common, kind, en);

describe('interpret', () => {
  it.each([
    ['say that again please', 'again'],
    ['Um, could you say that again?', 'again'],
    ['slower please', 'slower'],
    ['louder', 'louder'],
    ['I have a question', 'question'],
  ])('takes "%s" for a command', (text, command) => {
    expect(meaning(text)).toEqual({ kind: 'command', command });
  });

  it.each([
    'then I stop when it sputters',
    'shake it again and do the same steps',
    'breathe in slower and deeper',
    'I call the nurse for help if it does not go away',
    'I turn it up',
    'yes',
    'I wash it again after a week',
    '',
  ])('takes "%s" for an answer', (text) => {
    expect(meaning(text)).toEqual({ kind: 'answer' });
  });

  it.each([
    "I can't breathe",
    'oh god i cant breathe',
    'my chest hurts',
    'I have chest pain',
    'wait, I am having chest pain now',
    "and then I hold... I can't breathe",
  ])('hears the distress in "%s"', (text) => {
    expect(meaning(text).kind).toBe('distress');
  });

  it.each([
    'if I have chest pain I call 911',
    'when my chest hurts I call an ambulance',
    "if the rescue does not help or I can't breathe I call 911",
    'my husband had chest pain',
    'he says my chest hurts when he coughs',
    'I do not have chest pain',
    'do I call when I have chest pain',
    'chest pain or trouble breathing call 911',
  ])('hears none in "%s"', (text) => {
    expect(meaning(text).kind).not.toBe('distress');
  });

  it('knows yes from no', () => {
    expect(yesNo('yes', common, en)).toBe('yes');
    expect(yesNo('Yeah, sure', common, en)).toBe('yes');
    expect(yesNo('no', common, en)).toBe('no');
    expect(yesNo('nope', common, en)).toBe('no');
    expect(yesNo('yes no wait no', common, en)).toBe('no');
    expect(yesNo('the spacer is blue', common, en)).toBeNull();
    expect(yesNo('', common, en)).toBeNull();
  });

  it.each(['okay', 'OK.', 'all right', 'uh huh', 'yes that is what i said'])(
    'takes "%s" for a yes',
    (text) => {
      expect(yesNo(text, common, en)).toBe('yes');
    },
  );

  it.each(['not now', 'not really', 'no thank you', 'no, that is not right'])(
    'takes "%s" for a no',
    (text) => {
      expect(yesNo(text, common, en)).toBe('no');
    },
  );

  it.each(['i am not sure what you mean', 'i can not to breathe', 'what was that about to stay sure'])(
    'finds neither in "%s"',
    (text) => {
      expect(yesNo(text, common, en)).toBeNull();
    },
  );
});
