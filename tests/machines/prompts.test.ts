import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type PromptKey, promptKeys, promptSlots } from '../../machines/prompts';
import { visitSlots } from '../../phrasebanks/schema';

const folder = new URL('../../phrasebanks/common/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.json'));

test('there is a file of prompts', () => {
  expect(files).toContain('en.json');
});

describe.each(files)('%s', (name) => {
  const { prompts } = JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as {
    prompts: Record<string, string>;
  };

  test('has every prompt the machines say, and no other', () => {
    expect(Object.keys(prompts).sort()).toEqual([...promptKeys].sort());
  });

  test('uses every slot of its prompt, and none that nobody fills', () => {
    const bad = Object.entries(prompts).flatMap(([key, text]) => {
      const used = [...text.matchAll(/\{(\w+)\}/g)].map((m) => m[1] as string);
      const own: readonly string[] = promptSlots[key as PromptKey] ?? [];
      const unknown = used.filter((s) => !own.includes(s) && !(visitSlots as readonly string[]).includes(s));
      const unused = own.filter((s) => !used.includes(s));
      return unknown.length + unused.length > 0 ? [`${key}: unknown ${unknown}, unused ${unused}`] : [];
    });
    expect(bad).toEqual([]);
  });
});
