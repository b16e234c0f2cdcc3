import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Token } from './normalize';
import type { QuantitySaid } from './reading';

/** "ten, no wait, five" and "not five, one": the first number is taken back. */
export function dropTakenBack(
  tokens: readonly Token[],
  found: QuantitySaid[],
  pack: LanguagePack,
): QuantitySaid[] {
  const longestGap = 8;
  /** What is said between an amount and the next: the first is taken back, or it cannot be told, or neither. */
  const turnAfter = (index: number): 'back' | 'unclear' | null => {
    const [quantity, next] = [found[index], found[index + 1]];
    if (!quantity || !next || next.start - quantity.end > longestGap) return null;
    const words = tokens.slice(quantity.end, next.start);
    const between = words.map((token) => token.word).join(' ');
    if (pack.refusals.includes(between)) return 'back';
    if (pack.pausedRefusals.includes(between))
      return tokens[next.start]!.start - words.at(-1)!.end > 1 ? 'back' : 'unclear';
    return pack.repairs.some((cue) => ` ${between} `.includes(` ${cue} `)) ? 'back' : null;
  };
  const refused = (index: number): boolean => {
    const quantity = found[index];
    if (!quantity || !pack.negation.plain.includes(tokens[quantity.start - 1]?.word ?? '')) return false;
    return index === 0 || found[index - 1]!.end !== quantity.start - 1 || turnAfter(index - 1) === null;
  };
  return found.filter((quantity, index) => {
    const next = found[index + 1];
    if (refused(index) && found.length > 1) return false;
    // "five, not five, one"
    if (refused(index + 1) && next!.low === quantity.low && next!.kind === quantity.kind) return false;
    return turnAfter(index) !== 'back';
  });
}
