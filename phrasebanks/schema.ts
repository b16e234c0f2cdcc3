import * as z from 'zod/mini';
import { commandNames } from './commands';

/*
 * A module is one folder. Three kinds of file, because three kinds of people write them:
 *   module.json          what is taught and in which order, same in every language
 *   <lang>.teaching.json what is said and shown to the learner
 *   <lang>.judging.json  what counts as said back (see judging.ts)
 * phrasebanks/common/<lang>.json holds what every module shares: prompts, commands, distress.
 */

const id = z.string().check(z.regex(/^[a-z0-9-]+(\.[a-z0-9-]+)*$/, 'use small letters, digits, "-" and "."'));
const text = z.string().check(z.trim(), z.minLength(1, 'must not be empty'));
const language = z.string().check(z.regex(/^[a-z]{2}(-[A-Z]{2})?$/, 'a language such as "en" or "es-MX"'));

export const weights = ['critical', 'key', 'helpful'] as const;

/** A number a learner may have to say. `min`/`max` bound what is accepted; without them only `value` is. */
export const quantitySchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('count'),
    of: text,
    value: z.number(),
    min: z.optional(z.number()),
    max: z.optional(z.number()),
  }),
  z.strictObject({
    kind: z.enum(['duration', 'interval']),
    value: z.number(),
    min: z.optional(z.number()),
    max: z.optional(z.number()),
    unit: z.enum(['second', 'minute', 'hour', 'day', 'week', 'month']),
  }),
  z.strictObject({ kind: z.literal('frequency'), value: z.number(), per: z.enum(['day', 'week', 'month']) }),
  z.strictObject({
    kind: z.literal('distance'),
    value: z.number(),
    min: z.optional(z.number()),
    max: z.optional(z.number()),
    unit: z.enum(['foot', 'meter']),
  }),
]);
export type Quantity = z.infer<typeof quantitySchema>;

export const moduleSchema = z.strictObject({
  id,
  version: text,
  steps: z.array(
    z.strictObject({
      id,
      /** File under public/pictures/. */
      picture: text,
      concepts: z.array(
        z.strictObject({ id, weight: z.enum(weights), quantities: z.optional(z.array(quantitySchema)) }),
      ),
    }),
  ),
  /** Ids of the return-demonstration points that a clinician watches. */
  showMe: z.array(id),
  sources: z.array(z.strictObject({ id, text, kind: z.enum(['read', 'copy', 'memory', 'common-practice']) })),
});
export type ModuleFile = z.infer<typeof moduleSchema>;

/**
 * Words that a visit or a site may put in place of the usual ones, which common/<lang>.json gives:
 * medicine, as labelled; timesADay, how often; careTeam, who is asked and called; flameDistance and
 * tubingLength of oxygen; soakIn and soakTime, how parts are cleaned every week.
 */
export const wordSlots = [
  'medicine',
  'timesADay',
  'careTeam',
  'flameDistance',
  'tubingLength',
  'soakIn',
  'soakTime',
] as const;
export type WordSlots = Record<(typeof wordSlots)[number], string>;

/** All slots that a text may use: {medicine}, ... {callNumber}, {emergencyNumber}. */
export const visitSlots = [...wordSlots, 'callNumber', 'emergencyNumber'] as const;

/** Text that is spoken and shown, with slots in braces. */
export const teachingSchema = z.strictObject({
  module: id,
  language,
  /** Who of the trade reviewed these texts; null is shown to staff as "not reviewed". */
  reviewedBy: z.nullable(text),
  title: text,
  /** The device in a sentence: "your inhaler with the spacer". */
  device: text,
  /** Names that are taught with a picture, such as "inhaler"; readability counts them as short words. */
  names: z.array(text),
  steps: z.record(
    id,
    z.strictObject({
      title: text,
      /** Sentences in order; one is one caption. */
      teach: z.array(text).check(z.minLength(1)),
      /** The same in the fewest words, for the last try. */
      simplest: z.array(text).check(z.minLength(1)),
      /** Open and non-shaming: never answerable with yes or no. */
      question: text,
      /** What the picture shows, for those who do not see it. */
      pictureText: text,
    }),
  ),
  concepts: z.record(
    id,
    z.strictObject({
      /** A few words for lists and headings. */
      label: text,
      /** Two ways to teach it again, different in words and in approach; each an array of sentences. */
      again: z.tuple([z.array(text), z.array(text)]),
      /** The smallest open question that asks for this alone. */
      ask: text,
      /** By id of a required part of judging.json: the question when only that part is missing. */
      askPart: z.optional(z.record(id, text)),
      /** By id of a contradiction of judging.json: the kind sentence that puts it right. */
      correct: z.optional(z.record(id, text)),
    }),
  ),
  /** Approved answers. Anything else a learner asks is kept for the clinician. */
  answers: z.array(
    z.strictObject({
      id,
      asks: z.array(text).check(z.minLength(1)),
      says: z.array(text).check(z.minLength(1)),
    }),
  ),
  showMe: z.record(id, text),
  handout: z.strictObject({ care: z.array(text), whenToCall: z.array(text) }),
});
export type TeachingFile = z.infer<typeof teachingSchema>;

/**
 * How people say that they need help now. Patterns are those of judging.ts, with the classes of `words`. What is
 * asked, past, denied or told of a case ("if ...") raises nothing.
 */
export const distressSchema = z.strictObject({
  /** Whole sentences, word for word; a recogniser is told to expect them. */
  phrases: z.array(text).check(z.minLength(1)),
  words: z.record(z.string().check(z.regex(/^[a-z]+$/)), z.array(text).check(z.minLength(1))),
  /** Said of oneself; of somebody else they raise nothing ("my husband had chest pain"). */
  own: z.array(text),
  /** Raise whoever is meant: somebody who is here and in need ("she is turning blue"). */
  anyone: z.array(text),
  /** Near one of these nothing is raised: "last year", "in the movie". */
  calm: z.array(text),
});

/** Words of the learner's summary and handout. Slots: {list} {n} {all} and those of the visit. */
export const paperSchema = z.strictObject({
  /** First sentence of the summary, by how the visit ended. */
  thanks: text,
  stopped: text,
  allSaid: text,
  someSaid: text,
  /** In place of these two for who answered by cards alone, which are nobody's own words. */
  allShown: text,
  someShown: text,
  well: text,
  person: text,
  onUs: text,
  notReached: text,
  questionKept: text,
  questionsKept: text,
  whenToCall: text,
  emergency: text,
  /** Common practice: the maker's leaflet and the care team's orders come before any general teaching. */
  cautions: z.array(text).check(z.minLength(1)),
  /** Headings and small words of the handout. */
  practiseFirst: text,
  aPerson: text,
  care: text,
  callTitle: text,
  callUs: text,
  callEmergency: text,
  questions: text,
  notes: text,
  practiceVisit: text,
  notReviewed: text,
});
export type Paper = z.infer<typeof paperSchema>;

/** Text with exactly these slots of its own. */
const slotted = (...slots: string[]) =>
  text.check(
    z.refine(
      (value) => {
        const used = [...value.matchAll(/\{(\w+)\}/g)].map(([, slot]) => slot!);
        return used.toSorted().join() === slots.toSorted().join();
      },
      `must hold ${slots.map((slot) => `{${slot}}`).join(' and ') || 'no slots'}`,
    ),
  );
const label = slotted();

/** Words of the idle screen and of the learner's screens, what is spoken apart. A button has few words. */
export const screensSchema = z.strictObject({
  idleTitle: label,
  idleLead: label,
  /** Over the choice of a language, for those who hear the screen. */
  languages: label,
  practice: label,
  /** The invented learner of a practice visit, on the handout. */
  practiceLearner: label,
  newVisit: label,
  visits: label,
  /** To staff, on a new kiosk. */
  isNew: label,
  setUp: label,
  notNow: label,
  caution: label,
  step: slotted('index', 'count'),
  /** What stands for a picture to those who do not see it. */
  pictureOf: slotted('text'),
  /** What the light switch does, for those who hear it. */
  brightScreen: label,
  darkScreen: label,
  help: label,
  again: label,
  slower: label,
  louder: label,
  softer: label,
  question: label,
  next: label,
  back: label,
  more: label,
  pageOf: slotted('index', 'count'),
  /** The big button while a question is being said. */
  answerNow: label,
  endVisit: label,
  done: label,
  yes: label,
  no: label,
  /** How the ear stands. */
  listening: z.strictObject({
    opening: label,
    waiting: label,
    hearing: label,
    pausing: label,
    'take-your-time': label,
    closing: label,
  }),
  iHeard: label,
  isThatRight: label,
  useCards: label,
  useVoice: label,
  cardsLead: label,
  /** In place of it where the order of what is done matters. */
  cardsOrder: label,
  cardsDone: label,
  typeInstead: label,
  sendTyped: label,
  helpTitle: label,
  helpText: label,
  helpOver: label,
  showMeTitle: label,
  showMeLead: label,
  shown: label,
  notYet: label,
  /** After the last point that the hands show. */
  showMeAll: label,
  showMeDone: label,
  resumeTitle: label,
  resumeText: label,
  resumeYes: label,
  resumeNo: label,
  pausedTitle: label,
  here: label,
  summaryTitle: label,
  wentWell: label,
  personWill: label,
  print: label,
  save: label,
  clinicianView: label,
  close: label,
  /** Goes on with the next of several lessons. */
  nextLesson: label,
  /** Title of its summary, in place of `summaryTitle`. */
  lessonDone: label,
  unsaved: label,
  unreadable: label,
});
export type Screens = z.infer<typeof screensSchema>;

/** What all modules share in one language. */
export const commonSchema = z.strictObject({
  language,
  reviewedBy: z.nullable(text),
  /** Everything the kiosk itself says; keys are listed in machines/prompts.ts. Slots in braces. */
  prompts: z.record(z.string(), text),
  /** What stands for each word slot unless the site or the visit says otherwise. */
  slots: z.record(z.enum(wordSlots), text),
  paper: paperSchema,
  screens: screensSchema,
  /** Ways to say each voice command. */
  commands: z.record(z.enum(commandNames), z.array(text)),
  /** What interrupts everything and calls staff. */
  distress: distressSchema,
  /** For authors: words that make a question open, and first words that let yes or no answer it. */
  questions: z.strictObject({ open: z.array(text).check(z.minLength(1)), closed: z.array(text) }),
  /** For authors: words that blame the learner; no text may have them. */
  blame: z.array(text),
  /** For authors: a word of the trade -> plain words, one of which must stand in the same text; none: not to be used. */
  plain: z.record(text, z.array(text)),
});
export type CommonFile = z.infer<typeof commonSchema>;
