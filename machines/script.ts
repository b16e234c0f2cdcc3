import type { EndReason, SoundVerdict } from '../src/hearing/types';
import type { VisitStart } from '../src/records/types';
import type { Finding } from '../src/scoring/types';
import { type PromptKey, promptKeys } from './prompts';
import type { Lesson } from './types';

/*
 * Which sentences to say when. Pure: the same visit says the same words.
 */

/** What the words of a visit are made from. */
export interface Words {
  lesson: Lesson;
  start: VisitStart;
}

/** Fills {slots} by name; an unknown slot stays as it is, so that checks find it. */
export const fill = (text: string, slots: Readonly<Record<string, string>>): string =>
  text.replace(/\{(\w+)\}/g, (whole, name: string) => slots[name] ?? whole);

const inVisit = ({ start }: Words, sentences: readonly string[], slots: Record<string, string> = {}) =>
  sentences.map((s) => fill(s, { ...start.particulars, ...slots }));

/** A prompt as sentences; none when the phrasebank lacks it (`missingPrompts` tells before a visit). */
export const prompt = (words: Words, key: PromptKey, slots: Record<string, string> = {}): string[] => {
  const text = words.lesson.common.prompts[key];
  return text === undefined ? [] : inVisit(words, [text], slots);
};

/** Prompts that a phrasebank lacks. */
export const missingPrompts = (common: Lesson['common']): PromptKey[] =>
  promptKeys.filter((key) => common.prompts[key] === undefined);

/** Said besides when the learner goes by ear alone. */
const byEar = (words: Words, key: PromptKey) => (words.start.audioOnly ? prompt(words, key) : []);

const stepText = ({ lesson }: Words, step: string) => lesson.teaching.steps[step];
const conceptText = ({ lesson }: Words, concept: string) => lesson.teaching.concepts[concept];

/** Concepts of a step as the module lists them. */
export const conceptsOf = ({ module }: Lesson, step: string) =>
  module.steps.find((s) => s.id === step)?.concepts ?? [];

/** `cloud`: the learner agreed that the voice leaves the device, so nobody may say that it stays. */
export const welcome = (words: Words, cloud = false): string[] => [
  ...prompt(words, cloud ? 'welcomeCloud' : 'welcome'),
  ...(words.start.practice ? prompt(words, 'practiceNote') : []),
  ...(words.start.switches
    ? prompt(words, words.start.switches.keys === 'one' ? 'switchOne' : 'switchTwo')
    : []),
  ...prompt(words, 'soundCheck'),
  ...byEar(words, 'canSayYesNo'),
];

/** Before anything is heard. Pressed, not said: there is no ear for a yes. */
export const cloud = (words: Words): string[] => [
  ...prompt(words, 'cloudQuestion'),
  ...prompt(words, 'cloudTouch'),
];

/** What to change about the sound. */
export const soundAdvice: Record<Exclude<SoundVerdict, 'fine'>, YesNoKey> = {
  'too-quiet': 'soundTooQuiet',
  'too-loud': 'soundTooLoud',
  'too-noisy': 'soundTooNoisy',
};

/** "Step 3 of 7.", and its name. */
const stepLead = (words: Words, step: string): string[] => {
  const { steps } = words.start;
  const title = stepText(words, step)?.title;
  return title === undefined
    ? []
    : [
        ...prompt(words, 'stepCount', {
          index: String(steps.indexOf(step) + 1),
          count: String(steps.length),
        }),
        ...prompt(words, 'stepLead', { title }),
      ];
};

/** Where we are: in a step, before the first one, or after the last. */
export const where = (words: Words, at: { step: string } | 'start' | 'end'): string[] =>
  at === 'start'
    ? prompt(words, 'whereStart', { count: String(words.start.steps.length) })
    : at === 'end'
      ? prompt(words, 'whereEnd')
      : stepLead(words, at.step);

/** First teaching of a step, or the same again. */
export const explain = (words: Words, step: string): string[] => {
  const text = stepText(words, step);
  return text === undefined ? [] : [...stepLead(words, step), ...inVisit(words, text.teach)];
};

const findingOf = (findings: readonly Finding[], concept: string) =>
  findings.find((f) => f.concept === concept);

/** The one part that a finding says is missing, as a question; null when the whole has to be asked. */
const partQuestion = (words: Words, finding: Finding | undefined): string | null =>
  finding?.label === 'partial' && finding.missing !== undefined
    ? (conceptText(words, finding.concept)?.askPart?.[finding.missing] ?? null)
    : null;

/**
 * Is each point asked for by its own question, and not by the open one of the step? Also at the first try of a
 * re-check, while they are few: who was told the whole days ago need not tell all of it for one point.
 */
export const asksApart = ({ start }: Words, attempt: number, asked: readonly string[]): boolean =>
  attempt > 1 || (start.recheck !== undefined && asked.length <= 2);

/** First try: the step's open question. Later: only what is still missing. */
export const question = (
  words: Words,
  step: string,
  attempt: number,
  asked: readonly string[],
  findings: readonly Finding[],
): string[] => {
  const open = stepText(words, step)?.question;
  if (!asksApart(words, attempt, asked)) return open === undefined ? [] : inVisit(words, [open]);
  const asks = asked.flatMap((concept) => {
    const ask =
      partQuestion(words, findingOf(findings, concept)) ?? conceptText(words, concept)?.ask ?? open ?? null;
    return ask === null ? [] : [ask];
  });
  return inVisit(words, [...new Set(asks)]);
};

/** What is said to open a turn: a lead if there is one, the question, and what can be said now. */
export const ask = (
  words: Words,
  step: string,
  attempt: number,
  asked: readonly string[],
  findings: readonly Finding[],
  lead: readonly PromptKey[] = [],
): string[] => [
  // Nothing was explained before that would say where we are.
  ...(words.start.recheck && attempt === 1 && lead.length === 0 ? stepLead(words, step) : []),
  ...lead.flatMap((key) => prompt(words, key)),
  ...question(words, step, attempt, asked, findings),
  ...(attempt === 1 && lead.length === 0 ? prompt(words, 'yourTurn') : []),
  ...byEar(words, 'canSayAnswer'),
];

export const sayBack = (words: Words, text: string): string[] =>
  prompt(words, 'iHeard', { text: withStop(text) });

/** The ear writes stops of its own, or none: one is enough. */
const withStop = (text: string): string => {
  const bare = text.replace(/[.!\s]+$/u, '');
  return bare.endsWith('?') ? bare : `${bare}.`;
};

export const confirm = (words: Words, text: string): string[] => [
  ...sayBack(words, text),
  ...prompt(words, 'isThatRight'),
  ...byEar(words, 'canSayYesNo'),
];

/** Wrong beliefs put right, also those about helpful concepts, which are not asked for again. */
const corrections = (words: Words, findings: readonly Finding[]): string[] =>
  findings.flatMap((f) => {
    if (f.label !== 'misconception' || f.contradiction === undefined) return [];
    const kind = conceptText(words, f.concept)?.correct?.[f.contradiction];
    return kind === undefined ? [] : inVisit(words, [kind]);
  });

export const praise = (words: Words, turn: number, findings: readonly Finding[]): string[] => [
  ...prompt(words, (['praise1', 'praise2', 'praise3'] as const)[turn % 3] ?? 'praise1'),
  ...corrections(words, findings),
];

export interface Reteaching {
  step: string;
  /** The try that has just been judged: 1 or 2. */
  attempt: number;
  missed: readonly string[];
  /** Latest findings of the step, and those before the last try. */
  findings: readonly Finding[];
  before: readonly Finding[];
}

/** True when all that had to be taught again is still missing on the last re-teaching. */
export const useSimplest = ({ attempt, missed, findings }: Reteaching, needed: readonly string[]): boolean =>
  attempt >= 2 &&
  needed.length > 1 &&
  missed.length === needed.length &&
  missed.every((c) => findingOf(findings, c)?.label !== 'partial');

/**
 * Teaches again only what was missed. A wrong belief is put right first. A concept of which one part is
 * missing is not taught again, its part is just asked for; unless asking had been tried already.
 */
export const reteach = (words: Words, r: Reteaching, needed: readonly string[]): string[] => {
  const credit = r.findings.some((f) => f.label === 'understood' || f.label === 'partial')
    ? prompt(words, 'creditLead')
    : [];
  const unasked = r.findings.filter((f) => !r.missed.includes(f.concept));
  if (useSimplest(r, needed)) {
    return [
      ...credit,
      ...prompt(words, 'teachSimplestLead'),
      ...corrections(words, r.findings),
      ...inVisit(words, stepText(words, r.step)?.simplest ?? []),
      ...prompt(words, 'tellMeThat'),
    ];
  }
  const taught = r.missed.flatMap((concept) => {
    const now = findingOf(r.findings, concept);
    const before = findingOf(r.before, concept);
    const askedAlready = before?.label === 'partial' && before.missing === now?.missing;
    if (partQuestion(words, now) !== null && !askedAlready) return [];
    const again = conceptText(words, concept)?.again;
    return [
      ...corrections(words, now === undefined ? [] : [now]),
      ...inVisit(words, again?.[r.attempt >= 2 ? 1 : 0] ?? []),
    ];
  });
  return taught.length === 0
    ? [...credit, ...corrections(words, unasked), ...prompt(words, 'onePartMore')]
    : [
        ...credit,
        ...corrections(words, unasked),
        ...prompt(words, words.start.recheck && r.attempt === 1 ? 'recheckTeachLead' : 'teachAgainLead'),
        ...taught,
        ...prompt(words, 'tellMeThat'),
      ];
};

/** Each of these points by its short name, in a sentence of its own: the names have commas in them. */
const named = (words: Words, key: PromptKey, concepts: readonly string[]): string[] => {
  const labels = concepts.flatMap((c) => {
    const label = conceptText(words, c)?.label;
    return label === undefined ? [] : inVisit(words, [pointOf(label)]);
  });
  return labels.length === 0 ? [] : [...prompt(words, key), ...labels];
};

/** The short name of a point, as it is said. */
export const pointOf = (label: string): string => `${label}.`;

export const handover = (words: Words, concepts: readonly string[]): string[] => [
  ...prompt(words, 'thanks'),
  ...named(words, 'personWillHelp', concepts),
];

/** Does the order matter among these concepts? */
const inOrder = ({ lesson }: Words, concepts: readonly string[]): boolean =>
  (lesson.judging?.order ?? []).some(
    ({ first, next }) => concepts.includes(first) && concepts.includes(next),
  );

/** `offered`: the kiosk turned to the cards by itself and says why. */
export const cards = (
  words: Words,
  questionSaid: readonly string[],
  asked: readonly string[],
  offered = false,
): string[] => [
  ...(offered ? prompt(words, 'useCards') : []),
  ...questionSaid,
  ...prompt(words, inOrder(words, asked) ? 'cardsOrder' : 'cardsLead'),
  ...byEar(words, 'canSayCards'),
];

const troublePrompt: Record<EndReason, PromptKey> = {
  finished: 'nothingHeard',
  'nothing-heard': 'nothingHeard',
  aborted: 'listeningStopped',
  denied: 'microphoneDenied',
  'no-device': 'noMicrophone',
  'engine-failed': 'recogniserFailed',
  'language-missing': 'languageMissing',
  network: 'networkLost',
};

/** What went wrong with listening, and what can be done now. */
export const trouble = (words: Words, reason: EndReason): string[] => [
  ...prompt(words, troublePrompt[reason]),
  ...prompt(words, 'troubleNext'),
  ...byEar(words, 'canSayTrouble'),
];

export const answer = (words: Words, says: readonly string[] | null): string[] =>
  says === null ? prompt(words, 'questionKept') : [...prompt(words, 'answerLead'), ...inVisit(words, says)];

export type YesNoKey = Extract<
  PromptKey,
  | 'soundCheckAgain'
  | 'soundCheckLouder'
  | 'soundTooQuiet'
  | 'soundTooLoud'
  | 'soundTooNoisy'
  | 'questionsFirst'
  | 'shallWeGoOn'
  | 'anyQuestion'
  | 'yesOrNo'
>;

/** Yes-no questions of the kiosk itself. */
export const yesNo = (words: Words, key: YesNoKey): string[] => [
  ...prompt(words, key),
  ...byEar(words, 'canSayYesNo'),
];

const device = (words: Words) => inVisit(words, [words.lesson.teaching.device])[0] ?? '';

/** Before the first step; what a re-check is for, or that this is the next of several lessons, comes first. */
export const firstQuestion = (words: Words): string[] => [
  ...(words.start.recheck ? prompt(words, 'recheckIntro', { device: device(words) }) : []),
  ...(words.start.sitting?.follows ? prompt(words, 'sittingNow', { device: device(words) }) : []),
  ...yesNo(words, 'questionsFirst'),
];

/** The last words of a visit. `next`: what the lesson after it is about. */
export const ending = (words: Words, stopped: boolean, next?: string): string[] =>
  stopped
    ? prompt(words, 'stopped')
    : next === undefined
      ? prompt(words, 'finished')
      : [
          ...prompt(words, 'thanks'),
          ...prompt(words, 'sittingNext', { device: next }),
          ...prompt(words, 'sittingRest'),
        ];

export const showMe = (words: Words): string[] => [
  ...prompt(words, 'showMeLead'),
  ...inVisit(
    words,
    words.lesson.module.showMe.flatMap((point) => words.lesson.teaching.showMe[point] ?? []),
  ),
  ...byEar(words, 'canSayShowMe'),
];

export const paused = (words: Words): string[] => [
  ...prompt(words, 'paused'),
  ...byEar(words, 'canSayPaused'),
];

/** What was said back well, what a person will go over, and when to call. */
export const summary = (
  words: Words,
  understood: readonly string[],
  handedOver: readonly string[],
): string[] => [
  ...prompt(words, 'summaryLead'),
  ...named(words, 'summaryWell', understood),
  ...named(words, 'summaryPerson', handedOver),
  ...prompt(words, 'whenToCallLead'),
  ...inVisit(words, words.lesson.teaching.handout.whenToCall),
];
