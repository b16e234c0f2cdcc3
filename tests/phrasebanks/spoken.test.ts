import { expect, test } from 'vitest';
import { readJudging, readTeaching } from '../../phrasebanks/read';
import { spokenAbout } from '../../phrasebanks/spoken';

test('what may be said about a module holds its phrases, synonyms and teaching, without slots and signs', () => {
  const judging = readJudging('inhaler-spacer', 'en');
  const teaching = readTeaching('inhaler-spacer', 'en');
  const spoken = spokenAbout(judging, teaching);
  expect(spoken).toContain(Object.values(judging.concepts)[0]!.accept[0]);
  expect(spoken).toContain(
    Object.values(judging.words)
      .flat()
      .find((word) => /^[a-z]+$/.test(word)),
  );
  expect(spoken.length).toBeGreaterThan(Object.keys(teaching.steps).length);
  expect(spoken.filter((phrase) => /[{}_@]/.test(phrase))).toEqual([]);
  expect(new Set(spoken).size).toBe(spoken.length);
});

test('words with a hyphen are not glued together', () => {
  const spoken = spokenAbout(readJudging('inhaler-spacer', 'fr'), readTeaching('inhaler-spacer', 'fr'));
  expect(spoken).toContain('celui là');
  expect(spoken).not.toContain('celuilà');
});
