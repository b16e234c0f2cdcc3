import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asSpoken } from '../../src/speaking/spoken';

describe('text as it is spoken', () => {
  it.each([
    ['Call 911 right away.', 'Call 9 1 1 right away.'],
    ['Call your nurse at 555-0142.', 'Call your nurse at 5 5 5, 0 1 4 2.'],
    ['Call (555) 555-0142 today.', 'Call 5 5 5, 5 5 5, 0 1 4 2 today.'],
    ['Call the ward at 4210.', 'Call the ward at 4 2 1 0.'],
  ])('says numbers to dial digit by digit: %s', (written, spoken) => {
    expect(asSpoken(written, 'en')).toBe(spoken);
  });

  it.each([
    ['Hold it for 10 s.', 'Hold it for 10 seconds.'],
    ['Wait 1 min, then go on.', 'Wait 1 minute, then go on.'],
    ['Stay 10 ft away.', 'Stay 10 feet away.'],
    ['It is set to 2.5 L/min.', 'It is set to 2.5 liters a minute.'],
    ['Dr. Ames & the team', 'Doctor Ames and the team'],
  ])('says units and short forms in full: %s', (written, spoken) => {
    expect(asSpoken(written, 'en')).toBe(spoken);
  });

  it.each(['Wait 10-15 seconds.', 'Take 10 puffs.', 'Set it to 2.5.', 'Count to 100.', 'Room 12, bed 3.'])(
    'leaves amounts alone: %s',
    (text) => expect(asSpoken(text, 'en')).toBe(text),
  );

  it('leaves medicine names alone', () => {
    const text = 'Your albuterol sulfate HFA, formoterol and Xopenol-12 stay as they are.';
    expect(asSpoken(text, 'en')).toBe(text);
  });

  it('speaks Spanish and French units', () => {
    expect(asSpoken('Aguante 10 s.', 'es-MX')).toBe('Aguante 10 segundos.');
    expect(asSpoken('Attendez 1 min.', 'fr')).toBe('Attendez 1 minute.');
    expect(asSpoken('Appelez le 06 12 34 56 78.', 'fr')).toBe('Appelez le 0 6, 1 2, 3 4, 5 6, 7 8.');
  });

  it('still spells phone numbers in a language it has no words for', () => {
    expect(asSpoken('5 min, 555-0142', 'de')).toBe('5 min, 5 5 5, 0 1 4 2');
  });

  it('never changes text without digits, and settles after one pass', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const words = text.replace(/[\d&.]/g, '');
        expect(asSpoken(words, 'en')).toBe(words);
        const once = asSpoken(text, 'en');
        expect(asSpoken(once, 'en')).toBe(once);
      }),
    );
  });
});
