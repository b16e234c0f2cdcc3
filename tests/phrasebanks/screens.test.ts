import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { screensSchema } from '../../phrasebanks/schema';

const languages = readdirSync(new URL('../../phrasebanks/common/', import.meta.url)).flatMap(
  (file) => file.match(/^(.+)\.json$/)?.[1] ?? [],
);
const { listening, ...english } = readCommon('en').screens;

describe.each(languages)('the words of the screens, in %s', (language) => {
  // Read through the schema: no key is missing, none is unknown, every slot is there.
  const { screens, blame } = readCommon(language);

  if (language !== 'en')
    it('are its own, not the English ones', () => {
      const flat = { ...screens, ...screens.listening };
      const same = Object.entries({ ...english, ...listening })
        .filter(([key, text]) => flat[key as keyof typeof flat] === text)
        .map(([, text]) => text);
      // Words that happen to be spelled alike.
      expect(same.filter((text) => !['No', 'Question'].includes(text))).toEqual([]);
    });

  it('call the same thing by the same name whether shown or said', () => {
    const { commands } = readCommon(language);
    const bare = (text: string) =>
      text
        .toLowerCase()
        .replaceAll('’', "'")
        .replaceAll(/[^\p{L}\p{N}' ]/gu, '');
    for (const command of ['again', 'slower', 'louder', 'question', 'yes', 'no', 'next'] as const)
      expect(commands[command].map(bare), command).toContain(bare(screens[command]));
  });

  it('blame nobody', () => {
    const all = JSON.stringify(screens).toLowerCase();
    expect(blame.filter((word) => new RegExp(`(?<!\\p{L})${word}(?!\\p{L})`, 'u').test(all))).toEqual([]);
  });
});

describe('the schema of the words of the screens', () => {
  const { screens } = readCommon('en');
  it.each([
    ['a missing word', { ...screens, help: undefined }],
    ['an unknown word', { ...screens, hepl: 'Help' }],
    ['a slot left out', { ...screens, step: 'Step {index}' }],
    ['a slot that is never filled', { ...screens, help: 'Call {careTeam}' }],
    ['a state of the ear without words', { ...screens, listening: { ...screens.listening, waiting: '' } }],
  ])('refuses %s', (_, given) => expect(screensSchema.safeParse(given).success).toBe(false));
});
