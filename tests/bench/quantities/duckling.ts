import { languagePack } from '../../../src/scoring';
import {
  namedUnit,
  near,
  numbersOf,
  type Outcome,
  quantitiesOf,
  type Rules,
  read,
  run,
  shown,
} from './cases';

/* duckling (BSD-3): numerals and durations. */

interface Duckling {
  dim: string;
  lang: string;
  expect: string;
  text: string;
}

export function duckling(dim: 'Numeral' | 'Duration', lang: string): Outcome {
  const pack = languagePack(lang.toLowerCase())!;
  const all = read<Duckling[]>('duckling_vectors.json').filter(
    (item) => item.dim === dim && item.lang === lang,
  );
  const value = ({ expect }: Duckling): number => {
    const [, number = '', unit = ''] = /^\w+ \(?(-?[\d_.e]+)(?: (\w+))?/.exec(expect) ?? [];
    return Number(number.replaceAll('_', '')) * (dim === 'Duration' ? (namedUnit[unit] ?? Number.NaN) : 1);
  };
  const rules: Rules<Duckling> = [
    ['below zero', ({ expect }) => expect.includes('(-')],
    ['figures glued to letters', ({ text }) => /\d[A-Za-z]/.test(text)],
    ['dozens', ({ text }) => /doz/i.test(text)],
    ['Indian number words', ({ text }) => /lakh|lkh|lac\b|crore|krore|koti|\b[ck]r\b|\d l$/i.test(text)],
    ['fractions other than halves and quarters', ({ text }) => /\d\/(?![24]\b)\d/.test(text)],
    ['quote marks as units', ({ text }) => /\d['"]/.test(text)],
    ['quarters of a year', ({ expect }) => expect.includes('Quarter')],
  ];
  return run<Duckling>(
    `duckling ${lang} ${dim.toLowerCase()}`,
    all,
    rules,
    (item) => {
      const negative = item.expect.startsWith('NEGATIVE');
      if (dim === 'Numeral') {
        const found = numbersOf(item.text, pack);
        return negative
          ? found.length === 0
          : found.length > 0 && found.every((each) => near(each, value(item)));
      }
      const found = quantitiesOf(item.text, pack).filter((said) => said.kind === 'duration');
      if (negative) return found.length === 0;
      // "a month and a half" is 45 days there, a month and a half of mean length here.
      return found.length === 1 && near(found[0]!.low, value(item), 0.02);
    },
    (item) =>
      `${item.text} -> ${dim === 'Numeral' ? numbersOf(item.text, pack) : shown(quantitiesOf(item.text, pack))} (${item.expect})`,
  );
}
