import llamaTokenizer from 'llama-tokenizer-js';

/** Tokens that stand for letters; those above are marks that no text shows. */
const LETTERS = 32_000;

/** The letters that each token adds to a text, by its number; undefined for marks. */
export const pieces: readonly (string | undefined)[] = (llamaTokenizer.vocabById as string[])
  .slice(0, LETTERS)
  .map((piece) => (/^<.*>$/.test(piece) ? undefined : piece.replaceAll('▁', ' ')));
