import type { ConceptJudging, JudgingFile, OrderRule } from '../../phrasebanks/judging';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Quantity } from '../../phrasebanks/schema';
import { orderAmong } from './cards';
import { compileDrafts, type Draft, type DraftConcept } from './draft';
import { type Lexicon, makeLexicon } from './lexicon';
import { readPhrase, type SoftPhrase, softPhrase, stemsOf, telling, type Weights, weigh } from './match';
import { normalize } from './normalize';
import { classesOf, compilePattern, type Pattern } from './pattern';
import { type PhraseFinder, phraseFinder } from './phrases';
import { type Topic, topicOf } from './topic';

/** One concept, compiled. */
export interface JudgeConcept {
  id: string;
  says: string;
  accept: SoftPhrase[];
  /** A concept drafted from plain sentences has this and nothing else. */
  draft?: Draft;
  parts: { id: string; alone: boolean; any: Pattern[] }[];
  hints: Pattern[];
  quantities: Quantity[];
  always: boolean;
  contradictions: { id: string; says: string; any: Pattern[]; phrases: SoftPhrase[] }[];
}

/** The concepts asked for in a turn, compiled once. */
export interface JudgeStep {
  concepts: JudgeConcept[];
  lexicon: Lexicon;
  /** Absent when the concepts are drafts. */
  topic?: Topic;
  /** Of the concepts of this step, which come first. */
  order?: OrderRule[];
  gutters: PhraseFinder;
  otherwise: PhraseFinder;
  weakGutters: PhraseFinder;
  rules: PhraseFinder;
  turns: PhraseFinder;
  /** "I", and the auxiliary that repeats what was said: "I do only when ...". */
  self: string;
  bare: string;
  /** Words by which speakers mean themselves. */
  own: ReadonlySet<string>;
  exceptions: PhraseFinder;
}

interface Bank {
  lexicon: Lexicon;
  weights: Weights;
  topic: Topic;
  concepts: Map<string, JudgeConcept>;
}
const banks = new WeakMap<JudgingFile, Map<string, Bank>>();

/** Compiles all concepts of a file, or throws with the concept and the pattern that cannot be read. */
function bankOf(judging: JudgingFile, pack: LanguagePack): Bank {
  const made = banks.get(judging)?.get(pack.language);
  if (made) return made;
  const phrases = new Set<string>();
  const compile = (concept: string, source: string): Pattern => {
    try {
      const pattern = compilePattern(source, (text) => phrases.add(text));
      for (const name of classesOf(pattern)) {
        if (!judging.words[name]) throw new Error(`"${source}": there is no words.${name}`);
      }
      return pattern;
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      throw new Error(`${judging.module}/${judging.language}.judging.json, ${concept}: ${message}`);
    }
  };
  const entries = Object.entries(judging.concepts);
  const patterns = entries.map(([id, concept]) => ({
    parts: concept.parts.map((part) => part.any.map((source) => compile(id, source))),
    hints: (concept.hints ?? []).map((source) => compile(id, source)),
    contradictions: concept.contradictions.map((item) => item.any.map((source) => compile(id, source))),
  }));
  const sentences = (concept: ConceptJudging): string[] => [
    concept.says,
    ...concept.accept,
    ...concept.contradictions.flatMap((item) => [item.says, ...(item.phrases ?? [])]),
  ];
  const documents = entries.map(([, concept]) => sentences(concept));
  const heard = documents.flat().flatMap((text) => normalize(text, pack).map((token) => token.word));
  const lexicon = makeLexicon(judging.words, phrases, [...heard, ...pack.common], pack);
  const weights = weigh(
    documents.map((texts) => new Set(texts.flatMap((text) => stemsOf(text, pack)))),
    pack,
  );
  const soft = (text: string): SoftPhrase => softPhrase(readPhrase(text, lexicon, pack), weights);
  const concepts = new Map<string, JudgeConcept>(
    entries.map(([id, concept], index) => {
      const accept = [concept.says, ...concept.accept].map(soft);
      const compiled: JudgeConcept = {
        id,
        says: concept.says,
        accept,
        parts: concept.parts.map((part, k) => ({
          id: part.id,
          alone: part.alone ?? true,
          any: patterns[index]!.parts[k]!,
        })),
        hints: patterns[index]!.hints,
        quantities: concept.quantities ?? [],
        always: concept.always ?? false,
        contradictions: concept.contradictions.map((item, k) => ({
          id: item.id,
          says: item.says,
          any: patterns[index]!.contradictions[k]!,
          phrases: [item.says, ...(item.phrases ?? [])].map((text) => telling(soft(text), accept)),
        })),
      };
      return [id, compiled];
    }),
  );
  for (const rule of judging.order ?? [])
    for (const id of [rule.first, rule.next])
      if (!concepts.has(id))
        throw new Error(
          `${judging.module}/${judging.language}.judging.json, order "${rule.id}": there is no concept "${id}"`,
        );
  const bank = { lexicon, weights, topic: topicOf(judging, phrases, pack), concepts };
  const byLanguage = banks.get(judging) ?? new Map<string, Bank>();
  byLanguage.set(pack.language, bank);
  banks.set(judging, byLanguage);
  return bank;
}

const common = (pack: LanguagePack): Omit<JudgeStep, 'concepts' | 'lexicon'> => ({
  gutters: phraseFinder(pack.gutters),
  otherwise: phraseFinder(pack.otherwise),
  weakGutters: phraseFinder(pack.weakGutters),
  rules: phraseFinder(pack.rules),
  turns: phraseFinder(pack.turns),
  self: pack.self,
  bare: pack.question.bare,
  own: new Set([pack.self, ...(pack.selves ?? [])]),
  exceptions: phraseFinder(pack.exceptions ?? []),
});

/** Compiles what a step asks for. Throws when a concept is not in the file. */
export function compileStep(
  judging: JudgingFile,
  concepts: readonly string[],
  pack: LanguagePack,
): JudgeStep {
  const bank = bankOf(judging, pack);
  return {
    lexicon: bank.lexicon,
    topic: bank.topic,
    order: orderAmong(judging, concepts),
    ...common(pack),
    concepts: concepts.map((id) => {
      const concept = bank.concepts.get(id);
      if (concept) return concept;
      throw new Error(`${judging.module}/${judging.language}.judging.json has no concept "${id}"`);
    }),
  };
}

/**
 * Builds a step from plain sentences alone. `background`: other sentences of the same trade, which help to tell
 * what its words are worth.
 */
export function draftConcepts(
  concepts: readonly DraftConcept[],
  pack: LanguagePack,
  background: readonly string[] = [],
): JudgeStep {
  const drafts = compileDrafts(concepts, pack, background);
  return {
    lexicon: makeLexicon({}, [], [], pack),
    ...common(pack),
    concepts: concepts.map(({ id, says }, index) => ({
      id,
      says,
      draft: drafts[index]!,
      accept: [],
      parts: [],
      hints: [],
      quantities: [],
      always: false,
      contradictions: [],
    })),
  };
}
