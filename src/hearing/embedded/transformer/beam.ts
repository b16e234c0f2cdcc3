import { END, type Listening, START } from './model';
import type { Prior } from './prior';

type Likelihood = Pick<Prior, 'begins' | 'is'>;

export interface BeamOptions {
  /** The letters that each token adds; undefined for those that are none. */
  pieces: readonly (string | undefined)[];
  /** How likely words are here, and at large. */
  prior?: Likelihood;
  atLarge?: Likelihood;
  /** Words as the priors have them. */
  tokens: (phrase: string) => string[];
  /** Texts that are kept in mind at once. */
  beams?: number;
  /** How much it counts that a word is likelier here than at large. */
  weight?: number;
  /** Tokens of a text at most. */
  most: number;
}

export interface Read {
  text: string;
  tokens: ReadToken[];
  score: number;
}

/** A token that was read. */
export interface ReadToken {
  piece: string;
  /** Natural logarithm of its probability, as the model alone has it. */
  log: number;
  /** That of the likeliest other one. */
  rival: number;
}

interface Text {
  tokens: ReadToken[];
  last: number;
  parent: number;
  score: number;
  before: string;
  /** Letters of the word that is being spelled. */
  word: string;
}

/** A text and the token that it may go on with. */
interface Grown extends Omit<Text, 'tokens' | 'last'> {
  token: number;
  piece: string;
  log: number;
  rival: number;
}

/** A token this much less likely than the best, as a logarithm, no prior should rescue. */
const HOPELESS = 9;
/** Tokens after which a text is looked at for saying the same again. */
const LONGEST_ROUND = 12;

/** Beam search over what a model hears, in the light of what is likely to be said. */
export async function read(heard: Listening, options: BeamOptions): Promise<Read> {
  const { pieces, beams = 4, most } = options;
  let live: Text[] = [{ tokens: [], last: START, parent: 0, score: 0, before: '', word: '' }];
  let best: Text | undefined;
  let ended = 0;
  for (let length = 0; length < most && live.length > 0; length++) {
    const rows = await heard.extend(
      live.map(({ parent }) => parent),
      live.map(({ last }) => last),
    );
    const next: Grown[] = [];
    rows.forEach((row, parent) => {
      const text = live[parent]!;
      for (const [rank, { token, log }] of row.entries()) {
        if (log < row[0]!.log - HOPELESS) break;
        // In noise every word costs dear, and a text that stops looks best: it may only where the model would stop.
        if (token === END && rank > 0) continue;
        const piece = token === END ? '' : pieces[token];
        if (piece === undefined) continue;
        const spelled = spell(text, token === END ? ' ' : piece, options);
        const rival = row[rank === 0 ? 1 : 0]?.log ?? Number.NEGATIVE_INFINITY;
        next.push({ ...spelled, token, piece, log, rival, parent, score: text.score + log + spelled.score });
      }
    });
    next.sort((a, b) => b.score - a.score);
    const parents = live;
    live = [];
    let kept = 0;
    for (const { token, piece, log, rival, ...grown } of next) {
      if (kept === beams) break;
      const { tokens } = parents[grown.parent]!;
      if (token !== END) {
        const longer = [...tokens, { piece, log, rival }];
        if (goesRound(longer)) continue;
        live.push({ ...grown, tokens: longer, last: token });
      } else {
        const whole = { ...grown, tokens, last: token };
        ended++;
        // By score alone the shortest would win, so texts are compared by score a token.
        if (!best || perToken(whole) > perToken(best)) best = whole;
      }
      kept++;
    }
    if (ended >= beams) break;
  }
  const winner = best ?? live[0];
  if (!winner) return { text: '', tokens: [], score: Number.NEGATIVE_INFINITY };
  return {
    text: winner.tokens
      .map(({ piece }) => piece)
      .join('')
      .trim(),
    tokens: winner.tokens,
    score: winner.score,
  };
}

const perToken = ({ score, tokens }: Text) => score / (tokens.length + 1);

/**
 * How much likelier some more letters are here than at large: the model has its own notion of what is said at large,
 * and a word that is only usual gains and loses nothing. A figure is weighed as the words it is read as, once it is
 * whole.
 */
function spell(
  text: Text,
  letters: string,
  { prior, atLarge, tokens, weight = 0.3 }: BeamOptions,
): { before: string; word: string; score: number } {
  let { before, word } = text;
  if (!prior || !atLarge) return { before, word, score: 0 };
  const odds = (of: 'begins' | 'is', what: string) => prior[of](before, what) / atLarge[of]('', what);
  let score = 0;
  /** What has been weighed of the word that is being spelled. */
  let weighed = /\d/.test(word) || word === '' ? 1 : odds('begins', word);
  for (const letter of letters.toLowerCase()) {
    if (/[\p{L}\p{M}\d'’]/u.test(letter)) {
      word += letter === '’' ? "'" : letter;
      continue;
    }
    if (word !== '') {
      for (const whole of tokens(word)) {
        score += Math.log(odds('is', whole) / weighed);
        weighed = 1;
        before = whole;
      }
      word = '';
    }
    if (/[.!?]/.test(letter)) before = '';
  }
  if (word !== '' && !/\d/.test(word)) score += Math.log(odds('begins', word) / weighed);
  return { before, word, score: weight * score };
}

/** A model that hears too little says the same again and again. */
function goesRound(tokens: Text['tokens']): boolean {
  for (let period = 1; period <= LONGEST_ROUND; period++) {
    const rounds = period < 3 ? 4 : 3;
    const from = tokens.length - period * rounds;
    if (from < 0) return false;
    let same = true;
    for (let at = from; same && at < tokens.length - period; at++)
      same = tokens[at]!.piece === tokens[at + period]!.piece;
    if (same) return true;
  }
  return false;
}
