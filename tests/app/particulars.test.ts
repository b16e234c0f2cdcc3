import { describe, expect, it } from 'vitest';
import english from '../../phrasebanks/common/en.json';
import { commonSchema } from '../../phrasebanks/schema';
import { particularsOf } from '../../src/app/particulars';
import { readSite } from '../../src/app/site';

const common = commonSchema.parse(english);

describe('what a visit says of its particulars', () => {
  it('are the words of the language where nobody said otherwise', () => {
    const given = particularsOf(common, readSite('{}').site);
    expect(given).toMatchObject({
      medicine: 'your medicine',
      flameDistance: '10 feet',
      emergencyNumber: '911',
    });
  });

  it('are those of the site in this language before those, and what was typed before all', () => {
    const { site, problems } = readSite(
      '{"words":{"en":{"flameDistance":"15 feet"},"es":{"flameDistance":"5 metros"}},"callNumber":"555-0177"}',
    );
    expect(problems).toEqual([]);
    const given = particularsOf(common, site, {
      medicine: 'albuterol',
      timesADay: ' ',
      callNumber: '555-0199',
    });
    expect(given).toMatchObject({
      medicine: 'albuterol',
      timesADay: 'as often as your label says',
      flameDistance: '15 feet',
      callNumber: '555-0199',
    });
  });
});

it('a word slot that no text has is named', () => {
  const { problems } = readSite('{"words":{"en":{"fireDistance":"15 feet"}}}');
  expect(problems[0]).toContain('fireDistance');
});
