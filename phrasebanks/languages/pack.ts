export type TimeUnit = 'second' | 'minute' | 'hour' | 'day' | 'week' | 'month' | 'year';

/** What judging must know of a language. One file a language in languages/. */
export interface LanguagePack {
  language: string;
  /** null: words are compared as written. A list: without accents, save these words, which accents tell apart. */
  keepAccents: readonly string[] | null;
  stem(word: string): string;
  /** Word -> the words it stands for: contractions, forms without an apostrophe. */
  expand: Record<string, string>;
  /** Irregular forms -> the form that is stemmed. */
  irregular: Record<string, string>;
  /** Words and phrases that carry nothing. Longest first wins. */
  fillers: string[];
  /** Words that never decide a match by themselves. */
  stopWords: string[];
  /** Frequent words that are never taken for a misspelling of another. */
  common: string[];
  numbers: {
    /** 0 to 19 and what stands like them; two words may make one: "dix sept". */
    units: Record<string, number>;
    tens: Record<string, number>;
    /** Tens that take more than 0 to 9 after them: soixante (onze). */
    room: Record<string, number>;
    /** Whole hundreds in a word: doscientos. */
    hundreds: Record<string, number>;
    /** Multiply what stands before them: hundred, thousand. */
    scales: Record<string, number>;
    /** Scales that need nothing before them: mil, cent. */
    alone: string[];
    /** May stand inside a number: "and". */
    joiners: string[];
    /** Said before decimals: "point". */
    point: string[];
    /** How decimals are written; the other mark groups thousands. */
    decimalMark: '.' | ',';
    /** Loose amounts: "couple" 2, "few" 3, "several" 5. */
    vague: Record<string, number>;
    /** Those of `vague` that are amounts only before a unit: "some minutes". */
    loose: string[];
    half: string[];
    quarter: string[];
    /** Between two numbers of a range. */
    to: string[];
    /** Before a range whose numbers are joined by "and". */
    between: string[];
    /** Words for one that need a noun after them ("a minute"). */
    one: string[];
    /** Phrases that hold number words and are no amount: "por ciento". */
    names: string[];
    /** After these a number without a unit is one to dial. */
    calls: string[];
    /** Times of day: a number after one of `before` (if there are any), with one of `hours` behind it (if any). */
    clock: { before: string[]; hours: string[] };
    /** Before "one" these make a pronoun of it: "that one". */
    pronouns: string[];
    ordinals: Record<string, number>;
    /** What comes one after the other, where a rank is also a unit of time: "a second puff". */
    ranked: readonly string[];
  };
  /** Word -> unit. */
  durations: Record<string, TimeUnit>;
  /** Units only after figures: "3 h". */
  short: Record<string, TimeUnit>;
  /** How many of its unit a word of `durations` stands for, when not one: fortnight 2. */
  multiples: Record<string, number>;
  /** Parts of the day among `durations`: "all morning" is no day. */
  dayParts: string[];
  /** "all", "whole" before or after a unit: one of it. */
  whole: string[];
  /** Those of `whole` that go with short units too: "another minute". */
  another: string[];
  /** Between `whole` and the unit: "all the day". */
  articles: string[];
  distances: Record<string, 'foot' | 'meter' | 'inch' | 'yard'>;
  /** Between a number and its unit: "two more minutes", "a quarter of an hour". */
  fill: string[];
  /** "times" */
  times: string[];
  once: Record<string, number>;
  /** "every", "each" */
  every: string[];
  /** After "twice", "three times": "a", "per". */
  per: string[];
  /** "other", "second": every other day */
  other: string[];
  /** "un jour sur deux": the word in the middle. */
  outOf: string[];
  /** "daily" -> per day; with how many times. */
  adverbs: Record<string, { per: TimeUnit; value: number }>;
  /** "6 hourly" is every 6 hours. */
  hourly: string[];
  /** Whole phrases that say how often, in times a week. */
  idioms: Record<string, number>;
  weekdays: string[];
  /** "Monday through Friday" */
  through: string[];
  /** Joins days to a list: "Monday and Friday". */
  and: string[];
  /** Nouns of which "one" is an amount where the word for it is an article as well. */
  counted: string[];
  /** "count to ten" is ten seconds. */
  count: string[];
  /** Said alone between two amounts, these take the first back. */
  refusals: string[];
  /** These do so only with a pause after them; without one they may mean "not" ("diez no cinco"): both amounts stay. */
  pausedRefusals: string[];

  negation: {
    /** Negate what follows. */
    plain: string[];
    /** The negator that sets one thing against another: "not fast, slow". */
    contrast?: string;
    /** Verbs that negate what follows and undo a negation before them: forget, skip. */
    verbs: string[];
    /** Negate what stands before: "is not needed", "is a no no". */
    after: string[];
    /** Like `after`, but they wave off what is done: "makes no difference" undoes no negation. */
    dismissals?: string[];
    /** End words that a negator reaches across: "wait until". */
    waits?: string[];
    /** Hold a negator but negate nothing. */
    never: string[];
    /** A leading "no" before one of these answers a question and negates nothing. */
    answerBefore: string[];
    /** End the reach of a negator. */
    ends: string[];
    /** After "and", these begin a new statement. */
    verbsAfterAnd: string[];
    /** End the reach when they are objects. */
    objects: string[];
    /** Verbs whose object pronoun does not end the reach: "don't let it get wet". */
    carries: string[];
    /** After an object pronoun the reach goes on over these: "don't put it in water". */
    prepositions: string[];
    /** Verbs that begin a new statement after the negated words: "I can't talk call ..." */
    verbsNew: string[];
    /** Verbs that carry no content of their own: "don't need to". */
    light: string[];
    /** Before a verb these keep it in the reach: "to", "or". */
    joins: string[];
    /** Of those, verbs that begin a new statement whatever stands before: "I can't get air call ..." */
    urgent?: string[];
    /** Subjects that begin a statement of their own: "it doesn't stop I call". */
    pronouns: string[];
    /** Join the last thing of a list: "or", "nor". */
    or: string[];
    /** Right behind a negator these turn it: "nothing but". */
    exceptive: string[];
    /** "it is nothing you ...": before a negator these make it a predicate. */
    copulas?: string[];
    /** Stems of verbs that may stand alone: "it doesn't stop". */
    intransitive: string[];
    /** Negators that are subjects and reach over the whole statement: "nobody". */
    subjects: string[];
    /** Negators that may close a statement: "..., nothing. I ..." */
    alone: string[];
    /** Negators that stand before a noun and reach only over it. */
    determiners: string[];
    shortReach: number;
    /** How many words a negator reaches. */
    reach: number;
  };
  /** Words that begin another step of the story: a mistake is not read across them. */
  breaks: string[];
  /** "no wait", "I mean" */
  repairs: string[];
  /** "used to", "the old one" */
  past: string[];
  /** Words that end what is told of the past. */
  pastEnds: string[];
  than: string;
  /** "now", "but now": end of the past. */
  now: string[];
  question: {
    auxiliaries: string[];
    /** The auxiliary that is also a plain verb, and the subjects that make a question of it. */
    bare: string;
    people: string[];
    subjects: string[];
    /** Behind an auxiliary and its subject these make it a statement: "does the same". */
    told?: string[];
    /** Before an auxiliary these make it a statement. */
    notAfter: string[];
    /** Before an auxiliary + subject: begin a question. */
    openers: string[];
    /** Whole phrases that ask. */
    phrases: string[];
    /** A question mark after these asks only for agreement. */
    tags: string[];
    /** Words that begin the speaker's own answer. */
    answers: string[];
  };
  /** Somebody else, whose habits are not the speaker's. */
  others: string[];
  /** Words that end what is told of somebody else: the speaker's own, and turns. */
  othersEnd: string[];
  /** Verbs by which somebody tells the speaker what to do. */
  tells: string[];
  /** "that's what my", "I told her no": rejects what somebody else does. */
  rejects: string[];
  /** Conditions that gut a rule. */
  gutters: string[];
  /** "but I do not": knows the rule and does otherwise. */
  otherwise: string[];
  /** Conditions that weaken a rule: "sometimes". */
  weakGutters: string[];
  /** "supposed to": states a rule ... */
  rules: string[];
  /** ... and "but" before the speaker's own way. */
  turns: string[];
  /** Right behind what was said: it does not hold for all. */
  exceptions?: string[];
  hedges: string[];
  /** "like", "as": begin a picture ("like a fish"). */
  likens?: string[];
  /** Words that order two steps; without them no order is told. */
  sequence?: {
    /** Between two steps: the one behind it comes later. "before I" */
    before: string[];
    /** Between two steps: the one behind it comes earlier. "after I", "once I have" */
    after: string[];
    /** What follows comes earlier: "before that". */
    earlier: string[];
    /** What follows comes later: "then", "after that". */
    later: string[];
    first: string[];
    /** With one of these no order is read: "until", "while". */
    unsure: string[];
    /** Join two statements: "and". */
    links: string[];
  };

  /** Around a voice command these words are let pass: "please", "can you". */
  polite: string[];
  /** Said to a voice around a command, and of no weight there: "talk", "a little", "your". */
  addressing: string[];
  /** With one of these a command is meant for the voice, whatever is asked: "you talk too fast", "give me a minute". */
  toVoice: string[];
  /**
   * What a command is known by when it is said in no known way: words of each of these groups (spaces between them, |
   * between words of one), anywhere in the utterance. In the order in which the commands are tried; without accents.
   */
  cues: Record<string, string[]>;
  /** "if", "when": what follows is not happening now. */
  conditions: string[];
  /** Words that begin a case: "if". */
  cases: string[];
  /** What one does in a case: "call". */
  acts: string[];
  /** Of whom else distress may be told: "husband". */
  kin: string[];
  /** "I", "call": "... I call 911" tells what one would do. */
  self: string;
  /** Other words for oneself and one's own: "me", "we". */
  selves?: string[];
  /** "I want", "I need" before a command. */
  wishes: string[];
  callWord: string;
  /** Words and endings that ask the same of one or many, strangers or friends, and one that stands for all. */
  sameAsked: readonly (readonly [endings: RegExp, one: string])[];
}
