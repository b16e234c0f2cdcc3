import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Token } from './normalize';

/** "1,250", "2.5", ".5", "1/2" as the language writes them, or null: a time, an address. */
export function readFigures(text: string, mark: '.' | ','): number | null {
  const fraction = /^(\d+)[/\u2044](\d+)$/.exec(text);
  if (fraction) return Number(fraction[1]) / Number(fraction[2]);
  if (/^\d+$/.test(text)) return Number(text);
  if (/^[.,]\d+$/.test(text)) return Number(`0.${text.slice(1)}`);
  const pieces = text.split(/[.,]/);
  if (pieces.some((piece) => !/^\d+$/.test(piece))) return null;
  const marks = [...text.replace(/\d/g, '')];
  const last = pieces.at(-1)!;
  const grouped = (groups: string[]): boolean =>
    groups[0]!.length <= 3 &&
    groups[0] !== '0' &&
    groups.at(-1)!.length === 3 &&
    groups.slice(1).every((group) => group.length === 2 || group.length === 3);
  if (marks.every((each) => each === marks[0])) {
    if (marks.length > 1 || marks[0] !== mark) {
      if (grouped(pieces) && (marks.length > 1 || last.length === 3)) return Number(pieces.join(''));
      if (marks.length > 1) return null;
    }
    return Number(`${pieces[0]}.${last}`);
  }
  const whole = pieces.slice(0, -1);
  const decimal = marks.at(-1)!;
  if (marks.slice(0, -1).some((each) => each === decimal) || !grouped(whole)) return null;
  return Number(`${whole.join('')}.${last}`);
}

/** Of three figures each; longer ones are lists. */
const mostGroups = 4;

/** Figures, with thousands set apart by spaces: "40 000". */
export function figuresAt(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { value: number; end: number } | null {
  const first = tokens[i]?.word;
  if (first === undefined || !/^[\d.,]/.test(first)) return null;
  let text = first;
  let end = i + 1;
  if (/^[1-9]\d{0,2}$/.test(first)) {
    while (end < tokens.length && end <= i + mostGroups && tokens[end]!.start === tokens[end - 1]!.end + 1) {
      const group = /^(\d{3})([.,]\d+)?$/.exec(tokens[end]!.word);
      if (!group) break;
      text += group[0];
      end++;
      if (group[2]) break;
    }
  }
  if (end > i + 1) return { value: Number(text.replace(',', '.')), end };
  const value = readFigures(text, pack.numbers.decimalMark);
  return value === null ? null : { value, end };
}
