import { languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findNegations, negated } from '../../src/scoring/polarity';
import { outsideText } from './outside-data';

export interface NegationRow {
  line: number;
  concept: string;
  text: string;
  negated: boolean;
}

const unquoted = (cell: string): string =>
  cell
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .replaceAll('""', '"')
    .replace(/\s+/g, ' ')
    .trim();

/** NegEx annotations (Apache-2.0): clinical sentences with one finding each, affirmed or negated. Null when absent. */
export function negationRows(): NegationRow[] | null {
  const text = outsideText('negation/Annotations-1-120-random.txt');
  if (text === null) return null;
  return text.split(/\r?\n/).flatMap((line, index) => {
    const [, concept, sentence, label] = line.split('\t');
    if (!concept || !sentence || !label) return [];
    return [
      {
        line: index + 1,
        concept: unquoted(concept),
        text: unquoted(sentence),
        negated: label.trim() === 'Negated',
      },
    ];
  });
}

const pack = languagePack('en')!;

/** Is the finding negated in its sentence? Null when its words do not stand there. */
export function findingNegated({ concept, text }: NegationRow): boolean | null {
  const shouted = text.indexOf(concept.toUpperCase());
  const start = shouted >= 0 ? shouted : text.toLowerCase().indexOf(concept.toLowerCase());
  if (start < 0) return null;
  const tokens = normalize(text, pack);
  const at = tokens.flatMap((token, i) =>
    token.start >= start && token.end <= start + concept.length ? [i] : [],
  );
  const [first] = at;
  const last = at.at(-1);
  if (first === undefined || last === undefined) return null;
  return negated(findNegations(tokens, pack), first, last + 1);
}
