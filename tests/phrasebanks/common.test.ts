import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { promptKeys, promptSlots } from '../../machines/prompts';
import { commonSchema, visitSlots } from '../../phrasebanks/schema';
import { count, grade, sentences, words } from '../../src/content/readability';

const root = new URL('../../phrasebanks/common/', import.meta.url);
const languages = existsSync(root)
  ? readdirSync(root).flatMap((file) => file.match(/^(.+)\.json$/)?.[1] ?? [])
  : [];

describe.each(languages)('what all modules share, in %s', (language) => {
  const common = commonSchema.parse(JSON.parse(readFileSync(new URL(`${language}.json`, root), 'utf8')));
  const prompts = Object.entries(common.prompts) as [keyof typeof promptSlots, string][];

  it('says which language it is', () => expect(common.language).toBe(language));

  it('has exactly the prompts that the machines say', () => {
    expect(Object.keys(common.prompts).sort()).toEqual([...promptKeys].sort());
  });

  it('fills the slots of each prompt, and no others', () => {
    for (const [key, text] of prompts) {
      const used = [...text.matchAll(/\{(\w+)\}/g)].map((match) => match[1]!);
      const own: readonly string[] = promptSlots[key];
      expect(used, key).toEqual(expect.arrayContaining([...own]));
      const known: readonly string[] = [...own, ...visitSlots];
      expect(
        used.filter((slot) => !known.includes(slot)),
        key,
      ).toEqual([]);
    }
  });

  it('says back what was heard at the very end, as that brings its own stop', () => {
    expect(common.prompts.iHeard).toMatch(/\{text\}$/);
  });

  it('keeps each prompt to two sentences of at most 16 words', () => {
    for (const [key, text] of prompts) {
      expect(sentences(text).length, key).toBeLessThanOrEqual(2);
      for (const sentence of sentences(text))
        expect(words(sentence).length, sentence).toBeLessThanOrEqual(16);
    }
  });

  it('takes the blame on itself', () => {
    expect(JSON.stringify(common.prompts)).not.toMatch(/\b(wrong|incorrect|mistake|failed)\b/i);
  });

  it('gives each command its own ways to say it', () => {
    const all = Object.values(common.commands).flat();
    expect(all.length).toBe(new Set(all).size);
    for (const ways of Object.values(common.commands)) expect(ways.length).toBeGreaterThan(3);
  });

  it('writes commands and distress as a recogniser hands them over', () => {
    for (const phrase of [...Object.values(common.commands).flat(), ...common.distress.phrases])
      expect(phrase).toMatch(/^[\p{Ll}\p{N}' ]+$/u);
  });

  it('never takes a command for distress', () => {
    const commands = new Set(Object.values(common.commands).flat());
    expect(common.distress.phrases.filter((phrase) => commands.has(phrase))).toEqual([]);
  });

  // The rules below know English only.
  if (language !== 'en') return;
  it('speaks of distress in the first person and the present', () => {
    expect(
      common.distress.phrases.filter((phrase) => !/\b(i|i'm|i've|my|me|this|there)\b/.test(phrase)),
    ).toEqual(['it is hard to breathe right now']);
    expect(common.distress.phrases.filter((phrase) => /\b(if|when|would|could)\b/.test(phrase))).toEqual([]);
  });

  it('reads at 6th grade or below', () => {
    const filled = (text: string) => text.replaceAll(/\{\w+\}/g, 'your nurse');
    const all = prompts.map(([, text]) => filled(text)).join(' ');
    expect(grade(count(all))).toBeLessThanOrEqual(6);
    // One sentence of six words says little about a grade; a prompt is held to a looser one.
    const hard = prompts.filter(([, text]) => grade(count(filled(text))) > 8);
    expect(hard).toEqual([]);
  });
});
