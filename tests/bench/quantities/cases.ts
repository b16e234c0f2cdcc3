import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { LanguagePack } from '../../../phrasebanks/languages/pack';
import { normalize } from '../../../src/scoring/normalize';
import { findNumbers } from '../../../src/scoring/numbers';
import { findQuantities, type QuantitySaid } from '../../../src/scoring/quantity';

/* Cases of other people, what is right of them, and what is said in them as it is found here. */

const folder = fileURLToPath(new URL('../../../../shared/datasets/numbers/', import.meta.url));
export const dataIsThere = (): boolean => existsSync(folder);

export interface Outcome {
  set: string;
  cases: number;
  inScope: number;
  right: number;
  /** Kind of input -> how many cases of it were left out. */
  out: Record<string, number>;
  wrong: string[];
}
export const share = ({ right, inScope }: Pick<Outcome, 'right' | 'inScope'>): number => right / inScope;

/** The first rule that fits names why a case is out of scope. */
export type Rules<Case> = [kind: string, fits: (item: Case) => boolean][];

export function run<Case>(
  set: string,
  cases: readonly Case[],
  rules: Rules<Case>,
  right: (item: Case) => boolean,
  show: (item: Case) => string,
): Outcome {
  const outcome: Outcome = { set, cases: cases.length, inScope: 0, right: 0, out: {}, wrong: [] };
  for (const item of cases) {
    const rule = rules.find(([, fits]) => fits(item));
    if (rule) {
      outcome.out[rule[0]] = (outcome.out[rule[0]] ?? 0) + 1;
      continue;
    }
    outcome.inScope++;
    if (right(item)) outcome.right++;
    else outcome.wrong.push(show(item));
  }
  return outcome;
}

export const read = <T>(name: string): T =>
  JSON.parse(readFileSync(folder + name, 'utf8').replace(/^\uFEFF/, '')) as T;
export const near = (a: number, b: number, within = 1e-9): boolean =>
  Math.abs(a - b) <= within * Math.max(1e-12, Math.abs(a), Math.abs(b));
/** In English: name -> language. */
export const packs: Record<string, string> = { English: 'en', Spanish: 'es', French: 'fr' };

/** Seconds. A month and a year as in src/scoring/quantity. */
export const week = 604_800;
const month = 2_629_800;
export const namedUnit: Record<string, number> = {
  Second: 1,
  Minute: 60,
  Hour: 3600,
  Day: 86_400,
  Week: week,
  Month: month,
  Quarter: 3 * month,
  Year: 31_557_600,
};

export function numbersOf(text: string, pack: LanguagePack): number[] {
  return findNumbers(normalize(text, pack), pack).flatMap(({ low, high }) =>
    low === high ? [low] : [low, high],
  );
}

export const quantitiesOf = (text: string, pack: LanguagePack): QuantitySaid[] =>
  findQuantities(normalize(text, pack), pack);

export const shown = (list: readonly QuantitySaid[]): string =>
  list.map((said) => `${said.kind} ${said.low}..${said.high}`).join(', ');
