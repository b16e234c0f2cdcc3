import { commandNames } from '../../phrasebanks/commands';
import type { JudgingFile } from '../../phrasebanks/judging';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { CommonFile } from '../../phrasebanks/schema';
import { standingOf } from './clauses';
import { distressIn } from './distress';
import { phrasesFor } from './hints';
import { normalize, position, type Token } from './normalize';
import { findNegations, negated } from './polarity';
import { dice } from './similar';
import type { CommandName, Finding, Meaning, Utterance } from './types';

/** What is being listened for. */
export type TurnKind = 'answer' | 'short' | 'yes-no' | 'question';

/** This alike to a known way of saying it, of two words or more, counts as that. */
const soundsLike = 0.84;
const longestCommand = 16;

/** Words beside a way of so many words that may belong to nothing; one more where the voice is spoken to. */
const room = (longest: number, spokenTo: boolean): number =>
  (longest >= 3 ? 2 : longest - 1) + (spokenTo && longest > 1 ? 1 : 0);
/** The same where it is not known what an answer would be made of. */
const strictRoom = (longest: number): number => (longest >= 4 ? 1 : 0);

/** What nobody does to a device goes without saying whom it is said to. */
const mayHaveReason = (command: CommandName, spokenTo: boolean): boolean =>
  command === 'louder' ||
  command === 'quieter' ||
  (spokenTo && (command === 'slower' || command === 'faster'));

interface Way {
  command: CommandName;
  words: string[];
  text: string;
}
const ways = new WeakMap<CommonFile, Way[]>();

/** All ways to say a command, longest first. Compared word by word as they stand: "repite" asks, "repito" tells. */
function waysOf(common: CommonFile, pack: LanguagePack): Way[] {
  const known = ways.get(common);
  if (known) return known;
  const made = commandNames
    .flatMap((command) =>
      common.commands[command].map((phrase) => {
        const words = normalize(phrase, pack).map(({ word }) => asked(word, pack));
        return { command, words, text: words.join(' ') };
      }),
    )
    .filter(({ words }) => words.length > 0)
    .sort((a, b) => b.words.length - a.words.length);
  ways.set(common, made);
  return made;
}

/** A word as others that ask the same: "baisse", "baissez" and "baisser". */
const asked = (word: string, pack: LanguagePack): string =>
  pack.sameAsked.reduce((same, [ending, one]) => same.replace(ending, one), word);

/** Marks where the words of a way stand. @returns does it stand anywhere? */
function cover(said: readonly string[], { words }: Way, covered: boolean[]): boolean {
  let found = false;
  for (let at = 0; at + words.length <= said.length; at++) {
    if (!words.every((word, k) => said[at + k] === word)) continue;
    covered.fill(true, at, at + words.length);
    found = true;
  }
  return found;
}

/**
 * A command is a whole utterance: ways to say a command, words that people put around it (polite words, and such as
 * "talk", "a little", "for me"), and at most a few that belong to nothing: fewer when one of them is a word that
 * answers are made of (`about`). An "I" that wishes nothing tells what one does. Why the voice should be another may
 * follow in any words: "not so loud, people are asleep".
 */
function commandIn(
  tokens: readonly Token[],
  common: CommonFile,
  pack: LanguagePack,
  about: ReadonlySet<string> | undefined,
  spokenTo: boolean,
  yesOrNo: boolean,
): CommandName | null {
  if (tokens.length === 0 || tokens.length > longestCommand) return null;
  const said = tokens.map(({ word }) => asked(word, pack));
  const around = new Set([...pack.polite, ...pack.addressing]);
  const negators = new Set([...pack.negation.plain, ...pack.refusals]);
  // "Hold on, what was that": the words of the one do not speak against the other.
  const any = said.map(() => false);
  for (const way of waysOf(common, pack)) {
    if (way.command === 'yes' || way.command === 'no') continue;
    if (way.words.length > 1) cover(said, way, any);
  }
  let best: { command: CommandName; longest: number; size: number; stray: number } | null = null;
  for (const command of commandNames) {
    // "I hear nothing at all" holds a no, which nobody asked for.
    if (!yesOrNo && (command === 'yes' || command === 'no')) continue;
    const covered = said.map(() => false);
    let longest = 0;
    for (const way of waysOf(common, pack))
      if (way.command === command && cover(said, way, covered)) longest = Math.max(longest, way.words.length);
    if (longest === 0) continue;
    const size = covered.filter(Boolean).length;
    const first = tokens.slice(0, covered.indexOf(true));
    const leads = first.every(({ word }) => around.has(word) || pack.toVoice.includes(word));
    const end =
      leads && (longest > 1 || spokenTo) && mayHaveReason(command, spokenTo)
        ? covered.lastIndexOf(true) + 1
        : tokens.length;
    const reason = tokens.slice(end);
    const why =
      reason.length > 1 &&
      !tokens.some(({ word }) => pack.cases.includes(word)) &&
      (spokenTo || !reason.some(({ word, stem }) => word === pack.self || about?.has(stem) !== false));
    const rest = tokens.filter((_, k) => !(why && k >= end) && !covered[k] && !(longest > 1 && any[k]));
    const stray = rest.filter(
      ({ word }, k) =>
        !around.has(word) && !(word === pack.self && pack.wishes.includes(rest[k + 1]?.word ?? '')),
    );
    if (rest.some(({ word }) => negators.has(word))) continue;
    if (stray.some(({ word }) => word === pack.self) && !spokenTo) continue;
    const ofAnswers = about === undefined || stray.some(({ stem }) => about.has(stem));
    if (stray.length > (ofAnswers ? strictRoom(longest) : room(longest, spokenTo))) continue;
    if (
      !best ||
      longest > best.longest ||
      (longest === best.longest &&
        (stray.length < best.stray || (stray.length === best.stray && size > best.size)))
    )
      best = { command, longest, size, stray: stray.length };
  }
  if (best) return best.command;
  const text = said.join(' ');
  const alike = waysOf(common, pack).find(
    (way) =>
      way.words.length >= 2 &&
      (yesOrNo || (way.command !== 'yes' && way.command !== 'no')) &&
      // "I turn it up" tells what one does.
      (said[0] === pack.self) === (way.words[0] === pack.self) &&
      Math.abs(way.words.length - said.length) <= 1 &&
      dice(text, way.text) >= soundsLike,
  );
  return alike?.command ?? (about ? cuedIn(tokens, pack, about, around, negators, spokenTo) : null);
}

const longestCued = 12;
/** Words that belong neither to the cue nor around a command. */
const cueRoom = 3;

/** A command that is said in a new way: known by its cues, where no word of an answer stands beside them. */
function cuedIn(
  tokens: readonly Token[],
  pack: LanguagePack,
  about: ReadonlySet<string>,
  around: ReadonlySet<string>,
  negators: ReadonlySet<string>,
  spokenTo: boolean,
): CommandName | null {
  if (tokens.length < 2 || tokens.length > longestCued) return null;
  const own = (k: number): boolean => {
    const next = tokens[k + 1]?.word ?? '';
    return tokens[k]!.word === pack.self && !pack.wishes.includes(next) && !negators.has(next);
  };
  if (tokens.some((_, k) => own(k)) && !spokenTo) return null;
  if (tokens.some(({ word }) => pack.cases.includes(word))) return null;
  for (const [command, cues] of Object.entries(pack.cues)) {
    const named = new Set(cues.flatMap((cue) => cue.split(/[ |]/)));
    for (const cue of cues) {
      const used = new Set<number>();
      const fits = cue.split(' ').every((group) => {
        const words = group.split('|');
        const at = tokens.findIndex(({ word }, k) => !used.has(k) && words.includes(word));
        if (at >= 0) used.add(at);
        return at >= 0;
      });
      if (!fits) continue;
      const rest = tokens.filter(({ word }, k) => !used.has(k) && !named.has(word) && !around.has(word));
      const stray = rest.filter(({ word }) => !pack.toVoice.includes(word));
      if (stray.length > cueRoom || stray.some(({ stem, word }) => about.has(stem) || negators.has(word)))
        continue;
      return command as CommandName;
    }
  }
  return null;
}

/** Is this plainly said to the voice? "Please" is a filler, and gone from the words that are compared. */
function isSpokenTo(text: string, tokens: readonly Token[], pack: LanguagePack): boolean {
  const words = [...tokens.map(({ word }) => word), ...bare(text).split(' ')];
  return words.some((word) => pack.toVoice.includes(word));
}

const answerWords = new WeakMap<JudgingFile, ReadonlySet<string>>();

/** Stems of the words that answers to a module are made of, without those that say little. For `interpret`. */
export function wordsOfAnswers(judging: JudgingFile, pack: LanguagePack): ReadonlySet<string> {
  const known = answerWords.get(judging);
  if (known) return known;
  const little = new Set([...pack.polite, ...pack.addressing, ...pack.toVoice, ...pack.stopWords]);
  const stems = new Set(pack.stopWords.flatMap((word) => normalize(word, pack).map(({ stem }) => stem)));
  const made = new Set(
    phrasesFor(judging, Object.keys(judging.concepts))
      .flatMap((phrase) => normalize(phrase, pack))
      .filter(({ word, stem }) => !little.has(word) && !stems.has(stem))
      .map(({ stem }) => stem),
  );
  answerWords.set(judging, made);
  return made;
}

/** Is a whole utterance a voice command, words of distress, or an answer? `about`: see `wordsOfAnswers`. */
export function interpret(
  heard: string | Utterance,
  common: CommonFile,
  kind: TurnKind,
  pack: LanguagePack,
  about?: ReadonlySet<string>,
): Meaning {
  const text = typeof heard === 'string' ? heard : heard.text;
  const tokens = normalize(text, pack);
  // "I am done for today" is no cry.
  const whole = tokens.map((token) => token.word).join(' ');
  const known = waysOf(common, pack).some(
    (way) => way.command !== 'help' && way.words.length > 3 && way.text === whole,
  );
  const phrase = known ? null : distressIn(tokens, common, pack);
  if (phrase !== null) return { kind: 'distress', phrase };
  const command = commandIn(tokens, common, pack, about, isSpokenTo(text, tokens, pack), kind === 'yes-no');
  if (command === null) return { kind: 'answer' };
  // Yes and no answer a question; elsewhere a bare yes is an answer that says nothing.
  if ((command === 'yes' || command === 'no') && kind !== 'yes-no') return { kind: 'answer' };
  return { kind: 'command', command };
}

/** Commands that nobody gives as an answer. */
const neverAnswers = new Set<CommandName>(['question', 'where', 'yes', 'no']);

/**
 * A command that is as well an answer to what was asked: "one minute" to how long one waits, "turn it up" to what one
 * does with the flow. Not when it is plainly meant for the voice. `findings`: the same words, judged.
 */
export function answersInstead(
  command: CommandName,
  kind: TurnKind,
  text: string,
  findings: readonly Finding[],
  pack: LanguagePack,
): boolean {
  if (neverAnswers.has(command)) return false;
  // "One more time" is all that is missing, but not all of a step.
  if (command === 'again' && kind !== 'short') return false;
  if (isSpokenTo(text, normalize(text, pack), pack)) return false;
  return findings.some(
    ({ label }) =>
      label === 'understood' || label === 'misconception' || (command === 'help' && label === 'partial'),
  );
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
