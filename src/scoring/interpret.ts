import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { CommonFile } from '../../phrasebanks/schema';
import { standingOf } from './clauses';
import { distressIn } from './distress';
import { normalize, position, type Token } from './normalize';
import { findNegations, negated } from './polarity';
import { dice } from './similar';
import type { CommandName, Meaning, Utterance } from './types';
import { commandNames } from './types';

/** What is being listened for. */
export type TurnKind = 'answer' | 'short' | 'yes-no' | 'question';

/** A command is a whole utterance; polite words around it are let pass. This alike counts as the command. */
const soundsLike = 0.84;

function commandIn(tokens: readonly Token[], common: CommonFile, pack: LanguagePack): CommandName | null {
  if (tokens.length === 0 || tokens.length > 14) return null;
  const polite = new Set(pack.polite);
  const text = tokens.map((token) => token.word).join(' ');
  let best: { command: CommandName; size: number } | null = null;
  for (const command of commandNames) {
    for (const phrase of common.commands[command]) {
      const words = normalize(phrase, pack);
      if (words.length === 0) continue;
      const at = position(tokens, words);
      if (at >= 0) {
        const rest = tokens.filter((_, k) => k < at || k >= at + words.length);
        const wishes = (k: number): boolean => pack.wishes.includes(rest[k + 1]?.word ?? '');
        const stray = rest.filter(
          (token, k) => !polite.has(token.word) && !(token.word === pack.self && wishes(k)),
        ).length;
        const room = words.length < 3 || tokens[0]?.word === pack.self ? 0 : 1;
        if (stray <= room && (!best || words.length > best.size)) best = { command, size: words.length };
      } else if (words.length >= 2 && Math.abs(words.length - tokens.length) <= 1) {
        const known = words.map((token) => token.word).join(' ');
        if (dice(text, known) >= soundsLike && (!best || words.length > best.size))
          best = { command, size: words.length };
      }
    }
  }
  return best?.command ?? null;
}

/** Is a whole utterance a voice command, words of distress, or an answer? */
export function interpret(
  heard: string | Utterance,
  common: CommonFile,
  kind: TurnKind,
  pack: LanguagePack,
): Meaning {
  const text = typeof heard === 'string' ? heard : heard.text;
  const tokens = normalize(text, pack);
  const phrase = distressIn(tokens, common, pack);
  if (phrase !== null) return { kind: 'distress', phrase };
  const command = commandIn(tokens, common, pack);
  if (command === null) return { kind: 'answer' };
  // Yes and no answer a question; elsewhere a bare yes is an answer that says nothing.
  if ((command === 'yes' || command === 'no') && kind !== 'yes-no') return { kind: 'answer' };
  return { kind: 'command', command };
}

/** The words alone: no capitals, no punctuation. */
const bare = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}' ]+/gu, ' ')
    .trim()
    .replace(/ +/g, ' ');

/** Yes, no, or neither is clear. A yes taken back ("yes, no wait, no") is no. */
export function yesNo(
  heard: string | Utterance,
  common: CommonFile,
  pack: LanguagePack,
): 'yes' | 'no' | null {
  const text = typeof heard === 'string' ? heard : heard.text;
  const tokens = normalize(text, pack);
  const negators = new Set(pack.negation.plain);
  const last = (phrases: readonly string[]): { end: number; size: number } | null => {
    let best: { end: number; size: number } | null = null;
    for (const phrase of phrases) {
      const words = normalize(phrase, pack);
      if (words.length === 0) continue;
      for (let at = position(tokens, words); at >= 0; at = position(tokens, words, at + 1)) {
        const end = at + words.length;
        // "I am not sure what you mean" and "I can not breathe" hold a yes, but are none.
        const leads = at <= 1 || tokens.length - words.length <= 2;
        if (!leads || negators.has(tokens[end]?.word ?? '')) continue;
        if (!best || end > best.end || (end === best.end && words.length > best.size))
          best = { end, size: words.length };
      }
    }
    return best;
  };
  // "Okay" alone is an answer here, though elsewhere it says nothing and is passed over.
  const whole = bare(text);
  if (common.commands.no.some((phrase) => bare(phrase) === whole)) return 'no';
  if (common.commands.yes.some((phrase) => bare(phrase) === whole)) return 'yes';
  const yes = last(common.commands.yes);
  const no = last(common.commands.no);
  if (yes && no) {
    // "not right" holds "right"; the longer one counts. Otherwise the first word decides unless it is taken back.
    if (yes.end === no.end) return no.size >= yes.size ? 'no' : 'yes';
    const { repairs } = standingOf(tokens, pack);
    if (repairs.length > 0) return yes.end > no.end ? 'yes' : 'no';
    return null;
  }
  if (no) return 'no';
  if (!yes) return null;
  const negations = findNegations(tokens, pack);
  return negated(negations, yes.end - 1, yes.end) ? 'no' : 'yes';
}
